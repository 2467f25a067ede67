"""Strain: none in plain cloth, most at the turns of a wave, the same whichever way it is asked."""

import math

import numpy as np
import pytest

from core.fabric.sheet import settle_fabric
from core.fabric.steady import steady_of
from core.fabric.strain import fabric_strain, stitch_strain, wave_strain
from core.fabric.strain_map import StrainCells, rows_in_view, strain_cells
from core.rows.build import build_rows

WAVES = ["two_row_ripple", "steep_wave", "sharp_wave"]


def strain_of(design):
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    return rows, fabric, fabric_strain(fabric, rows)


def test_plain_cloth_is_not_strained(plain_cloth):
    _, _, found = strain_of(plain_cloth)
    assert np.abs(found.post).max() < 1e-6
    assert np.abs(found.course).max() < 1e-6
    assert np.abs(found.of_stitch).max() < 1e-6


def test_every_leg_has_its_strain(two_row_ripple):
    rows, _, found = strain_of(two_row_ripple)
    counts = [0, *(len(rows.plan(row).links) for row in range(1, rows.drawn_rows + 1))]
    assert np.diff(found.post_starts).tolist() == counts
    assert len(found.post) == sum(counts)


@pytest.mark.parametrize("wave", [*WAVES, "lacy_wave", "ridged_ripple", "level_start"])
def test_strain_is_length_over_rest_measured_post_by_post(wave, request):
    design = request.getfixturevalue(wave)
    rows, fabric, found = strain_of(design)
    at = 0
    for row in range(1, rows.drawn_rows + 1):
        kinds = rows.in_fabric_order(row, rows.plan(row).kind)
        tops, below = fabric.row_tops_mm(row), fabric.row_tops_mm(row - 1)
        for child, parent in rows.fabric_links(row).tolist():
            length = math.dist(tops[child], below[parent])
            rest = fabric.size.heights_mm[int(kinds[child])]
            assert found.post[at] == pytest.approx(length / rest - 1)
            at += 1
        for number in range(len(tops) - 1):
            length = math.dist(tops[number], tops[number + 1])
            wanted = length / fabric.size.width_mm - 1
            assert found.course[fabric.starts[row] + number] == pytest.approx(wanted)
        assert found.course[fabric.starts[row + 1] - 1] == 0
    assert at == len(found.post)
    both = [*found.post, *found.course]
    assert found.span == (min(both), max(both))


@pytest.mark.parametrize("wave", WAVES)
def test_posts_at_the_turns_are_stretched_most(wave, request, sized):
    design = sized(request.getfixturevalue(wave), repeats=6, rows=20)
    rows, _, found = strain_of(design)
    links = rows.fabric_links(10)
    mine = found.post[found.post_starts[10] : found.post_starts[11]]
    alone = np.bincount(links[:, 0])[links[:, 0]] * np.bincount(links[:, 1])[links[:, 1]] == 1
    assert mine[~alone].max() > mine[alone].max()
    assert mine.max() > 0.02


@pytest.mark.parametrize("wave", WAVES)
def test_the_middle_of_a_blanket_is_strained_like_its_steady_state(wave, request, sized):
    design = sized(request.getfixturevalue(wave), repeats=9, rows=40)
    _, fabric, found = strain_of(design)
    steady = wave_strain(steady_of(design))
    inner = slice(int(found.post_starts[20]), int(found.post_starts[22]))
    x = fabric.tops_mm[found.top[inner], 0]
    left, _, right, _ = fabric.bounds_mm()
    middle = found.post[inner][np.abs(x - 0.5 * (left + right)) < 0.1 * (right - left)]
    assert middle.max() == pytest.approx(steady.post_most, abs=0.01)
    assert middle.min() == pytest.approx(steady.post_least, abs=0.01)


def test_a_stitch_tells_its_posts_and_the_row_beside_it(sharp_wave):
    rows, fabric, found = strain_of(sharp_wave)
    for row, stitch in ((0, 0), (3, 0), (3, 7), (5, rows.makes(5) - 1)):
        told = stitch_strain(found, fabric, row, stitch)
        number = int(fabric.starts[row]) + stitch
        mine = found.post[found.top == number]
        assert (told.post is None) == (row == 0)
        if told.post is not None:
            assert abs(told.post) == np.abs(mine).max()
        sides = [n for n in (stitch - 1, stitch) if 0 <= n < len(fabric.row_tops_mm(row)) - 1]
        wanted = np.mean([found.course[fabric.starts[row] + n] for n in sides])
        assert told.course == pytest.approx(wanted)


