"""The piece of a blanket a chart shows: stitch for stitch the rows, whatever the hand or cut."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from msgspec.structs import replace
from some import some

from core.chart.caption import caption_of, scales_of
from core.chart.clearance import clearance_of
from core.chart.key import key_of, letter_of
from core.chart.layout import lay_out
from core.chart.lettering import broken, width_of
from core.chart.piece import STANDARD, Part, chart_of_part, extent_of, mirrored, spread
from core.chart.sheet import LIGHTER, QUIET, Look, make_sheet, width_for
from core.chart.svg import svg_text
from core.chart.symbols import NAMES, NUMBER, PLAIN
from core.craft.stitches import CATALOGUE, KEYS
from core.design.edits import set_size
from core.fabric.extract import straight_grid
from core.fabric.sheet import sketch_fabric
from core.rows.build import build_rows
from core.rows.plan import END, START
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.stripes.colour import contrast
from core.stripes.sequence import yarn_of_rows
from core.words.vocabulary import vocabulary

BY_FAMILY = pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)


def piece(design, part=STANDARD, **how):
    rows = build_rows(design)
    return chart_of_part(design, rows, sketch_fabric(design, rows), part, **how)


def sheet_of(design, part=STANDARD, *, coloured=True, print_mm=180.0, straight=False, **look):
    return make_sheet(
        piece(design, part, straight=straight),
        terms=design.terms,
        look=Look(sides=True, **look),
        yarns=[(yarn.name, yarn.colour) for yarn in design.yarns] if coloured else None,
        yarn_of_row=yarn_of_rows(design.stripes, design.size.rows) if coloured else None,
        print_mm=print_mm,
    )


def stitches_of(chart, row):
    """Return which stitch each post of a row is and what it is worked into, from the left.

    Read off the symbols alone: marks and bars left out, a stack of chains counted once.
    """
    found = set()
    for number in np.flatnonzero(chart.row == row):
        name = NAMES[PLAIN[chart.symbol[number]]]
        if name in ("bar", "back loop", "front loop"):
            continue
        kind = "ch-stacked" if name == "ch-stacked" else name.removesuffix("-leg")
        found.add((int(chart.stitch[number]), int(chart.into[number]), kind))
    return found


# --- the standard extract ------------------------------------------------------------------


@BY_FAMILY
@pytest.mark.parametrize("straight", [False, True])
def test_the_extract_is_stitch_for_stitch_the_rows_with_one_repeat(family, straight):
    design = starter(family)
    chart = piece(design, straight=straight)
    rows = build_rows(set_size(design, repeats=1, rows=chart.last))
    assert (chart.first, chart.quiet) == (1, -1)
    for row in range(1, chart.last + 1):
        kinds = rows.in_fabric_order(row, rows.plan(row).kind)
        wanted = {
            (int(child), int(parent), KEYS[int(kinds[child])])
            for child, parent in rows.fabric_links(row)
        }
        wanted |= {(int(n), -1, "ch") for n in np.flatnonzero(kinds == KEYS.index("ch"))}
        drawn = stitches_of(chart, row)
        chains = {entry for entry in drawn if entry[2] == "ch-stacked"}
        assert len(chains) == 1
        assert drawn - chains <= wanted
        missing = wanted - drawn  # only the stitch that the turning chain stands for
        if design.turning.counts:
            edge = rows.makes(row) - 1 if rows.runs_left(row) else 0
            assert [entry[0] for entry in missing] == [edge]
        else:
            assert not missing
    assert int((chart.row == 0).sum()) == rows.makes(0)


@BY_FAMILY
def test_the_extract_is_a_set_up_row_and_two_pattern_rows_or_a_whole_round_of_them(family):
    design = starter(family)
    extent = extent_of(design, Part())
    in_turn = len(design.wave.rows_in_turn)
    assert extent.rows == (1, 1 + max(2, in_turn))
    assert extent.repeats == (1, 1)
    assert extent.near_edge
    assert extent.far_edge


def test_the_extract_of_many_rows_in_turn_and_of_a_short_blanket_stays_in_bounds(two_row_ripple):
    row = two_row_ripple.wave.row
    many = replace(
        two_row_ripple,
        wave=replace(two_row_ripple.wave, cycle=(row,) * 40),
        size=replace(two_row_ripple.size, rows=60),
    )
    assert extent_of(many, Part()).rows == (1, 13)
    assert extent_of(set_size(many, repeats=2, rows=2), Part()).rows == (1, 2)


# --- repeats -------------------------------------------------------------------------------


@BY_FAMILY
@pytest.mark.parametrize("first_row", [1, 2, 5])
def test_the_bracket_stands_under_what_one_repeat_is_worked_into_and_nothing_else(
    family, first_row
):
    design = starter(family)
    part = Part(shown="part", first_row=first_row, last_row=first_row + 2, last_repeat=1000)
    chart = piece(design, part, straight=True)
    rows = build_rows(design)
    plan = rows.plan(first_row)
    section = np.asarray(rows.in_fabric_order(first_row, plan.section))
    links = rows.fabric_links(first_row)
    repeat = chart.repeat
    inside = set(range(repeat.over, repeat.over + repeat.stitches))
    assert repeat.stitches == sum(item.uses for item in plan.row.repeat)
    numbers = {n for n in section.tolist() if n not in (START, END)}
    worked_by = {n: {int(p) for c, p in links if section[c] == n} for n in numbers}
    marked = [n for n, parents in worked_by.items() if parents and parents <= inside]
    assert len(marked) == 1
    others = set().union(*(p for n, p in worked_by.items() if n != marked[0]))
    assert not others & inside
    # And it is drawn where those stitches are.
    below = straight_grid(rows, chart.fabric.size).row_tops_mm(first_row - 1)
    half = 0.5 * chart.width_mm
    assert repeat.left_mm == pytest.approx(below[repeat.over, 0] - half)
    assert repeat.right_mm == pytest.approx(below[repeat.over + repeat.stitches - 1, 0] + half)


@BY_FAMILY
def test_a_range_in_the_middle_shows_whole_repeats_and_no_edge(family):
    design = starter(family)
    part = Part(shown="part", first_row=3, last_row=6, first_repeat=2, last_repeat=3)
    chart = piece(design, part, straight=True)
    rows = build_rows(design)
    assert chart.quiet == 2
    assert {label.row for label in chart.labels} == {2, 3, 4, 5, 6}
    for row in range(2, 7):
        shown = np.unique(chart.stitch[(chart.row == row) & (chart.stitch >= 0)])
        per_repeat = (rows.plan(row).section == 0).sum()
        assert len(shown) == pytest.approx(2 * per_repeat, abs=1)
        assert (np.diff(shown) == 1).all()
    assert not (chart.symbol == NUMBER["ch-stacked"]).any()  # turning chains stand at edges


def test_a_range_at_an_edge_keeps_that_edge(two_row_ripple):
    design = set_size(two_row_ripple, repeats=5, rows=8)
    near = piece(design, Part(shown="part", last_row=4, first_repeat=1, last_repeat=2))
    far = piece(design, Part(shown="part", last_row=4, first_repeat=4, last_repeat=5))
    # Row 1 starts at the right edge: there its turning chain stands, and row 2's at the left.
    chains = NUMBER["ch-stacked"]
    assert set(near.row[near.symbol == chains].tolist()) == {1, 3}
    assert set(far.row[far.symbol == chains].tolist()) == {2, 4}


def test_a_range_beyond_the_blanket_is_brought_within_it(two_row_ripple):
    extent = extent_of(
        two_row_ripple,
        Part(shown="part", first_row=90, last_row=99, first_repeat=7, last_repeat=9),
    )
    assert extent.rows == (8, 8)
    assert extent.repeats == (2, 2)


def test_the_row_below_is_drawn_quietly_and_said_to_be(two_row_ripple):
    part = Part(shown="part", first_row=3, last_row=4, last_repeat=2)
    sheet = sheet_of(two_row_ripple, part)
    assert sheet.stroke_of(2) != sheet.stroke_of(4)
    quiet = [text for text in sheet.texts if text.quiet]
    assert "2" in [text.text for text in quiet]
    assert "WS" not in [text.text for text in quiet]
    told = caption_of(two_row_ripple, part, hand="right", words=vocabulary("US"))
    assert "Row 2, drawn in gray, is only what row 3 is worked into." in told


# --- the other hand ------------------------------------------------------------------------


@BY_FAMILY
@pytest.mark.parametrize("straight", [False, True])
def test_the_twin_is_the_chart_of_the_left_handed_design_mirrored_stitch_for_stitch(
    family, straight
):
    design = starter(family)
    twin = piece(design, straight=straight, hand="left")
    right = piece(design, straight=straight)
    own = piece(replace(design, hand="left"), straight=straight)  # computed on its own
    assert len(twin.symbol) == len(own.symbol) == len(right.symbol)
    for row in range(twin.last + 1):
        assert stitches_of(twin, row) == stitches_of(own, row)
    assert np.array_equal(twin.symbol, own.symbol)
    if family.key != "lacy fan":  # its chain spaces can buckle to either side equally well
        assert np.allclose(twin.top_mm, own.top_mm, atol=0.02 * twin.width_mm)
    # Mirrored: the same symbols at the same heights, left and right exchanged.
    middle = 0.5 * (right.fabric.tops_mm[:, 0].min() + right.fabric.tops_mm[:, 0].max())
    other = 0.5 * (twin.fabric.tops_mm[:, 0].min() + twin.fabric.tops_mm[:, 0].max())

    def places(chart, centre, sign):
        x = np.round(sign * (chart.top_mm[:, 0] - centre) / chart.width_mm, 3) + 0.0
        y = np.round(chart.top_mm[:, 1] / chart.width_mm, 3) + 0.0
        posts = ~np.isin(chart.symbol, [NUMBER["ch"], NUMBER["bar"]])  # these lie along the row
        return sorted(zip(chart.symbol[posts], x[posts], y[posts], strict=True))

    assert np.allclose(places(twin, other, -1.0), places(right, middle, 1.0), atol=2e-3)


@BY_FAMILY
def test_the_twins_rows_start_at_the_other_side_and_marks_stay(family):
    design = starter(family)
    right, left = piece(design), piece(design, hand="left")
    middle = left.fabric.tops_mm[:, 0].mean()
    for ours, theirs in zip(right.labels, left.labels, strict=True):
        assert ours.runs_left != theirs.runs_left
        assert theirs.runs_left == (theirs.x_mm > middle)
        assert theirs.runs_left == (theirs.row % 2 == 0)
    for mark in ("back loop", "front loop"):  # what the right side shows doesn't change
        same = [(chart.symbol == NUMBER[mark]).sum() for chart in (right, left)]
        assert same[0] == same[1]


def test_letters_and_numbers_of_the_twin_are_text_and_not_mirrored(two_row_ripple):
    chart = piece(two_row_ripple, hand="left")
    text = svg_text(make_sheet(chart, terms="US", look=Look(sides=True)), width_mm=180)
    root = ET.fromstring(text)
    words = [node for node in root.iter() if node.tag.endswith("}text")]
    assert {"1", "2", "3", "RS", "WS"} <= {node.text for node in words}
    assert not any(node.get("transform") for node in words)


def test_a_mirrored_fabric_mirrored_again_is_the_fabric(two_row_ripple):
    fabric = sketch_fabric(two_row_ripple, build_rows(two_row_ripple))
    twice = mirrored(mirrored(fabric))
    assert np.allclose(twice.tops_mm, fabric.tops_mm)


# --- the layout ----------------------------------------------------------------------------


def test_tall_and_short_stitches_keep_their_heights_on_a_grid_and_close_again(sized):
    family = next(family for family in FAMILIES if family.is_of_heights)
    design = set_size(starter(family), repeats=2, rows=40)
    rows = build_rows(design)
    grid = straight_grid(rows, sketch_fabric(design, rows).size)
    after_two = np.ptp(grid.row_tops_mm(2)[:, 1])
    assert np.ptp(grid.row_tops_mm(1)[:, 1]) > 4 * after_two
    assert np.ptp(grid.row_tops_mm(40)[:, 1]) == pytest.approx(after_two, abs=1e-6)
    tall, low = (
        grid.row_tops_mm(1)[:, 1].max() - grid.row_tops_mm(0)[0, 1],
        grid.row_tops_mm(1)[:, 1].min() - grid.row_tops_mm(0)[0, 1],
    )
    # tr 2.5 and sc 0.9 stitch widths (the catalogue); columns are evened by a part of that.
    assert tall / low == pytest.approx(2.5 / 0.9, rel=0.25)


def test_rows_of_one_stitch_are_level_on_a_grid(two_row_ripple):
    rows = build_rows(two_row_ripple)
    grid = straight_grid(rows, sketch_fabric(two_row_ripple, rows).size)
    for row in range(rows.drawn_rows + 1):
        assert np.ptp(grid.row_tops_mm(row)[:, 1]) == 0


def test_stitches_that_bunch_are_moved_apart_and_others_stay():
    x = np.array([0.0, 1.0, 1.2, 1.4, 2.4, 3.4])
    tops = np.stack([x, np.zeros(6)], axis=1)
    moved = spread(tops, [0, 6], 0.5)
    assert np.diff(moved[:, 0]).min() == pytest.approx(0.5)
    assert moved[0].tolist() == [0, 0]
    assert moved[-1, 0] == pytest.approx(3.4)
    roomy = np.stack([np.arange(5.0), np.ones(5)], axis=1)
    assert np.allclose(spread(roomy, [0, 5], 0.5), roomy)


def test_a_mirrored_row_is_spread_as_the_row_is():
    rng = np.random.default_rng(4)
    x = np.cumsum(rng.uniform(0.05, 1.5, 30))
    tops = np.stack([x, np.sin(x)], axis=1)
    back = spread(tops[::-1] * (-1, 1), [30 - 5, 30 - 15, 30 - 25], 0.6)
    assert np.allclose(spread(tops, [5, 15, 25], 0.6), back[::-1] * (-1, 1))


def test_where_there_is_no_room_all_steps_are_alike():
    tops = np.stack([np.array([0.0, 0.1, 0.2, 1.0]), np.zeros(4)], axis=1)
    assert np.allclose(np.diff(spread(tops, [0, 4], 0.5)[:, 0]), 1 / 3)


@BY_FAMILY
def test_crossing_ink_is_rare_in_the_fabrics_lie(family):
    # Our own bound: only fans, whose seven legs come out of a narrow dip, may touch.
    reads = clearance_of(sheet_of(starter(family)))
    if "fan" not in family.key:
        assert reads.closest_mm > 0.12
    assert reads.smallest_mm > 1.3


# --- the sheet -----------------------------------------------------------------------------


@BY_FAMILY
@pytest.mark.parametrize("terms", ["US", "UK"])
def test_the_key_has_every_symbol_used_and_no_other(family, terms):
    chart = piece(starter(family))
    used = {NAMES[n] for n in PLAIN[chart.symbol]} - {"bar"}
    used = {"ch" if name == "ch-stacked" else name for name in used}
    entries = key_of(chart, vocabulary(terms))
    drawn = {name for entry in entries for name in entry.symbols}
    legs = {name for name in used if name.endswith("-leg")}
    assert used - legs <= drawn <= used
    assert {name for name in legs if name not in drawn} == set()
    names = {CATALOGUE[k].name(terms).short for k in used if k in CATALOGUE}
    shorts = [entry.short for entry in entries if entry.short and "tog" not in entry.short]
    assert sorted(shorts) == sorted(names)


def test_rows_carry_number_side_and_yarn_letter_and_the_key_names_the_yarns(two_row_ripple):
    sheet = sheet_of(two_row_ripple)
    by_row = {}
    for text in some(sheet.texts):
        if text.layer == "numbers":
            by_row.setdefault(text.row, []).append(text.text)
    # Row 1 shows its right side; two rows of Sea, then Sand.
    assert by_row == {1: ["1", "RS", "A"], 2: ["2", "WS", "A"], 3: ["3", "RS", "B"]}
    key = [text.text for text in sheet.texts if text.layer == "key"]
    assert "A = Sea" in key
    assert "B = Sand" in key
    assert len(sheet.patches) == 2


def test_only_yarns_of_the_rows_shown_are_in_the_key(two_row_ripple):
    sheet = sheet_of(two_row_ripple, Part(shown="part", first_row=1, last_row=2))
    key = [text.text for text in sheet.texts if text.layer == "key"]
    assert "A = Sea" in key
    assert not any("Sand" in words for words in key)


def test_letters_go_on_after_z():
    assert [letter_of(n) for n in (0, 25, 26, 27, 51, 52)] == ["A", "Z", "AA", "AB", "AZ", "BA"]


def test_odd_and_even_rows_differ_in_weight_and_tone_without_colour(two_row_ripple):
    sheet = sheet_of(two_row_ripple, coloured=False, apart="weight")
    odd, even = sheet.stroke_of(1), sheet.stroke_of(2)
    assert odd.width_mm > 1.5 * even.width_mm
    assert odd.colour != even.colour
    lines = sheet_of(two_row_ripple, coloured=False, apart="lines")
    assert lines.stroke_of(1) == lines.stroke_of(2)
    assert len(lines.guides_mm) == 2  # one between each two of three rows


def test_inks_read_on_white_as_they_say():
    # WCAG 2.2: 4.5 : 1 for text (the quiet row's number), 7 : 1 is its enhanced level.
    assert contrast(QUIET, "#ffffff") >= 4.5
    assert contrast(LIGHTER, "#ffffff") >= 7


@pytest.mark.parametrize("units", ["cm", "in"])
def test_the_bar_is_as_long_as_it_says(two_row_ripple, units):
    design = replace(two_row_ripple, units=units)
    scales = scales_of(design, vocabulary("US"), straight=False)
    sheet = sheet_of(design, scales=scales)
    said = next(text.text for text in sheet.texts if "of fabric" in text.text)
    number, unit = re.match(r"([\d.]+) (cm|in)", said).groups()
    millimetres = float(number) * {"cm": 10.0, "in": 25.4}[unit]
    lengths = np.linalg.norm(np.diff(sheet.lines_mm, axis=1)[:, 0], axis=1)
    assert np.isclose(lengths, millimetres).any()
    assert millimetres * sheet.print_scale <= 34


def test_words_keep_their_printed_size_whatever_the_scale(two_row_ripple, steep_wave):
    for design in (two_row_ripple, steep_wave):
        for print_mm in (120.0, 180.0, 400.0):
            sheet = sheet_of(design, print_mm=print_mm)
            wide = sheet.bounds_mm[2] - sheet.bounds_mm[0]
            assert wide * sheet.print_scale == pytest.approx(print_mm)
            numbers = {t.size_mm for t in sheet.texts if t.layer == "numbers" and t.bold}
            assert {round(size * sheet.print_scale, 6) for size in numbers} == {3.0}


@pytest.mark.parametrize("print_mm", [45.0, 70.0, 180.0])
def test_the_width_for_larger_symbols_makes_them_that_large(two_row_ripple, print_mm):
    sheet = sheet_of(two_row_ripple, Part(shown="part", last_repeat=2), print_mm=print_mm)
    before = clearance_of(sheet).smallest_mm
    wide = width_for(sheet, 1.2)
    after = sheet_of(two_row_ripple, Part(shown="part", last_repeat=2), print_mm=wide)
    larger = clearance_of(after).smallest_mm / before
    assert larger >= 1.2 - 1e-6
    if print_mm > 50:  # words leave hardly any room on less; the next sensible width is larger
        assert larger == pytest.approx(1.2)
    assert width_for(sheet, 100.0) is None


def test_nothing_sticks_out_even_with_very_long_names(two_row_ripple):
    yarns = tuple(replace(yarn, name="Wide Wide Mooring " * 4) for yarn in two_row_ripple.yarns)
    design = replace(two_row_ripple, yarns=yarns)
    sheet = sheet_of(design, title="A very long title " * 10, caption="Words. " * 60)
    left, bottom, right, top = sheet.bounds_mm
    for text in some(sheet.texts):
        wide = width_of(text.text, text.size_mm, bold=text.bold)
        start = text.x_mm - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * wide
        assert left <= start
        assert start + wide <= right + 1e-9
        assert bottom < text.y_mm < top


def test_lines_are_broken_at_words_and_long_words_anywhere():
    lines = broken("one two three " + "x" * 80, 1.0, 12.0)
    assert all(width_of(line, 1.0) <= 12.0 for line in lines)
    assert "".join(lines).replace(" ", "") == "onetwothree" + "x" * 80


def test_the_svg_has_named_layers_and_no_id_twice(two_row_ripple):
    sheet = sheet_of(
        two_row_ripple,
        title="A",
        scales=scales_of(two_row_ripple, vocabulary("US"), straight=False),
    )
    root = ET.fromstring(svg_text(sheet, width_mm=180))
    ns = "{http://www.w3.org/2000/svg}"
    ids = [node.get("id") for node in root.iter() if node.get("id")]
    assert len(ids) == len(set(ids))
    layers = {group.get("id"): group.find(f"{ns}title") for group in root.findall(f"{ns}g")}
    assert list(layers) == [
        *("paper", "stripes", "row-0", "row-1", "row-2", "row-3"),
        *("marks", "numbers", "key", "words"),
    ]
    assert all(title is not None and title.text for title in layers.values())
    assert root.get("role") == "img"
    for name in root.get("aria-labelledby").split():
        assert root.find(f".//*[@id='{name}']").text


@pytest.mark.parametrize("hostile", ["</text><script>", "&amp;<!--", '"><use href="x"/>', "]]>"])
def test_names_of_a_design_stay_text(two_row_ripple, hostile):
    yarns = tuple(replace(yarn, name=hostile) for yarn in two_row_ripple.yarns)
    sheet = sheet_of(replace(two_row_ripple, yarns=yarns), title=hostile, caption=hostile)
    root = ET.fromstring(svg_text(sheet, width_mm=180))
    assert not [node for node in root.iter() if node.tag.endswith("script")]
    words = " ".join(node.text or "" for node in root.iter() if node.tag.endswith("}text"))
    assert words.count(hostile) == 4  # title, caption, two yarns


def test_a_chart_of_rows_that_do_not_fit_is_drawn_as_far_as_they_go(losing_wave):
    chart = piece(losing_wave)
    assert set(chart.row.tolist()) == {0, 1, 2}
    assert np.isfinite(chart.top_mm).all()


def test_a_set_up_row_of_its_own_is_in_the_extract(level_start):
    chart = piece(level_start)
    assert not (PLAIN[chart.symbol[chart.row == 1]] == NUMBER["dc-leg"]).any()
    assert (PLAIN[chart.symbol[chart.row == 2]] == NUMBER["dc-leg"]).any()


def test_the_whole_blanket_lies_as_its_fabric(two_row_ripple):
    rows = build_rows(two_row_ripple)
    fabric = sketch_fabric(two_row_ripple, rows)
    whole = chart_of_part(two_row_ripple, rows, fabric, Part(shown="whole"))
    laid = lay_out(two_row_ripple, rows, fabric)
    assert np.array_equal(whole.top_mm, laid.top_mm)
    assert whole.last == 8
