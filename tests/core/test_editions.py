"""Several sizes in one text, proposed sizes, facts and their cautions."""

import re

import msgspec
import pytest

from core.craft.tables import PRAM_MM, USUAL_SIZES_MM
from core.design import edits
from core.design.document import MAX_SIZES, Border, Edging, EndFill, NamedSize, Stripe
from core.design.files import design_from_bytes, design_text
from core.editions import (
    Edition,
    facts_of,
    in_size,
    measures_in_size,
    pattern_of,
    proposed_sizes,
    size_told,
    sizes_in_order,
)
from core.errors import DesignError, Stopped
from core.pipeline import Pipeline
from core.words.pattern import Paragraph, Table
from core.words.sizes import in_figures
from core.words.vocabulary import vocabulary

SIZES = (
    NamedSize(name="throw", repeats=9, rows=61),
    NamedSize(name="strip", repeats=1, rows=10),
    NamedSize(name="lap", repeats=5, rows=40),
)


@pytest.fixture(scope="module")
def ripple(two_row_ripple):
    """The 12-stitch ripple, 3 repeats of 24 rows, with a border, in three more sizes."""
    edging = Edging(top=EndFill(), border=Border(rounds=2))
    design = edits.set_size(two_row_ripple, repeats=3, rows=24)
    return msgspec.structs.replace(design, edging=edging, sizes=SIZES)


@pytest.fixture(scope="module")
def results(ripple):
    return Pipeline().results(ripple)


def lines_of(pattern, name):
    return [block.plain for block in pattern.section(name).blocks]


