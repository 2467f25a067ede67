"""Fill rows and border in words."""

from collections.abc import Sequence
from itertools import groupby

from core.craft.stitches import CATALOGUE
from core.design.document import Design
from core.edging.border import BorderPlan, EndPickUp
from core.edging.fill import Fill, Parts
from core.edging.outline import ENDS, EndName
from core.edging.plan import Ends, wish_for
from core.rows.build import Rows
from core.words.items import places_phrase, so_many
from core.words.names import yarn_name
from core.words.rowtext import side_of
from core.words.vocabulary import Vocabulary, sentence

_NO_BUMP_MM = 0.5  # less isn't worth a sentence


def fill_lines(design: Design, rows: Rows, ends: Ends, words: Vocabulary) -> tuple[str, ...]:
    """Return the fill rows of both ends, each with what is left of the wave."""
    lines: list[str] = []
    for end in ENDS:
        fill, wish = ends.fills.get(end), wish_for(design, end)
        if fill is None or wish is None:
            continue
        yarn = yarn_name(design, wish.yarn, words)
        lines.append(words.say(f"fill {end}", yarn=yarn))
        lines += [
            _fill_row(design, rows, fill, end, number, words) for number in range(len(fill.rows))
        ]
        lines.append(_left_over(fill, words))
    return tuple(lines)


def _left_over(fill: Fill, words: Vocabulary) -> str:
    before, after = words.number(fill.before_mm, 0), words.number(fill.bump_mm, 0)
    if fill.bump_mm < _NO_BUMP_MM:
        return words.say("fill straight")
    return words.say("fill bump", before=before, after=after)


def _fill_row(
    design: Design, rows: Rows, fill: Fill, end: EndName, number: int, words: Vocabulary
) -> str:
    parts, repeats = fill.rows[number], fill.outline.repeats
    if end == "top":
        row = rows.drawn_rows + 1 + number
        side, leftwards = side_of(row), rows.runs_left(row)
        label = words.say("row", row=row, side=words.say(side))
    else:
        # Upside down and right side facing, a right hand goes from the fabric's left edge.
        side = side_of(number + 1)
        leftwards = (number % 2 == 0) == (rows.hand == "left")
        label = words.say("bottom row", row=number + 1, side=words.say(side))
    body = fill_body(
        _in_order(parts, leftwards=leftwards), repeats, words, turned=bool(number) or end == "top"
    )
    count = words.say("count", n=len(parts.along(repeats)))
    return f"{label}: {words.say('row text', body=body, count=count)}"


def _in_order(parts: Parts, *, leftwards: bool) -> Parts:
    """Return the stitches as the hook makes them."""
    if not leftwards:
        return parts
    return Parts(left=parts.right[::-1], repeat=parts.repeat[::-1], right=parts.left[::-1])


def fill_body(parts: Parts, repeats: int, words: Vocabulary, *, turned: bool) -> str:
    """Return one fill row's instructions, its first stitch by a turning chain if it is tall."""
    lead, repeat, tail = list(parts.left), parts.repeat, list(parts.right)
    if repeats and not lead:  # the first stitch stands before the repeats
        lead, repeats = list(repeat), repeats - 1
    if repeats <= 1:
        lead, repeats, tail = [*lead, *repeat * repeats, *tail], 0, []
    if len({*lead, *repeat * repeats, *tail}) == 1:
        n = len(lead) + len(repeat) * repeats + len(tail)
        opening, _ = _opening(lead[0], words, turned=turned, counted=False)
        work = words.say("fill all", stitch=words.short(lead[0]), n=n, noun=words.say("st", n=n))
        return sentence(words.joined([opening, work]))
    opening, skipped = _opening(lead[0], words, turned=turned)
    phrases = [opening] if opening else []
    phrases += _runs(lead[skipped:], words, first=not skipped, last=not repeats)
    if repeats:
        phrases.append(
            words.say(
                "repeat",
                body=words.joined(_runs(repeat, words)),
                more=words.say("more", n=repeats - 1),
                all=words.times(repeats),
            )
        )
        phrases += _runs(tail, words, last=True)
    return sentence(words.joined(phrases))


