"""Written rows: right to the stitch, the same in both systems of terms.

The maker of `follow` works them from the text alone: what it makes is compared with the plan of the
row, stitch by stitch.
"""

import re

import pytest
from follow import ORDINAL, rows_told, worked
from hypothesis import assume, given
from hypothesis import strategies as st
from written import (
    NAMED,
    a_design,
    any_designs,
    closing,
    lines_of,
    pattern_text,
    plain,
    section,
    text_of,
)

from core.craft.stitches import KEYS
from core.design.document import (
    Design,
    Item,
    Loops,
    Row,
    Turning,
)
from core.rows.build import Rows, build_rows
from core.words.items import items_phrase
from core.words.repeats import copies, stretches
from core.words.vocabulary import vocabulary
from core.words.write import written_row, written_rows

# A whole pattern -----------------------------------------------------------------------------


def test_the_twelve_stitch_ripple_worked_by_hand(twelve):
    """Row 2 over 39 chains for 2 repeats, counted on paper.

    The chain and 1 dc use 1 and make 2. A repeat uses 3 + 4 + 3 + 2 = 12 and makes
    3 + 2 + 3 + 4 = 12. The end uses 3 + 4 + 3 + 1 = 11 and makes 3 + 2 + 3 + 2 = 10. So the row
    uses 1 + 24 + 11 = 36 and makes 2 + 24 + 10 = 36; with 3 chains to turn, 39.
    """
    assert text_of(twelve, 0) == "Ch 39 (a multiple of 12, plus 3)."
    assert text_of(twelve, 1) == (
        "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), *1 dc in each of next 3 ch, "
        "[dc2tog over next 2 ch] twice, 1 dc in each of next 3 ch, 2 dc in each of next 2 ch; "
        "repeat from * once more (twice in all), 1 dc in each of next 3 ch, [dc2tog over next 2 "
        "ch] twice, 1 dc in each of next 3 ch, 2 dc in last ch. (36 sts)"
    )
    assert text_of(twelve, 2) == (
        "Ch 3 (counts as 1 dc), turn. 1 dc in same st, *1 dc in each of next 3 sts, [dc2tog over "
        "next 2 sts] twice, 1 dc in each of next 3 sts, 2 dc in each of next 2 sts; repeat from "
        "* once more (twice in all), 1 dc in each of next 3 sts, [dc2tog over next 2 sts] twice, "
        "1 dc in each of next 3 sts, 2 dc in top of turning ch. (36 sts)"
    )


def test_a_written_row_carries_its_number_side_and_count(twelve):
    rows = build_rows(twelve)
    first, second = written_row(twelve, rows, 1), written_row(twelve, rows, 2)
    assert (first.label, first.side, first.row, first.count) == ("Row 1 (RS)", "RS", 1, 36)
    assert (second.label, second.side, second.row, second.count) == ("Row 2 (WS)", "WS", 2, 36)
    assert written_row(twelve, rows, 0).count == 39


def test_there_is_no_row_beyond_the_last(twelve):
    with pytest.raises(IndexError, match="no row 85 in 84 rows"):
        written_row(twelve, build_rows(twelve), 85)


def test_terms_are_those_of_the_design_unless_others_are_asked_for(twelve, row_of):
    british = a_design(row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), terms="UK")
    assert "Written in UK terms" in pattern_text(british, build_rows(british))
    assert "Written in US terms" in pattern_text(british, build_rows(british), terms="US")
    assert text_of(twelve, 2, "UK") == written_row(british, build_rows(british), 2).text


# Read back -----------------------------------------------------------------------------------


def assert_reads_back(design: Design, rows: Rows, terms: str) -> None:
    texts = [written_row(design, rows, row, terms=terms).text for row in range(len(rows.which) + 1)]
    made = worked(texts[0], texts[1:], terms)
    for row, reader in enumerate(made.rows, start=1):
        plan = rows.plan(row)
        # Chains that are only the turn, those made before row 1 among them.
        off = made.rows[0].chains - rows.foundation.base_stitches if row == 1 else 0
        assert reader.made == [KEYS[number] for number in plan.kind]
        links = [(int(child), int(parent) + off) for child, parent in plan.links]
        if design.turning.counts:  # where the chain itself stands, the text doesn't say
            links = links[1:]
        assert reader.links == links


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("name", NAMED)
def test_a_maker_who_follows_the_words_makes_the_planned_stitches(name, terms, request):
    design = request.getfixturevalue(name)
    assert_reads_back(design, build_rows(design), terms)


