"""The corner where row 1 begins, close up: side edge, foundation and the first rows.

Ripple faults live at the edges, so makers want to see how one looks when it is right.
"""

from typing import Final

import numpy as np

from core.booklet.nodes import Picture
from core.edging.bands import extent_mm, fill_bands, rim_of
from core.pipeline import Results
from core.words.vocabulary import Vocabulary

_STITCHES: Final = 26.0  # width of what is shown, in stitches
_PROPORTION: Final = 0.6  # its height over its width
_AROUND: Final = 1.2  # ground left free beside the edge and under the foundation, in stitches

Part = tuple[float, float, float, float]


def closeup_mm(results: Results) -> Part:
    """Return what is shown: left, bottom, right and top on the fabric."""
    fabric = results.fabric
    bands = fill_bands(results.design, results.ends)
    rim = rim_of(fabric, results.ends, results.border)
    left, bottom, right, top = extent_mm(fabric, bands, rim)
    stitch = fabric.size.width_mm
    wide = min(_STITCHES * stitch, right - left + 2 * _AROUND * stitch)
    high = min(_PROPORTION * wide, top - bottom + 2 * _AROUND * stitch)
    around = _AROUND * stitch
    low = bottom - around
    if results.rows.runs_left(1):
        return right + around - wide, low, right + around, low + high
    return left - around, low, left - around + wide, low + high


def closeup_picture(results: Results, words: Vocabulary) -> Picture | None:
    """Return the close-up in words, None where the rows don't fit."""
    if results.rows.misfit is not None or results.fabric.n_rows < 1:
        return None
    side = "right" if results.rows.runs_left(1) else "left"
    _, low, _, high = closeup_mm(results)
    fabric = results.fabric
    rows = [
        row
        for row in range(1, fabric.n_rows + 1)
        if low <= float(fabric.row_tops_mm(row)[-1 if side == "right" else 0, 1]) <= high
    ]
    high_text = words.say("counted rows", n=len(rows))
    told = [
        words.say(f"closeup {side}", rows=high_text),
        f"{words.say('closeup begins')} {_edge_told(results, side, words)}".strip(),
    ]
    alt = words.say(f"closeup alt {side}", rows=high_text)
    return Picture("closeup", words.say(f"closeup caption {side}"), alt, tuple(told))


def _edge_told(results: Results, side: str, words: Vocabulary) -> str:
    """Return how far the side edge strays from a straight line, over the whole length."""
    fabric = results.fabric
    ends = np.array(
        [
            fabric.row_tops_mm(row)[-1 if side == "right" else 0]
            for row in range(1, fabric.n_rows + 1)
        ]
    )
    if len(ends) < 3:
        return ""
    line = np.polyval(np.polyfit(ends[:, 1], ends[:, 0], 1), ends[:, 1])
    stray = float(np.abs(ends[:, 0] - line).max())
    if stray < 0.5:
        return words.say("closeup straight")
    length = words.say("millimetres", n=str(max(round(stray), 1)))
    return words.say("closeup strays", length=length)
