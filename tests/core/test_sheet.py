"""The whole blanket at rest: against a second program, and strips against the whole sheet."""

import math

import by_hand
import msgspec
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.craft.stitches import CATALOGUE, WORKED
from core.design.document import Item, Row
from core.errors import Stopped
from core.fabric.sheet import settle_exactly, settle_fabric, sketch_fabric
from core.fabric.springs import DEFAULT_FIRMNESS
from core.rows.build import build_rows

FAMILIES = {
    "12 stitches, doubled": ("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"),
    "11 stitches, skipping": ("I2", "4 K2 4 I3", "4 K2 4 I2"),
    "16 stitches, together": ("I2", "6 D3 6 I3", "6 D3 6 I2"),
}
EVERY_FAMILY = pytest.mark.parametrize("family", FAMILIES)
DC_AND_SC = pytest.mark.parametrize("stitch", ["dc", "sc"])


@pytest.fixture(scope="session")
def blanket(row_of, design_of):
    """Return a design and its rows: `blanket(family, stitch, repeats, rows)`."""

    def make(family, stitch, repeats, n_rows, **kw):
        row = FAMILIES.get(family, family)
        row = row if isinstance(row, Row) else row_of(*row, stitch)
        design = design_of(row, stitch=stitch, repeats=repeats, rows=n_rows, **kw)
        return design, build_rows(design)

    return make


def net_by_hand(design):
    """Return the springs of a design without chains, written down one by one."""
    in_turn = design.wave.rows_in_turn
    lead = [design.wave.setup] if design.wave.setup else []
    n = design.size.rows
    rows = (lead + [in_turn[i % len(in_turn)] for i in range(n)])[:n]
    gauge = design.gauge
    own = CATALOGUE[gauge.stitch].height_to_width
    heights = {key: gauge.row_height_mm * CATALOGUE[key].height_to_width / own for key in WORKED}
    firmness = DEFAULT_FIRMNESS if gauge.firmness is None else gauge.firmness
    stitches = by_hand.sheet_rows(rows, design.size.repeats, design.hand)
    return by_hand.sheet_net(stitches, gauge.stitch_width_mm, heights, firmness)


def energy_by_hand(design, fabric):
    return by_hand.energy_and_pull(net_by_hand(design), fabric.tops_mm)[0]


def off_in_widths(one, other):
    """Return how far two fabrics' tops lie apart, row by row, in stitch widths."""
    return [
        np.linalg.norm(one.row_tops_mm(row) - other.row_tops_mm(row), axis=1) / one.size.width_mm
        for row in range(one.n_rows + 1)
    ]


# --- straight rows -----------------------------------------------------------------------


