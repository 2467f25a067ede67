"""Strands in the picture: every stitch is seen where the fabric has it, holes are holes."""

import numpy as np
import pytest
from msgspec.structs import replace

from core.craft.stitches import CHAIN, NUMBER
from core.design.document import Loops, Size
from core.fabric import surface as surface_module
from core.fabric.light import Light
from core.fabric.relief import Scene, View, relief_of
from core.fabric.row_lines import Links
from core.fabric.sheet import settle_fabric
from core.fabric.strands import TOPS, level_of, post_tile, top_tile
from core.rows.build import build_rows
from core.rows.plan import CHILD, PARENT
from core.stripes.loops import design_loops

DESIGNS = ["two_row_ripple", "sc_ripple", "sharp_wave", "steep_wave", "lacy_wave", "ridged_ripple"]


class Shot:
    """A picture of the middle of a small blanket, its stitches so many pixels wide."""

    def __init__(self, design, stitch_px, light=None, width_px=420, height_px=300):
        self.design = replace(design, size=Size(3, 10))
        self.rows = build_rows(self.design)
        self.fabric = settle_fabric(self.design, self.rows)
        scale = stitch_px / self.fabric.size.width_mm
        middle = 0.5 * (self.fabric.tops_mm.min(axis=0) + self.fabric.tops_mm.max(axis=0))
        left = middle[0] - 0.5 * width_px / scale
        top = middle[1] + 0.5 * height_px / scale
        self.view = View(left, top, scale, width_px, height_px)
        self.relief = relief_of(
            self.fabric, self.rows, design_loops(self.design), self.view, light=light or Light()
        )

    def pixel(self, place_mm):
        """Return row and column of the pixel at a place, None outside the picture."""
        view = self.view
        x = (place_mm[0] - view.left_mm) * view.px_per_mm
        y = (view.top_mm - place_mm[1]) * view.px_per_mm
        inside = 2 <= x < view.width_px - 2 and 2 <= y < view.height_px - 2
        return (int(y), int(x)) if inside else None

    def posts(self):
        """Return row, foot and top of every post."""
        for row in range(1, self.fabric.n_rows + 1):
            below, tops = self.fabric.row_tops_mm(row - 1), self.fabric.row_tops_mm(row)
            for link in self.rows.fabric_links(row):
                yield row, below[link[PARENT]], tops[link[CHILD]]


@pytest.mark.parametrize("name", DESIGNS)
@pytest.mark.parametrize("stitch_px", [8.0, 30.0])
def test_every_post_and_every_top_in_sight_is_there_in_its_own_row(request, name, stitch_px):
    shot = Shot(request.getfixturevalue(name), stitch_px)
    seen = 0
    for row, foot, top in shot.posts():
        if at := shot.pixel(0.5 * (foot + top)):
            assert shot.relief.row[at] == row
            assert shot.relief.cover[at] > 200
            seen += 1
        if at := shot.pixel(top):
            around = np.s_[at[0] - 1 : at[0] + 2, at[1] - 1 : at[1] + 2]
            assert (shot.relief.top_row[around] == row).any()
            assert shot.relief.top_cover[around].max() > 100
    assert seen > 10


def test_a_chain_space_is_a_hole(lacy_wave):
    shot = Shot(replace(lacy_wave, loops=Loops()), 40.0, width_px=1100, height_px=600)
    holes = 0
    for row in range(1, shot.fabric.n_rows + 1):
        kinds = np.asarray(shot.rows.in_fabric_order(row, shot.rows.plan(row).kind))
        for chain in np.flatnonzero(kinds == NUMBER[CHAIN]):
            top = shot.fabric.row_tops_mm(row)[chain]
            w = shot.fabric.size.width_mm
            places = [top - (0, share * w) for share in np.linspace(0.3, 0.8, 11)]
            pixels = [shot.pixel(place) for place in places]
            if all(pixels):
                clear = [
                    shot.relief.cover[at] == 0 and shot.relief.top_cover[at] == 0 for at in pixels
                ]
                assert any(clear)
                holes += 1
    assert holes >= 3


