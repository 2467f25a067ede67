"""The turning chain suits the first stitch of each row: in the rows, the words and the chart."""

import re

import pytest
from published_names import PUBLISHED
from some import some

from core.chart.layout import lay_out
from core.chart.symbols import NAMES, PLAIN, STACKED
from core.craft.stitches import CATALOGUE, WORKED
from core.design import edits
from core.design.document import Row, Turning
from core.fabric.sheet import sketch_fabric
from core.records import replace
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.turning import first_stitch, turning_of_row
from core.rows.waves import FAMILIES, shape_of, wave_of
from core.words.write import write_pattern, written_row

CHAINS = {stitch.us: stitch.chains for stitch in PUBLISHED}


@pytest.fixture(scope="module")
def tall_and_short():
    """A wave of heights with dips at both edges: rows begin with sc and with tr in turn."""
    family = next(family for family in FAMILIES if family.is_of_heights)
    design = edits.set_size(starter(family), repeats=3, rows=8)
    return edits.set_wave(design, wave_of(replace(shape_of(design.wave), near="dip", far="dip")))


@pytest.mark.parametrize("stitch", WORKED)
def test_a_row_takes_the_published_number_for_its_first_stitch(tall_and_short, row_of, stitch):
    row = row_of("3", "6", "3", stitch)
    assert first_stitch(row) == stitch
    mine = turning_of_row(tall_and_short, row)
    assert mine == Turning(CHAINS[stitch], counts=False)
    counted = turning_of_row(edits.set_turning(tall_and_short, counts=True), row)
    assert counted == Turning(max(CHAINS[stitch], 1), counts=True)
    assert CATALOGUE[stitch].turning_chains == CHAINS[stitch]


def test_the_designers_own_number_holds_for_the_stitch_of_row_1(ridged_ripple):
    own = edits.set_turning(ridged_ripple, chains=2, counts=False)
    tall, low = own.wave.cycle
    assert turning_of_row(own, tall) == Turning(2, counts=False)
    assert turning_of_row(own, low) == Turning(1, counts=False)


def test_rows_that_begin_alike_all_have_the_designs_own(two_row_ripple, sc_ripple, lacy_wave):
    for design in (two_row_ripple, sc_ripple, lacy_wave):
        for row in some(design.wave.rows_in_turn):
            assert turning_of_row(design, row) is design.turning


def test_a_row_may_begin_with_a_skip(tall_and_short, row_of):
    row = row_of("K1 1", "6", "I2", "tr")
    assert turning_of_row(tall_and_short, Row(row.start, row.repeat, row.end)).chains == 4


def test_each_row_names_its_own_chain_and_the_rule_says_why(tall_and_short):
    rows = build_rows(tall_and_short)
    texts = [written_row(tall_and_short, rows, row, terms="US").text for row in (2, 3)]
    assert texts[0].startswith("Ch 4 (does not count as a st), turn. 1 tr in first st, ")
    assert texts[1].startswith("Ch 1 (does not count as a st), turn. 1 sc in first st, ")
    rules = write_pattern(tall_and_short, rows, terms="US").section("rules").plain
    assert "suits the first st of the row: ch 1 before sc, ch 4 before tr." in rules


def test_a_counted_chain_is_that_stitch_and_is_met_at_its_top(tall_and_short):
    counted = edits.set_turning(tall_and_short, counts=True)
    rows = build_rows(counted)
    assert rows.misfit is None
    texts = [written_row(counted, rows, row, terms="US").text for row in (2, 3)]
    assert texts[0].startswith("Ch 4 (counts as 1 tr), turn. Skip first st, ")
    assert texts[1].startswith("Ch 1 (counts as 1 sc), turn. Skip first st, ")
    assert all(" in top of turning ch. (" in text for text in texts)


@pytest.mark.parametrize("counts", [False, True])
def test_the_chart_draws_as_many_chains_as_the_words_name(tall_and_short, counts):
    design = edits.set_turning(tall_and_short, counts=counts)
    rows = build_rows(design)
    chart = lay_out(design, rows, sketch_fabric(design, rows))
    oval = NAMES.index(STACKED)
    for row in range(2, 6):
        named = int(re.match(r"Ch (\d+)", written_row(design, rows, row).text)[1])
        drawn = int(((PLAIN[chart.symbol] == oval) & (chart.row == row)).sum())
        assert drawn == named
