"""The chart: symbols of the published set, placed as worked, marks as seen from the right side."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from msgspec.structs import replace

from core.chart.bands import bands_of
from core.chart.key import key_of
from core.chart.layout import lay_out
from core.chart.sheet import Look, make_sheet
from core.chart.svg import svg_text
from core.chart.symbols import NAMES, NUMBER, PLAIN, STRETCHES, SYMBOLS, for_length, long_name
from core.craft.stitches import CATALOGUE, WORKED
from core.design.document import Loops, Turning
from core.fabric.extract import extract, straight_grid
from core.fabric.sheet import settle_fabric
from core.rows.build import build_rows
from core.stripes.sequence import yarn_of_rows
from core.words.abbreviations import abbreviations_in
from core.words.vocabulary import vocabulary


def chart_of(design, *, straight=False):
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    if straight:
        fabric = straight_grid(rows, fabric.size)
    return lay_out(design, rows, fabric), rows, fabric


def count(chart, name, row=None):
    here = PLAIN[chart.symbol] == NUMBER[name]
    return int((here if row is None else here & (chart.row == row)).sum())


# --- symbols -------------------------------------------------------------------------------


@pytest.mark.parametrize(("stitch", "slashes"), [("hdc", 0), ("dc", 1), ("tr", 2), ("dtr", 3)])
def test_a_tall_stitch_is_a_t_with_a_slash_for_every_yarn_over_from_dc_on(stitch, slashes):
    # crochetme.com and mrscrochetworld.com on symbol charts: T, T with 1, 2, 3 slashes.
    lines = SYMBOLS[stitch].lines
    upright = np.isclose(lines[:, 0, 0], 0) & np.isclose(lines[:, 1, 0], 0)
    level = np.isclose(lines[:, 0, 1], lines[:, 1, 1])
    assert upright.sum() == 1
    assert level.sum() == 1
    assert np.isclose(lines[level][0, :, 1], 1.0).all()  # the bar is at the top
    assert (~upright & ~level).sum() == slashes


def test_single_crochet_is_a_cross_and_a_chain_an_open_oval():
    assert len(SYMBOLS["sc"].lines) == 2
    assert not SYMBOLS["ch"].solids
    assert SYMBOLS["sl st"].solids  # filled
    outline = SYMBOLS["ch"].strokes[0].points
    assert np.allclose(outline[0], outline[-1])


def test_every_stitch_of_the_catalogue_has_a_symbol_and_a_leg():
    for key in WORKED:
        assert key in SYMBOLS
        assert f"{key}-leg" in SYMBOLS
    assert "ch" in SYMBOLS


def looks_of(stitch):
    """Return what a symbol is told by: solid or not, slanting strokes, level ones and where."""
    symbol = SYMBOLS[stitch]
    level = np.isclose(symbol.lines[:, 0, 1], symbol.lines[:, 1, 1])
    upright = np.isclose(symbol.lines[:, 0, 0], symbol.lines[:, 1, 0])
    at = sorted(symbol.lines[level][:, 0, 1].round(1))
    return len(symbol.solids), int((~level & ~upright).sum()), at


def test_no_two_stitches_look_alike():
    looks = [looks_of(stitch) for stitch in WORKED]
    for number, stitch in enumerate(WORKED):
        assert looks.count(looks[number]) == 1, (
            f"core/chart/symbols.py: {stitch} is drawn like another stitch; give it its own strokes"
        )


def test_taller_stitches_have_taller_symbols():
    # "height follows stitch height" (the published charts' convention)
    heights = [SYMBOLS[key].nominal for key in WORKED[1:]]
    assert heights == sorted(heights)
    assert heights == [CATALOGUE[k].height_to_width for k in WORKED[1:]]


@pytest.mark.parametrize("stitch", WORKED)
def test_bars_stay_as_broad_on_stems_that_are_longer(stitch):
    usual = SYMBOLS[stitch].nominal

    def breadth(symbol, length):
        x = np.concatenate([stroke.points[:, 0] for stroke in symbol.strokes])
        return np.ptp(x) * length

    for level, stretch in enumerate(STRETCHES):
        (number,) = for_length(np.array([NUMBER[stitch]]), np.array([stretch * usual]))
        assert NAMES[number] == long_name(stitch, level)
        symbol = SYMBOLS[NAMES[number]]
        assert breadth(symbol, stretch * usual) == pytest.approx(breadth(SYMBOLS[stitch], usual))
        assert len(symbol.strokes) == len(SYMBOLS[stitch].strokes)  # the same drawing


# --- placing -------------------------------------------------------------------------------


def test_every_row_has_the_symbols_its_items_ask_for(two_row_ripple):
    chart, rows, _ = chart_of(two_row_ripple)
    assert count(chart, "ch", 0) == 36  # one oval for every chain of the base
    for row in range(1, rows.drawn_rows + 1):
        # 36 stitches: 6 decreases of two legs, one turning chain of 3, the rest whole.
        assert count(chart, "dc-leg", row) == 12
        assert count(chart, "bar", row) == 6
        assert count(chart, "ch-stacked", row) == 3
        assert count(chart, "dc", row) == 36 - 6 - 1


def test_legs_worked_together_meet_at_the_top_and_increases_share_the_foot(two_row_ripple):
    chart, rows, _ = chart_of(two_row_ripple)
    legs = (chart.symbol == NUMBER["dc-leg"]) & (chart.row == 2)
    assert legs.any()
    for stitch in np.unique(chart.stitch[legs]):
        tops = chart.top_mm[legs & (chart.stitch == stitch)]
        assert len(tops) == 2
        assert np.allclose(tops[0], tops[1])
    links = rows.fabric_links(2)
    parents, sizes = np.unique(links[:, 1], return_counts=True)
    shared = 0
    for parent in parents[sizes == 2]:
        children = links[links[:, 1] == parent, 0]
        feet = [
            chart.foot_mm[(chart.row == 2) & (chart.stitch == c) & (chart.symbol == NUMBER["dc"])]
            for c in children
        ]
        whole = [foot[0] for foot in feet if len(foot)]
        if len(whole) == 2:
            shared += 1
            assert np.allclose(whole[0], whole[1])
    assert shared >= 2  # as many as there are whole peaks


def test_stems_lead_from_the_stitch_worked_into_to_the_stitches_own_top(two_row_ripple):
    chart, rows, fabric = chart_of(two_row_ripple)
    width = chart.width_mm
    for row in (1, 2, 5):
        here = (chart.row == row) & (chart.symbol == NUMBER["dc"])
        links = dict(rows.fabric_links(row).tolist())
        for foot, top, stitch in zip(
            chart.foot_mm[here], chart.top_mm[here], chart.stitch[here], strict=True
        ):
            own, below = fabric.row_tops_mm(row)[stitch], fabric.row_tops_mm(row - 1)[links[stitch]]
            assert np.linalg.norm(top - own) < 0.2 * width
            assert np.linalg.norm(foot - below) < 0.5 * width


def test_rows_are_numbered_at_the_side_where_they_start(two_row_ripple):
    # mrscrochetworld.com: the number stands at the row's start, right for RS rows, left for WS.
    chart, _, fabric = chart_of(two_row_ripple)
    middle = fabric.tops_mm[:, 0].mean()
    for label in chart.labels:
        assert (label.x_mm > middle) == (label.row % 2 == 1)
        assert label.runs_left == (label.row % 2 == 1)
    left_handed, _, _ = chart_of(replace(two_row_ripple, hand="left"))
    assert [label.x_mm > middle for label in left_handed.labels[:2]] == [False, True]


def test_back_loop_stitches_of_wrong_side_rows_carry_the_front_loop_mark(two_row_ripple):
    # hookincrochet.com on charts: constant back loops in turned rows alternate the mark drawn.
    chart, _, _ = chart_of(two_row_ripple)
    assert count(chart, "back loop", 1) == count(chart, "front loop", 1) == 0  # into chains
    assert count(chart, "front loop", 2) == count(chart, "back loop", 3) > 0
    assert count(chart, "back loop", 2) == count(chart, "front loop", 3) == 0
    front, _, _ = chart_of(replace(two_row_ripple, loops=Loops("front")))
    assert count(front, "back loop", 2) > 0


def test_no_mark_is_drawn_before_the_loops_begin_or_under_a_last_stitch_in_both(two_row_ripple):
    late, _, _ = chart_of(replace(two_row_ripple, loops=Loops("back", from_row=5)))
    assert count(late, "front loop", 4) == 0
    assert count(late, "back loop", 5) > 0
    whole, _, _ = chart_of(two_row_ripple)
    both, _, _ = chart_of(replace(two_row_ripple, loops=Loops("back", 2, True)))
    assert count(both, "front loop", 2) == count(whole, "front loop", 2) - 1


def test_a_turning_chain_stands_in_for_the_first_stitch_or_beside_the_row(sc_ripple):
    chart, rows, fabric = chart_of(sc_ripple)
    assert count(chart, "ch-stacked", 2) == 1
    at = chart.foot_mm[(chart.symbol == NUMBER["ch-stacked"]) & (chart.row == 2)][0]
    first = fabric.row_tops_mm(2)[0]  # row 2 starts at the left
    assert at[0] < first[0]
    assert count(chart, "sc", 2) + count(chart, "sc-leg", 2) // 2 == rows.makes(2)
    none, _, _ = chart_of(replace(sc_ripple, turning=Turning(0, False)))
    assert count(none, "ch-stacked", 2) == 0


def test_the_straight_grid_has_the_same_symbols(two_row_ripple):
    lying, _, _ = chart_of(two_row_ripple)
    straight, _, _ = chart_of(two_row_ripple, straight=True)
    assert np.array_equal(np.sort(lying.symbol), np.sort(straight.symbol))
    assert np.array_equal(lying.row, straight.row)


def test_rows_that_gain_at_both_ends_are_as_high_on_the_grid_as_their_stitches(design_of, row_of):
    # Centred rows: every stitch but the outermost stands over its foot.
    design = design_of(row_of("I2", "6", "I2"), rows=1)
    rows = build_rows(design)
    grid = straight_grid(rows, settle_fabric(design, rows).size)
    assert grid.row_tops_mm(1)[0, 1] == pytest.approx(design.gauge.row_height_mm)


def test_the_bracket_covers_one_repeat_of_the_chain(two_row_ripple):
    chart, _, fabric = chart_of(two_row_ripple, straight=True)
    assert chart.repeat.stitches == 12
    assert chart.repeat.right_mm - chart.repeat.left_mm == pytest.approx(12 * fabric.size.width_mm)


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_the_bracket_lies_where_it_is_wanted(two_row_ripple, share):
    chart, rows, fabric = chart_of(two_row_ripple)
    x = fabric.row_tops_mm(0)[:, 0]
    near = float(x[0] + share * (x[-1] - x[0]))
    mark = lay_out(two_row_ripple, rows, fabric, near_mm=near).repeat
    wide = chart.repeat.right_mm - chart.repeat.left_mm
    assert mark.right_mm - mark.left_mm == pytest.approx(wide, rel=0.01)  # edges lean a little
    steps = (mark.left_mm - chart.repeat.left_mm) / (wide - fabric.size.width_mm)
    assert mark.over - chart.repeat.over == 12 * round(steps)
    # Nowhere could it be nearer: it is in its last place at either end.
    away = abs(0.5 * (mark.left_mm + mark.right_mm) - near)
    for end in (chart.repeat, lay_out(two_row_ripple, rows, fabric, near_mm=1e6).repeat):
        assert away <= abs(0.5 * (end.left_mm + end.right_mm) - near) + 1e-9
    assert lay_out(two_row_ripple, rows, fabric, near_mm=-1e6).repeat == chart.repeat


def test_a_part_of_the_rows_is_the_same_part_of_the_chart(two_row_ripple):
    rows = build_rows(two_row_ripple)
    fabric = settle_fabric(two_row_ripple, rows)
    whole = lay_out(two_row_ripple, rows, fabric)
    part = lay_out(two_row_ripple, rows, fabric, first=3, last=5)
    mine = (whole.row >= 3) & (whole.row <= 5)
    assert np.array_equal(part.symbol, whole.symbol[mine])
    assert np.allclose(part.top_mm, whole.top_mm[mine])
    assert [label.row for label in part.labels] == [3, 4, 5]


def test_an_extract_leans_like_the_blanket_it_is_cut_from(two_row_ripple, sized):
    design = sized(two_row_ripple, repeats=9, rows=20)
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    few, piece = extract(design, rows, fabric, repeats=2, n_rows=6)
    assert few.makes(1) == 36
    assert piece.n_rows == 6
    for row in range(7):
        whole, part = fabric.row_tops_mm(row), piece.row_tops_mm(row)
        assert np.allclose(part[:12], whole[:12])
        assert np.allclose(np.diff(part[-12:], axis=0), np.diff(whole[-12:], axis=0))
        # No seam: steps along the row are never longer than in the whole blanket.
        longest = np.linalg.norm(np.diff(whole, axis=0), axis=1).max()
        assert np.linalg.norm(np.diff(part, axis=0), axis=1).max() <= longest * 1.02


# --- key and sheet -------------------------------------------------------------------------


def test_the_key_lists_only_what_is_used_in_the_chosen_terms(two_row_ripple):
    chart, _, _ = chart_of(two_row_ripple)
    us = {entry.short for entry in key_of(chart, vocabulary("US"))}
    uk = {entry.short for entry in key_of(chart, vocabulary("UK"))}
    assert us == {"ch", "dc", "dc2tog", ""}
    assert uk == {"ch", "tr", "tr2tog", ""}


def test_a_decrease_in_slip_stitches_says_stitches_once(design_of, row_of):
    design = design_of(row_of("1", "I2 D2 4 D2 I2", "1", "sl st"), rows=2)
    chart, _, _ = chart_of(design)
    for terms, short in (("US", "sl st2tog"), ("UK", "ss2tog")):
        key = {entry.short: entry.text for entry in key_of(chart, vocabulary(terms))}
        assert key[short] == "2 slip stitches worked together"
    key = {entry.short: entry.text for entry in key_of(chart, vocabulary("US", "de"))}
    assert [text for text in key.values() if "zusammen" in text] == [
        "2 Kettmaschen zusammen abgemascht"
    ]
    meanings = {e.short: e.long for e in abbreviations_in("sl st2tog, dc3tog", vocabulary("US"))}
    assert meanings["sl st2tog"] == "slip stitch 2 stitches together"
    assert meanings["dc3tog"] == "double crochet 3 stitches together"


def test_an_edge_decrease_with_its_turning_chain_is_no_smaller_decrease(design_of, row_of):
    chart, _, _ = chart_of(design_of(row_of("D3", "3 I5 3 D5", "3 I5 3 D3")))
    assert {entry.short for entry in key_of(chart, vocabulary("US"))} >= {"dc5tog", "dc3tog"}
    assert "dc2tog" not in {entry.short for entry in key_of(chart, vocabulary("US"))}


def test_bands_cover_every_row_once(two_row_ripple):
    rows = build_rows(two_row_ripple)
    fabric = settle_fabric(two_row_ripple, rows)
    bands = bands_of(fabric, yarn_of_rows(two_row_ripple.stripes, 8))
    assert [(band.first, band.last) for band in bands] == [(1, 2), (3, 4), (5, 6), (7, 8)]
    assert [band.yarn for band in bands] == [0, 1, 0, 1]


def sheet_of(design, **values):
    chart, rows, _ = chart_of(design)
    return make_sheet(
        chart,
        terms=design.terms,
        look=Look(**values),
        yarns=[(yarn.name, yarn.colour) for yarn in design.yarns],
        yarn_of_row=yarn_of_rows(design.stripes, rows.drawn_rows),
        print_mm=160,
    )


def test_everything_drawn_lies_within_the_bounds(two_row_ripple):
    sheet = sheet_of(two_row_ripple, title="A ripple", caption="Seen from the right side.")
    left, bottom, right, top = sheet.bounds_mm
    for points in (
        sheet.chart.foot_mm,
        sheet.chart.top_mm,
        sheet.key_top_mm,
        sheet.lines_mm.reshape(-1, 2),
        np.array([[text.x_mm, text.y_mm] for text in sheet.texts]),
    ):
        assert (points >= (left, bottom)).all()
        assert (points <= (right, top)).all()


def test_the_svg_is_small_whole_and_states_its_size(two_row_ripple):
    text = svg_text(sheet_of(two_row_ripple, title="A ripple"), width_mm=160)
    root = ET.fromstring(text)
    assert root.get("width") == "160mm"
    assert "vector-effect" not in text
    assert re.search(r"nan|inf", text) is None
    uses = [node for node in root.iter() if node.tag.endswith("}use")]
    chart = chart_of(two_row_ripple)[0]
    assert len(uses) >= len(chart.symbol)
    assert len(text) < 180 * len(uses)


def test_the_svg_places_a_stem_where_the_layout_has_it(two_row_ripple):
    sheet = sheet_of(two_row_ripple)
    root = ET.fromstring(svg_text(sheet, width_mm=160))
    ns = "{http://www.w3.org/2000/svg}"
    row = root.find(f"{ns}g[@id='row-2']").findall(f"{ns}use")
    here = np.flatnonzero(sheet.chart.row == 2)
    left, _, _, top = sheet.bounds_mm
    for use, number in zip(row, here, strict=True):
        a, b, c, d, e, f = map(float, re.findall(r"-?[\d.e-]+", use.get("transform")))
        name = NAMES[int(sheet.chart.symbol[number])]
        assert use.get("href") == f"#s-{name.replace(' ', '-')}"
        foot = np.array([left + e, top - f])
        assert np.allclose(foot, sheet.chart.foot_mm[number], atol=2e-3)
        way = sheet.chart.top_mm[number] - sheet.chart.foot_mm[number]
        turned = np.array([-c, d])  # where the frame's upward axis points, y up again
        assert np.allclose(turned / np.hypot(*turned), way / np.hypot(*way), atol=2e-3)
        assert a == d
        assert b == -c


@pytest.mark.parametrize("straight", [False, True])
@pytest.mark.parametrize("share", [(0.0, 0.3), (0.4, 0.6), (0.75, 1.0)])
def test_a_chart_between_two_places_is_a_piece_of_the_whole_one(two_row_ripple, straight, share):
    chart, rows, fabric = chart_of(two_row_ripple, straight=straight)
    x = fabric.tops_mm[:, 0]
    left, right = (float(np.quantile(x, part)) for part in share)
    part = lay_out(two_row_ripple, rows, fabric, between_mm=(left, right))
    stands = chart.stitch >= 0
    place = fabric.tops_mm[fabric.starts[chart.row] + np.where(stands, chart.stitch, 0), 0]
    kept = (chart.row == 0) | (stands & (place >= left) & (place <= right))
    own = (part.row == 0) | (part.stitch >= 0)
    assert 0 < own.sum() < len(chart.row)
    for name in ("symbol", "row", "stitch", "into", "foot_mm", "top_mm"):
        assert np.array_equal(getattr(part, name)[own], getattr(chart, name)[kept]), name
    assert part.labels == chart.labels and part.repeat == chart.repeat
