"""Asterisks: whether it is plain what is repeated, from where and how often, in any maker's wording."""

# ruff: noqa: E501 - ways of writing stand beside what they leave open

import pytest
from test_reading_published import TEXTS

from core.pipeline import Pipeline
from core.reading.own import set_own_words
from core.techedit.edit import tech_edit
from core.techedit.repeats import ambiguous
from core.words.vocabulary import vocabulary


@pytest.mark.parametrize("name", TEXTS)
def test_rows_told_as_published_are_only_ambiguous_where_they_are(name):
    # "rep from * across" with nothing after it, in our wording of one page.
    found = [what for line in TEXTS[name][0].splitlines() for what, _ in ambiguous(line)]
    assert len(found) == (1 if name == "lacy_ripples" else 0), found


# Ways of writing them, and how many things are open in each (common practice).
ASTERISKS = {
    "*2 dc, *3 dc, 1 ch, 4 dc": 1,  # opened twice, never repeated
    "*2 dc, 1 ch": 1,
    "*2 dc, *3 dc, 1 ch; rep from * 3 times": 1,
    "* 2 dc, 1 ch, * 3 dc; rep from * 3 times": 1,
    "*2 dc, *3 dc; rep from * twice, 1 ch; rep from * to end": 1,
    "*2 dc, *3 dc, *4 dc; rep from * to * twice": 1,
    "*2 dc*, 1 ch, *3 dc*, 4 dc, rep from * to * twice": 1,
    "**2 dc, *3 dc; rep from * twice; 1 ch": 1,  # what ** is for is left open
    "*2 dc, ch 1; rep from * to end": 0,
    "*2 dc, ch 1*, rep from * 3 times": 0,
    "*2 dc, ch 1*; rep between *s 3 times": 0,
    "* 2 dc, ch 1 * rep from * to * 3 times": 0,
    "*2 dc, ch 1* 5 times, 3 dc": 0,
    "repeat *2 dc, ch 1* 5 times, 3 dc": 0,
    "*2 dc; rep from * twice, 1 ch, *3 dc; rep from * to end": 0,  # one after the other
    "**2 dc, *3 dc; rep from * twice; rep from ** to end": 0,
    "*2 dc, ch 1**, 3 dc; rep from * to end, ending last rep at **": 0,
    "*2 dc, ch 1**, 3 dc; rep from * to end, then from * to ** once": 0,
    "*[2 dc, ch 1] twice, 3 dc; work from * to end": 0,
    "2 dc in each of next 3 sts*": 0,  # a note's mark
}


# Said by what follows the closing mark, by a mark's name, or by the only one open (common practice).
PLAIN_REPEATS = {
    "*2 dc, ch 1*, in each of next 3 sts dc": 1,
    "*in each st 2 dc, *in each sp 3 dc": 1,
    "*2 dc, ch 1*, for the rest of the row dc in each st": 1,
    "*2 dc*, 1 ch, *3 dc* 3 times": 1,
    "*2 dc*, 1 ch, *3 dc*, rep to end": 1,
    "*2 dc*, 1 ch, 3 dc, rep to end": 1,
    "*2 dc*, rep, 1 dc": 1,  # neither how far nor how often
    "*2 dc, [ch 1, dc] rep twice, 3 dc": 1,
    "*2 dc, *3 dc; rep to end": 1,
    "*2 dc, *3 dc; repeat between asterisks twice": 1,
    "*2 dc, ch 1*, rep row 2": 1,
    "*2 dc, ch 1*, 3 dc to end": 1,
    "*2 dc, ch 1, star st in next st, 1 dc to star st": 1,
    "*2 dc, ch 1* repeat to end": 0,
    "*2 dc, ch 1*, rep across": 0,
    "*2 dc, ch 1* across": 0,
    "*2 dc, ch 1* to end": 0,
    "*2 dc, ch 1* x 4": 0,
    "*2 dc, ch 1* ×4, 1 dc": 0,
    "*2 dc, ch 1; repeat between asterisks 3 times": 0,
    "*2 dc, ch 1; rep from *to end, dc in last st": 0,
    "*2 dc, ch 1; rep from *3 more times, dc in last st": 0,
    "*2 dc, ch 1; rep from *across to last st, dc in last st": 0,
    "*2 dc, ch 1 * along the row, 1 dc": 0,
    "*2 dc, ch 1* to last 3 sts, dc in last 3 sts": 0,
    "*2 dc, ch 1* until 3 sts remain, 3 dc": 0,
    "*2 dc, ch 1*; repeat 3 more times, 1 dc": 0,
    "*2 dc, ch 1.* Repeat 3 times. 1 dc": 0,
    "*2 dc, ch 1*, then rep to last st, 1 dc": 0,
    "*2 dc, ch 1* (3 times), 1 dc": 0,
    "*2 dc, ch 1*, a total of 6 times, 1 dc": 0,
    "*2 dc, ch 1* 5 (7, 9) times, 1 dc": 0,
    "[*2 dc, ch 1*] 4 times, 1 dc": 0,
    "(*2 dc, ch 1*) across, 1 dc": 0,
    "*[2 dc, ch 1] twice* all the way across, 1 dc": 0,
    "repeat *2 dc, ch 1* to last st, 1 dc": 0,
    "repeat * 2 dc, ch 1 * 5 times, 3 dc": 0,
    "work *2 dc, ch 1* across, 1 dc": 0,
    "*2 dc, ch 1*, repeat instructions between * and * 4 times, 1 dc": 0,
    "*2 dc, ch 1*, rep *...* 4 times, 1 dc": 0,
    "*2 dc, ch 1*, rep *-* 4 times, 1 dc": 0,
    "*2 dc, ch 1*, rep * to * 4 times, 1 dc": 0,
    "*2 dc, ch 1*, 3 dc, rep between stars twice, 1 dc": 0,
    "*2 dc, ch 1*, 3 dc, rep the starred section twice, 1 dc": 0,
    "*2 dc, ch 1; rep from asterisk to end, 1 dc": 0,
    "*2 dc, ch 1; rep from the star to last st, 1 dc": 0,
    "*2 dc, ch 1; rep to end, 1 dc": 0,
    "*2 dc, ch 1, repeat 5 more times, 1 dc": 0,
    "*2 dc, ch 1; rep across to last st, 1 dc": 0,
    "*2 dc, ch 1; continue in this manner to last st, 1 dc": 0,
    "*2 dc, ch 1* for the rest of the row": 0,
    "*2 dc, ch 1* in each st to end, 1 dc": 0,
    "*2 dc, *3 dc* twice, ch 1; rep from * to end": 0,
    "**2 dc, *3 dc* twice, ch 1; rep from ** to end": 0,
    "*2 dc, ch 1**, 3 dc; rep from * across, ending last rep at **, 1 dc in last st": 0,
    "*2 dc, ch 1; rep from *, ending with 1 dc in last st": 0,
    "*2 dc, ch 1* in every st, 1 dc": 0,
    "*2 dc, ch 1, rep for each corner": 0,
    "*2 dc, ch 1 *to end, 1 dc": 0,
}

