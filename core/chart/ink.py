"""The ink of a chart: every straight piece of every symbol where it lies."""

import numpy as np
from numpy.typing import NDArray

from core.chart.symbols import NAMES, SYMBOLS, Floats, Stroke
from core.records import Struct
from core.rows.plan import Indices


class Ink(Struct, frozen=True, eq=False):
    """Straight pieces of symbols.

    Attributes:
        lines: Their ends, shape (n, 2 ends, 2 axes).
        symbol: Which placed symbol each belongs to, ascending, shape (n,).
        stem: Whether it is the stem from foot to top, shape (n,).
    """

    lines: Floats
    symbol: Indices
    stem: NDArray[np.bool_]


def ink_of(symbol: Indices, foot: Floats, top: Floats) -> Ink:
    """Return the ink of symbols from foot to top, solid shapes as their outlines.

    Args:
        symbol: Numbers of the symbols (`core.chart.symbols.NAMES`), shape (n,).
        foot: Where each foot stands, shape (n, 2), y up.
        top: Where each top stands, shape (n, 2).
    """
    way = top - foot
    right = np.stack([way[:, 1], -way[:, 0]], axis=1)
    lines, owners, stems = [np.empty((0, 2, 2))], [np.empty(0, np.intp)], [np.empty(0, np.bool_)]
    for number in np.unique(symbol).tolist():
        here = np.flatnonzero(symbol == number)
        drawing = _pieces(SYMBOLS[NAMES[number]].strokes)
        x, y = drawing[..., 0], drawing[..., 1]
        placed = (
            foot[here, np.newaxis, np.newaxis]
            + x[..., np.newaxis] * right[here, np.newaxis, np.newaxis]
            + y[..., np.newaxis] * way[here, np.newaxis, np.newaxis]
        )
        upright = (x == 0.0).all(axis=1)
        lines.append(placed.reshape(-1, 2, 2))
        owners.append(np.repeat(here, len(drawing)))
        stems.append(np.tile(upright, len(here)))
    owner = np.concatenate(owners)
    order = np.argsort(owner, kind="stable")
    return Ink(np.concatenate(lines)[order], owner[order], np.concatenate(stems)[order])


def _pieces(strokes: tuple[Stroke, ...]) -> Floats:
    """Return the straight pieces of a symbol's strokes, shape (pieces, 2 ends, 2 axes)."""
    found = [np.stack([stroke.points[:-1], stroke.points[1:]], axis=1) for stroke in strokes]
    pieces: Floats = np.concatenate(found)
    return pieces