def test_the_table_counts_the_stripes_that_the_list_tells(ripple):
    """Two stripes in one yarn that are called differently stay two, in both."""
    sequence = (Stripe(0, 2, label="foam"), Stripe(0, 2, label="spray"), Stripe(1, 2))
    design = edits.set_values(
        edits.set_sequence(ripple, sequence), sizes=(NamedSize(name="lap", repeats=5, rows=42),)
    )
    pattern = pattern_of(Pipeline().results(design), Edition(size="all"))
    (table,) = (b for b in pattern.section("sizes").blocks if isinstance(b, Table))
    counted = [row[table.head.index("Stripes")] for row in table.rows]
    assert counted == [str(3 * 24 // 6), str(3 * 42 // 6)]  # three stripes in every six rows


# The text for all sizes ------------------------------------------------------------------------


def picked(text: str, number: int, n: int) -> str:
    """Return a text for several sizes as a maker reads it for one: the figure at its place."""
    figure = r"\d+(?:\.\d+)?"
    pattern = re.compile(rf"({figure}) \(({figure}(?:, {figure}){{{n - 2}}})\)")
    return pattern.sub(lambda m: [m[1], *m[2].split(", ")][number], text)


def test_sizes_stand_from_small_to_large_the_own_among_them(ripple):
    assert [size.repeats for size in sizes_in_order(ripple)] == [1, 3, 5, 9]
    named = edits.set_size(ripple, repeats=5, rows=40)
    assert [size.name for size in sizes_in_order(named)] == ["strip", "lap", "throw"]


def test_rows_name_a_figure_for_every_size_in_the_same_order(results):
    pattern = pattern_of(results, Edition(size="all"))
    rows = lines_of(pattern, "rows")
    # Common practice: 12 stitches a repeat and 12 for both edges, 3 chains to turn.
    assert rows[0] == "Foundation: With Sea, ch 27 (51, 75, 123), a multiple of 12 plus 3."
    assert "; repeat from * 0 (2, 4, 8) more times, " in rows[1]
    assert rows[1].endswith("2 dc in last ch. 24 (48, 72, 120) sts.")
    assert rows[-2].startswith(
        "Rows 3 to 10 (24, 40, 61): Repeat row 2 until 10 (24, 40, 61) rows are worked"
    )
    assert "figures stand in this order: strip (this size, lap, throw)" in pattern.plain.lower()


@pytest.mark.parametrize("number", range(4))
def test_each_size_picked_from_the_text_is_that_size_by_itself(results, number):
    """Numbers of the one-size copy, read from the text for all by their place."""
    several = pattern_of(results, Edition(size="all"))
    size = sizes_in_order(results.design)[number]
    alone = pattern_of(in_size(results, size))
    mine = [picked(line, number, 4) for line in lines_of(several, "rows")]
    theirs = lines_of(alone, "rows")
    assert len(mine) == len(theirs)
    for one, two in zip(mine, theirs, strict=True):
        if size.repeats > 1:
            assert figures(one) == figures(two)
        # a repeat worked once is marked in the text for all, and written out in its own
        count = re.compile(r"(\d+) sts[.)]+$")
        assert count.findall(one) == count.findall(two)


def figures(text: str) -> list[str]:
    """Return a row's figures, without how often in all, which the text for all leaves out."""
    text = re.sub(r" \((?:once|twice|\d+ times) in all\)", "", text)
    return re.findall(r"\d+", text.replace("once more", "1 more"))


def test_what_only_some_sizes_have_says_which(results):
    lines = lines_of(pattern_of(results, Edition(size="all")), "stripes")
    # 4 rows a sequence: 10 and 61 rows leave 2 and 1, 24 and 40 leave none.
    assert [line for line in lines if line.startswith("Repeat rows 1 to 4")] == [
        "Repeat rows 1 to 4 of the stripe sequence 1 (5, 9, 14) more times: "
        "8 (24, 40, 60) rows in all."
    ]
    assert "Then work rows 1 to 2 of the sequence again: 10 rows in all. (strip)" in lines
    assert "Then work row 1 of the sequence again: 61 rows in all. (throw)" in lines


def test_the_table_has_chains_rows_stripes_measures_and_yarn(results):
    section = pattern_of(results, Edition(size="all")).section("sizes")
    (table,) = (block for block in section.blocks if isinstance(block, Table))
    assert table.head[:7] == ("Size", "Chains", "Repeats", "Rows", "Stripes", "Width", "Length")
    assert table.head[7:] == ("Sea", "Sand")
    assert [row[:5] for row in table.rows] == [
        ("strip", "27", "1", "10", "5"),
        ("this size", "51", "3", "24", "12"),
        ("lap", "75", "5", "40", "20"),
        ("throw", "123", "9", "61", "31"),
    ]
    grams = [float(re.match(r"(\d+)", row[7])[1]) for row in table.rows]
    assert grams == sorted(grams) and grams[0] < grams[-1]


def test_every_width_is_its_repeats_and_the_edges_and_the_border(results):
    """By the figures that are printed."""
    section = pattern_of(results, Edition(size="all")).section("sizes")
    rule = next(b.text for b in section.blocks if isinstance(b, Paragraph) and "Width" in b.text)
    repeat, edges, border = map(float, re.findall(r"([\d.]+) cm", rule))
    (table,) = (block for block in section.blocks if isinstance(block, Table))
    for row in table.rows:
        width = float(row[5].removesuffix(" cm"))
        assert width == pytest.approx(int(row[2]) * repeat + edges + border, abs=0.11)
    assert border > 0
    facts = facts_of(results)
    assert float(table.rows[1][5].removesuffix(" cm")) == pytest.approx(
        facts.full_width_mm / 10, abs=0.05
    )


def test_a_copy_for_one_size_is_written_as_that_size(results):
    pattern = pattern_of(results, Edition(size=0))  # the first of the list
    assert lines_of(pattern, "rows")[0].startswith("Foundation: With Sea, ch 123 (")
    assert pattern.section("sizes") is None
    several = pattern_of(results, Edition(size="all")).section("sizes")
    (table,) = (block for block in several.blocks if isinstance(block, Table))
    width, length = (f"{float(cell.split()[0]):.0f}" for cell in table.rows[-1][5:7])
    with_border = lines_of(pattern, "size")[1]
    assert with_border.startswith(f"About {width} x {length} cm")
    assert pattern_of(results, Edition(size=7)).plain == pattern_of(results).plain


def test_one_size_alone_has_no_table(two_row_ripple):
    results = Pipeline().results(two_row_ripple)
    assert pattern_of(results, Edition(size="all")).plain == pattern_of(results).plain


def test_writing_all_sizes_can_be_stopped(results):
    with pytest.raises(Stopped):
        pattern_of(results, Edition(size="all"), should_stop=lambda: True)


def test_figures_that_are_the_same_stand_once():
    words = vocabulary("US")
    assert in_figures(["39", "51", "63"], words) == "39 (51, 63)"
    assert in_figures(["4", "4"], words) == "4"
    assert in_figures(["39", "51"], vocabulary("US", spelled=True)) == "39, or 51"


# Proposed sizes, the design file ---------------------------------------------------------------


def test_usual_sizes_are_the_nearest_whole_repeats_and_rows(results):
    wave = results.wave
    proposed = proposed_sizes(results)
    assert [size.name for size in proposed] == [name for name, _, _ in USUAL_SIZES_MM]
    for size, (_, width_mm, length_mm) in zip(proposed, USUAL_SIZES_MM, strict=True):
        wide, long = measures_in_size(results, size)
        assert abs(wide - width_mm) <= 0.5 * wave.repeat_width_mm + 1e-6
        assert abs(long - length_mm) <= 0.5 * wave.rise_mm + 1e-6


def test_rows_that_do_not_fit_have_no_sizes(losing_wave):
    results = Pipeline().results(losing_wave)
    assert proposed_sizes(results) == ()
    assert measures_in_size(results, SIZES[0]) is None


def test_sizes_are_kept_in_the_file_and_left_out_where_there_are_none(ripple, two_row_ripple):
    assert design_from_bytes(design_text(ripple).encode()).sizes == SIZES
    assert design_from_bytes(design_text(two_row_ripple).encode()).sizes == ()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"repeats": 9', '"repeats": 0', r"sizes\[0\]\.repeats"),
        ('"rows": 61', '"rows": 5001', r"sizes\[0\]\.rows"),
        ('"name": "throw"', '"name": ""', r"sizes\[0\]\.name"),
        ('"name": "throw"', '"title": "throw"', r"sizes\[0\]"),
        ('"repeats": 9', '"repeats": 1000', r"sizes\[0\]: 61 rows of up to"),
    ],
)
def test_bad_sizes_are_refused_with_their_place(ripple, old, new, says):
    text = design_text(ripple)
    compact = re.sub(r'"name": "throw",\s*"repeats": 9,\s*"rows": 61',
                     '"name": "throw", "repeats": 9, "rows": 61', text)  # fmt: skip
    assert old in compact
    with pytest.raises(DesignError, match=says):
        design_from_bytes(compact.replace(old, new).encode())