def test_plain_cloth_has_no_holes(plain_cloth):
    shot = Shot(replace(plain_cloth, loops=Loops()), 30.0, width_px=200, height_px=200)
    seen = np.maximum(shot.relief.cover, shot.relief.top_cover)
    assert seen.min() > 120  # the slits between posts let some ground through
    assert (shot.relief.row > 0).all()


def test_the_nearest_post_is_found(steep_wave):
    # Looked for by hand: every pixel's distance to every post of its row, along the pixel's line.
    shot = Shot(steep_wave, 24.0, width_px=160, height_px=160)
    scene = Scene(shot.fabric, shot.rows, design_loops(shot.design), shot.view)
    surface = scene.surface()
    rng = np.random.default_rng(3)
    lines = scene.lines
    wrong = 0
    for _ in range(300):
        y, x = rng.integers(0, 160, 2)
        line = int(surface._number[y, x])
        row = scene.first - 1 + line
        if not 1 <= row <= scene.last:
            continue
        low, high = lines.y[line - 1, x], lines.y[line, x]
        up = np.clip((low - y - 0.5) / (low - high), 0, 1)
        bent = up - surface_module._CURVE * np.sin(2 * np.pi * up)
        links = shot.rows.fabric_links(row)
        feet, tops = shot.fabric.row_tops_mm(row - 1), shot.fabric.row_tops_mm(row)
        px = lambda mm: (mm - shot.view.left_mm) * shot.view.px_per_mm  # noqa: E731
        at = px(feet[links[:, PARENT], 0]) * (1 - bent) + px(tops[links[:, CHILD], 0]) * bent
        nearest = np.abs(at - x - 0.5).min()
        way = scene.posts.way[surface._post[y, x]]
        found = abs(x + 0.5 - (way.real + bent * way.imag))
        wrong += found > nearest + 0.05
    assert wrong <= 3


def test_a_fan_of_increases_leaves_one_foot_and_a_decrease_meets_in_one_top(steep_wave):
    design = replace(steep_wave, size=Size(3, 10))
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    view = View(-10.0, 400.0, 2.0, 600, 800)
    posts = Scene(fabric, rows, design_loops(design), view).posts
    near = np.abs(posts.way) < 1e6
    foot, top = posts.way.real[near], (posts.way.real + posts.way.imag)[near]
    same_foot, same_top = np.diff(foot) == 0, np.diff(top) == 0
    assert same_foot.any()
    assert same_top.any()
    assert not (same_foot & same_top).any()


def test_bands_are_pieces_of_the_whole(two_row_ripple):
    shot = Shot(two_row_ripple, 20.0)
    scene = Scene(shot.fabric, shot.rows, design_loops(shot.design), shot.view)
    for top, bottom in ((0, 90), (90, 91), (91, 300)):
        band = scene.surface(top, bottom).lit(Light())
        assert (band.row == shot.relief.row[top:bottom]).all()
        assert (band.shade == shot.relief.shade[top:bottom]).all()
        assert (band.top_shade == shot.relief.top_shade[top:bottom]).all()


def test_light_from_the_left_and_from_the_right_mirror_each_other(two_row_ripple):
    # The blanket is its own mirror image but for strands' twist and the loops' way.
    plain = replace(two_row_ripple, loops=Loops())
    left, right = Shot(plain, 16.0, Light(300.0)), Shot(plain, 16.0, Light(60.0))
    thirds = [np.s_[100:200, a : a + 84] for a in (0, 84, 168, 252, 336)]
    of_left = [left.relief.shade[part].mean() for part in thirds]
    of_right = [right.relief.shade[part].mean() for part in thirds[::-1]]
    assert np.allclose(of_left, of_right, rtol=0.06)
    assert np.abs(left.relief.shade.astype(float) - right.relief.shade).mean() > 4


