"""Bands as pixels: the same as their outlines filled, and in the mean what finer pixels show."""

import numpy as np
import pytest

from core.chart.band_pixels import band_pixels
from core.chart.bands import bands_of
from core.design.document import Size
from core.fabric.sampling import lines_px
from core.fabric.sheet import settle_fabric, sketch_fabric
from core.fabric.view import View
from core.records import replace
from core.rows.build import build_rows
from core.stripes.sequence import yarn_of_rows

WAVES = ["two_row_ripple", "sc_ripple", "sharp_wave", "steep_wave", "lacy_wave"]
SIZE = Size(3, 14)
OPAQUE = 0xFF000000


class Piece:
    """A small blanket and a view of it that leaves some paper on every side."""

    def __init__(self, design, width_px=150):
        design = replace(design, size=SIZE)
        rows = build_rows(design)
        self.fabric = settle_fabric(design, rows)
        self.yarns = yarn_of_rows(design.stripes, rows.drawn_rows)
        left, bottom, right, top = self.fabric.bounds_mm()
        self.px_per_mm = width_px / (1.3 * (right - left))
        wide, high = right - left, top - bottom
        self.left, self.top, self.wide, self.high = left - 0.15 * wide, top + 0.2 * high, wide, high

    def view(self, times=1):
        scale = self.px_per_mm * times
        wide, high = (
            round(1.3 * self.wide * self.px_per_mm),
            round(1.4 * self.high * self.px_per_mm),
        )
        return View(self.left, self.top, scale, wide * times, high * times)

    def pixels(self, colours, times=1, **how):
        return band_pixels(self.fabric, self.yarns, colours, self.view(times), **how)


def inside(outline, x, y):
    """Return which points lie inside an outline: an odd number of its edges lies above them."""
    found = np.zeros(x.shape, dtype=bool)
    for (ax, ay), (bx, by) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        spans = (ax > x) != (bx > x)
        with np.errstate(divide="ignore", invalid="ignore"):
            found ^= spans & (y < ay + (x - ax) * (by - ay) / (bx - ax))
    return found


@pytest.mark.parametrize("name", WAVES)
def test_the_pixels_are_those_of_the_outlines_filled(request, name):
    piece = Piece(request.getfixturevalue(name))
    view = piece.view()
    colours = [OPAQUE + number for number in range(1, 9)]
    found = piece.pixels(colours)
    x = view.left_mm + (np.arange(view.width_px) + 0.5) / view.px_per_mm
    y = view.top_mm - (np.arange(view.height_px) + 0.5) / view.px_per_mm
    x, y = np.broadcast_arrays(x[None], y[:, None])
    wanted = np.zeros(found.shape, dtype=np.uint32)
    for band in bands_of(piece.fabric, piece.yarns):
        wanted[inside(band.outline_mm, x, y)] = colours[band.yarn]
    # The outermost half stitches: an outline goes on there as the row slopes, a line level.
    stitch = piece.fabric.size.width_mm
    left = piece.fabric.tops_mm[piece.fabric.starts[:-1], 0].max()
    right = piece.fabric.tops_mm[piece.fabric.starts[1:] - 1, 0].min()
    middle = (x > left) & (x < right)
    assert middle.mean() > 0.6
    assert (found != wanted)[middle].mean() < 2e-3  # where an edge runs through a pixel's middle
    beyond = (x < left - stitch) | (x > right + stitch)
    assert (found != wanted)[beyond].mean() < 5e-3
    assert len(np.unique(found)) == len(set(piece.yarns.tolist())) + 1


@pytest.mark.parametrize("name", WAVES)
def test_smooth_edges_are_the_mean_of_finer_pixels(request, name):
    piece, times = Piece(request.getfixturevalue(name)), 8
    greys = [OPAQUE + grey * 0x010101 for grey in (20, 220, 120, 70, 170, 250, 40, 90)]
    ground = OPAQUE + 0x5A5A5A

    def levels(pixels):
        return (pixels & 255).astype(float)

    fine = levels(piece.pixels(greys, times, outside=ground))
    shape = (fine.shape[0] // times, times, fine.shape[1] // times, times)
    mean = fine.reshape(shape).mean(axis=(1, 3))
    rough = np.abs(levels(piece.pixels(greys, outside=ground)) - mean)
    smooth = np.abs(levels(piece.pixels(greys, outside=ground, smooth=True)) - mean)
    rim = np.abs(mean - 90.0) < 1.0
    assert smooth[~rim].mean() < 0.45 * rough[~rim].mean()


def test_what_lies_beside_the_view_is_ground(two_row_ripple):
    piece = Piece(two_row_ripple)
    away = replace(piece.view(), top_mm=-1000.0)
    found = band_pixels(piece.fabric, piece.yarns, [OPAQUE] * 8, away, outside=7)
    assert (found == 7).all()
    aside = replace(piece.view(), left_mm=5000.0)
    found = band_pixels(piece.fabric, piece.yarns, [OPAQUE] * 8, aside, outside=7, smooth=True)
    assert (found == 7).all()


def test_a_piece_of_the_picture_is_that_part_of_the_whole(two_row_ripple):
    piece = Piece(two_row_ripple)
    colours = [OPAQUE + number for number in range(1, 9)]
    whole, view = piece.pixels(colours), piece.view()
    left, top = 31, 17
    part = View(
        view.left_mm + left / view.px_per_mm,
        view.top_mm - top / view.px_per_mm,
        view.px_per_mm,
        40,
        30,
    )
    found = band_pixels(piece.fabric, piece.yarns, colours, part)
    assert np.array_equal(found, whole[top : top + 30, left : left + 40])


@pytest.mark.parametrize("name", WAVES)
def test_a_sketchs_lines_are_sampled_as_those_of_any_fabric(request, name):
    """A sketch's rows are copies of a few: they are moved instead of sampled."""
    design = replace(request.getfixturevalue(name), size=SIZE)
    rows = build_rows(design)
    sketch = sketch_fabric(design, rows)
    view = View(-30.0, sketch.bounds_mm()[3] + 10.0, 1.3, 200, 160)
    wanted = np.arange(sketch.n_rows + 1)
    alike = replace(sketch, settled=True)  # nothing is known of its rows
    found = lines_px(sketch, wanted, view)
    assert np.allclose(found, lines_px(alike, wanted, view), atol=0.05)
    some = wanted[1::3]
    assert np.allclose(lines_px(sketch, some, view), found[some], atol=1e-3)
