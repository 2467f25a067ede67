"""Ways of saying a row, each read to the stitches it makes, and what can't be read named."""

# ruff: noqa: E501 - wordings stand as they are typed

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.reading.reading import read_text
from core.reading.tokens import MAX_TEXT

# A row of 25 dc to be worked over; what each wording makes of it was counted by hand.
BELOW = "Ch 27.\nRow 1: Dc in 4th ch from hook, dc in next 23 ch. (25 dc)\n"

SAYINGS = [
    ("Row 2: Ch 3 (counts as dc), turn. Dc in next 24 sts.", 25),
    ("Row 2: Ch 3 (counts as dc), turn; dc in each st across.", 25),
    (
        "Row 2: ch 3 (counts as first dc here and throughout), turn, dc in each of the next 24 dc",
        25,
    ),
    ("Row 2: Turn. Ch 3 (counts as a st). 1 dc into each st to end. 25 sts", 25),
    ("Row 2: Ch-3, turn, dc in next 23 dc, dc in top of beg ch-3", 25),
    ("Row 2 (WS): Ch 3, turn; skip first dc, dc in next 23 dc, dc in 3rd ch of turning ch-3.", 25),
    ("Row 2 - Ch 1 (does not count as a st), turn, sc in each st across", 25),
    ("Row 2. Ch 1, turn, sc in first 25 sts", 25),
    ("2nd row: ch 1, turn, 1 sc in each of next 25 dc", 25),
    ("Row 2: Ch 1, turn. Sc in each st to last 2 sts, sc2tog.", 24),
    ("Row 2: Ch 1, turn. Sc2tog over first 2 sts, sc in next 21 sts, sc2tog over last 2 sts", 23),
    ("Row 2: Ch 1, turn. (Sc in next 2 sts, 2 sc in next st) 8 times, sc in last st.", 33),
    (
        "Row 2: Ch 1, turn. *Sc in next 2 sts, 2 sc in next st; rep from * 7 times more, sc in last st.",
        33,
    ),
    ("Row 2: Ch 1, turn. *Sc in next 2 sts, 2 sc in next st* 8 times, sc in last st.", 33),
    ("Row 2: Ch 1, turn. *Sc in next 2 sts, sc inc; rep from * to last st, sc in last st.", 33),
    ("Row 2: Ch 1, turn. *2 sc, inc* repeat 8 times, 1 sc.", 33),
    ("Row 2: Ch 1, turn. *sc 2, inc; rep from * across to last st, sc 1.", 33),
    (
        "Row 2: ch 1, turn, *2 single crochet, 2 single crochet in the next stitch; repeat from * until 1 stitch remains, single crochet in last stitch",
        33,
    ),
    ("Row 2: Chain one, turn. Work one single crochet in each stitch across.", 25),
    (
        "Row 2: Chain 3 (counts as a double crochet), turn. Skip first stitch, double crochet in each of the next 22 stitches, double crochet 2 together over next stitch and top of turning chain.",
        24,
    ),
    ("Row 2: Ch 3, turn. Dc in same st, dc in next 24 sts.", 26),
    ("Row 2: Ch 3 (counts as dc), turn. Working in back loops only, dc in next 24.", 25),
    ("Row 2: Ch 3 (counts as dc), turn. Dc blo in next 24 sts.", 25),
    ("Row 2: Ch 3 (counts as dc), turn. Dc in back loop only of next 24 sts.", 25),
    ("Row 2: Ch 3 (counts as dc), turn. Dc in BLO of each st across.", 25),
    ("Row 2: Ch 3 (counts as dc), turn. Dc through back loops of next 24 sts.", 25),
    ("Row 2: With B, ch 3 (counts as dc), turn, dc in next 24 sts. Change to color A.", 25),
    (
        "Row 2: Join B with sl st in first st. Ch 3 (counts as dc), dc in next 24 sts. Fasten off B.",
        25,
    ),
    ("Row 2: Ch 1, turn. Sc in next 11, sk next 3 sts, sc in next 11.", 22),
    ("Row 2: Ch 1, turn. Sc in next 11, skip three, sc in next 11.", 22),
    ("Row 2: Ch 1, turn. Sc in next 12, 3 sc in next st, sc in next 12. (27 sc)", 27),
    (
        "Row 2: Ch 1, turn. Sc in next 12, (sc, ch 2, sc) in next st, sc in next 12. (26 sc, 1 ch-2 sp)",
        28,
    ),
    (
        "Row 2: Ch 1, turn. Sc in next 12, [sc, ch 1, sc] all in next st, sc in next 12. (27 sts)",
        27,
    ),
    ("Row 2: Ch 1, turn. Sc in next 12, (3 sc in next st), sc in next 12.", 27),
    ("Row 2: Ch 1, turn. 12 sc, 3 sc in next st, 12 sc.", 27),
    ("Row 2: Ch 1, turn. 12 sc, 3-sc shell in next st, sc to end.", 27),
    ("Row 2: Ch 1, turn. Sc2tog, sc in next 21 sts, sc2tog.", 23),
    ("Row 2: Ch 1, turn. Sc dec over next 2 sts, sc in next 21 sts, sc dec.", 23),
    ("Row 2: Ch 1, turn. Sc next 2 sts together, sc in next 21 sts, sc 2 tog.", 23),
    ("Row 2: Ch 1, turn. (Sc2tog) 3 times, sc in next 13 sts, sc2tog 3 times.", 19),
    ("Row 2: Ch 1, turn. Sc2tog x 3, sc in next 13 sts, [sc2tog] x3.", 19),
    ("Row 2: Ch 1, turn. Sc2tog 3 times, sc in each of next 13 sts, sc3tog twice.", 18),
    ("Row 2: Ch 1, turn. Sc in next 23 sts, leave last 2 sts unworked.", 23),
    ("Row 2: Ch 1, turn. Sl st in first 3 sts, sc in next 22 sts.", 25),
    (
        "Row 2: Ch 1, turn. Sc in first st, hdc in next st, dc in next st, tr in next 19 sts, dc in next st, hdc in next st, sc in last st.",
        25,
    ),
    ("Row 2: Ch 1, turn. Sc, hdc, dc, tr in next 19 sts, dc, hdc, sc.", 25),
    ("Row 2: Ch 1, turn; sc in first st and in each of next 23 sts, sc in last st", 25),
    (
        "Row 2: Ch 1, turn. Sc in each of first 12 sts, 2 sc in each of next 2 sts, sc in each of last 11 sts.",
        27,
    ),
    ("Row 2: Ch 1, turn. Sc in first 12 sts; 2 sc in next 2 sts; sc in last 11 sts. (27)", 27),
    ("Row 2: Ch 1, turn. Sc in first 12 sts; 2 sc in next 2 sts; sc in last 11 sts. (25)", 25),
    ("Row 2: Ch 1, turn. 1 sc in each of the 25 sts.", 25),
    (
        "Row 2: Ch 1, turn. *Sc in next 5, sk 1, sc in next 5, 3 sc in next st; rep from * twice in all, sc in last st.",
        27,
    ),
    (
        "Row 2: Ch 1, turn. *Sc in next 5, sk 1, sc in next 5, 3 sc in next st; rep from * once, sc in last st.",
        27,
    ),
    (
        "Row 2: Ch 1, turn. *Sc in next 5, sk 1, sc in next 5, 3 sc in next st; rep from *, ending with sc in last st.",
        27,
    ),
    (
        "Row 2: Ch 1, turn. *Sc in next 5, sk 1, sc in next 5, 3 sc in next st; rep from * to within last st, sc in last st.",
        27,
    ),
    (
        "Row 2: Ch 1, turn. *Sc in next 5, sk 1, sc in next 5, 3 sc in next st, repeat from * across row until last st, sc in last st.",
        27,
    ),
    ("Row 2: Ch 1 and turn. Sc in every st across the row.", 25),
    ("Row 2: Ch 1, turn your work, sc in each sc across row.", 25),
    ("Row 2: Ch 1, turn. Sc evenly across.", 25),
    ("Row 2: Ch 1, turn. Sc across.", 25),
    ("Row 2: Ch 1, turn. Work 25 sc.", 25),
    ("Row 2: Ch 1, turn. 25 sc", 25),
    ("Row 2: Ch 1, turn. Increase in first st, sc in next 23 sts, inc.", 27),
    (
        "Row 2: Ch 1, turn. Sc in the next ten stitches, skip the next 5 stitches, sc in the last ten stitches.",
        20,
    ),
    ("Row 2: Ch 1, turn. Sc in next 10, miss 5, sc in last 10", 20),
    (
        "Row 2: Ch 1, turn. 5 sc in next st, skip 3 sts, 5 sc in next st, skip 3, sc in next 17 sts.",
        27,
    ),
    (
        "Row 2: Ch 1, turn. Sc in each of next 12 sts. Place 3 sc in next st. Sc in each of next 12 sts.",
        27,
    ),
    ("Row 2: Ch 1, turn. {sc in next 5} repeat 5 times", 25),
    (
        "Row 2: Ch 1, turn. Sc in next 12 sts, work (sc, ch 1, sc) into next st, sc into each of the remaining 12 sts.",
        27,
    ),
    (
        "Row 2: Ch 1, turn. Sc in next 12 sts, then sc in the next st, then sc in the last twelve.",
        25,
    ),
    ("Row 2: Ch 1, turn, 1 sc in next st, *1 sc in each of the next 4 sts, rep from * to end.", 25),
    ("Row 2: Ch 1, turn. Sc in next 12 sts, 3 sc in the center st, sc in next 12 sts", 27),
    ("Row 2: Ch 1, turn, scblo in each st across", 25),
    ("Row 2: Ch 1, turn, sc in blo in each st across", 25),
    ("Row 2: Ch 1, turn. Dc dec 2 over next 2 sts, dc in rem 23 sts", 24),
    ("Row 2: Ch 1, turn. Sc in next 24 sts, sc in t-ch", 25),
    ("Row 2: ch1, turn, 2sc in next st, sc in next 23sts, 2sc in last st", 27),
    ("Row 2: ch1, turn, sc in next 12sts, sc3tog, sc 10.", 23),
    (
        "Row 2: Ch 1, turn. Sc in next 12 sts, sc in next st, ch 1, sc in same st, sc in next 12 sts.",
        27,
    ),
    ("Row 2: Ch 1, turn. Sc in next 12 sts, 3 sc in 1 st, sc in next 12 sts.", 27),
    ("Row 2: Ch 1, turn. Sc in next 12 sts, 3 sc into one stitch, sc in next 12 sts.", 27),
    (
        "Row 2: Ch 1, turn. Sc in next 12 sts, sc3tog over the next 3 stitches, sc in the next 10 stitches, turn.",
        23,
    ),
    ("Row 2: Ch 1, turn. sc in next 11 sts, sk 2 sts, sc in next 12 sts = 23 sts", 23),
    (
        "Row 2: Ch 1, turn. Sc in next 3 sts, * 3 sc in next st, sc in next 3 sts, sk next 2 sts, sc in next 3 sts * to last 4 sts, 3 sc in next st, sc in next 3 sts.",
        27,
    ),
]