def test_chains_of_a_repeat_after_a_turning_chain_are_none_of_its_own(row_of):
    """Found by hypothesis: the last stitch goes into the turning chain's own end."""
    odd = row_of("", "1", "4")
    even = Row((Item(stitch="sl st"),), row_of("", "C1 1 K1", "").repeat, ())
    design = a_design(even, cycle=(odd, even), repeats=3, rows=3, turning=Turning(1, counts=True))
    assert written_row(design, build_rows(design), 3).text.endswith(
        "1 dc in 1st ch of turning ch. (7 sts)"
    )
    assert_reads_back(design, build_rows(design), "US")


@given(any_designs(), st.sampled_from(["US", "UK"]))
def test_the_numbers_in_the_words_add_up_to_the_row(design, terms):
    rows = build_rows(design)
    assert rows.misfit is None
    assert_reads_back(design, rows, terms)


@given(any_designs())
def test_written_once_and_repeated_every_row_is_told(design):
    rows = build_rows(design)
    told = rows_told(lines_of(design))
    assert told == {
        row: written_row(design, rows, row).text for row in range(1, len(rows.which) + 1)
    }


@given(any_designs())
def test_no_row_is_written_out_twice(design):
    texts = [line.text for line in written_rows(design, build_rows(design))]
    assert len({text for text in texts if not text.startswith("Work as")}) == len(
        [text for text in texts if not text.startswith("Work as")]
    )


@given(any_designs())
def test_the_first_chain_named_is_the_foundations(design):
    first = (design.wave.first.start + design.wave.first.repeat)[0]
    assume(first.stitch and (first.make > 1 or first.over > 1 or first.times > 1))
    assume(not first.chain)
    rows = build_rows(design)
    named = re.search(rf"{ORDINAL} (?:(?:and|to) \w+ )?ch from hook", text_of(design, 1))
    assert named
    assert int(named[1]) == rows.foundation.first_in


# Against patterns by others ------------------------------------------------------------------

