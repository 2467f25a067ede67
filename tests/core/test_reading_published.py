"""Published ripples, told in ordinary wording and read from it.

The figures are those of `tests/files/published_ripples.json`, each beside the page it comes
from; the wording is our own, in as many ways of speaking as there are patterns. What has to come
out is what the page prints: chain, multiple, first chain worked, and the count of every row. Those that
don't close as printed are here on purpose: the reader has to say at which word.
"""

# ruff: noqa: E501 - wordings stand as they are typed

import json
import re
from pathlib import Path

import pytest

from core.reading.reading import read_text
from core.reading.taking import take_reading
from core.rows.build import build_rows

FILE = Path(__file__).resolve().parents[1] / "files" / "published_ripples.json"
RIPPLES = {ripple["id"]: ripple for ripple in json.loads(FILE.read_text("utf-8"))["ripples"]}

# Wording, and the stitches of row 1 and of every later row counted by hand from the figures.
TEXTS = {
    "losdale": (
        "Ch 165. Row 1: 2 dc in 4th ch from hook (skipped 3 ch count as dc), *dc in next 5 ch, "
        "[dc3tog over next 3 ch] twice, dc in next 5 ch, 3 dc in each of next 2 ch; rep from * to "
        "last 17 ch, dc in next 5 ch, (dc3tog over next 3 ch) twice, dc in next 5 ch, 3 dc in last "
        "ch. (162 dc)\n"
        "Row 2: Ch 3 (counts as dc), turn. 2 dc in first dc, *dc in next 5 dc, [dc3tog over next 3 "
        "dc] twice, dc in next 5 dc, 3 dc in each of next 2 dc; rep from * to last 17 sts, dc in "
        "next 5 dc, [dc3tog] twice, dc in next 5, 3 dc in top of turning ch. 162 dc.\n"
        "Rows 3-64: Rep Row 2.",
        [162] * 64,
    ),
    "rainbow_wave": (
        "Chain a multiple of 17 plus 3 (105 chains in the sample).\nCh 105.\n"
        "Row 1: Dc in 4th ch from hook, 2 dc in each of next 2 ch, [sk next ch, dc in next ch] 5 "
        "times, sk next ch, *2 dc in each of next 6 ch, [sk next ch, 1 dc in next ch] 5 times, sk "
        "next ch; rep from * across to last 3 ch, 2 dc in each of last 3 ch. Turn. (102 sts)\n"
        "Row 2: Ch 3 (counts as dc), dc in first st, 2 dc in each of next 2 sts, (sk 1, dc in next "
        "st) 5 times, sk next st, *2 dc in each of next 6 sts, (sk 1, dc in next st) 5 times, sk "
        "next st; rep from * to last 3 sts, 2 dc in each of last 3 sts - 102 sts.\n"
        "Repeat Row 2 for pattern.",
        [102] * 8,
    ),
    "mountain_peaks": (
        "Foundation: chain 21.\n"
        "Row 1: Skip first 3 ch, dc2tog over next 2 ch (counts as dc3tog), dc in next ch, *5 dc in "
        "next ch, dc in each of next 2 ch, dc5tog over next 5 ch, dc in each of next 2 ch; rep from "
        "* to last 5 ch, 5 dc in next ch, dc in next ch, dc3tog over last 3 ch. (19 sts)\n"
        "Row 2: Ch 3, turn. Skip first st, dc2tog over next 2 sts (ch 3 and dc2tog together count as "
        "dc3tog), dc in next st, *5 dc in next st, dc in each of next 2 sts, dc5tog over next 5 sts, "
        "dc in each of next 2 sts; rep from * to last 5 sts, 5 dc in next st, dc in next st, dc3tog "
        "over last 3 sts, leaving turning ch unworked. (19 sts)\n"
        "Rep row 2 until 140 rows are worked.",
        [19] * 140,
    ),
    "pram5158": (
        "Ch 119.\n"
        "1st row: hdc in 3rd ch from hook and in each of next 6 ch, *3 hdc in next ch, 1 hdc in "
        "each of next 7 ch, skip 2 ch, 1 hdc in each of next 7 ch. Repeat from * 5 times more, 3 hdc in "
        "next ch, hdc in last 7 ch. Ch 2, turn.\n"
        "2nd row: Working in back loops only, skip first hdc, hdc in next 7 hdc, *3 hdc in next hdc, "
        "hdc in next 7, skip 2 hdc, hdc in next 7; repeat from * 5 times more, 3 hdc in next hdc, hdc in "
        "next 6 hdc, skip 1, hdc in last hdc. Ch 2, turn.\n"
        "Repeat 2nd row until piece measures 34 inches.",
        [119] * 8,
    ),
    "linus4": (
        "Chain 198.\n"
        "Row 1: dc in 3rd ch from hook, 2 dc in next ch, dc in next 2 ch, 2 dc in next ch, *[dc in next 2 "
        "ch, dc2tog] 4 times, [dc in next 2 ch, 2 dc in next ch] 4 times; repeat from * across to "
        "last 23 ch, [dc in next 2, dc2tog] 4 times, [dc in next 2, 2 dc in next ch] twice, dc in "
        "last ch.\n"
        "Row 2: Ch 2 (does not count as a stitch), turn. Dc in first st, 2 dc in next st, dc in next 2 "
        "sts, 2 dc in next st, *[dc in next 2 sts, dc2tog] 4 times, [dc in next 2 sts, 2 dc in next "
        "st] 4 times; rep from * to last 23 sts, [dc in next 2 sts, dc2tog] 4 times, [dc in next 2 "
        "sts, 2 dc in next st] twice, dc in last st. 196 sts\n"
        "Row 3 and all following rows: as Row 2.",
        [196] * 8,
    ),
    "neat14": (
        "Using UK terms. Make a chain in multiples of 14 + 3.\n"
        "Foundation: ch 31\n"
        "Row 1: 1 tr into 4th ch from hook, 1 tr into each of next 4 ch, (tr2tog over next 2 ch) "
        "twice, 1 tr into each of next 4 ch, *2 tr into each of the next 2 ch, 1 tr into each of next 4 "
        "ch, [tr2tog] twice, 1 tr into each of next 4 ch; rep from * to last ch, 2 tr into last ch.\n"
        "Row 2: ch 3 (counts as 1 tr), turn, 1 tr into same place, 1 tr into each of next 4 sts, (tr2tog) "
        "twice, 1 tr into each of next 4 sts, *2 tr into each of next 2 sts, 1 tr into each of next "
        "4 sts, (tr2tog) twice, 1 tr into each of next 4 sts; rep from * to last st, 2 tr into top of "
        "turning ch.\n"
        "Rep row 2.",
        [28] * 8,
    ),
    "ribbed14": (
        "Ch 31. (Multiple of 14, plus 3)\n"
        "R1: DC in the 4th chain from the hook, DC in next 4, DC2TOG twice, DC in next 4, *2 DC in each of "
        "next 2 chs, DC in next 4, DC2TOG twice, DC in next 4*, repeat from * to * across to the last ch, 2 "
        "DC in last ch. (28)\n"
        "R2: Ch 3, turn. Working in BLO: DC in same st as ch 3, DC in next 4, DC2TOG twice, DC in next 4, *2 DC "
        "in each of next 2 sts, DC in next 4, DC2TOG twice, DC in next 4*, repeat from * to * across "
        "to last st, 2 DC in top of ch-3. (28)\n"
        "Row 3: same as Row 2",
        [28] * 3,
    ),
    "ripple12": (
        "Ch 27. Row 1: dc in 4th ch from hook, *dc in next 3 ch, [dc2tog] twice, dc in next 3 ch, [2 "
        "dc in next ch] twice; rep from * across, ending last rep with 2 dc in last ch.\n"
        "Row 2: ch 3, turn, 1 dc at base of ch, *3 dc, dc2tog twice, 3 dc, 2 dc in each of next 2 sts; "
        "rep from * ending last rep with 2 dc in top of tch.\n"
        "Row 3: rep row 2",
        [24] * 3,
    ),
    "turner11": (
        "Ch 66.\n"
        "Row 1: Dc in 4th ch from hook, dc in next 2 ch, *3 dc in next ch, dc in next 4 ch, sk 2 ch, dc "
        "in next 4 ch, rep from * across, ending 3 dc in next ch, dc in last 4 ch.\n"
        "Row 2: Ch 3 (counts as first dc), turn. Skip next dc, dc in next 3 dc, *3 dc in next dc, dc in "
        "next 4 dc, sk 2 dc, dc in next 4 dc, rep from * across, ending with 3 dc in next dc, dc in next 3 "
        "dc, sk 1 dc, dc in top of tch.\n"
        "Rep Row 2.",
        [66] * 8,
    ),
    "chatty": (
        "Ch 173 [multiple of 17 + 3].\n"
        "Row 1: Sc in 2nd ch from hook, sk 1 ch, *sc in next 7 ch, 3 sc in next ch, sc in next 7 ch, sk 2 "
        "ch; rep from * 8 times more, sc in next 7 ch, 3 sc in next ch, sc in next 7 ch, sk 1, sc in last "
        "ch. (172 sc)\n"
        "Row 2: Ch 1, turn. BLO: sc in first st, sk 1 st, *sc in next 7 sts, 3 sc in next st, sc in next 7 "
        "sts, sk 2 sts; rep from * to last 17 sts, sc in next 7, 3 sc in next st, sc in next 7, sk 1, sc in "
        "last st. (172 sc)\n"
        "Rows 3-10: Repeat row 2.",
        [172] * 10,
    ),
    "lettuce21": (
        "ch 210\nRow 1: dc in 3rd ch from hook (2 skipped ch don't count as a stitch), dc in next 8, 3 dc in "
        "next, dc in next 9, *skip 2, dc in next 9, 3 dc in next, dc in next 9; repeat from * until end of row",
        [210],
    ),
    "patty13": (
        "Ch 136.\nRow 1: 2 dc in 5th ch from hook (4 skipped ch count as a dc), *dc in next 3 ch, dc2tog 3 "
        "times, dc in next 3 ch, 3 dc in next ch; rep from * to last 14 ch, dc in next 3 ch, dc2tog 3 "
        "times, dc in next 3 ch, 2 dc in next ch, dc in last ch. (123 dc)",
        [123],
    ),
    "heartland_shawl": (
        "UK terms. Ch 241 (multiple of 20 + 21).\nRow 1: 1 dc in 2nd ch from hook, 1 dc in each of next 9 "
        "ch, *ch 1, 1 dc in each of next 9 ch, miss next 2 ch, 1 dc in each of next 9 ch; rep from * to "
        "last 10 ch, ch 1, 1 dc in each of last 10 ch. (218 dc and 12 ch-1 sps)",
        [230],
    ),
    "wavychev14": (
        "Chain 60.\n"
        "Row 1: Dc in 4th ch from hook, *dc in next 5 ch, dc3tog, dc in next 5 ch, (dc, ch 1, dc) in next "
        "ch; rep from * across to last 14 ch, dc in next 5 ch, dc3tog, dc in next 5 ch, 2 dc in last ch.\n"
        "Row 2: Ch 3, turn, dc in same st, *dc in next 5 sts, dc3tog, dc in next 5 sts, (dc, ch 1, dc) in "
        "next ch-1 sp; rep from * to last 14 sts, dc in next 5 sts, dc3tog, dc in next 5 sts, 2 dc in top "
        "of turning chain.\nRow 3: Repeat row 2",
        [57] * 3,
    ),
    "lacy_ripples": (
        "Ch 170. Row 1: Dc in 4th ch from hook, dc in next 2 ch, 3 dc in next ch, dc in next 3 ch, *sk next "
        "4 ch, 5 dc in next ch, ch 4, sk next 4 ch, dc in next 3 ch, 3 dc in next ch, dc in next 3 ch; rep "
        "from * across. 190 sts.",
        [190],
    ),
}