@pytest.mark.parametrize(("words", "makes"), SAYINGS)
def test_a_row_can_be_said_in_many_ways(words, makes):
    reading = read_text(BELOW + words)
    assert [t.message for t in reading.troubles if t.level == "error"] == []
    assert (reading.rows[1].available, reading.rows[1].makes) == (25, makes)


@pytest.mark.parametrize(
    ("words", "marked", "why"),
    [
        ("Row 2: Ch 1, turn. Sc in next 24 sts.", "Sc in next 24 sts",
         "1 stitch of row 1 is left: row 2 uses 24 of 25"),
        ("Row 2: Ch 1, turn. Sc in next 20 sts, sc in next 6 sts.", "sc in next 6 sts",
         "it takes 6, and 5 of row 1 are left"),
        ("Row 2: Ch 1, turn. Sc in next 20 sts, sc in last st.", "sc in last st",
         "4 stitches of row 1 are left unworked"),
        ("Row 2: Ch 1, turn. Sc in next 10 sts, bobble, sc in next 14 sts.", "bobble",
         "clustered ones aren't drawn"),
        ("Row 2: Ch 1, turn. Sc in each st across. (24 sts)", "(24 sts)",
         "says 24 stitches, but its words make 25"),
        ("Row 2: Ch 1, turn. *Sc in next 6 sts, 2 sc in next st; rep from * to last st, sc in last "
         "st.", "2 sc in next st", "the repeat takes 7 stitches: after working it 3 times 3"),
        ("Row 2: Ch 1, turn. (Sc in next 25 sts.", "(", "a bracket that closes"),
        ("Row 2: Ch 1, turn. Sc in next 20 sts, rep from * to end.", "rep from",
         "a * before the words that are repeated"),
        ("Row 2: Ch 1, turn. Sc2tog over next 3 sts, sc in next 22 sts.", "Sc2tog over next 3 sts",
         "joins 2 stitches, but names 3"),
        ("Row 2: Repeat row 7.", "Repeat row 7", "isn't written before it"),
    ],
)  # fmt: skip
def test_the_word_where_a_row_breaks_is_named(words, marked, why):
    text = BELOW + words
    errors = [t for t in read_text(text).troubles if t.level == "error"]
    assert errors
    assert marked in text[errors[0].start : errors[0].end]
    assert why in errors[0].message


