"""A border: ratios, corners, totals, yarn; and fill and border in file, edits and words."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.craft.stitches import CATALOGUE, NUMBER
from core.design import edits
from core.design.document import Border, Edging, EndFill, FillRow, Yarn
from core.design.files import design_from_bytes, design_text
from core.design.validation import checked
from core.edging.bands import cells_mm, extent_mm, fill_bands, rim_of
from core.edging.border import (
    CLOSE_ENOUGH,
    disc_extra,
    side_mm,
    small_ratio,
    square_extra,
    suiting,
    wave_turn,
)
from core.edging.outline import ENDS
from core.edging.plan import grown_mm
from core.errors import DesignError
from core.fabric.wash import Wash
from core.pipeline import Pipeline
from core.words.write import write_pattern

# Stitches more in every round of a flat disc: craftymaria.blogspot.com (sc 6, hdc 8, dc 12) and
# crochets.top (tr 15 to 16).
FLAT_DISC = {"sc": 6, "hdc": 8, "dc": 12, "tr": 16}


@pytest.fixture(scope="module")
def edged(two_row_ripple, sized):
    design = sized(two_row_ripple, repeats=4, rows=12)
    design = edits.set_end_fill(edits.set_end_fill(design, "top"), "bottom", yarn=1)
    return edits.set_edge_border(design, rounds=3, multiple=4, extra=1)


@pytest.fixture(scope="module")
def results(edged):
    return Pipeline().settled_results(edged)


# --- ratios and corners ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "stitches", "over"),
    [(1.0, 1, 1), (1.5, 3, 2), (1.67, 5, 3), (2.04, 2, 1), (2.5, 5, 2)],
)
def test_ratio_is_the_smallest_that_is_near_enough(wanted, stitches, over):
    ratio = small_ratio(wanted)
    assert (ratio.stitches, ratio.over) == (stitches, over)
    assert ratio.off == pytest.approx(ratio.stitches / ratio.over / wanted - 1)


@given(st.floats(0.3, 30))
def test_no_ratio_of_smaller_numbers_would_have_done(wanted):
    ratio = small_ratio(wanted)
    for over in range(1, ratio.over):
        near = round(wanted * over)
        assert near == 0 or abs(near / over / wanted - 1) > CLOSE_ENOUGH


@pytest.mark.parametrize("stitch", FLAT_DISC)
def test_a_quarter_of_the_flat_disc_rule_turns_a_rounded_corner(stitch):
    """Published rules against the catalogue, whose proportions are other people's swatches."""
    quarter = disc_extra(CATALOGUE[stitch].height_to_width) / 4
    assert quarter == pytest.approx(FLAT_DISC[stitch] / 4, rel=0.15)


def test_disc_rule_is_the_growth_of_a_circumference():
    height = 1.3
    assert disc_extra(height) == pytest.approx(2 * math.pi * (5 + height) - 2 * math.pi * 5)


def test_a_square_corner_in_sc_takes_three(results):
    """Common practice: 3 sc in the corner."""
    assert square_extra(CATALOGUE["sc"].height_to_width) == pytest.approx(2, abs=0.25)
    assert results.border.square_corner == 3


@given(st.floats(0.5, 500), st.integers(1, 40), st.integers(0, 40))
def test_totals_suit_the_multiple_and_are_the_nearest(wanted, multiple, extra):
    total = suiting(wanted, multiple, extra)
    assert total >= 1 and total >= extra
    assert (total - extra) % multiple == 0
    if wanted >= extra + multiple:
        assert abs(total - wanted) <= multiple / 2 + 1e-9


# --- along the sides and ends ------------------------------------------------------------


def test_sides_take_their_length_over_the_stitch_width(results):
    fabric, plan = results.fabric, results.border
    rows = fabric.n_rows
    assert side_mm(fabric) == pytest.approx(rows * fabric.size.heights_mm[4], rel=0.15)
    per_row = side_mm(fabric) / rows / fabric.size.width_mm
    ratio = plan.per_row_ends
    assert ratio.stitches / ratio.over == pytest.approx(per_row, rel=0.06)
    assert 1.4 < ratio.stitches / ratio.over < 2.1  # dc: 3 over 2 row ends to 2 a row end


