"""The solver's parts against plain linear algebra, and whole sheets against scipy's optimiser."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from core.design import edits
from core.design.document import Row, Wave
from core.errors import Stopped
from core.fabric.case import case_of, whole_levels
from core.fabric.elastic import give_way, stiffness_of
from core.fabric.energy import (
    Frame,
    cell_areas_mm2,
    energy,
    pull_and_stiffness,
    slope,
    spring_vectors_mm,
    walls,
)
from core.fabric.gradients import conjugate_gradients
from core.fabric.inverse import positive_inverse
from core.fabric.net import SpringBook, build_net
from core.fabric.rowblocks import RowBlocks
from core.fabric.sheet import settle_exactly, settle_fabric, sketch_fabric
from core.fabric.springs import proportions_of
from core.rows.build import build_rows
from core.rows.waves import FAMILIES, family_wave, shape_of, wave_of, with_edge_at


def positive(size, seed):
    """Return a symmetric positive matrix that is far from the identity."""
    spread = np.random.default_rng(seed).normal(size=(size, size))
    return spread @ spread.T + 0.1 * size * np.eye(size)


def net_and_rows(design, rows):
    """Return a whole sheet's net and the row of each of its nodes."""
    levels = whole_levels(rows)
    net = build_net(SpringBook(rows, proportions_of(design.gauge)), levels, None, periodic=False)
    return net, np.repeat(np.arange(len(levels)), [level.width for level in levels])


def dense(net, stiffness, free):
    """Return the whole curvature over the free nodes, entry by entry."""
    matrix = np.zeros((net.n_nodes, 2, net.n_nodes, 2))
    for (a, b), block in zip(net.ends, stiffness, strict=True):
        matrix[a, :, a] += block
        matrix[b, :, b] += block
        matrix[a, :, b] -= block
        matrix[b, :, a] -= block
    return matrix[free][:, :, free].reshape(2 * free.sum(), -1)


# --- linear algebra ----------------------------------------------------------------------


@given(st.integers(1, 300), st.integers(0, 5))
def test_the_inverse_of_a_positive_matrix_is_its_inverse(size, seed):
    matrix = positive(size, seed)
    found = positive_inverse(matrix.astype(np.float32))
    assert np.abs(found @ matrix - np.eye(size)).max() < 1e-3