def test_a_strange_word_hides_no_other():
    text = BELOW + "Row 2: Ch 1, turn. Wibble, sc in next 3, wobble in next st, sc in next 21 sts."
    marked = {text[t.start : t.end] for t in read_text(text).troubles if t.level == "error"}
    assert {"Wibble", "wobble in next st"} <= marked


# --- terms -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "terms", "sureness"),
    [
        ("Written in UK terms. Ch 10. Row 1: dc in 2nd ch from hook.", "UK", "stated"),
        ("US terms. Ch 10. Row 1: dc in 4th ch from hook.", "US", "stated"),
        ("Ch 10. Row 1: sc in 2nd ch from hook.", "US", "sure"),
        ("Ch 10. Row 1: htr in 3rd ch from hook.", "UK", "sure"),
        ("Ch 10. Row 1: half double crochet in 3rd ch from hook.", "US", "sure"),
        ("Ch 10. Row 1: tr in 4th ch from hook, tr in next 6 ch.", "UK", "likely"),
        ("Ch 10. Row 1: tr in 5th ch from hook, tr in next 5 ch.", "US", "likely"),
        ("Ch 10. Row 1: dc in 2nd ch from hook, dc in next 8 ch.", "UK", "likely"),
        ("Ch 10. Row 1: dc in 4th ch from hook, dc in next 6 ch.", "US", "likely"),
        ("Ch 10. Row 1: 9 tr, miss 1.", "UK", "likely"),
        ("Row 1: tr in each st across.", "US", "open"),
        ("Ch 10. Row 1: sc in 2nd ch from hook, htr in next 8 ch.", "US", "open"),
    ],
)
def test_terms_are_guessed_with_a_reason(text, terms, sureness):
    # By chains: three for a US dc, four for a US tr (turning chains, core.craft.stitches).
    guess = read_text(text).guess
    assert (guess.terms, guess.sureness) == (terms, sureness)
    assert guess.reason.endswith(".")