# Printed chains or rows that don't close: at which word, and what is left there.
BREAKING = {
    "bev": (
        "Ch 152.\nRow 1: 2 sc in 2nd ch from hook, *sc in next 6 ch, sk 2 ch, sc in next 6 ch, 3 sc in next "
        "ch; rep from * to last 15 ch, sc in next 6 ch, sk 2 ch, sc in next 6 ch, 2 sc in last ch.\n"
        "Row 2: Ch 1, turn. Sc in first st, *sc in next 6 sts, sk 2 sts, sc in next 6 sts, 3 sc in "
        "next st; rep from * 8 times more, sc in next 6 sts, sk 2 sts, sc in next 6 sts, 2 sc in last st.\n"
        "Row 3: as row 2",
        # 151 in row 1, 150 in row 2 (our own arithmetic): row 3 has no place for its last increase
        (3, "2 sc in last st", "none of row 2 is left"),
    ),
    "naptime": (
        "Ch 105. Row 1: Tr in 5th ch from hook (4 skipped ch count as tr), 2 tr in each of next 2 ch, [sk 1 "
        "ch, tr in next ch] 5 times, sk 1 ch, *2 tr in each of next 6 ch, [sk 1 ch, tr in next ch] 5 times, "
        "sk 1 ch; rep from * 4 times more, 2 tr in each of last 3 ch.",
        (1, "2 tr in each of last 3 ch", "it takes 3, and 2 of the foundation are left"),
    ),
    "rustic": (
        "Ch 220. Row 1: Dc3tog over 3rd to 5th ch from hook (2 skipped ch do not count), *dc in next 10 "
        "ch, 7 dc in next ch, dc in next 10 ch, dc7tog over next 7 ch; rep from * to last 25 ch, dc in "
        "next 10 ch, 7 dc in next ch, dc in next 10 ch, dc4tog over last 4 ch.",
        (1, "dc7tog over next 7 ch", "the repeat takes 28 stitches"),
    ),
    "classic17": (
        "Ch 31. Row 1: Dc in 4th ch from hook, dc in next 5 ch, (dc, ch 1, dc) in next ch, dc in next 7 ch, "
        "*sk 2 ch, dc in next 7 ch, (dc, ch 1, dc) in next ch, dc in next 7 ch; rep from * across.",
        (1, "dc in next 7 ch", "it takes 7, and 4 of the foundation are left"),
    ),
    "patty2hole": (
        "Ch 34. Row 1: Dc in 4th ch from hook, dc in next 6 ch, (dc, ch 1, dc) in next ch, dc in next 7 ch, "
        "*sk 2 ch, dc in next 7 ch, (dc, ch 1, dc) in next ch, dc in next 7 ch; rep from * across.",
        (1, "dc in next 7 ch", "it takes 7, and 6 of the foundation are left"),
    ),
    "bumpy19": (
        "Ch 285. Row 1: Dc in 4th ch from hook, dc in next 7 ch, (dc, ch 1, dc) in next ch, dc in next 8 "
        "ch, *sk 2 ch, dc in next 8 ch, (dc, ch 1, dc) in next ch, dc in next 8 ch; rep from * across.",
        (1, "dc in next 8 ch", "it takes 8, and 7 of the foundation are left"),
    ),
    "lunabird9": (
        "UK terms. Ch 108. Row 1: 1 tr in 4th ch from hook, 1 tr in next ch, 3 tr in next ch, 1 tr in each "
        "of next 3 ch, *miss 2 ch, 1 tr in each of next 3 ch, 3 tr in next ch, 1 tr in each of next 3 ch; "
        "rep from * 10 times more.\n"
        "Row 2: Ch 3 (counts as 1 tr), turn. Miss first st, 1 tr in each of next 2 sts, 3 tr in next st, 1 "
        "tr in each of next 3 sts, *miss 2 sts, 1 tr in each of next 3 sts, 3 tr in next st, 1 tr in each "
        "of next 3 sts; rep from * 10 times more. (108 tr)",
        (2, "rep from * 10 times more", "2 stitches of row 1 are left"),
    ),
}