PUBLISHED = [
    # knitty.com/ISSUEdf12/ripply.html: a multiple of 14 plus 3, begun in the 4th chain
    ("UK", "dc", (3, True), ("I2", "4 D2x2 4 I2x2", "4 D2x2 4 I2"), 1, 31,
     "1 tr in 4th ch from hook (the 3 missed ch count as 1 tr), "),
    # madebypurpje.com/2022/02/09/ripple-stitch: 12n + 3, 4th chain
    ("US", "dc", (3, True), ("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), 1, 27,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), "),
    # joann.com/lion-brand-vannas-choice-losdale-ripple-afghan: 165 ch, 2 in the 4th chain
    ("US", "dc", (3, True), ("I3 5 D3x2 5", "I3x2 5 D3x2 5", "I3"), 8, 165,
     "2 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), "),
    # cdn.shopify.com BRC0202-003788M.pdf: 105 ch, 4th chain
    ("US", "dc", (3, True),
     ("I2x3 K1 1 K1 1 K1 1 K1 1 K1 1 K1", "I2x6 K1 1 K1 1 K1 1 K1 1 K1 1 K1", "I2x3"), 5, 105,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), 2 dc in each of next 2 ch, "),
    # cdn.shopify.com BRC0125-003704M.pdf: 21 ch, skip 3, dc2tog over the next 2 is a dc3tog
    ("US", "dc", (3, True), ("D3 1 I5 2", "D5 2 I5", "1 D3"), 1, 21,
     "Dc2tog over 4th and 5th ch from hook (the 3 skipped ch and this dc2tog count as 1 dc3tog), "),
    # danettesangels.tripod.com/patterns/ripple.html: 66 ch, 4th chain
    ("US", "dc", (3, True), ("4", "I3 4 K2 4", "I3 4"), 5, 66,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), 1 dc in each of next 2 ch, "),
    # blog.lionbrand.com/my-go-to-blanket-stitch-the-wavy-chevron: 60 ch, 4th chain
    ("US", "dc", (3, True), ("I2", "5 D3 5 V", "5 D3 5 I2"), 3, 60,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), "),
    # crochetknitting4u.blogspot.com, lace-and-ripple blanket: 136 ch, 2 in the 5th chain
    ("US", "dc", (4, True), ("1 I2", "3 D2x3 3 I3", "3 D2x3 3 I2 1"), 9, 136,
     "2 dc in 5th ch from hook (the 4 skipped ch count as 1 dc), "),
    # silver-gateway.com, Project Linus #4: 198 ch, 3rd chain, the chain doesn't count
    ("US", "dc", (2, False),
     ("1 I2 2 I2", "2 D2 2 D2 2 D2 2 D2 2 I2 2 I2 2 I2 2 I2", "2 D2 2 D2 2 D2 2 D2 2 I2 2 I2 1"),
     6, 198, "1 dc in 3rd ch from hook (the 2 skipped ch do not count as sts), "),
    # forum.knittinghelp.com/t/fo-baby-blankets/32492: 152 ch, 2 in the 2nd chain
    ("US", "sc", (1, False), ("I2", "6 K2 6 I3", "6 K2 6 I2"), 9, 152,
     "2 sc in 2nd ch from hook (the skipped ch does not count as a st), "),
    # chattyspatterns.blogspot.com/2011/02: 173 ch, 2nd chain
    ("US", "sc", (1, False), ("1 K1", "7 I3 7 K2", "7 I3 7 K1 1"), 9, 173,
     "1 sc in 2nd ch from hook (the skipped ch does not count as a st), skip next ch, "),
    # freevintagecrochet.com, 5158: 119 ch, hdc in the 3rd chain
    ("US", "hdc", (2, False), ("7", "I3 7 K2 7", "I3 7"), 6, 119,
     "1 hdc in 3rd ch from hook (the 2 skipped ch do not count as sts), "),
    # common practice: ch-1 mesh in dc, of which the first dc goes into the 6th chain
    ("US", "dc", (3, True), ("1 C K1 1", "C K1 1", "C K1 1"), 2, 11,
     "Ch 1 more, 1 dc in 6th ch from hook (the first 4 of the 5 skipped ch count as 1 dc and "
     "1 ch), "),
]  # fmt: skip


@pytest.mark.parametrize(
    ("terms", "stitch", "turning", "row", "repeats", "chains", "begins"), PUBLISHED
)
def test_row_one_begins_where_published_patterns_begin(
    row_of, terms, stitch, turning, row, repeats, chains, begins
):
    design = a_design(
        row_of(*row, stitch), repeats=repeats, turning=Turning(chains=turning[0], counts=turning[1])
    )
    assert text_of(design, 0, terms).startswith(f"Ch {chains} (a multiple of")
    assert text_of(design, 1, terms).startswith(begins)


# The start of a row (common practice) ---------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "begins"),
    [
        ("I3 4", "Ch 3 (counts as 1 dc), turn. 2 dc in same st, 1 dc in each of next 4 sts, "),
        ("I2x2", "Ch 3 (counts as 1 dc), turn. 1 dc in same st, 2 dc in next st, "),
        ("3", "Ch 3 (counts as 1 dc), turn. Skip first st, 1 dc in each of next 2 sts, "),
        ("1 I2", "Ch 3 (counts as 1 dc), turn. Skip first st, 2 dc in next st, "),
        ("1 K1 3", "Ch 3 (counts as 1 dc), turn. Skip first 2 sts, 1 dc in each of next 3 sts, "),
        ("K1 4", "Ch 3 (counts as 1 dc), turn. Skip first 2 sts, 1 dc in each of next 3 sts, "),
        ("D2", "Ch 3, turn. Skip first st, 1 dc in next st (the turning ch and this dc count as "
         "1 dc2tog), "),
        ("D3", "Ch 3, turn. Skip first st, dc2tog over next 2 sts (the turning ch and this "
         "dc2tog count as 1 dc3tog), "),
        ("V 2", "Ch 4 (counts as 1 dc and 1 ch), turn. 1 dc in same st, "),
        ("1 C2 K2 3", "Ch 5 (counts as 1 dc and 2 ch), turn. Skip first 3 sts, 1 dc in each of "
         "next 3 sts, "),
    ],
)  # fmt: skip
def test_a_counted_chain_takes_the_place_of_the_first_stitch(row_of, start, begins):
    balance = row_of(start, "1", "")
    end = closing(balance.start, "dc")
    wave = row_of("", "3 I2 D2 3", "")
    design = a_design(Row(balance.start, wave.repeat, (*end, *plain(3))))
    assert text_of(design, 2).startswith(begins)


