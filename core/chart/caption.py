"""What stands under a chart: what it shows, for which hand, in which terms; its scale."""

from typing import Final

from core.chart.piece import Extent, Part, extent_of
from core.chart.setting import Measure
from core.craft.units import MM_PER_IN
from core.design.document import Design, Hand
from core.words.vocabulary import Vocabulary

_CM: Final = (1, 2, 5, 10, 20, 50, 100)
_IN: Final = (0.5, 1, 2, 5, 10, 20, 50)
_STITCHES: Final = (2, 5, 10, 20, 50, 100)


def caption_of(design: Design, part: Part, *, hand: Hand, words: Vocabulary) -> str:
    """Return a line on the part, one on hand and terms, and where needed one on the quiet row."""
    extent = extent_of(design, part)
    first = extent.rows[0]
    lines = [
        words.say(
            "caption line", rows=_rows(extent, part, words), across=_across(extent, part, words)
        ),
        words.say(f"caption hand {hand}", terms=words.say("terms in short", terms=words.terms)),
    ]
    if first > 1:
        lines.append(words.say("caption quiet", below=first - 1, row=first))
    return "\n".join(lines)


def _rows(extent: Extent, part: Part, words: Vocabulary) -> str:
    first, last = extent.rows
    if part.shown == "extract":
        key = {1: "", 2: " and row 2", 3: " and rows 2 and 3"}.get(last, " and rows")
        return words.say(f"caption set-up{key}", last=last)
    if first == last:
        return words.say("caption row", first=first)
    return words.say("caption rows", first=first, last=last)


def _across(extent: Extent, part: Part, words: Vocabulary) -> str:
    if part.shown == "extract":
        return words.say("across extract")
    low, high = extent.repeats
    if extent.near_edge and extent.far_edge:
        return words.say("across edges")
    key = "across one" if low == high else "across some"
    across = words.say(key, low=low, high=high, all=extent.of_repeats)
    if extent.near_edge:
        return words.say("across and near edge", across=across)
    return words.say("across and far edge", across=across) if extent.far_edge else across


def scales_of(design: Design, words: Vocabulary, *, straight: bool) -> tuple[Measure, ...]:
    """Return bars that can show a chart's scale, from the shortest.

    They measure the fabric as it is worked, before washing. A straight grid has no true scale
    along the rows of a wave, so its bar counts stitches.
    """
    if straight:
        width = design.gauge.stitch_width_mm
        return tuple((n * width, words.say("scale of the grid", n=n)) for n in _STITCHES)
    if design.units == "in" and words.has_inches:
        return tuple((n * MM_PER_IN, _scale("inches", n, words)) for n in _IN)
    return tuple((10.0 * n, _scale("centimetres", n, words)) for n in _CM)


def _scale(unit: str, n: float, words: Vocabulary) -> str:
    return words.say("scale", length=words.say(unit, n=words.number(n)))