# Waves of stitch heights that their pages close by hand: chain, multiple, extra, stitches.
HEIGHTS = {
    # crochetme.com/media/p/89937.aspx: 12n + 4, 136 chains, 134 stitches worked
    "wavy_crochetme": (
        "Ch 136. Row 1: Sc in 3rd ch from hook (2 skipped ch do not count as a stitch), sc in next ch, *hdc "
        "in next 2 ch, dc in next 2 ch, tr in next 2 ch, dc in next 2 ch, hdc in next 2 ch, sc in next 2 "
        "ch; rep from * across. (134 sts)",
        (136, 12, 4, 134),
    ),
    # haakmaarraak.nl/tutorials/wave-stitch: 8n + 1 stitches, 241 of them; one chain to turn
    "haak8": (
        "Ch 242. Row 1: Sc in 2nd ch from hook, *hdc in next ch, dc in next ch, tr in each of next 2 ch, dc "
        "in next ch, hdc in next ch, sc in each of next 2 ch; rep from * across. 241 sts.",
        (242, 8, 2, 241),
    ),
}


def reading_of(name):
    return read_text(TEXTS[name][0])


def messages(reading):
    return [trouble.message for trouble in reading.troubles if trouble.level == "error"]


CLOSING = list(TEXTS)


@pytest.mark.parametrize("name", CLOSING)
def test_ordinary_wording_gives_the_printed_count_in_every_row(name):
    reading = reading_of(name)
    assert not messages(reading)
    counts = TEXTS[name][1]
    rows = [reading.row(number) for number in range(1, len(reading.order) + 1)]
    assert [row.makes for row in rows] == counts[: len(rows)]
    assert rows