def test_a_lamp_at_the_top_lights_the_rows_that_lean_back_and_one_below_the_others(two_row_ripple):
    means = {}
    for azimuth in (0.0, 180.0):
        relief = Shot(two_row_ripple, 16.0, Light(azimuth, 40.0)).relief
        means[azimuth] = [relief.shade[relief.row == row].mean() for row in (4, 5, 6, 7)]
    above, below = np.array(means[0.0]), np.array(means[180.0])
    assert (above[1::2] > above[::2]).all()
    assert (below[1::2] < below[::2]).all()


@pytest.mark.parametrize("front", [True, False])
@pytest.mark.parametrize("stitch", ["sl st", "sc", "hdc", "dc", "tr", "dtr", "ch"])
def test_every_stitch_has_a_post_of_yarn(stitch, front):
    tile = post_tile(stitch, 1.5, 16.0, front=front)
    middle = tile.cover.shape[1] // 2
    assert tile.cover[:, middle].min() > 0.95
    assert tile.cover[:, [0, -1]].max() < 0.05
    assert 0.3 < (tile.facing * tile.cover).sum() / tile.cover.sum() < 0.95


def test_a_taller_stitch_shows_one_wrap_more_for_each_yarn_over():
    # From memory: none in sc, one in dc, two in tr, three in dtr. A wrap lies over both strands
    # of the post, so between these the surface faces the eye only where a wrap crosses.
    def wraps(stitch):
        tile = post_tile(stitch, 3.0, 45.0, front=True)
        middle, foot = tile.cover.shape[1] // 2, tile.cover.shape[0] // 8
        facing = tile.facing[foot:, middle - 1 : middle + 2].mean(axis=1)
        return int((np.diff((facing > 0.8).astype(int)) == 1).sum())

    assert [wraps(stitch) for stitch in ("dc", "tr", "dtr")] == [1, 2, 3]


@pytest.mark.parametrize("top", TOPS)
def test_a_chain_goes_round(top):
    tile = top_tile(top, 32.0)
    step = np.abs(tile.facing[:, 0] - tile.facing[:, -1]) * tile.cover[:, 0]
    usual = np.abs(np.diff(tile.facing, axis=1)).max(axis=1) * tile.cover.max(axis=1)
    assert (step <= usual + 0.1).all()


def test_tiles_are_made_for_few_sizes():
    levels = {level_of(px) for px in np.geomspace(1, 256, 500)}
    assert len(levels) <= 34
    for px in (1.0, 3.3, 17.0, 100.0):
        assert px <= level_of(px) * 1.000001 < px * 1.2
    assert {level_of(px, rough=True) for px in np.geomspace(1, 200, 99)} == {1, 2, 4, 8, 16, 32}


def test_a_rough_scene_knows_as_many_tiles_as_kinds_of_post(ridged_ripple):
    design = replace(ridged_ripple, size=Size(2, 8))
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    view = View(0.0, 100.0, 3.0, 200, 200)
    scene = Scene(fabric, rows, design_loops(design), view, rough=True)
    size = scene.posts.n_up * scene.posts.n_across
    assert not scene.posts.atlas[:size].any()  # nobody's, beside the rows' ends
    assert len(scene.posts.atlas) == 3 * size  # dc rows show their front, sc rows their back


def test_a_turning_chain_that_counts_stands_at_the_start_of_its_row(two_row_ripple):
    design = replace(two_row_ripple, size=Size(2, 8))
    rows = build_rows(design)
    counting, plain = Links(rows, turning_counts=True), Links(rows)
    for row in (1, 2):
        (_, _, with_chain), (_, _, without) = counting.of(row), plain.of(row)
        # Row 1 runs to the left for a right hand (dmc.com), so it starts at the right edge.
        start = -1 if row == 1 else 0
        assert with_chain[start] == NUMBER[CHAIN] != without[start]
        assert (with_chain != without).sum() == 1