@pytest.mark.parametrize(
    ("start", "begins"),
    [
        ("I2", "Ch 1 (does not count as a st), turn. 2 sc in first st, "),
        ("1 I2", "Ch 1 (does not count as a st), turn. 1 sc in first st, 2 sc in next st, "),
        ("3", "Ch 1 (does not count as a st), turn. 1 sc in each of first 3 sts, "),
        ("D2 1", "Ch 1 (does not count as a st), turn. Sc2tog over first 2 sts, "),
        ("K1 3", "Ch 1 (does not count as a st), turn. Skip first st, 1 sc in each of next 3 sts"),
    ],
)
def test_a_chain_that_does_not_count_leaves_the_first_stitch_to_be_worked(row_of, start, begins):
    row = row_of(start, "3 I2 D2 3", "", "sc")
    design = a_design(
        Row(row.start, row.repeat, (*closing(row.start, "sc"), *plain(3))),
        turning=Turning(chains=1, counts=False),
    )
    assert text_of(design, 2).startswith(begins)


def test_without_a_turning_chain_the_row_just_turns(row_of):
    row = row_of("3", "3 I2 D2 3", "3", "sl st")
    design = a_design(row, turning=Turning(chains=0, counts=False))
    assert text_of(design, 1).startswith("1 sl st in 1st ch from hook, 1 sl st in each of next 2")
    assert text_of(design, 2).startswith("Turn. 1 sl st in each of first 3 sts, ")


# The end of a row (common practice) -----------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "end", "ends"),
    [
        ("I2", "3 D2x2 3 I2", "1 dc in each of next 3 sts, 2 dc in top of turning ch. (36 sts)"),
        ("1", "3", "1 dc in each of next 2 sts, 1 dc in top of turning ch. (28 sts)"),
        ("I2", "1 D2", "1 dc in next st, dc2tog over next st and top of turning ch. (28 sts)"),
        ("I3", "D3", "dc3tog over next 2 sts and top of turning ch. (28 sts)"),
        ("I2", "K1", "leave turning ch unworked. (26 sts)"),
        ("I3", "K2", "leave last st and turning ch unworked. (27 sts)"),
        ("D2", "3 I2", "2 dc in last st, leaving turning ch unworked. (30 sts)"),
        ("D2", "I2 D2x2 I2x2", "2 dc in each of last 2 sts, leaving turning ch unworked. (33 sts)"),
        (
            "V",
            "K2 2",
            "skip next 2 sts, 1 dc in next ch-1 sp, 1 dc in 3rd ch of turning ch. (29 sts, "
            "1 of them ch)",
        ),
    ],
)
def test_the_last_stitch_goes_where_the_row_below_began(row_of, start, end, ends):
    row = row_of(start, "3 D2x2 3 I2x2", end)
    design = a_design(row)
    rows = build_rows(design)
    assert rows.misfit is None
    assert written_row(design, rows, 2).text.endswith(ends)


def test_a_chain_that_does_not_count_is_never_worked_into(sc_ripple):
    assert text_of(sc_ripple, 2).endswith("2 sc in last st. (36 sts)")
    assert "Turning ch: it does not count as a st and is never worked into." in section(
        pattern_text(sc_ripple, build_rows(sc_ripple)), "Before you begin"
    )


