"""The stitch catalogue against what the trade prints."""

import math
from statistics import median

import pytest
from published_names import PUBLISHED
from published_tables import FLAT_DISC, SWATCHES

from core.craft.stitches import CATALOGUE, CHAIN, KEYS, NUMBER, RUNGS, WORKED, height_ratio

# Row height over stitch width of plain swatches: lowest, median, highest.
# Sources: the gauges printed in the patterns named in published_tables.py; the three figures were
# taken from them by hand. A gauge of 7 x 3 in plush yarn (2.33) is left out as an outlier.
PUBLISHED_PROPORTIONS = [("sc", 0.833, 0.889, 1.0), ("dc", 1.5, 1.6, 1.833)]

# Increases a round that keep a disc of each stitch flat.
# Sources: craftymaria.blogspot.com/2009/06/getting-your-circles-flat.html (6, 8, 12);
# crochets.top/crochet-shapes/crochet-circle-formula (6, 8, 12, tr 15-16)
DISC_INCREASES = {"sc": 6, "hdc": 8, "dc": 12, "tr": 16}

# How much taller than its swatches the flat-disc rule makes a stitch: the known disagreement.
DISC_OVER_SWATCH = [("sc", 0.07), ("hdc", -0.12), ("dc", 0.19), ("tr", 0.02)]


def swatch_proportion(stitch: str) -> float:
    return median(s.height_to_width for s in SWATCHES if s.stitch == stitch)


def disc_proportion(stitch: str) -> float:
    """Return h/w from the flat-disc rule: a ring h wider is 2 pi h / w stitches longer."""
    return DISC_INCREASES[stitch] / (2 * math.pi)


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda stitch: stitch.us)
def test_a_stitch_has_its_published_names_chain_and_yarn_overs(published):
    stitch = CATALOGUE[published.us]
    assert (stitch.us.short, stitch.us.long) == (published.us, published.us_long)
    assert (stitch.uk.short, stitch.uk.long) == (published.uk, published.uk_long)
    assert stitch.turning_chains == published.chains
    if published.counts is not None:
        assert stitch.chain_counts is published.counts
    assert stitch.yarn_overs == published.yarn_overs
    assert stitch.hand_moves == published.moves


def test_every_stitch_is_in_the_translation_chart():
    assert [published.us for published in PUBLISHED] == list(KEYS), (
        "tests/core/published_names.py: give each stitch of core/craft/stitches.py its names and "
        "turning chain there, in the same order, with where they are published"
    )


def test_a_uk_treble_is_a_us_double_crochet():
    # Source: the translation chart above.
    (uk_treble,) = [s for s in CATALOGUE.values() if s.uk.long == "treble"]
    assert uk_treble.us.long == "double crochet"


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("form", ["short", "long"])
def test_no_two_stitches_share_a_name_in_one_system(terms, form):
    names = [getattr(stitch.name(terms), form) for stitch in CATALOGUE.values()]
    assert len(set(names)) == len(names)


def test_a_turning_chain_of_none_never_counts():
    for stitch in CATALOGUE.values():
        assert stitch.turning_chains or not stitch.chain_counts, stitch.key


def test_a_chain_is_made_and_everything_else_is_worked():
    assert set(WORKED) == set(KEYS) - {CHAIN}, (
        "core/craft/stitches.py: name every stitch of the catalogue in `WorkedStitch`"
    )
    assert [KEYS[NUMBER[key]] for key in KEYS] == list(KEYS)


@pytest.mark.parametrize(("stitch", "low", "middle", "high"), PUBLISHED_PROPORTIONS)
def test_the_table_holds_the_published_swatches(stitch, low, middle, high):
    found = [s.height_to_width for s in SWATCHES if s.stitch == stitch]
    assert min(found) == pytest.approx(low, abs=5e-4)
    assert median(found) == pytest.approx(middle, abs=5e-4)
    assert max(found) == pytest.approx(high, abs=5e-4)


@pytest.mark.parametrize(("stitch", "within"), [("sc", 0.02), ("hdc", 0.04), ("dc", 0.04)])
def test_a_stitch_is_as_tall_as_in_the_middle_of_the_published_swatches(stitch, within):
    assert CATALOGUE[stitch].height_to_width == pytest.approx(swatch_proportion(stitch), rel=within)


def test_a_treble_is_as_tall_as_in_the_one_published_swatch():
    # Source: PAC0125-002711M, 10 tr and 4 rows over 4 in with a 6.5 mm hook.
    assert CATALOGUE["tr"].height_to_width == pytest.approx(10 / 4)


@pytest.mark.parametrize(("stitch", "increases"), DISC_INCREASES.items())
def test_the_table_holds_the_flat_disc_rule(stitch, increases):
    assert increases in FLAT_DISC[stitch]


@pytest.mark.parametrize(("stitch", "difference"), DISC_OVER_SWATCH)
def test_flat_discs_disagree_with_swatches_by_what_is_known(stitch, difference):
    found = disc_proportion(stitch) / swatch_proportion(stitch) - 1
    assert found == pytest.approx(difference, abs=0.007)


@pytest.mark.parametrize("stitch", DISC_INCREASES)
def test_a_stitch_is_no_taller_or_lower_than_swatches_and_flat_discs_say(stitch):
    low, high = sorted([swatch_proportion(stitch), disc_proportion(stitch)])
    assert low <= CATALOGUE[stitch].height_to_width <= high


@pytest.mark.parametrize(("taller", "low", "high"), [("hdc", 1.40, 1.60), ("dc", 1.70, 1.95)])
def test_rows_are_as_much_taller_than_sc_rows_as_measured(taller, low, high):
    # Sources: strips and squares measured by windchilde.com/bluedepth/tag/crochet give
    # sc : hdc : dc = 1 : 1.45 : 1.91; sheets CAC0502-031917M (13 sc x 14) and CAC0135-001742M
    # (13 dc x 8), the same stitch width, give sc : dc = 1 : 1.75.
    assert low <= height_ratio(taller, "sc") <= high


def test_a_double_treble_is_to_a_treble_as_their_turning_chains():
    # Source: turning chains 5 and 4 (dummies.com); that heights follow them: common practice.
    assert height_ratio("dtr", "tr") == pytest.approx(5 / 4)


def test_stitches_are_listed_from_the_lowest_to_the_tallest():
    heights = [CATALOGUE[key].height_to_width for key in WORKED]
    assert heights == sorted(heights), (
        "core/craft/stitches.py: put a stitch behind the lower ones, in `WorkedStitch` too"
    )


def test_published_waves_of_heights_step_over_the_usual_stitches_alone():
    # Their orders (sources in test_heights.py) know no stitch between two of these.
    assert RUNGS == ("sl st", "sc", "hdc", "dc", "tr", "dtr"), (
        "core/craft/stitches.py: a stitch between two of these is no rung (is_rung=False)"
    )


@pytest.mark.parametrize("stitch", WORKED)
def test_a_swatch_in_one_stitch_tells_another_and_back(stitch):
    assert height_ratio(stitch, stitch) == 1
    assert height_ratio(stitch, "dc") * height_ratio("dc", stitch) == pytest.approx(1)
