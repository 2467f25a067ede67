"""The foundation chain: three rules, and the ripples that everybody works."""

import pytest

from core.design.document import Turning
from core.rows.build import build_rows
from core.rows.foundation import foundation_of
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.words.write import written_row

COUNTS = Turning(chains=3, counts=True)
STANDS_BESIDE = Turning(chains=3, counts=False)


@pytest.fixture
def chain_for(row_of):
    """Return the foundation of a row: start, repeat, end, turning chain, repeats."""

    def foundation(start, repeat, end, turning, repeats=2):
        return foundation_of(row_of(start, repeat, end), turning, repeats)

    return foundation


# --- the three rules ---------------------------------------------------------------------


def test_a_counting_chain_in_the_first_stitchs_place_comes_on_top(chain_for):
    # 36 chains for the stitches and 3 that are a dc themselves: the first place takes both.
    # Source: madebypurpje.com/2022/02/09/ripple-stitch (a multiple of 12, plus 3; dc in 4th ch).
    foundation = chain_for("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2", COUNTS)
    assert (foundation.base_stitches, foundation.chains, foundation.first_in) == (36, 39, 4)


def test_a_counting_chain_on_its_own_foot_stands_on_one_of_its_chains(chain_for):
    # 14 dc in a straight row: chain 16, dc in the 4th; the 3 skipped are the first dc, and the
    # lowest of them is its foot. Common practice.
    foundation = chain_for("1", "6", "1", COUNTS)
    assert (foundation.base_stitches, foundation.chains, foundation.first_in) == (14, 16, 4)


def test_a_counting_chain_as_leg_of_a_decrease_stands_on_its_own_foot(chain_for):
    # Source: BRC0125-003704M: chain 21, skip 3, dc2tog over the next 2 = dc3tog.
    foundation = chain_for("D3 1", "I5 2 D5 2", "I5 1 D3", COUNTS, repeats=1)
    assert (foundation.base_stitches, foundation.chains, foundation.first_in) == (19, 21, 4)


def test_a_chain_that_does_not_count_comes_on_top(chain_for):
    foundation = chain_for("1", "6", "1", STANDS_BESIDE)
    assert (foundation.base_stitches, foundation.chains, foundation.first_in) == (14, 17, 4)


def test_straight_single_crochet_takes_one_chain_more_than_stitches(chain_for):
    # Source: chain 1, sc in the 2nd chain from the hook (dummies.com, turning chains).
    foundation = chain_for("", "5", "", Turning(chains=1, counts=False), repeats=4)
    assert (foundation.base_stitches, foundation.chains, foundation.first_in) == (20, 21, 2)


@pytest.mark.parametrize(
    ("stitch", "chain"),
    [("sc", "2nd"), ("hdc", "3rd"), ("dc", "4th"), ("tr", "5th"), ("dtr", "6th")],
)
def test_the_first_stitch_goes_into_the_published_chain_from_the_hook(stitch, chain):
    # dummies.com and woollykits.com on turning chains: so many are skipped, and the next is it.
    design = starter(FAMILIES[0], stitch=stitch)
    first = written_row(design, build_rows(design), 1).text
    assert f"in {chain} ch from hook" in first


@pytest.mark.parametrize("first", ["I2", "I3", "V"])
def test_whatever_shares_the_first_place_shares_the_chains_foot(chain_for, first):
    assert chain_for(first, "6", "", COUNTS).turn == 3


@pytest.mark.parametrize("first", ["1", "4", "D2", "D7"])
def test_whatever_stands_alone_first_gives_the_chain_its_own_foot(chain_for, first):
    assert chain_for(first, "6", "", COUNTS).turn == 2


def test_without_a_start_edge_the_repeat_says_how_the_row_begins(chain_for):
    assert chain_for("", "I2 3 D2x2 3 I2", "", COUNTS).turn == 3
    assert chain_for("", "3 D2x2 3 I2x2", "", COUNTS).turn == 2


@pytest.mark.parametrize("chains", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("counts", [True, False])
@pytest.mark.parametrize("first", ["1", "I2", "D2"])
def test_the_first_stitch_always_goes_into_the_chain_after_the_turning_chain(
    chain_for, first, chains, counts
):
    foundation = chain_for(first, "6", "", Turning(chains=chains, counts=counts))
    assert foundation.first_in == chains + 1
    # Seen from the other end: all base chains but the one the counting chain stands on are
    # still to be worked from there on.
    own_foot = counts and first != "I2"
    worked_or_passed = foundation.base_stitches - own_foot
    assert foundation.chains - worked_or_passed == chains


# --- multiple and extra ------------------------------------------------------------------


@pytest.mark.parametrize("repeats", [1, 2, 5, 12])
def test_one_more_repeat_takes_one_more_multiple(chain_for, repeats):
    row = ("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2", COUNTS)
    one, more = chain_for(*row, repeats=1), chain_for(*row, repeats=repeats)
    assert more.chains - one.chains == (repeats - 1) * 12
    assert (more.multiple, more.extra) == (12, 3)


# The common ripples by the plain stitches n on each slope: half peak, peak, dip, what the repeat
# has beyond 2n, and what the chain has beyond whole repeats (3 for the counting chain, and 1 more
# where two half peaks take one place more than a whole one).
# Common practice; with sources in test_published_ripples: 12 = 2 x 3 + 6, plus 3, and
# 14 = 2 x 4 + 6, plus 3 (doubled twos); 14 = 2 x 5 + 4, plus 4 (3 together); 17 = 2 x 7 + 3
# (2a + 3, chattyspatterns.blogspot.com 2011-02); 18 = 2 x 5 + 8, plus 3 (doubled threes).
COMMON = [
    pytest.param("I2", "I2x2", "D2x2", 6, 3, id="doubled 2-in-1 and 2tog"),
    pytest.param("I2", "I3", "D3", 4, 4, id="3-in-1 and 3tog"),
    pytest.param("I2", "I3", "K2", 3, 4, id="3-in-1 and skip 2"),
    pytest.param("I3", "I3x2", "D3x2", 8, 3, id="doubled 3-in-1 and 3tog"),
]


@pytest.mark.parametrize("slope", [1, 2, 3, 4, 5, 7, 10])
@pytest.mark.parametrize(("half", "peak", "dip", "beyond", "extra"), COMMON)
def test_a_common_ripple_repeats_over_both_slopes_its_peak_and_its_dip(
    row_of, design_of, half, peak, dip, beyond, extra, slope
):
    up_and_down = f"{slope} {dip} {slope}"
    row = row_of(half, f"{up_and_down} {peak}", f"{up_and_down} {half}")
    rows = build_rows(design_of(row, repeats=3, rows=5))
    assert rows.foundation.multiple == 2 * slope + beyond
    assert rows.foundation.extra == extra
    assert rows.misfit is None


# --- set-up rows -------------------------------------------------------------------------


def test_a_set_up_row_decides_the_foundation_by_the_same_arithmetic(level_start, two_row_ripple):
    # Both have 36 stitches; the plain row 1 gives the chain its own foot.
    assert build_rows(level_start).foundation.chains == 36 + 3 - 1
    assert build_rows(two_row_ripple).foundation.chains == 36 + 3


def test_a_repeat_worked_into_no_chain_is_refused(row_of):
    with pytest.raises(ValueError, match="its multiple would be 0"):
        row_of("5", "C", "1")