@pytest.mark.parametrize("name", CLOSING)
def test_ordinary_wording_gives_the_printed_chain_and_multiple(name, two_row_ripple):
    ripple = RIPPLES[name]
    reading = reading_of(name)
    taken = take_reading(reading, two_row_ripple)
    assert taken.design is not None, taken.why_not
    foundation = build_rows(taken.design).foundation
    assert reading.chains == ripple["chain"]
    assert foundation.chains == ripple["chain"]
    assert foundation.multiple == ripple["multiple"]
    assert foundation.extra == ripple["extra"] % ripple["multiple"]
    if name != "lettuce21":  # its page doesn't print how rows turn
        assert foundation.first_in == ripple["first_in"]


@pytest.mark.parametrize("name", BREAKING)
def test_where_a_printed_row_does_not_close_the_word_is_named(name):
    text, (row, words, why) = BREAKING[name]
    reading = read_text(text)
    found = [
        (trouble.row, re.sub(r"\s+", " ", text[trouble.start : trouble.end]), trouble.message)
        for trouble in reading.troubles
        if trouble.level == "error"
    ]
    assert found
    assert found[0][0] == row
    assert words in found[0][1]
    assert why in found[0][2]


@pytest.mark.parametrize(("name", "old", "new"), [
    ("naptime", "Ch 105.", "Ch 106."),
    ("rustic", "Ch 220.", "Ch 226."),
    ("classic17", "Ch 31.", "Ch 34."),
    ("patty2hole", "Ch 34.", "Ch 35."),
    ("bumpy19", "Ch 285.", "Ch 286."),
])  # fmt: skip
def test_with_the_chain_that_fits_the_same_words_close(name, old, new):
    # The chains that fit are those of tests/core/test_published_ripples.py.
    text = BREAKING[name][0]
    assert old in text
    assert not messages(read_text(text.replace(old, new)))


@pytest.mark.parametrize("name", HEIGHTS)
def test_waves_of_stitch_heights_close_as_their_pages_say(name, two_row_ripple):
    text, (chains, multiple, extra, stitches) = HEIGHTS[name]
    reading = read_text(text)
    assert not messages(reading)
    assert reading.row(1).makes == stitches
    taken = take_reading(reading, two_row_ripple)
    foundation = build_rows(taken.design).foundation
    assert (foundation.chains, foundation.multiple, foundation.extra) == (chains, multiple, extra)