# Repeats --------------------------------------------------------------------------------------


def test_one_repeat_needs_no_asterisks(twelve):
    assert text_of(twelve, 2, repeats=1) == (
        "Ch 3 (counts as 1 dc), turn. 1 dc in same st, 1 dc in each of next 3 sts, [dc2tog over "
        "next 2 sts] twice, 1 dc in each of next 3 sts, 2 dc in each of next 2 sts, 1 dc in each "
        "of next 3 sts, [dc2tog over next 2 sts] twice, 1 dc in each of next 3 sts, 2 dc in top "
        "of turning ch. (24 sts)"
    )


def test_the_repeats_still_to_come_and_all_of_them_are_named(twelve):
    for repeats, named in [(2, "once more (twice in all)"), (9, "8 more times (9 times in all)")]:
        assert f"; repeat from * {named}, " in text_of(twelve, 2, repeats=repeats)


def test_without_edges_the_repeats_that_begin_and_end_the_row_are_written_out(row_of):
    design = a_design(row_of("", "3 D2x2 3 I2x2", ""), repeats=5)
    text = text_of(design, 2)
    assert text.startswith("Ch 3 (counts as 1 dc), turn. Skip first st, 1 dc in each of next 2 sts")
    assert "; repeat from * 2 more times (3 times in all), " in text
    assert text.endswith("2 dc in next st, 2 dc in top of turning ch. (60 sts)")


def test_straight_rows_are_told_in_one_go(row_of):
    cloth = a_design(row_of("", "1", "", "sc"), repeats=20, turning=Turning(chains=1, counts=False))
    assert text_of(cloth, 2).endswith("turn. 1 sc in each of the 20 sts. (20 sts)")
    assert text_of(cloth, 0) == "Ch 21."


def test_neighbours_that_say_the_same_become_one(row_of, twelve):
    spelled_out = a_design(row_of("I2", "2 1 D2 D2 1 1 1 I2 I2", "3 D2 D2 2 1 I2"), rows=84)
    assert lines_of(spelled_out) == lines_of(twelve)


# Which rows -----------------------------------------------------------------------------------


def told(design: Design, **options) -> list[str]:
    return lines_of(design, **options)[1:]


def test_one_row_repeats_until_all_are_worked(twelve):
    assert [line.split(":")[0] for line in told(twelve)] == [
        "Row 1 (RS)",
        "Row 2 (WS)",
        "Rows 3 to 84",
    ]
    assert told(twelve)[-1] == "Rows 3 to 84: Repeat row 2 until 84 rows are worked. (36 sts)"


def test_a_cycle_repeats_as_a_whole_and_says_where_it_stops(ridged_ripple, sized):
    lines = told(sized(ridged_ripple, repeats=2, rows=12))
    assert [line.split(":")[0] for line in lines] == [
        "Row 1 (RS)",
        "Row 2 (WS)",
        "Row 3 (RS)",
        "Rows 4 to 12",
    ]
    assert lines[-1] == (
        "Rows 4 to 12: Repeat rows 2 to 3 until 12 rows are worked; the last is worked as row 2. "
        "(36 sts)"
    )


def test_a_row_met_before_is_named_instead_of_written_again(ridged_ripple):
    tall, low = ridged_ripple.wave.cycle
    design = a_design(tall, cycle=(tall, tall, low, low), rows=9)
    lines = told(design)
    assert [line.split(":")[0] for line in lines][-2:] == ["Row 5 (RS)", "Rows 6 to 9"]
    again = a_design(tall, cycle=(tall, tall, tall, low), rows=9)
    assert told(again)[2] == "Row 3 (RS): Work as row 2. (36 sts)"