def test_terms_that_nothing_tells_are_asked_for():
    reading = read_text("Row 1: tr in each st across.")
    assert any("Choose the right one" in trouble.message for trouble in reading.troubles)


def test_chosen_terms_overrule_the_guess():
    text = "Ch 10. Row 1: dc in 4th ch from hook, dc in next 6 ch."
    assert read_text(text).rows[0].flat.units[0].stitch == "dc"
    assert read_text(text, terms="UK").rows[0].flat.units[0].stitch == "sc"


# --- foundation, repeats of rows ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "chains"),
    [
        ("Ch 147.", 147), ("Chain 147 loosely.", 147), ("Foundation: With Brick Quay, ch 147.", 147),
        ("With A, ch 147 (multiple of 12 plus 3)", 147), ("Make 147 ch.", 147),
        ("Foundation ch: 147", 147), ("Begin by working 147 chains.", 147),
        ("Multiple of 12 + 3", 75), ("Chain a multiple of 14 plus 3", 87),
        ("Ch any multiple of 12 sts, plus 3 for the turn", 75),
    ],
)  # fmt: skip
def test_the_chain_is_read(text, chains):
    assert (
        read_text(f"{text}\nRow 1: dc in 4th ch from hook, dc in each ch across.").chains == chains
    )


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("Rows 2-4: Rep row 1.", None),
        ("Row 2: {row}\nRow 3: as row 2.\nRows 4 to 6: Repeat rows 2 and 3.", [0, 1, 1, 1, 1, 1]),
        ("Row 2: {row}\nRow 3: {other}\nRows 4-7: Repeat rows 2-3.", [0, 1, 2, 1, 2, 1, 2]),
        ("Row 2: {row}\nRow 3: {other}\nRep last 2 rows until 7 rows are worked.",
         [0, 1, 2, 1, 2, 1, 2]),
        ("Rows 2, 4 and 6: {row}\nRows 3 and 5: {other}", [0, 1, 2, 1, 2, 1]),
        ("2nd row: {row}\n3rd row: Work as 2nd row.", [0, 1, 1]),
        ("Next row: {row}\nNext row: {other}", [0, 1, 2]),
    ],
)  # fmt: skip
def test_rows_that_repeat_others_are_put_in_order(text, order):
    text = text.format(row="Ch 1, turn, sc in each st across.",
                       other="Ch 3 (counts as dc), turn, dc in each st across.")  # fmt: skip
    reading = read_text(BELOW + text)
    if order is None:  # row 1 goes into the chain: it can't be repeated
        assert not reading.is_sound
        return
    assert reading.order == order
    assert reading.is_sound


