"""The stripes in words: every stripe with the rows so far, and each colour's stripes together.

A sequence that comes again is said once. What a stripe's designer calls it stands with it.
"""

from collections.abc import Hashable, Sequence
from itertools import groupby

from core.design.document import Design
from core.records import Struct
from core.stripes.sequence import comes_again, worked_stripes
from core.words.names import yarn_name
from core.words.pattern import Paragraph
from core.words.vocabulary import Vocabulary


class Told(Struct, frozen=True):
    """A stripe as it is told: neighbours in one yarn are one, unless they have other names.

    Attributes:
        yarn: Number of its yarn.
        first: Its first row, from 1.
        last: Its last row.
        label: What its designer calls it; empty if nothing.
    """

    yarn: int
    first: int
    last: int
    label: str

    @property
    def rows(self) -> int:
        """Rows of the stripe."""
        return self.last - self.first + 1


Key = tuple[int, str]


def stripe_keys(design: Design, yarns: Sequence[int]) -> list[Key]:
    """Return yarn and name of the stripe that each row belongs to, rows worked in `yarns`.

    Names are those of the design's own stripes, so rows that it gives to other yarns have none.
    """
    labels = [""] * len(yarns)
    for stripe in worked_stripes(design.stripes, len(yarns)):
        label = design.stripes.sequence[stripe.entry].label.strip()
        for row in range(stripe.first, stripe.last + 1) if label else ():
            labels[row - 1] = label if int(yarns[row - 1]) == stripe.yarn else ""
    return [(int(yarn), label) for yarn, label in zip(yarns, labels, strict=True)]


def told_stripes(keys: Sequence[Key]) -> list[Told]:
    """Return the stripes of rows with these keys, from row 1 up."""
    found: list[Told] = []
    for (yarn, label), rows in groupby(keys):
        first = found[-1].last + 1 if found else 1
        found.append(Told(yarn, first, first + len(list(rows)) - 1, label))
    return found


def stripe_list(
    design: Design, yarns: Sequence[int], words: Vocabulary, *, period: int | None = None
) -> list[Paragraph]:
    """Return the stripes of rows worked in these yarns.

    Args:
        design: The design.
        yarns: Number of each row's yarn, from row 1 up.
        words: The words.
        period: Rows after which the stripes come again; found out if it isn't given.
    """
    n_rows, keys = len(yarns), stripe_keys(design, yarns)
    rows = _rows_in_turn(keys, words, period)
    if not rows:
        return _stripes(design, keys, words)
    times, rest = divmod(n_rows, rows)
    lines = [Paragraph(words.say("stripes once", rows=rows))]
    lines += _stripes(design, keys[:rows], words)
    if times > 1:
        again = words.say("stripes again", n=times - 1, rows=rows, total=rows * times)
        lines.append(Paragraph(again))
    if rest:
        lines.append(Paragraph(words.say("stripes rest", n=rest, total=n_rows)))
    return lines


def colour_list(
    design: Design, yarns: Sequence[int], words: Vocabulary, *, period: int | None = None
) -> list[Paragraph]:
    """Return each colour's stripes together, with its rows so far; arguments as above.

    Nothing is said of a blanket in one colour. Of a sequence that comes again, its rows are
    named; the stripes and rows at the end of a line are those of the whole blanket.
    """
    keys = stripe_keys(design, yarns)
    rows = _rows_in_turn(keys, words, period)
    named, every = told_stripes(keys[:rows] if rows else keys), told_stripes(keys)
    used = sorted({stripe.yarn for stripe in every})
    if len(used) < 2:
        return []
    lines = [Paragraph(words.say("colours how, in turn" if rows else "colours how"))]
    for yarn in used:
        mine = [stripe for stripe in every if stripe.yarn == yarn]
        text = words.say(
            "colour spans",
            spans=words.phrases["told steps"].join(
                _spans([s for s in named if s.yarn == yarn], words)
            ),
            stripes=words.say("counted stripes", n=len(mine)),
            rows=words.say("counted rows", n=sum(stripe.rows for stripe in mine)),
        )
        lines.append(Paragraph(text, label=yarn_name(design, yarn, words)))
    return lines


def sequence_rows(kinds: Sequence[Hashable]) -> int:
    """Return after how many rows the stripes come again, 0 if they don't twice over.

    They have to be worked twice at least, and to have two stripes; the last time may be cut.
    """
    rows = comes_again(kinds)
    return rows if 1 < rows < len(kinds) else 0


def _rows_in_turn(keys: Sequence[Key], words: Vocabulary, period: int | None) -> int:
    """Return the rows of the sequence that is said once, 0 if all stripes are said."""
    rows = sequence_rows(keys) if period is None else period
    least = 1 if words.sized else 2
    return rows if rows and len(keys) // rows >= least else 0


def _stripes(design: Design, keys: Sequence[Key], words: Vocabulary) -> list[Paragraph]:
    lines = []
    for stripe in told_stripes(keys):
        n, total = stripe.rows, stripe.last
        label = words.say("stripe row" if n == 1 else "stripe rows", first=stripe.first, last=total)
        yarn = called(yarn_name(design, stripe.yarn, words), stripe.label, words)
        lines.append(Paragraph(words.say("stripe", n=n, yarn=yarn, total=total), label=label))
    return lines


def called(name: str, label: str, words: Vocabulary) -> str:
    """Return a yarn's name with what its stripe is called, if that has a name."""
    return words.say("called", name=name, label=label) if label else name


def _spans(stripes: Sequence[Told], words: Vocabulary) -> list[str]:
    spans, total = [], 0
    for stripe in stripes:
        total += stripe.rows
        spans.append(
            words.say(
                "colour span", n=stripe.rows, first=stripe.first, last=stripe.last, total=total
            )
        )
    return spans