def _opening(
    stitch: str, words: Vocabulary, *, turned: bool, counted: bool = True
) -> tuple[str, int]:
    """Return how a row begins, and how many stitches that already makes."""
    facts = CATALOGUE[stitch]
    chains = facts.turning_chains
    turn = ", turn" if turned else ", join"
    if not chains:
        return (words.say("turn"), 0) if turned else ("", 0)
    if not (facts.chain_counts and counted):
        return words.say(f"fill opens{turn}, not counting", n=chains), 0
    what = so_many(1, stitch, words)
    return words.say(f"fill opens{turn}, counting", n=chains, what=what), 1


def _runs(
    stitches: Sequence[str], words: Vocabulary, *, first: bool = False, last: bool = False
) -> list[str]:
    runs = [(stitch, len(list(same))) for stitch, same in groupby(stitches)]
    phrases = []
    for number, (stitch, n) in enumerate(runs):
        order = "next"
        if first and number == 0:
            order = "first"
        elif last and number == len(runs) - 1:
            order = "last"
        places = places_phrase(order, n, words, each=n > 1)
        key = "fill each" if n == 1 else "fill each of"
        phrases.append(words.say(key, stitch=words.short(stitch), places=places))
    return phrases


def border_lines(
    design: Design, ends: Ends, plan: BorderPlan, words: Vocabulary
) -> tuple[str, ...]:
    """Return how the border is picked up and worked."""
    border = plan.border
    stitch, many = words.short(border.stitch), words.short(border.stitch, 2)
    sides = plan.per_row_ends
    lines = [
        words.say(
            "border yarn",
            yarn=yarn_name(design, border.yarn, words),
            slip=words.short("sl st"),
        ),
        words.say(
            "border sides", n=sides.over, stitches=sides.stitches,
            stitch=words.short(border.stitch, sides.stitches), total=plan.side_total,
        ),
    ]  # fmt: skip
    for end, pick_up in plan.ends.items():
        width = ends.outlines[end].width
        lines.append(_border_end(end, pick_up, width, border.stitch, words))
    corner = words.short(border.stitch, border.corner)
    lines.append(words.say("border corners", n=border.corner, stitch=corner))
    if border.multiple > 1 or border.extra:
        key = "border multiple plus" if border.extra else "border multiple"
        lines.append(words.say(key, multiple=border.multiple, extra=border.extra))
    lines.append(words.say("border round", stitches=plan.rounds[0], stitch=many))
    if border.rounds > 1:
        more = plan.rounds[1] - plan.rounds[0]
        last = len(plan.rounds)
        lines.append(
            words.say(
                "border round 2" if last == 2 else "border rounds",
                last=last,
                stitch=stitch,
                corner=border.corner,
                more=more,
                stitches=plan.rounds[-1],
            )
        )
    return tuple(lines)


def _border_end(end: EndName, pick_up: EndPickUp, width: int, key: str, words: Vocabulary) -> str:
    stitch = words.short(key)
    where = sentence(words.say(f"border {end}"))
    if not pick_up.follows:
        ratio = pick_up.per_wave
        return words.say(
            "border end", where=where, n=ratio.over, stitches=ratio.stitches,
            stitch=words.short(key, ratio.stitches),
            below=width * ratio.over, total=pick_up.total,
        )  # fmt: skip
    if not pick_up.hill_extra:
        return words.say("border end plain", where=where, stitch=stitch, total=pick_up.total)
    return words.say(
        "border end wave", where=where, stitch=stitch, hill=pick_up.hill_extra + 1,
        n=pick_up.valley_skip, total=pick_up.total,
    )  # fmt: skip