def test_a_filled_end_takes_its_width_over_the_stitch_width(results):
    plan = results.border
    for end in ENDS:
        pick_up = plan.ends[end]
        assert not pick_up.follows
        assert pick_up.wanted * results.fabric.size.width_mm == pytest.approx(
            results.size.width_mm, rel=0.06
        )
        assert pick_up.wanted < results.rows.makes(1)  # a ripple draws in
        assert (pick_up.total - 1) % 4 == 0


def test_round_plain_cloth_a_border_takes_a_stitch_a_stitch_and_the_sides_their_height(
    plain_cloth, sized
):
    design = sized(plain_cloth, repeats=4, rows=10)
    design = edits.set_end_fill(edits.set_end_fill(design, "top"), "bottom")
    results = Pipeline().settled_results(edits.set_edge_border(design))
    plan, size = results.border, results.fabric.size
    added = 0.0
    for end in ENDS:
        fill = results.ends.fills[end]
        assert plan.ends[end].wanted == pytest.approx(results.rows.makes(1), abs=0.1)
        assert fill.crowding == pytest.approx(1, abs=0.01)
        added += size.heights_mm[NUMBER[fill.rows[0].left[0]]]
    height_mm = 10 * design.gauge.row_height_mm + added
    assert plan.side_wanted == pytest.approx(height_mm / size.width_mm, rel=0.01)


def test_a_ripple_crowds_its_stitches(results):
    plain_mm = 12 * results.fabric.size.width_mm
    for end in ENDS:
        fill = results.ends.fills[end]
        assert fill.crowding == pytest.approx(fill.outline.repeat_mm / plain_mm, abs=0.02)
        assert 0.6 < fill.crowding < 0.95  # a ripple draws in


def test_a_border_that_follows_the_wave_gains_on_hills_what_it_skips_in_valleys(edged):
    """Published: 3 in hills, skip 2 in valleys; here an hdc border does that."""
    bare = edits.remove_end_fill(edits.remove_end_fill(edged, "top"), "bottom")
    results = Pipeline().settled_results(edits.set_edge_border(bare, stitch="hdc", multiple=1))
    pick_up = results.border.top
    assert pick_up.follows
    assert pick_up.hill_extra == pick_up.valley_skip == 2
    height = CATALOGUE["hdc"].height_to_width / CATALOGUE["dc"].height_to_width
    h_w = height * edged.gauge.row_height_mm / edged.gauge.stitch_width_mm
    assert round(wave_turn(results.ends.outlines["top"]) * h_w) == 2


def test_rounds_grow_by_the_corners(results):
    plan = results.border
    first = plan.top.total + plan.bottom.total + 2 * plan.side_total + 4 * 3
    assert plan.rounds == (first, first + 8, first + 16)


def test_border_width_and_yarn_are_those_of_its_stitches(results, edged):
    plan, size = results.border, results.fabric.size
    assert plan.adds_mm == pytest.approx(3 * size.heights_mm[2])
    area = sum(plan.rounds) * size.width_mm * size.heights_mm[2]
    assert plan.length_m == pytest.approx(area * 1250 / 1e6)  # the published figure a m2
    wider, longer = grown_mm(results.ends, plan)
    assert wider == pytest.approx(2 * plan.adds_mm)
    assert longer > wider
    washed = grown_mm(results.ends, plan, Wash(width=0.9, length=0.8))
    assert washed == pytest.approx((0.9 * wider, 0.8 * longer))


# --- yarn --------------------------------------------------------------------------------