def test_rows_for_pattern_go_on():
    reading = read_text(
        BELOW + "Row 2: Ch 1, turn, sc in each st across.\nRepeat row 2 for pattern."
    )
    assert reading.is_open
    assert reading.cycle == (2, 2)


def test_nothing_typed_is_lost():
    text = "My curtain\n\n" + BELOW + "Fasten off.\nWash cool.\n"
    reading = read_text(text)
    told = [text[a:b] for a, b in reading.layout.notes]
    assert reading.text == text
    assert {"My curtain", "Fasten off.", "Wash cool."} <= set(told)


# --- whatever is typed -------------------------------------------------------------------------

_PIECES = st.sampled_from(
    [
        "ch",
        "3",
        "turn",
        "dc",
        "sc",
        "tr",
        "*",
        "**",
        "(",
        ")",
        "[",
        "]",
        ",",
        ";",
        ".",
        ":",
        "in",
        "next",
        "st",
        "sts",
        "each",
        "of",
        "row",
        "rows",
        "rep",
        "repeat",
        "from",
        "to",
        "last",
        "first",
        "same",
        "across",
        "twice",
        "times",
        "more",
        "all",
        "skip",
        "dc2tog",
        "tog",
        "over",
        "and",
        "hook",
        "4th",
        "36",
        "0",
        "999999",
        "-",
        "–",
        "x",
        "×",
        "(",
        "counts",
        "as",
        "working",
        "back",
        "loops",
        "only",
        "Row",
        "1:",
        "Row",
        "2:",
        "\n",
        "Rows",
        "3-20:",
        "leave",
        "unworked",
        "until",
        "once",
    ]
)


@settings(max_examples=300)
@given(st.text(max_size=200))
def test_any_text_is_read_without_failing(text):
    reading = read_text(text)
    assert reading.text == text
    for trouble in reading.troubles:
        assert 0 <= trouble.start <= trouble.end <= len(text)