def test_like_rows_one_after_another_are_told_in_one_line(ridged_ripple):
    tall, low = ridged_ripple.wave.cycle
    swap = a_design(tall, cycle=(tall,) * 5 + (low,) * 5, rows=40)
    labels = [line.split(": ")[0] for line in told(swap)]
    assert labels[:5] == ["Row 1 (RS)", "Row 2 (WS)", "Rows 3 to 5", "Row 6 (WS)", "Rows 7 to 10"]
    assert labels[-1] == "Rows 12 to 40"
    assert told(swap)[2] == "Rows 3 to 5: Repeat row 2 until 5 rows are worked. (36 sts)"
    mixed = a_design(tall, cycle=(tall, low, low, tall, low, low, tall, tall), rows=40)
    assert "Rows 5 to 7: Work as rows 2 to 4. (36 sts)" in told(mixed)


@given(st.lists(st.integers(0, 3), min_size=1, max_size=40))
def test_copies_give_back_every_row(kinds):
    rows: list[int] = []
    for part in copies(kinds, 1):
        assert part.first == len(rows) + 1
        if not part.of:
            assert part.rows == 1 and kinds[part.first - 1] not in rows
            rows.append(kinds[part.first - 1])
        for n in range(part.rows if part.of else 0):
            rows.append(rows[part.of - 1 + n])
    assert rows == kinds


def test_markers_go_into_the_first_stitch_of_every_repeat(twelve, sharp_wave, lacy_wave):
    """By hand: stitches before the repeat are those that the start edge makes."""
    for design, first, apart in ((twelve, 3, 12), (sharp_wave, 3, 11), (lacy_wave, 11, 17)):
        lines = section(pattern_text(design, build_rows(design, repeats=5)), "Rows")
        (line,) = [line for line in lines if line.startswith("Markers: ")]
        assert lines.index(line) == 2  # after the foundation and the set-up row
        ordinal = vocabulary("US").ordinal(apart)
        assert f"in st {first} of row 1 and in every {ordinal} st after it, 5 in all" in line
    one = pattern_text(twelve, build_rows(twelve, repeats=1))
    assert "Markers: put one in st 3 of row 1, where the only repeat begins" in one


def test_lace_is_crossed_from_the_end_of_the_row_below(row_of):
    """A fan near one edge is met last by the row that comes back over it."""
    fan = row_of("2", "6", "V K2 3")
    back = row_of("2", "6", "6")
    design = a_design(fan, cycle=(fan, back), turning=Turning(chains=3, counts=False), repeats=1)
    assert text_of(design, 1).endswith(
        "(1 dc, ch 1, 1 dc) in next ch, skip next 2 ch, 1 dc in each of last 3 ch. "
        "(14 sts, 1 of them ch)"
    )
    assert text_of(design, 2).endswith(
        "1 dc in each of first 4 sts, 1 dc in next ch-1 sp, 1 dc in each of last 9 sts. (14 sts)"
    )


def test_a_plain_row_over_lace_keeps_its_repeat(row_of):
    lace = row_of("3", "V K2 4", "3")
    design = a_design(lace, cycle=(lace, row_of("3", "7", "3")), repeats=9)
    text = text_of(design, 2)
    assert "*1 dc in each of next 5 sts, 1 dc in next ch-1 sp, 1 dc in next st; repeat" in text
    assert text.count("sp") == 1


def test_a_setup_row_is_told_before_the_rows_that_repeat(level_start):
    lines = told(level_start)
    assert lines[0] == (
        "Row 1 (RS): 1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), 1 dc in each of "
        "last 34 ch. (36 sts)"
    )
    assert lines[-1].startswith("Rows 3 to 8: Repeat row 2 until 8 rows are worked.")


def test_rows_before_the_loops_change_repeat_among_themselves(twelve):
    design = a_design(twelve.wave.row, rows=20, loops=Loops(work_in="back", from_row=9))
    assert [line.split(":")[0] for line in told(design)] == [
        "Row 1 (RS)",
        "Row 2 (WS)",
        "Rows 3 to 8",
        "Row 9 (RS)",
        "Rows 10 to 20",
    ]


def test_a_single_row_more_is_worked_as_the_one_it_repeats(twelve):
    assert told(a_design(twelve.wave.row, rows=3))[-1] == "Row 3 (RS): Work as row 2. (36 sts)"