@given(st.integers(2, 200), st.integers(0, 5))
def test_a_matrix_that_is_not_positive_has_no_positive_inverse(size, seed):
    matrix = positive(size, seed)
    matrix[size // 2, size // 2] = -1.0
    assert positive_inverse(matrix.astype(np.float32)) is None


def test_conjugate_gradients_solve_what_the_library_solves():
    matrix, right = positive(40, 1), np.random.default_rng(2).normal(size=40)
    nearly = np.diag(1.0 / np.diag(matrix))
    found = conjugate_gradients(
        lambda way: matrix @ way, lambda left: nearly @ left, right, close=1e-9
    )
    assert found.close
    assert found.downhill == pytest.approx(np.linalg.solve(matrix, right), rel=1e-6, abs=1e-9)


def test_conjugate_gradients_never_lead_uphill():
    matrix = np.diag([3.0, 2.0, 1.0, -1.0])
    right = np.array([1.0, 1.0, 1.0, 0.2])
    found = conjugate_gradients(lambda way: matrix @ way, lambda left: left, right, close=1e-9)
    assert not found.close
    assert found.downhill is None or found.downhill @ right > 0
    worst = conjugate_gradients(lambda way: -way, lambda left: left, np.ones(3), close=1e-9)
    assert worst.downhill is None


@pytest.mark.parametrize("held", [0.0, 0.4])
def test_the_rows_inverse_undoes_the_curvature(two_row_ripple, held):
    design = edits.set_size(two_row_ripple, repeats=2, rows=7)
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    net, row_of = net_and_rows(design, rows)
    random = np.random.default_rng(3)
    free = random.random(net.n_nodes) >= held
    free[:2] = False  # without a hold the sheet could drift away
    vectors = spring_vectors_mm(net, fabric.tops_mm, Frame())
    _, stiffness = pull_and_stiffness(net, vectors, exact=False)
    blocks = RowBlocks(net, row_of, free)
    flat = walls(net, fabric.tops_mm, Frame())
    inverse = blocks.inverse(stiffness, flat, period=2, look=lambda share: None)
    way = random.normal(size=(int(free.sum()), 2))
    back = dense(net, stiffness, free) @ inverse.times(way).ravel()
    assert back == pytest.approx(way.ravel(), abs=0.02 * np.abs(way).max())


def test_alike_rows_are_inverted_once(two_row_ripple):
    design = edits.set_size(two_row_ripple, repeats=3, rows=80)
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    net, row_of = net_and_rows(design, rows)
    vectors = spring_vectors_mm(net, fabric.tops_mm, Frame())
    _, stiffness = pull_and_stiffness(net, vectors, exact=True)
    blocks = RowBlocks(net, row_of, np.ones(net.n_nodes, dtype=bool))
    flat = walls(net, fabric.tops_mm, Frame())
    made = blocks.inverse(stiffness, flat, period=2, look=lambda share: None)
    assert made.used_again > 20


# --- slopes and curvatures ---------------------------------------------------------------


@pytest.mark.parametrize("flattened", [False, True])
def test_slope_and_curvature_are_those_of_the_energy(sharp_wave, flattened):
    design = edits.set_size(sharp_wave, repeats=1, rows=3)
    rows = build_rows(design)
    net, _ = net_and_rows(design, rows)
    tops = sketch_fabric(design, rows).tops_mm.copy()
    random = np.random.default_rng(5)
    tops += (3.0 if flattened else 0.3) * random.normal(size=tops.shape)
    found = walls(net, tops, Frame(), exact=True)
    assert bool(len(found.which)) is flattened
    way = random.normal(size=tops.shape)
    step = 1e-5
    ahead, behind = (energy(net, tops + sign * step * way, Frame()) for sign in (1, -1))
    here = slope(net, tops, Frame())
    assert float((here * way).sum()) == pytest.approx((ahead - behind) / (2 * step), rel=1e-6)
    _, stiffness = pull_and_stiffness(net, spring_vectors_mm(net, tops, Frame()), exact=True)
    change = (dense(net, stiffness, np.ones(len(tops), dtype=bool)) @ way.ravel()).reshape(-1, 2)
    corners = net.corners[found.which]
    bent = (found.stiffness @ way[corners].reshape(-1, 6, 1)).reshape(-1, 3, 2)
    np.add.at(change, corners, bent)
    slopes = [slope(net, tops + sign * step * way, Frame()) for sign in (1, -1)]
    assert change == pytest.approx((slopes[0] - slopes[1]) / (2 * step), abs=1e-4)


# --- the elastic sheet -------------------------------------------------------------------


def test_a_pulled_sheet_stretches_as_the_closed_form_says():
    # uniform tension s along the rows: stretch s / E, narrowing by Poisson's ratio
    stiffness = np.array([[2.0, 0.0, 0.5], [0.0, 0.7, 0.0], [0.5, 0.0, 3.0]])
    width, height, tension = 400.0, 250.0, 0.01
    y = np.linspace(0.0, height, 2001)
    share = np.full(len(y), tension * height / (len(y) - 1))
    share[[0, -1]] *= 0.5
    ends = np.concatenate([np.stack([np.full(len(y), x), y], axis=1) for x in (0.0, width)])
    pull = np.zeros_like(ends)
    pull[:, 0] = np.concatenate([-share, share])
    moved = give_way(stiffness, (width, height), ends, pull)
    compliance = np.linalg.inv(stiffness[np.ix_([0, 2], [0, 2])])
    stretch, narrowing = compliance[:, 0] * tension
    across = moved[len(y) :, 0] - moved[: len(y), 0]
    up = moved[len(y) - 1, 1] - moved[0, 1]
    assert across == pytest.approx(stretch * width, rel=0.015)
    assert up == pytest.approx(narrowing * height, rel=0.06)  # read off near a loaded corner


def test_forces_that_only_carry_a_sheet_away_do_not_move_it():
    stiffness = np.diag([2.0, 0.7, 3.0])
    where = np.array([[100.0, 100.0], [20.0, 30.0]])
    moved = give_way(stiffness, (200.0, 200.0), where, np.array([[1.0, 2.0], [0.0, 0.0]]))
    turned = give_way(stiffness, (200.0, 200.0), where, np.zeros((2, 2)))
    assert np.abs(turned).max() < 1e-12
    assert np.abs(moved).max() < 5.0  # it bends about the force; it doesn't fly off


def test_straight_rows_are_as_stiff_as_their_springs(row_of, design_of):
    # firmness 0 leaves courses and posts alone: w along the rows, h up them, shear free
    design = design_of(row_of("1", "6", "1"))
    design = edits.set_gauge(design, firmness=0.02)
    gauge = design.gauge
    w, h = gauge.stitch_width_mm, gauge.row_height_mm
    stiffness = stiffness_of(case_of(design).steady)
    diagonal = np.hypot(w, h)
    along = w / h + 2 * 0.02 * (w / diagonal) ** 2 * w / h
    assert stiffness is None or stiffness[0, 0] == pytest.approx(along, rel=0.02)


# --- whole sheets ------------------------------------------------------------------------


def swapping(rows_each, run, stitch="dc"):
    """Return a wave whose peaks and dips change places after some rows."""
    first = family_wave(FAMILIES[0], stitch, run)
    second = wave_of(with_edge_at(shape_of(first), "dip"))
    one = Row(first.start, first.repeat, first.end)
    other = Row(second.start, second.repeat, second.end)
    cycle = (one,) * rows_each + (other,) * rows_each
    return Wave(first.start, first.repeat, first.end, cycle=cycle)


@pytest.fixture
def drifting(design_of, row_of):
    """Return a design whose rows repeat only after 40 rows of 30 stitches: no steady state."""
    design = edits.set_wave(design_of(row_of("1", "6", "1")), swapping(20, 12))
    return edits.set_size(design, repeats=3, rows=52)


def lowest(net, tops):
    """Return the energy that scipy's L-BFGS-B comes down to."""

    def both(flat):
        here = flat.reshape(-1, 2)
        return energy(net, here, Frame()), slope(net, here, Frame()).ravel()

    options = {"maxiter": 50_000, "maxfun": 100_000, "ftol": 1e-15, "gtol": 1e-8}
    return minimize(both, tops.ravel(), jac=True, method="L-BFGS-B", options=options)


def test_rows_without_a_steady_state_come_to_rest_where_scipy_does(drifting):
    rows = build_rows(drifting)
    case = case_of(drifting)
    assert case.steady is None
    fabric = settle_exactly(drifting, rows, case=case)
    net, _ = net_and_rows(drifting, rows)
    assert np.abs(slope(net, fabric.tops_mm, Frame())).max() < 1e-4
    ours = energy(net, fabric.tops_mm, Frame())
    assert ours <= lowest(net, sketch_fabric(drifting, rows, case=case).tops_mm).fun * (1 + 1e-6)
    assert cell_areas_mm2(net, fabric.tops_mm, Frame()).min() > 0


def test_peaks_become_dips_where_a_wave_swaps_them(drifting):
    fabric = settle_fabric(drifting, build_rows(drifting))
    width = 30

    def bulge(row):
        """Return how far the middle of the middle repeat lies above its ends."""
        tops = fabric.row_tops_mm(row)
        left = len(tops) // 2 - width // 2
        y = tops[left : left + width, 1]
        return y[width // 2 - 2 : width // 2 + 3].mean() - 0.5 * (y[:3].mean() + y[-3:].mean())

    before, after = bulge(12), bulge(36)
    assert before * after < 0
    assert min(abs(before), abs(after)) > fabric.size.width_mm


def test_the_exact_fabric_lies_lower_than_the_strips(two_row_ripple):
    design = edits.set_size(two_row_ripple, repeats=9, rows=60)
    rows = build_rows(design)
    strips = settle_fabric(design, rows)
    exact = settle_exactly(design, rows, start=strips)
    net, _ = net_and_rows(design, rows)
    assert exact.exact and not strips.exact
    assert energy(net, exact.tops_mm, Frame()) < energy(net, strips.tops_mm, Frame())
    assert np.abs(slope(net, exact.tops_mm, Frame())).max() < 1e-6


def test_what_is_exact_already_is_handed_back(two_row_ripple):
    design = edits.set_size(two_row_ripple, repeats=2, rows=6)
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    assert fabric.exact
    assert settle_exactly(design, rows, start=fabric) is fabric


def test_exact_settling_tells_how_far_it_is_and_can_be_stopped(two_row_ripple):
    design = edits.set_size(two_row_ripple, repeats=8, rows=50)
    rows = build_rows(design)
    strips = settle_fabric(design, rows)
    told = []
    settle_exactly(design, rows, start=strips, progress=told.append)
    assert len(told) > 20
    assert told == sorted(told) and 0 <= told[0] < 0.1 and 0.5 < told[-1] <= 1
    asked = iter([False] * 10)
    with pytest.raises(Stopped):
        settle_exactly(design, rows, start=strips, should_stop=lambda: next(asked, None) is None)