@settings(max_examples=400)
@given(st.lists(_PIECES, max_size=60).map(" ".join))
def test_any_words_of_the_trade_are_read_without_failing(words):
    text = f"Ch 39.\nRow 1: {words}"
    for trouble in read_text(text).troubles:
        assert 0 <= trouble.start <= trouble.end <= len(text)


@pytest.mark.parametrize(
    "text",
    [
        "(" * 50_000,
        "*" * 50_000,
        "Row 1: " + "[" * 20_000 + "dc" + "] twice" * 8_000,
        "Row 1: " + "(" * 20 + "dc in next st" + ") 999 times" * 20,
        "Row 1: *dc; rep from * 999999 times more",
        "Ch 4000. Row 1: " + "dc in next st, " * 6_000,
        "\n".join(f"Row {n}: dc in each st across" for n in range(1, 3_000)),
        "Row 1: " + "rep from * " * 9_000,
        "9" * 90_000,
        "Rows 1-4999: dc in each st across. " * 200,
        "ch " * 33_000,
        "Row 1: dc in 4th ch from hook " * 3_000,
    ],
    ids=lambda text: text[:30].replace("\n", " "),
)
def test_no_text_makes_it_slow(text):
    began = time.process_time()
    read_text(text[:MAX_TEXT])
    assert time.process_time() - began < 20


def test_of_a_longer_text_the_rest_is_kept_and_said_not_to_be_read():
    text = BELOW + "x " * MAX_TEXT
    reading = read_text(text)
    assert reading.text == text
    assert any("the rest isn't read" in trouble.message for trouble in reading.troubles)


# --- spelled out ---------------------------------------------------------------------------------

SPELLED = (
    "Foundation: With Sea, chain 39, a multiple of 12 plus 3.\n"
    "Row 1, right side: Work 1 double crochet in the 4th chain from the hook, where the 3 skipped "
    "chains count as 1 double crochet, start of repeat, work 1 double crochet in each of the next 3 "
    "chains, twice in a row work 2 double crochet together over the next 2 chains, work 1 double "
    "crochet in each of the next 3 chains, work 2 double crochet in each of the next 2 chains, end of "
    "repeat, work this repeat 2 times in all, work 1 double crochet in each of the next 3 chains, "
    "twice in a row work 2 double crochet together over the next 2 chains, work 1 double crochet in "
    "each of the next 3 chains, work 2 double crochet in the last chain. 36 stitches.\n"
    "Markers: put one in stitch 3 of row 1.\n"
    "Row 2, wrong side: Chain 3, which counts as 1 double crochet, and turn. Work 1 double crochet in "
    "each of the next 17 stitches, work 1 double crochet then chain 1 then 1 double crochet, all in "
    "the next stitch, work 1 double crochet in each of the next 17 stitches. 38 stitches, 1 of them "
    "a chain."
)


def test_rows_that_are_spelled_out_are_read():
    reading = read_text(SPELLED)
    assert [t.message for t in reading.troubles if t.level == "error"] == []
    assert (reading.chains, reading.base) == (39, 36)
    assert [row.makes for row in reading.rows] == [36, 38]
    assert any(SPELLED[a:b].startswith("Markers") for a, b in reading.layout.notes)


@pytest.mark.parametrize("words", ["popcorn in next ch", "FPdc around next st", "cl in next ch"])
def test_a_stitch_that_is_not_drawn_is_said_to_be_none(words):
    reading = read_text(f"Ch 39. Row 1: dc in 4th ch from hook, {words}, dc in next 3 ch.")
    (message, *_) = [t.message for t in reading.troubles if words in t.message]
    assert "aren't drawn" in message
    assert "plain stitch that stands in its place" in message


def test_a_word_of_no_trade_is_not_taken_for_a_raised_stitch():
    reading = read_text("Ch 39. Row 1: dc in 4th ch from hook, hullaballoo in next ch.")
    (message, *_) = [t.message for t in reading.troubles if "hullaballoo" in t.message]
    assert "aren't drawn" not in message
    assert "such as dc" in message