def test_fill_and_border_are_lines_of_their_own(results, edged):
    bare = Pipeline().settled_results(replace(edged, edging=None))
    for use, without in zip(results.yarn, bare.yarn, strict=True):
        assert use.body_m == without.body_m
    first, second = results.yarn
    assert first.fill_m > 0 and first.border_m == pytest.approx(results.border.length_m)
    assert second.fill_m > 0 and second.border_m == 0
    worked = first.body_m + first.foundation_m + first.fill_m + first.border_m
    assert first.length_m == pytest.approx(worked + first.tails_m + first.spare_m)
    assert first.tails_m == pytest.approx(bare.yarn[0].tails_m + 2 * 2 * 0.15)
    assert first.balls * edged.yarns[0].ball_m >= first.length_m


def test_a_new_colour_settles_nothing_again(edged):
    pipeline = Pipeline()
    before = pipeline.settled_results(edged)
    other = edits.set_end_fill(edged, "top", yarn=1)
    assert pipeline.work(other) is None
    assert pipeline.results(other).ends is before.ends
    taller = edits.set_end_fill(edged, "top", n_rows=2)
    left = pipeline.work(taller)
    assert left.only_ends
    assert left.start is before.fabric


def test_a_sketch_comes_before_the_settled_fill(edged):
    sketch = Pipeline().results(edged)
    assert not sketch.ends.settled
    assert len(sketch.ends.fills["top"].rows[0].repeat) == 12
    assert sketch.border is not None


# --- shapes ------------------------------------------------------------------------------


def test_cells_lie_side_by_side(results):
    for band in fill_bands(results.design, results.ends):
        cells = band.cells_mm
        assert cells.shape == (len(cells), 4, 2)
        assert (cells[:-1, 1] == cells[1:, 0]).all()
        assert (cells[:-1, 2] == cells[1:, 3]).all()
    assert cells_mm(cells[:1, 0], cells[:1, 3]).shape == (1, 4, 2)


def test_everything_is_within_the_extent(results):
    bands = fill_bands(results.design, results.ends)
    rim = rim_of(results.fabric, results.ends, results.border)
    left, bottom, right, top = extent_mm(results.fabric, bands, rim)
    bare = results.fabric.bounds_mm()
    assert left < bare[0] and bottom < bare[1] and right > bare[2] and top > bare[3]
    assert [band.yarn for band in bands] == [0, 1]


# --- file and edits ----------------------------------------------------------------------


def test_edging_survives_the_file(edged):
    own = FillRow(("sc",) * 2, ("hdc",) * 12, ("sl st",))
    design = edits.set_end_fill(edged, "top", own=(own,), n_rows=1)
    assert design_from_bytes(design_text(design).encode()) == checked(design)


def test_files_without_edging_or_with_an_empty_one_still_open(two_row_ripple):
    plain = design_text(two_row_ripple).encode()
    assert design_from_bytes(plain).edging is None
    empty = plain.replace(b'"title"', b'"edging": {}, "title"', 1)
    assert design_from_bytes(empty).edging == Edging()


@pytest.mark.parametrize(
    ("edging", "says"),
    [
        (Edging(top=EndFill(yarn=7)), "edging.top.yarn: there is no yarn 7"),
        (Edging(border=Border(yarn=2)), "edging.border.yarn: there is no yarn 2"),
        (Edging(bottom=EndFill(n_rows=9)), "edging.bottom.n_rows: expected an integer of 4"),
        (Edging(border=Border(rounds=0)), "edging.border.rounds: expected an integer of 1"),
    ],
)
def test_bad_edging_is_refused_with_its_place(two_row_ripple, edging, says):
    with pytest.raises((DesignError, ValueError), match=says):
        checked(replace(two_row_ripple, edging=edging))


def test_a_removed_yarn_leaves_its_edging_to_its_neighbour(edged):
    third = edits.add_yarn(edged, Yarn(name="Foam", colour="#ffffff", ball_m=100, ball_g=50))
    design = edits.set_edge_border(third, yarn=2)
    assert edits.remove_yarn(design, 2).edging.border.yarn == 1
    assert edits.remove_yarn(design, 0).edging.border.yarn == 1
    assert edits.remove_yarn(design, 0).edging.bottom.yarn == 0
    checked(edits.remove_yarn(design, 1))