@pytest.mark.parametrize(("repeats", "n_rows"), [(1, 1), (2, 8), (9, 50)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_straight_rows_lie_in_a_rectangle_grid(row_of, design_of, repeats, n_rows, hand):
    design = design_of(row_of("1", "6", "1"), repeats=repeats, rows=n_rows, hand=hand)
    rows = build_rows(design)
    w, h = 100 / 13, 100 / 7.5  # the gauge: 13 dc and 7.5 rows over 100 mm
    n = 6 * repeats + 2
    grid = np.array([[i * w, row * h] for row in range(n_rows + 1) for i in range(n)])
    for fabric in (settle_fabric(design, rows), sketch_fabric(design, rows)):
        assert np.abs(fabric.tops_mm - grid).max() < 1e-6
    assert energy_by_hand(design, settle_fabric(design, rows)) == pytest.approx(0, abs=1e-12)


def test_straight_rows_in_another_stitch_keep_its_proportions(row_of, design_of):
    # The gauge is in dc; sc rows are as wide and 0.90 / 1.65 as high (published swatches).
    design = design_of(row_of("1", "6", "1", "sc"), repeats=3, rows=10)
    fabric = settle_fabric(design, build_rows(design))
    assert fabric.row_tops_mm(10)[0, 1] == pytest.approx(10 * 100 / 7.5 * 0.90 / 1.65, rel=1e-6)


# --- a second program --------------------------------------------------------------------


@DC_AND_SC
@EVERY_FAMILY
@pytest.mark.parametrize(("repeats", "n_rows"), [(1, 4), (2, 6)])
def test_a_second_program_lays_a_small_sheet_alike(blanket, family, stitch, repeats, n_rows):
    # `by_hand` writes every spring down and lets L-BFGS find the lowest energy from a flat start.
    design, rows = blanket(family, stitch, repeats, n_rows)
    fabric = settle_fabric(design, rows)
    net = net_by_hand(design)
    gauge = design.gauge
    flat = np.array(
        [
            [(i - n / 2) * gauge.stitch_width_mm, row * gauge.row_height_mm]
            for row in range(n_rows + 1)
            for i, n in enumerate([rows.makes(row)] * rows.makes(row))
        ]
    )
    other = by_hand.settled(net, flat)
    lowest, _ = by_hand.energy_and_pull(net, other)
    energy, pull = by_hand.energy_and_pull(net, fabric.tops_mm)
    assert energy == pytest.approx(lowest, rel=1e-9)
    assert np.abs(pull).max() < 1e-6 * gauge.stitch_width_mm
    # nothing is worked into a skipped chain, so it hangs loose: compare what is held
    held = np.bincount(net.ends.ravel(), minlength=len(flat)) > 2
    off = by_hand.laid_on(other[held], fabric.tops_mm[held]) - fabric.tops_mm[held]
    assert np.abs(off).max() < 1e-4 * gauge.stitch_width_mm


def test_a_second_program_lays_dc_rows_and_sc_rows_in_turn_alike(ridged_ripple):
    fabric = settle_fabric(ridged_ripple, build_rows(ridged_ripple))
    net = net_by_hand(ridged_ripple)
    noise = np.random.default_rng(4).normal(size=fabric.tops_mm.shape)
    other = by_hand.settled(net, fabric.tops_mm + 0.2 * fabric.size.width_mm * noise)
    off = by_hand.laid_on(other, fabric.tops_mm) - fabric.tops_mm
    assert np.abs(off).max() < 1e-4 * fabric.size.width_mm


# --- strips against the whole sheet ------------------------------------------------------

# Far from the edges a blanket is laid out of copies. Measured against every stitch settled at
# once, in stitch widths; "middle" is the middle third of the middle third of the rows,
# "outermost" the worst first or last stitch of any row. What is measured, then the bound:
#   6 repeats x 24 rows   middle 0.001 to 0.021, outermost 0.000 to 0.033
#   12 x 84 (a throw)     middle 0.012 to 0.114, outermost 0.034 to 0.255
#   12 x 24 (wide, low)   middle 0.001 to 0.078, outermost 0.001 to 0.130
# The 12-stitch wave lies within 0.038 everywhere; skipped dips, which give way most, are the
# worst. The width, averaged over the rows, is within 0.25 % in all of them.
MEASURED = [
    *((family, stitch, 6, 24, 0.03, 0.05) for family in FAMILIES for stitch in ("dc", "sc")),
    ("12 stitches, doubled", "dc", 12, 84, 0.03, 0.05),
    ("12 stitches, doubled", "sc", 12, 84, 0.03, 0.05),
    ("11 stitches, skipping", "sc", 12, 24, 0.10, 0.16),
]


@pytest.mark.parametrize(("family", "stitch", "repeats", "n_rows", "middle", "outermost"), MEASURED)
def test_copies_lie_where_the_whole_sheet_would_have_them(
    blanket, family, stitch, repeats, n_rows, middle, outermost
):
    design, rows = blanket(family, stitch, repeats, n_rows)
    quick, whole = settle_fabric(design, rows), settle_exactly(design, rows)
    off = off_in_widths(quick, whole)
    third = n_rows // 3
    inner = [row[len(row) // 3 : -(len(row) // 3)] for row in off[third : n_rows + 1 - third]]
    assert max(row.max() for row in inner) < middle
    assert max(max(row[0], row[-1]) for row in off) < outermost

    def width(fabric):
        ends = [fabric.row_tops_mm(row)[[0, -1], 0] for row in range(1, n_rows + 1)]
        return np.mean([right - left for left, right in ends])

    assert width(quick) == pytest.approx(width(whole), rel=0.0025)


@DC_AND_SC
@EVERY_FAMILY
def test_a_small_blanket_is_settled_whole(blanket, family, stitch):
    design, rows = blanket(family, stitch, 3, 7)
    quick = settle_fabric(design, rows)
    whole = settle_exactly(design, rows, start=sketch_fabric(design, rows))
    assert energy_by_hand(design, quick) == pytest.approx(energy_by_hand(design, whole), rel=1e-9)
    off = off_in_widths(quick, whole)
    assert max(row.max() for row in off[1:]) < 0.01  # what hangs loose turns the whole a little


@DC_AND_SC
@EVERY_FAMILY
def test_far_from_its_edges_a_blanket_is_the_steady_state(blanket, family, stitch):
    design, rows = blanket(family, stitch, 9, 60)
    fabric = settle_fabric(design, rows)
    frame, w = fabric.steady.frame, fabric.size.width_mm
    n = sum(item.makes for item in design.wave.repeat)
    for row in (29, 30):
        tops, higher = fabric.row_tops_mm(row), fabric.row_tops_mm(row + 2)
        middle = slice(4 * n, 5 * n)
        assert np.abs(tops[5 * n : 6 * n] - tops[middle] - (frame.repeat_mm, 0)).max() < 0.04 * w
        assert np.abs(higher[middle] - tops[middle] - frame.period_mm).max() < 0.04 * w


# --- cells -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("repeats", "n_rows"), [(1, 1), (1, 2), (2, 1), (2, 3), (3, 10), (5, 9), (6, 30), (12, 40)]
)
@DC_AND_SC
@EVERY_FAMILY
def test_no_cell_is_turned_inside_out(blanket, family, stitch, repeats, n_rows):
    design, rows = blanket(family, stitch, repeats, n_rows)
    fabric = settle_fabric(design, rows)
    areas = by_hand.cell_areas(net_by_hand(design), fabric.tops_mm)
    assert areas.min() > -1e-9 * fabric.size.width_mm**2
    if n_rows > 1:  # sc over two skipped chains lies flat while nothing is worked on it
        assert areas.min() > 0.1 * fabric.size.width_mm**2


# Waves in the order of their tightness. In the last three some cells would rather turn inside
# out, and the others must come to rest all the same. Sources: fans of doubled twos and single
# skips, BRC0202-003788M; 3 in one and 3 together twice, joann.com "lion-brand-vannas-choice-
# losdale-ripple-afghan" (there in dc); 7 in one and 7 together,
# oocities.org/mwillsondesigns/Free/rusticripple.html.
TIGHT = [
    pytest.param(FAMILIES["12 stitches, doubled"], "dc", id="doubled twos in dc"),
    pytest.param(("I3", "5 D3x2 5 I3x2", "5 D3x2 5 I3"), "dc", id="doubled threes in dc"),
    pytest.param(
        ("I2x3 K1 1 K1 1 K1 1 K1 1 K1 1 K1", "I2x6 K1 1 K1 1 K1 1 K1 1 K1 1 K1", "I2x3"),
        "dc",
        id="fans in dc",
    ),
    pytest.param(("I3", "5 D3x2 5 I3x2", "5 D3x2 5 I3"), "sc", id="doubled threes in sc"),
    pytest.param(("I4", "10 D7 10 I7", "10 D7 10 I4"), "dc", id="sevens in dc"),
]


@pytest.mark.parametrize(("row", "stitch"), TIGHT)
def test_a_tight_wave_comes_to_rest(blanket, row, stitch):
    # A second program, which lets no cell get flatter than a fiftieth of a square stitch, must
    # not find much less strain than where the fabric was left.
    design, rows = blanket(row, stitch, 2, 12)
    fabric, net = settle_fabric(design, rows), net_by_hand(design)
    w = fabric.size.width_mm
    other = by_hand.settled_right_way_out(net, fabric.tops_mm, 0.02 * w**2)
    assert by_hand.cell_areas(net, other).min() > 0
    left, lowest = (by_hand.energy_and_pull(net, tops)[0] for tops in (fabric.tops_mm, other))
    # Doubled threes in sc, tighter than anything published here, have two ways to rest, and the
    # second program finds one that holds 4.7 % less (measured).
    assert left <= (1.06 if stitch == "sc" else 1.02) * lowest


# --- mirror, hand, scale -----------------------------------------------------------------

LOPSIDED = ("I2", "4 D3 8 I3", "4 D3 8 I2")


def mirrored(fabric):
    """Return the tops as in a mirror, row by row from the left again."""
    rows = [fabric.row_tops_mm(row)[::-1] * (-1, 1) for row in range(fabric.n_rows + 1)]
    return np.concatenate(rows) - (rows[0][0, 0], 0)


@pytest.mark.parametrize(("repeats", "n_rows"), [(2, 6), (8, 40)])
@DC_AND_SC
def test_mirrored_rows_give_a_mirrored_fabric(blanket, stitch, repeats, n_rows, row_of):
    row = row_of(*LOPSIDED, stitch)
    other = Row(row.end[::-1], row.repeat[::-1], row.start[::-1])
    one = settle_fabric(*blanket(row, stitch, repeats, n_rows))
    two = settle_fabric(*blanket(other, stitch, repeats, n_rows))
    assert np.abs(two.tops_mm - mirrored(one)).max() < 1e-3 * one.size.width_mm


@pytest.mark.parametrize(("repeats", "n_rows"), [(2, 6), (8, 40)])
def test_a_left_handers_blanket_is_the_mirror_image(blanket, repeats, n_rows):
    right = settle_fabric(*blanket(LOPSIDED, "dc", repeats, n_rows))
    left = settle_fabric(*blanket(LOPSIDED, "dc", repeats, n_rows, hand="left"))
    assert np.abs(left.tops_mm - mirrored(right)).max() < 1e-3 * right.size.width_mm
    assert np.abs(left.tops_mm - right.tops_mm).max() > 0.1 * right.size.width_mm


def test_a_symmetric_blanket_is_its_own_mirror_image(two_row_ripple):
    fabric = settle_fabric(two_row_ripple, build_rows(two_row_ripple))
    assert np.abs(fabric.tops_mm - mirrored(fabric)).max() < 1e-6 * fabric.size.width_mm


@pytest.mark.parametrize("scale", [0.2, 3, 10])
def test_a_larger_gauge_gives_the_same_fabric_larger(sharp_wave, scale):
    gauge = msgspec.structs.replace(sharp_wave.gauge, over_mm=100 * scale)
    larger = msgspec.structs.replace(sharp_wave, gauge=gauge)
    one = settle_fabric(sharp_wave, build_rows(sharp_wave))
    other = settle_fabric(larger, build_rows(larger))
    held = one.starts[1]  # above the foundation, of which skipped chains hang loose
    off = other.tops_mm[held:] - scale * one.tops_mm[held:]
    assert np.abs(off).max() < 1e-3 * other.size.width_mm


def test_colours_and_words_do_not_move_a_stitch(two_row_ripple):
    other = msgspec.structs.replace(two_row_ripple, title="x", terms="UK", units="in")
    one, two = (settle_fabric(d, build_rows(d)) for d in (two_row_ripple, other))
    assert (one.tops_mm == two.tops_mm).all()


# --- how it lies -------------------------------------------------------------------------


@DC_AND_SC
@EVERY_FAMILY
def test_rows_lie_level_and_the_foundation_begins_at_zero(blanket, family, stitch):
    design, rows = blanket(family, stitch, 6, 30)
    for fabric in (settle_fabric(design, rows), sketch_fabric(design, rows)):
        ends = [fabric.row_tops_mm(row)[[0, -1]] for row in range(fabric.n_rows + 1)]
        along = np.sum([right - left for left, right in ends], axis=0)
        assert math.degrees(math.atan2(along[1], along[0])) == pytest.approx(0, abs=1e-6)
        assert along[0] > 0
        assert fabric.tops_mm[0, 0] == pytest.approx(0, abs=1e-9)
        assert fabric.row_tops_mm(0)[:, 1].mean() == pytest.approx(0, abs=1e-9)
        assert fabric.row_tops_mm(30)[:, 1].mean() > 0


def test_the_tops_can_not_be_changed(two_row_ripple):
    fabric = settle_fabric(two_row_ripple, build_rows(two_row_ripple))
    with pytest.raises(ValueError, match="read-only"):
        fabric.tops_mm[0] = 0


def test_a_sketch_is_told_from_what_has_settled(two_row_ripple, sized):
    design = sized(two_row_ripple, repeats=6, rows=24)
    rows = build_rows(design)
    sketch, fabric = sketch_fabric(design, rows), settle_fabric(design, rows)
    assert not sketch.settled
    assert fabric.settled
    assert sketch.starts.tolist() == fabric.starts.tolist()
    # a sketch is nearly right: within a stitch width in the middle
    off = off_in_widths(sketch, fabric)
    assert max(row[20:-20].max() for row in off[6:-6]) < 1


# --- every kind of row -------------------------------------------------------------------


def settles(design):
    """Settle a design and look at what must hold for any of them."""
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    assert np.isfinite(fabric.tops_mm).all()
    assert fabric.n_rows == rows.drawn_rows
    counts = [rows.makes(row) for row in range(rows.drawn_rows + 1)]
    assert np.diff(fabric.starts).tolist() == counts
    assert fabric.tops_mm.shape == (sum(counts), 2)
    return fabric


@pytest.mark.parametrize(("repeats", "n_rows"), [(1, 1), (2, 3), (7, 31)])
@pytest.mark.parametrize(
    "name",
    ["lacy_wave", "ridged_ripple", "level_start", "losing_wave", "sc_ripple", "steep_wave"],
)
def test_chains_cycles_set_up_rows_and_misfits_settle(request, sized, name, repeats, n_rows):
    fabric = settles(sized(request.getfixturevalue(name), repeats=repeats, rows=n_rows))
    assert fabric.settled


def test_a_misfit_row_is_drawn_as_far_as_it_goes(losing_wave):
    fabric = settles(losing_wave)
    assert fabric.n_rows == 2
    assert len(fabric.row_tops_mm(2)) == 43


def test_a_blanket_of_one_stitch_settles(design_of):
    fabric = settles(design_of(Row((), (Item(stitch="dc"),), ()), repeats=1, rows=3))
    rises = np.linalg.norm(np.diff(fabric.tops_mm, axis=0), axis=1)
    assert rises == pytest.approx([100 / 7.5] * 3)


def test_a_set_up_row_that_leads_over_to_the_wave_settles(design_of, row_of):
    # 40 chains, but 36 stitches from row 1 on: the set-up row takes 4 out.
    setup = row_of("D2 2", "9 D2 1", "D2 9 1")
    wave = row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2")
    design = design_of(wave, setup=setup, repeats=2, rows=9)
    assert build_rows(design).misfit is None
    settles(design)


@pytest.mark.parametrize("lead", [False, True])
@pytest.mark.parametrize("cycle", [2, 3, 5])
@pytest.mark.parametrize(("repeats", "n_rows"), [(2, 4), (6, 33)])
def test_cycles_of_any_length_settle_at_any_row(design_of, row_of, lead, cycle, repeats, n_rows):
    wave = FAMILIES["12 stitches, doubled"]
    kinds = tuple(row_of(*wave, "sc" if n == 1 else "dc") for n in range(cycle))
    setup = row_of("1", "12", "11") if lead else None
    settles(design_of(kinds[0], cycle=kinds, setup=setup, repeats=repeats, rows=n_rows))


@given(
    row=by_hand.closing_rows(),
    repeats=st.integers(1, 7),
    n_rows=st.integers(1, 30),
    stitch=st.sampled_from(["dc", "sc"]),
    hand=st.sampled_from(["right", "left"]),
)
@settings(max_examples=50, suppress_health_check=[HealthCheck.filter_too_much])
def test_any_row_that_closes_settles(design_of, row, repeats, n_rows, stitch, hand):
    settles(design_of(row, stitch=stitch, repeats=repeats, rows=n_rows, hand=hand))


@given(
    row=by_hand.any_rows(),
    setup=st.none() | by_hand.any_rows(),
    cycle=st.none() | st.lists(by_hand.any_rows(), min_size=1, max_size=3).map(tuple),
    repeats=st.integers(1, 5),
    n_rows=st.integers(1, 8),
)
@settings(max_examples=30, suppress_health_check=[HealthCheck.filter_too_much])
def test_any_rows_settle_as_far_as_they_fit(design_of, row, setup, cycle, repeats, n_rows):
    settles(design_of(row, setup=setup, cycle=cycle, repeats=repeats, rows=n_rows))


# --- stopping ----------------------------------------------------------------------------


@pytest.mark.parametrize("settle", [settle_fabric, settle_exactly])
@pytest.mark.parametrize("question", [1, 2, 5])
def test_settling_stops_when_nobody_waits_for_it(blanket, settle, question):
    design, rows = blanket("12 stitches, doubled", "dc", 8, 40)
    asked = []

    def should_stop():
        asked.append(None)
        return len(asked) == question

    with pytest.raises(Stopped):
        settle(design, rows, should_stop=should_stop)
    assert len(asked) == question


def test_settling_asks_in_every_part_of_the_work(blanket):
    # In the steady state, the column and both edges: a stop takes effect wherever it comes.
    design, rows = blanket("12 stitches, doubled", "dc", 8, 40)
    asked = []
    settle_fabric(design, rows, should_stop=lambda: bool(asked.append(None)))
    total = len(asked)
    assert total >= 4
    for question in range(1, total + 1):
        left = iter(range(question - 1))
        with pytest.raises(Stopped):
            settle_fabric(design, rows, should_stop=lambda left=left: next(left, None) is None)