@given(st.lists(st.integers(0, 3), min_size=1, max_size=30))
def test_a_stretch_gives_back_every_row(kinds):
    (stretch,) = stretches(kinds, [1])
    assert [kinds[stretch.like(row) - 1] for row in range(1, len(kinds) + 1)] == kinds


def test_rows_from_the_misfit_on_are_not_written(losing_wave):
    lines = lines_of(losing_wave)
    assert len(lines) == 3
    assert lines[-1] == (
        "Row 2 (WS): Not written: it takes 46 sts, but row 1 has 45. The rows from here on can be "
        "written once the two agree."
    )
    rows = build_rows(losing_wave)
    assert written_row(losing_wave, rows, 5).text == written_row(losing_wave, rows, 2).text
    assert "Fasten off" not in pattern_text(losing_wave, rows)


# Loops, chains, mixed stitches ----------------------------------------------------------------


def test_loops_are_named_once_in_every_row_they_apply_to(twelve):
    back = a_design(twelve.wave.row, loops=Loops(work_in="back"))
    assert "loops" not in text_of(back, 1)
    assert text_of(back, 2).startswith(
        "Ch 3 (counts as 1 dc), turn. Working in back loops only: 1 dc in same st, "
    )
    assert text_of(back, 2).count("loops") == 1


def test_the_last_stitch_through_both_loops_is_said(twelve):
    front = a_design(
        twelve.wave.row, loops=Loops(work_in="front", from_row=3, last_stitch_both=True)
    )
    assert "loops" not in text_of(front, 2)
    assert "turn. Working in front loops only, last st through both loops: 1 dc" in text_of(
        front, 3
    )
    rules = "\n".join(section(pattern_text(front, build_rows(front)), "Before you begin"))
    assert "from row 3 on, work in the front loops only (the loops towards you)" in rules


def test_a_chain_below_is_named_where_it_is_worked_into(lacy_wave):
    assert (
        "(1 dc, ch 1, 1 dc) in next ch-1 sp, *1 dc in each of next 7 sts, skip next 2 sts"
        in text_of(lacy_wave, 2)
    )
    assert text_of(lacy_wave, 2).endswith("(51 sts, 3 of them ch)")
    rules = "\n".join(section(pattern_text(lacy_wave, build_rows(lacy_wave)), "Before you begin"))
    assert "Ch-sp: work into the space under the ch, not into the ch itself." in rules


def test_a_row_that_crosses_a_chain_counts_stitches_and_chains_apart(row_of):
    lace = row_of("3", "V K2 4", "3")
    plain = row_of("3", "7", "3")
    design = a_design(lace, cycle=(lace, plain), turning=Turning(chains=1, counts=False))
    assert text_of(design, 2).endswith(
        "1 dc in each of first 3 sts, *1 dc in each of next 5 sts, 1 dc in next ch-1 sp, 1 dc in "
        "next st; repeat from * once more (twice in all), 1 dc in each of last 3 sts. (20 sts)"
    )


def test_mixed_stitches_each_have_their_name(every_stitch):
    assert "(1 hdc, ch 1, 1 hdc) in next " in text_of(every_stitch, 3)
    assert "(1 htr, ch 1, 1 htr) in next " in text_of(every_stitch, 3, "UK")
    assert "[sl st2tog over next 2" in text_of(every_stitch, 1)


def test_items_alone_read_as_in_the_middle_of_a_row(items_of):
    items = items_of("3 D2x2 3 I2x2 K2 C V")
    assert items_phrase(items, vocabulary("UK")) == (
        "1 tr in each of next 3 sts, [tr2tog over next 2 sts] twice, 1 tr in each of next 3 sts, "
        "2 tr in each of next 2 sts, miss next 2 sts, ch 1, (1 tr, ch 1, 1 tr) in next st"
    )


def test_the_longest_blanket_is_written_without_waiting(row_of):
    """5,000 rows in a cycle of 40 kinds; each kind is worded once."""
    kinds = tuple(row_of(f"I2 {n + 1}", "3 D2x2 3 I2x2", f"{41 - n} D2") for n in range(40))
    design = a_design(kinds[0], cycle=kinds, rows=5000)
    assert len(lines_of(design)) == 1 + 1 + 40 + 1