def test_a_design_holds_only_so_many_sizes(ripple):
    many = msgspec.structs.replace(ripple, sizes=SIZES[:1] * (MAX_SIZES + 1))
    with pytest.raises(DesignError, match="sizes"):
        design_from_bytes(design_text(many).encode())


# Facts -----------------------------------------------------------------------------------------


def test_facts_are_those_of_the_results(results):
    facts = facts_of(results)
    assert facts.width_mm == results.size.width_mm
    assert facts.repeat_mm == results.wave.repeat_width_mm
    assert facts.tails == results.tails
    assert facts.amounts[0].balls == results.yarn[0].balls
    assert facts.has_fill and facts.has_border and facts.carried


def test_a_small_blanket_is_told_with_its_cautions(results, sharp_wave):
    assert min(results.size.width_mm, results.size.length_mm) < PRAM_MM[0]
    assert any("infant" in line for line in size_told(results))
    care = "\n".join(lines_of(pattern_of(results), "care"))
    assert "follow your local safe-sleep guidance" in care and "small fingers" not in care
    holes = pattern_of(Pipeline().results(sharp_wave)).section("care").plain
    assert "small fingers" in holes
    large = Pipeline().results(edits.set_size(results.design, repeats=20, rows=120))
    assert "infant" not in pattern_of(large).plain


def test_yarn_is_carried_only_where_every_stripe_is_even(results):
    odd = edits.set_size(results.design, rows=23)
    assert "carried loosely up the side" in pattern_of(results).plain
    assert "carried" not in pattern_of(Pipeline().results(odd)).plain


def test_materials_state_length_weight_balls_and_spare(results):
    lines = lines_of(pattern_of(results), "materials")
    use = results.yarn[0]
    assert lines[0] == (
        f"Sea: 105 m in a ball of 50 g: {use.balls} balls, about {use.length_m:.0f} m "
        f"({use.mass_g:.0f} g) with tails, {use.spare_m:.0f} m of it spare"
    )
    assert lines[-1] == "Hook: 5 mm"