def test_a_stitch_shows_whatever_is_furthest_from_rest(two_row_ripple):
    _, fabric, found = strain_of(two_row_ripple)
    for number in range(0, len(fabric.tops_mm), 7):
        row = int(np.searchsorted(fabric.starts, number, side="right")) - 1
        near = list(found.post[found.top == number]) + [found.course[number]]
        if number > fabric.starts[row]:
            near.append(found.course[number - 1])
        assert found.of_stitch[number] == max(near, key=abs)


# --- averages -------------------------------------------------------------------------------


@pytest.fixture
def blanket(sharp_wave, sized):
    return strain_of(sized(sharp_wave, repeats=6, rows=30))


def test_cells_average_what_stands_in_them(blanket):
    _, fabric, found = blanket
    left, bottom, right, top = fabric.bounds_mm()
    whole = (left - 1, bottom - 50, right + 1, top + 1)
    one = strain_cells(fabric, found, whole, 10 * (right - left))
    assert np.nanmean(one.mean) == pytest.approx(found.of_stitch.mean(), abs=0.02)
    fine = strain_cells(fabric, found, whole, fabric.size.width_mm)
    assert np.nanmax(fine.mean) <= found.of_stitch.max() + 1e-12
    assert np.nanmin(fine.mean) >= found.of_stitch.min() - 1e-12
    assert np.nanmax(fine.mean) > 0.5 * found.of_stitch.max()


def test_cells_cover_the_fabric_and_leave_the_rest_empty(blanket):
    _, fabric, found = blanket
    left, bottom, right, top = fabric.bounds_mm()
    around = (left - 60, bottom - 60, right + 60, top + 60)
    cells = strain_cells(fabric, found, around, fabric.size.width_mm)
    down, across = np.nonzero(~np.isnan(cells.mean))
    x = cells.left_mm + (across + 0.5) * cells.cell_mm
    assert x.min() > left - cells.cell_mm
    assert x.max() < right + cells.cell_mm
    inner = cells.mean[down.min() + 6 : down.max() - 6, across.min() + 2 : across.max() - 2]
    assert np.isnan(inner).mean() < 0.01


def test_cells_stay_where_they_are_when_the_window_moves(blanket):
    _, fabric, found = blanket
    left, bottom, right, top = fabric.bounds_mm()
    one = strain_cells(fabric, found, (left, bottom, right, top), 9.0)
    other = strain_cells(fabric, found, (left + 20.0, bottom, right, top), 9.0)
    skipped = round((other.left_mm - one.left_mm) / 9.0)
    assert skipped == 2
    assert np.array_equal(one.mean[:, skipped:], other.mean, equal_nan=True)


def test_a_window_beside_the_fabric_is_empty(blanket):
    _, fabric, found = blanket
    cells = strain_cells(fabric, found, (0.0, 1e4, 100.0, 1.01e4), 10.0)
    assert np.isnan(cells.mean).all()
    assert rows_in_view(fabric, 1e4, 1.01e4) == (1, 0)


def test_one_sign_stands_for_a_block_on_its_most_strained_column():
    mean = np.zeros((4, 8))
    mean[:, 1], mean[:, 6] = 0.2, -0.3
    strain, at = StrainCells(mean, 0.0, 0.0, 10.0).strongest(4)
    assert strain.tolist() == pytest.approx([0.2, -0.3])
    assert at.tolist() == [[15.0, -20.0], [65.0, -20.0]]


def test_of_two_signs_that_would_touch_the_stronger_stays():
    mean = np.zeros((4, 8))
    mean[:, 3], mean[:, 4] = 0.2, 0.3
    strain, at = StrainCells(mean, 0.0, 0.0, 10.0).strongest(4)
    assert strain.tolist() == pytest.approx([0.3])
    assert at.tolist() == [[45.0, -20.0]]
