"""The picture of the fabric: every pixel in its row, ridges on the face where they show."""

import numpy as np
import pytest
from msgspec.structs import replace

from core.design.document import Loops, Size
from core.fabric.relief import View, relief_of
from core.fabric.sheet import settle_fabric
from core.rows.build import build_rows
from core.stripes.loops import design_loops


def settled(design):
    rows = build_rows(design)
    return rows, settle_fabric(design, rows)


def whole(fabric, width_px=300):
    low, high = fabric.tops_mm.min(axis=0) - 10, fabric.tops_mm.max(axis=0) + 10
    scale = width_px / (high[0] - low[0])
    return View(low[0], high[1], scale, width_px, round(scale * (high[1] - low[1])))


def test_every_pixel_lies_in_the_row_that_crosses_it(two_row_ripple):
    design = replace(two_row_ripple, size=Size(4, 12))
    rows, fabric = settled(design)
    view = whole(fabric)
    relief = relief_of(fabric, rows, design_loops(design), view)
    rng = np.random.default_rng(7)
    for _ in range(400):
        px, py = rng.integers(0, view.width_px), rng.integers(0, view.height_px)
        x = view.left_mm + (px + 0.5) / view.px_per_mm
        y = view.top_mm - (py + 0.5) / view.px_per_mm
        # An independent look: how many of the rows' lines run below the point?
        lines = [np.interp(x, *fabric.row_tops_mm(row).T) for row in range(13)]
        below = sum(line < y for line in lines)
        near = min(abs(line - y) for line in lines) * view.px_per_mm < 1.0
        edges = fabric.row_tops_mm(min(max(below, 0), 12))[[0, -1], 0]
        inside = 1 <= below <= 12 and edges[0] - 2 < x < edges[1] + 2
        at_side = min(abs(x - edges)) < 8
        if not near and not at_side:
            assert relief.row[py, px] == (below if inside else 0)


def test_the_picture_of_a_part_is_part_of_the_picture(two_row_ripple):
    rows, fabric = settled(two_row_ripple)
    view = whole(fabric)
    all_of_it = relief_of(fabric, rows, design_loops(two_row_ripple), view)
    part = View(
        view.left_mm + 60 / view.px_per_mm,
        view.top_mm - 40 / view.px_per_mm,
        view.px_per_mm,
        90,
        70,
    )
    piece = relief_of(fabric, rows, design_loops(two_row_ripple), part)
    cut = np.s_[40:110, 60:150]
    assert (piece.row == all_of_it.row[cut]).mean() > 0.995
    assert np.abs(piece.shade.astype(int) - all_of_it.shade[cut]).mean() < 1.0


@pytest.mark.parametrize(("loops", "light"), [("back", 1), ("front", 0)])
def test_in_one_loop_one_row_stands_out_and_the_next_falls_back(two_row_ripple, loops, light):
    # Common practice: two rows a colour in the back loops, one stands out, the next falls back.
    design = replace(two_row_ripple, size=Size(4, 12), loops=Loops(loops))
    rows, fabric = settled(design)
    relief = relief_of(fabric, rows, design_loops(design), whole(fabric, 500))
    mean = {row: relief.shade[relief.row == row].mean() for row in range(3, 11)}
    for row in range(3, 10):
        brighter = mean[row] > mean[row + 1]
        assert brighter == (row % 2 == light)


def test_in_both_loops_rows_lie_alike(two_row_ripple):
    design = replace(two_row_ripple, size=Size(4, 12), loops=Loops("both"))
    rows, fabric = settled(design)
    relief = relief_of(fabric, rows, design_loops(design), whole(fabric, 500))
    mean = [relief.shade[relief.row == row].mean() for row in range(3, 11)]
    assert np.ptp(mean) < 4


def test_nothing_is_seen_where_there_is_nothing(two_row_ripple):
    rows, fabric = settled(two_row_ripple)
    away = View(10_000, 10_000, 1.0, 50, 40)
    assert not relief_of(fabric, rows, design_loops(two_row_ripple), away).row.any()