# A designer's German among abbreviations that are read (common practice; words of the German tables).
GERMAN = {
    "*2 dc, *3 dc, 1 ch; ab * noch 3-mal wiederholen": 1,
    "*2 dc, 1 ch bis Ende": 1,
    "*2 dc, 1 ch; Reihe 2 bis 5 wiederholen": 1,
    "*2 Stb, 1 Lm; ab * bis Ende wiederholen": 0,
    "*2 dc, 1 ch; ab * noch 3-mal wiederholen (insgesamt 4-mal), 1 dc": 0,
    "*2 dc, 1 ch; ab * wdh bis zum Ende, 1 dc": 0,
    "*2 dc, 1 ch; ab *bis Ende wdh, 1 dc": 0,
    "*2 dc, 1 ch*, von * bis * noch 3-mal wiederholen, 1 dc": 0,
    "*2 dc, 1 ch*, zwischen den Sternchen 3-mal wiederholen, 1 dc": 0,
    "*2 dc, 1 ch* 3-mal, 1 dc": 0,
    "*2 dc, 1 ch* noch dreimal häkeln, 1 dc": 0,
    "*2 dc, 1 ch* bis Ende, 1 dc": 0,
    "*2 dc, 1 ch*, bis auf 3 M wiederholen, 3 dc": 0,
    "*2 dc, 1 ch* fortlaufend wiederholen, 1 dc": 0,
    "*2 dc, 1 ch*, wiederholen bis auf 3 M, 3 dc": 0,
    "in Reihe 2 *2 dc, ab * wiederholen bis auf 3 M, 3 dc": 0,
}

EVERY_WAY = ASTERISKS | PLAIN_REPEATS | GERMAN


@pytest.mark.parametrize("text", EVERY_WAY)
def test_it_has_to_be_plain_which_asterisk_is_repeated_from(text):
    found = [what for what, _ in ambiguous(text)]
    assert len(found) == EVERY_WAY[text], found
    assert all("*" in what for what in found)


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_programs_own_words_of_a_repeat_leave_no_asterisk_open(language):
    words = vocabulary("US", language)
    again = words.say("repeat", body="2 dc, 1 ch", more=words.say("more", n=3), all="4")
    assert list(ambiguous(f"{again}, 1 dc")) == []
    assert len(list(ambiguous(f"*1 dc, {again}, 1 dc"))) == 1


def test_an_asterisk_that_another_row_speaks_of_is_well(design_of, row_of):
    design = design_of(row_of("1", "2", ""), rows=4)
    text = "*1 dc in each st"
    alone = set_own_words(design, 1, text)
    both = set_own_words(alone, 2, "As row 1, repeat from * of row 1 to end")
    for typed, n in ((alone, 1), (both, 0)):
        found = tech_edit(Pipeline().results(typed))
        assert len([f for f in found if "nothing is repeated from it" in f.message]) == n
