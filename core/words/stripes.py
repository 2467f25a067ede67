"""The stripe list: every stripe with the rows so far, and a sequence that comes again said once."""

from collections.abc import Sequence
from itertools import groupby

from core.design.document import Design
from core.words.names import yarn_name
from core.words.pattern import Paragraph
from core.words.vocabulary import Vocabulary


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
    n_rows = len(yarns)
    rows = sequence_rows(yarns) if period is None else period
    times, rest = divmod(n_rows, rows) if rows else (1, 0)
    if not rows or times < (1 if words.sized else 2):
        return _stripes(design, yarns, words)
    lines = [Paragraph(words.say("stripes once", rows=rows))]
    lines += _stripes(design, yarns[:rows], words)
    if times > 1:
        again = words.say("stripes again", n=times - 1, rows=rows, total=rows * times)
        lines.append(Paragraph(again))
    if rest:
        lines.append(Paragraph(words.say("stripes rest", n=rest, total=n_rows)))
    return lines


def sequence_rows(yarns: Sequence[int]) -> int:
    """Return after how many rows the stripes come again, 0 if they don't twice over.

    They have to be worked twice at least, and to have two stripes; the last time may be cut.
    """
    matched = [0] * len(yarns)  # of each row, how many rows up to it begin the list once more
    for row in range(1, len(yarns)):
        n = matched[row - 1]
        while n and yarns[row] != yarns[n]:
            n = matched[n - 1]
        matched[row] = n + (yarns[row] == yarns[n])
    rows = len(yarns) - matched[-1] if yarns else 0
    return rows if 1 < rows <= len(yarns) // 2 else 0


def stripes_told(yarns: Sequence[int]) -> int:
    """Return how many stripes there are; neighbours in one yarn are one."""
    return len(list(groupby(yarns)))


def _stripes(design: Design, yarns: Sequence[int], words: Vocabulary) -> list[Paragraph]:
    lines, total = [], 0
    for number, rows in groupby(yarns):
        n = len(list(rows))
        first, total = total + 1, total + n
        label = words.say("stripe row" if n == 1 else "stripe rows", first=first, last=total)
        yarn = yarn_name(design, int(number), words)
        lines.append(Paragraph(words.say("stripe", n=n, yarn=yarn, total=total), label=label))
    return lines