def test_taking_everything_away_leaves_no_edging(edged):
    design = edits.remove_end_fill(edits.remove_end_fill(edged, "top"), "bottom")
    assert design.edging == Edging(border=edged.edging.border)
    assert edits.remove_edge_border(design).edging is None


# --- words -------------------------------------------------------------------------------


def words(results, terms="US"):
    return write_pattern(
        results.design,
        results.rows,
        terms=terms,
        yarn_of_row=results.yarn_of_row.tolist(),
        ends=results.ends,
        border=results.border,
    ).plain


def test_pattern_writes_the_fill_with_its_count_and_the_bump(results):
    text = words(results)
    top = results.ends.fills["top"]
    count = results.rows.makes(results.rows.drawn_rows)
    assert "Straight top and bottom" in text
    line = next(line for line in text.splitlines() if line.startswith("Row 13 (RS):"))
    assert line.endswith(f"({count} sts)")
    assert f"a bump of about {top.bump_mm:.0f} mm stays" in text
    assert "try a few repeats" in text
    assert "Bottom row 1 (RS):" in text


def worked(line):
    """Return the stitches that a written fill row makes, read again from its words."""
    import re

    body = line.split(": ", 1)[1]

    def count(part):
        found = 0
        for phrase in re.findall(r"[^,;]+", part):
            if "counts as" in phrase and "does not" not in phrase:
                found += 1
            match = re.search(r"in each of (?:the )?(?:next |first |last )?(\d+) sts", phrase)
            if match:
                found += int(match[1])
            elif re.search(r"in (?:next|first|last) st\b", phrase):
                found += 1
        return found

    match = re.match(r"(.*?)\*(.*?); repeat from \* .*?\((\d+) times in all\)(.*)", body)
    if match is None:
        return count(body.split(". (")[0])
    return count(match[1]) + int(match[3]) * count(match[2]) + count(match[4].split(". (")[0])


@pytest.mark.parametrize("n_rows", [1, 2])
def test_fill_rows_read_again_make_as_many_stitches_as_they_say(edged, n_rows):
    design = edits.set_end_fill(edits.set_end_fill(edged, "top", n_rows=n_rows), "bottom", yarn=1)
    text = words(Pipeline().settled_results(design))
    lines = [
        line
        for line in text.splitlines()
        if line.startswith(("Row 13", "Row 14", "Bottom row")) and " to " not in line.split(":")[0]
    ]
    assert len(lines) == n_rows + 1
    for line in lines:
        said = int(line.rsplit("(", 1)[1].split()[0])
        assert worked(line) == said == 60


def test_uk_words_name_no_us_stitch(results):
    text = words(results, "UK")
    fill = text[text.index("Straight top") : text.index("Stripes")]
    assert "sl st" not in fill and " sc" not in fill and "hdc" not in fill
    assert "ss in" in fill and "htr" in fill
    assert "trtr" not in text or "dtr" in text


def test_abbreviations_name_what_only_the_fill_uses(results):
    text = words(results)
    block = text[text.index("Abbreviations") : text.index("Special")]
    assert "sl st: slip stitch" in block
    assert "hdc: half double crochet" in block


def test_border_lines_state_ratio_totals_and_rounds(results):
    text, plan = words(results), results.border
    ratio = plan.per_row_ends
    assert f"Sides: {ratio.stitches} sc over every" in text
    assert f"{plan.side_total} along each side" in text
    assert "Corners: 3 sc in one." in text
    assert "a multiple of 4 plus 1 sts" in text
    assert f"Round 1: {plan.rounds[0]} sc." in text
    assert f"{plan.rounds[2]} in the last" in text


def test_yarn_of_the_border_alone_is_among_the_materials(edged):
    foam = Yarn(name="Foam", colour="#ffffff", ball_m=100, ball_g=50)
    design = edits.set_edge_border(edits.add_yarn(edged, foam), yarn=2)
    assert "Foam: 100 m" in words(Pipeline().settled_results(design))


def test_no_edging_no_words(two_row_ripple):
    results = Pipeline().settled_results(two_row_ripple)
    text = words(results)
    assert "Straight top" not in text
    assert "Border" not in text
