"""The fold of rows worked in one loop: a drawing, so only what the trade says of it is checked."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.design.document import Loops, Size
from core.fabric.fold import DEPTH, fold_of
from core.fabric.light import HIGHEST, LOWEST, Light
from core.fabric.sheet import settle_fabric
from core.fabric.side import side_rows
from core.rows.build import build_rows
from core.stripes.loops import design_loops

loop_lists = st.lists(st.sampled_from(["both", "back", "front"]), min_size=1, max_size=20)


def test_rows_in_back_loops_fold_like_a_fan():
    # Common practice, and crochetbug.com: joints stand out on alternate faces.
    fold = fold_of(["both", *["back"] * 9])
    assert np.sign(fold.joint[1:-1]).tolist() == [-1, 1] * 4 + [-1]
    slope = fold.slope(np.full(11, 1.0))
    assert (slope[3:-1] * slope[2:-2] < 0).all()


def test_a_joint_stands_out_where_its_loop_is_left_unworked():
    fold = fold_of(["both", "back", "back", "front", "front"])
    for row in range(2, 6):
        assert np.sign(fold.joint[row - 1]) == fold.faces_out[row] != 0


def test_one_row_of_two_stands_out_and_the_other_falls_back():
    standing = fold_of(["both", *["back"] * 11]).standing
    assert (standing[3:-1:2] < 0).all()
    assert (standing[4:-1:2] > 0).all()


def test_ridges_on_one_face_leave_the_other_flat():
    # BRC0202-003788M: back loops and both loops by turns put all ridges on one face.
    fold = fold_of(["both", "both", *["back", "both"] * 5])
    assert fold.joint.min() == 0
    assert fold.joint.max() == DEPTH


@given(loop_lists)
def test_a_fold_is_never_deeper_than_its_depth(loops):
    fold = fold_of(["both", *loops[1:]])
    assert np.abs(fold.joint).max() <= DEPTH
    assert fold.joint[-1] == 0  # nothing is worked into the last row


@given(loop_lists, st.floats(0.5, 3))
def test_taller_rows_fold_less(loops, height):
    fold = fold_of(loops)
    low, high = (np.abs(fold.slope(np.full(len(loops) + 1, h))) for h in (height, 2 * height))
    assert np.allclose(low, 2 * high)


def test_rows_in_both_loops_lie_flat():
    fold = fold_of(["both"] * 8)
    assert not fold.joint.any()
    assert not fold.slope(np.ones(9)).any()


def test_front_loops_lie_flatter_than_back_loops():
    # Common practice: front-loop rows lie flat.
    front, back = (fold_of(["both", *[loop] * 7]) for loop in ("front", "back"))
    assert np.abs(front.joint[1:-1]).max() < 0.5 * np.abs(back.joint[1:-1]).max()


@pytest.mark.parametrize("loops", [Loops("back"), Loops(), Loops(in_turn=("back", "both"))])
def test_from_the_side_rows_stand_on_each_other_from_the_chain_to_the_free_last_row(
    two_row_ripple, loops
):
    design = replace(two_row_ripple, loops=loops, size=Size(3, 10))
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    sides = side_rows(fabric, design_loops(design))
    assert [side.row for side in sides] == list(range(11))
    for below, side in itertools.pairwise(sides):
        assert side.foot[1] == below.top[1] < side.top[1]
    last, chain = sides[-1], sides[0]
    assert not last.worked_front
    assert not last.worked_back
    assert chain.worked_front
    assert chain.worked_back
    for side, loop in zip(sides[:-1], design_loops(design), strict=True):
        assert side.worked_front + side.worked_back == (2 if loop == "both" else 1)


@given(st.floats(0, 360), st.floats(LOWEST, HIGHEST))
def test_the_lamps_way_has_length_one_and_left_mirrors_right(azimuth, height):
    right, up, near = Light(azimuth, height).direction
    assert np.isclose(right**2 + up**2 + near**2, 1)
    mirrored = Light(-azimuth, height).direction
    assert np.allclose(mirrored, (-right, up, near))


@given(st.floats(-500, 500), st.floats(-500, 500))
def test_the_lamp_stays_above_the_fabric(round_it, higher):
    light = Light().turned(round_it, higher)
    assert LOWEST <= light.elevation_deg <= HIGHEST
    assert 0 <= light.azimuth_deg <= 360
