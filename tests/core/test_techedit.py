"""The tech edit: seeded faults are found, each at its place, and sound patterns have none.

The ten faults are those a designer's own edit has to find: an abbreviation undefined and one never
used, a wrong count, the gauge gone, a size that isn't repeats times width, an ambiguous repeat,
mixed terms, yarn missing, words that aren't the chart's, no rule for the turning chain. Each is put
in alone, by hand, into a pattern that has none.
"""

# ruff: noqa: E501 - faults stand beside what they are put into

from pathlib import Path

import by_hand
import pytest
from costs import cost_s
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace as with_values
from test_published_ripples import KEEPING_COUNT, design_for, repeats_in

from core.checks.cautions import INFANT
from core.design import edits
from core.design.document import NamedSize, Stripe, Stripes, Swatch
from core.design.files import read_design
from core.editions import Edition
from core.pipeline import Pipeline
from core.reading.own import set_own_words
from core.records import replace
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.techedit.draft import published
from core.techedit.edit import draft_line, open_errors, stamp_for, stamped, tech_edit
from core.techedit.listing import list_text, place_name
from core.words.pattern import Pattern
from core.words.write import write_pattern, written_rows

EDITIONS = [
    Edition(),
    Edition(terms="US"),
    Edition(terms="UK"),
    Edition(language="de"),
    Edition(spelled=True),
    Edition(language="de", spelled=True),
    Edition(size="all"),
    Edition(language="de", size="all"),
]


@pytest.fixture(scope="module")
def sound(demo_path):
    """The demo, complete: everything a pattern states, the wave measured."""
    design = read_design(demo_path)
    yarns = tuple(with_values(yarn, weight=4) for yarn in design.yarns)
    return with_values(
        design,
        yarns=yarns,
        skill="easy",
        contact="corrections@harbour.example",
        licence="Make as many as you like; please don't copy the pattern.",
        swatch=Swatch(repeats=2, repeats_mm=166.0, rows=10, rows_mm=144.0),
    )


@pytest.fixture(scope="module")
def demo_path():
    return Path(__file__).parents[2] / "assets" / "harbour-steps.dipslope"


@pytest.fixture(scope="module")
def results(sound):
    return Pipeline().results(sound)


def errors(found):
    return [finding for finding in found if finding.level == "error"]


def edited(pattern: Pattern, name: str, change) -> Pattern:
    """Return a pattern with every paragraph of a section changed; None takes one out."""
    sections = []
    for section in pattern.sections:
        if section.name == name:
            blocks = tuple(b for b in map(change, section.blocks) if b is not None)
            section = replace(section, blocks=blocks)
        if section.blocks:
            sections.append(section)
    return Pattern(pattern.terms, tuple(sections))


def retexted(pattern: Pattern, name: str, old: str, new: str) -> Pattern:
    """Return a pattern with words of a section replaced; they have to be there."""
    assert old in pattern.section(name).plain

    def change(block):
        return replace(block, text=block.text.replace(old, new))

    return edited(pattern, name, change)


def without(pattern: Pattern, name: str, label: str) -> Pattern:
    kept = edited(pattern, name, lambda b: None if b.label == label else b)
    assert kept != pattern
    return kept


def own(design, row, old, new):
    """Return the design with a row in own words: the program's, with something replaced."""
    text = next(ln.text for ln in written_rows(design, build_rows(design)) if ln.row == row)
    assert old in text
    return set_own_words(design, row, text.replace(old, new, 1))


# --- what is sound -----------------------------------------------------------------------------


def test_a_sound_pattern_has_nothing_to_mend_and_nothing_to_look_at(results):
    assert [f for f in tech_edit(results) if f.level != "note"] == []
    assert stamp_for(results) == draft_line(results) == stamped(results) == ""


@pytest.mark.parametrize("edition", EDITIONS, ids=str)
def test_the_demo_has_no_error_in_any_edition(sound, edition):
    small, large = NamedSize(name="lap", repeats=8, rows=72), NamedSize("bed", 20, 120)
    results = Pipeline().results(edits.set_values(sound, sizes=(small, large)))
    assert errors(tech_edit(results, None, edition)) == []


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.name)
def test_no_starter_has_an_error_in_either_terms_or_language(family, terms):
    results = Pipeline().results(edits.set_size(starter(family, terms=terms), repeats=3, rows=9))
    for edition in (Edition(), Edition(terms="UK"), Edition(language="de")):
        found = tech_edit(results, None, edition)
        assert errors(found) == []
        assert [f for f in found if f.where.startswith("words")] == []


@pytest.mark.parametrize("ripple", KEEPING_COUNT)
@pytest.mark.parametrize("terms", ["US", "UK"])
def test_no_published_ripple_has_an_error(ripple, terms, design_of):
    design = design_for(ripple, design_of, min(int(repeats_in(ripple)), 4), rows=5)
    results = Pipeline().results(edits.set_values(design, terms=terms))
    assert errors(tech_edit(results)) == []


@pytest.mark.parametrize(
    "how",
    ["* to last 11 sts", "*, repeat to last 11 sts", "* x 11", "* 11 times", "* across to last 11 sts",
     "; repeat from *to last 11 sts", "*; repeat between asterisks 10 more times"],
)  # fmt: skip
def test_an_ordinary_repeat_makes_no_draft(sound, how):
    typed = own(sound, 2, "; repeat from * 10 more times (11 times in all)", how)
    assert stamp_for(Pipeline().results(typed)) == ""


# --- ten faults, one at a time, in the pattern -----------------------------------------------------


SEEDED = {
    "undefined abbreviation": (
        lambda p: without(p, "abbreviations", "tr2tog"), "words", "“tr2tog” is used but"),
    "abbreviation never used": (
        lambda p: edited(p, "abbreviations", lambda b: replace(b, label="dtr", text="double treble")
                         if b.label == "ch" else b), "words", "“dtr” is explained but never used"),
    "wrong count": (
        lambda p: retexted(p, "rows", "2 tr in top of turning ch. (144 sts)",
                           "2 tr in top of turning ch. (145 sts)"), "words 2", "145 stitches"),
    "gauge missing": (
        lambda p: edited(p, "gauge", lambda b: None), "gauge", "gauge is missing"),
    "gauge of the wave missing": (
        lambda p: edited(p, "gauge", lambda b: None if "In the wave" in b.text else b),
        "gauge wave", "gauge of the wave is missing"),
    "gauge of another design": (
        lambda p: retexted(p, "gauge", "13 tr", "15 tr"), "gauge", "13 stitches"),
    "size isn't repeats times width": (
        lambda p: retexted(p, "size", "100 x 138 cm (39.2", "112 x 138 cm (39.2"), "size",
        "112 × 138 cm"),
    "size missing": (lambda p: edited(p, "size", lambda b: None), "size", "size is missing"),
    "ambiguous repeat": (
        lambda p: retexted(p, "rows", "repeat from * 10 more times (11 times in all)",
                           "repeat from * across"), "words 2", "how far or how often"),
    "mixed terms": (
        lambda p: retexted(p, "special", "yrh, insert", "yo, insert"), "words", "“yo”"),
    "mixed terms in a row": (
        lambda p: retexted(p, "rows", "Ch 3 (counts as 1 tr)", "Ch 3 (counts as 1 htr, not hdc)"),
        "words 2", "“hdc”"),
    "yarn missing": (
        lambda p: without(p, "materials", "Samphire Bed"), "yarn 1", "Samphire Bed is worked"),
    "yarn without amount": (
        lambda p: edited(p, "materials", lambda b: replace(b, text=b.text.partition(": ")[0])
                         if b.label == "Limewash" else b), "yarn 2", "How much of Limewash"),
    "yarn without ball": (
        lambda p: edited(p, "materials", lambda b: replace(b, text="wool: " + b.text.partition(": ")[2])
                         if b.label == "Limewash" else b), "yarn 2", "length and weight of a ball"),
    "hook missing": (lambda p: without(p, "materials", "Hook"), "gauge", "hook is missing"),
    "chart isn't the words": (
        lambda p: retexted(p, "rows", "1 tr in each of next 3 sts, 2 tr in each of next 2 sts; repeat",
                           "1 tr in each of next 2 sts, 3 tr in next st, 1 tr in each of next 2 sts; "
                           "repeat"), "words 2", "differ in row 2"),
    "turning-chain rule unsaid": (
        lambda p: edited(p, "rules", lambda b: None if "Turning ch" in b.text else b), "turning",
        "turning chain counts"),
    "terms unsaid": (
        lambda p: edited(p, "head", lambda b: None if "terms" in b.text else b), "details",
        "which terms"),
    "stripes don't come to the rows": (
        lambda p: retexted(p, "stripes", "96 rows in all", "94 rows in all"), "stripes", "94 rows"),
    "a bracket in its own kind": (
        lambda p: retexted(p, "rows", "[tr2tog over next 2 sts] twice",
                           "[tr2tog over next 2 sts, [1 tr in next st] once] twice"), "words 2",
        "inside another of its kind"),
    "a bracket without times": (
        lambda p: retexted(p, "rows", "[tr2tog over next 2 ch] twice", "[tr2tog over next 2 ch]"),
        "words 1", "doesn't say how often"),
}  # fmt: skip


@pytest.mark.parametrize("fault", SEEDED)
def test_a_seeded_fault_is_found_at_its_place(results, fault):
    change, where, says = SEEDED[fault]
    pattern = published(results)
    seeded = change(pattern)
    assert seeded != pattern
    before = set(tech_edit(results, pattern))
    new = [f for f in tech_edit(results, seeded) if f not in before]
    there = [f for f in new if f.where == where and says in f.message]
    assert there, new
    assert all(f.level == "error" or "never used" in f.message for f in there)
    assert all(f.way for f in there)


# --- the same, where a designer can put them in ------------------------------------------------------


TYPED = {
    "undefined in own words": (
        lambda d: own(d, 2, "Ch 3 (counts as 1 tr), turn.", "Ch 3 (counts as 1 tr) as tch, turn."),
        "words 2", "“tch”"),
    "undefined in the notes": (
        lambda d: edits.set_values(d, notes="Count blo.\nMind the FPdc."), "details notes", "“FPdc”"),
    "undefined in the title": (
        lambda d: edits.set_values(d, title="Tall BPtr throw"), "details title", "“BPtr”"),
    "wrong count": (lambda d: own(d, 2, "(144 sts)", "(145 sts)"), "words 2", "says 145 stitches"),
    "wrong count in row 1": (
        lambda d: own(d, 1, "(144 sts)", "(143 sts)"), "words 1", "says 143 stitches"),
    "runs out": (
        lambda d: own(d, 2, "1 tr in each of next 3 sts", "1 tr in each of next 4 sts"), "words 2", ""),
    "other rows": (
        lambda d: own(d, 2, "1 tr in each of next 3 sts, 2 tr in each of next 2 sts; repeat",
                      "1 tr in each of next 2 sts, 3 tr in next st, 1 tr in each of next 2 sts; repeat"),
        "words 2", "Words and chart differ in row 2"),
    "other chain": (lambda d: own(d, 0, "Ch 147", "Ch 148"), "words 0", "differ in the foundation"),
    "repeat without end": (
        lambda d: own(d, 2, "repeat from * 10 more times (11 times in all)", "rep from * across"),
        "words 2", "how far or how often"),
    "repeat in the notes": (
        lambda d: edits.set_values(d, notes="*2 tr, 1 ch; repeat from *, then turn."),
        "details notes", "how far or how often"),
    "word of the other system": (
        lambda d: own(d, 2, "2 tr in top of turning ch", "2 tr in top of turning ch, not sc"),
        "words 2", "“sc”"),
    "other system in the notes": (
        lambda d: edits.set_values(d, notes="A row of single crochet goes round it."),
        "details notes", "“single crochet”"),
    "UK word in a US text": (
        lambda d: edits.set_values(d, terms="US", notes="Treble throughout.\nCheck your tension."),
        "details notes", "“treble”"),
    "other system in a stripe's name": (
        lambda d: with_values(d, stripes=Stripes((Stripe(0, 2, label="hdc band"), Stripe(1, 2)))),
        "stripes", "“hdc”"),
    "a size that isn't": (
        lambda d: edits.set_values(d, notes="Finished size: 120 x 150 cm."), "details notes",
        "120 × 150 cm"),
    "a size in inches that isn't": (
        lambda d: edits.set_values(d, title="Throw, 50 x 60 in"), "details title", "127 × 152 cm"),
    "gauge not measured": (
        lambda d: edits.set_values(d, swatch=None), "gauge wave", "reckoned, not measured"),
    "no skill level": (lambda d: edits.set_values(d, skill=""), "details skill", "skill level"),
    "no contact": (lambda d: edits.set_values(d, contact=""), "details contact", "mistakes"),
    "no licence": (lambda d: edits.set_values(d, licence=""), "details licence", "makers may do"),
    "no designer": (lambda d: edits.set_values(d, designer=" "), "details designer", "designer"),
    "no title": (lambda d: edits.set_values(d, title=" "), "details title", "no title"),
    "no weight class": (
        lambda d: edits.set_yarn(d, 2, weight=None), "yarn 2", "weight class"),
    "a yarn named as it came": (lambda d: edits.set_yarn(d, 3, name="Yarn 4"), "yarn 3", "Yarn 4"),
    "last stripe cut": (lambda d: edits.set_size(d, rows=95), "stripes", "1 row short"),
    "last stripe cut in a size": (
        lambda d: edits.set_values(d, sizes=(NamedSize(name="lap", repeats=8, rows=71),)), "sizes",
        "In size lap"),
    "neighbours that merge": (
        lambda d: edits.set_yarn(d, 0, colour=d.yarns[2].colour), "colour", "nearly match"),
    "tints that merge on the chart": (  # CIEDE2000 of the yarns 18.1, of their tints 3.4
        lambda d: edits.set_yarn(edits.set_yarn(d, 0, colour="#000040"), 2, colour="#1f3f6d"),
        "colour", "On the chart Deep Mooring and Limewash nearly match"),
    "symbols too small in print": (
        lambda d: edits.set_wave(d, with_values(d.wave, repeat=d.wave.repeat * 8)), "chart",
        "smallest symbol"),
}  # fmt: skip


@pytest.mark.parametrize("fault", TYPED)
def test_what_a_designer_can_leave_wrong_is_found_at_its_place(sound, fault):
    change, where, says = TYPED[fault]
    design = change(sound)
    found = tech_edit(Pipeline().results(design))
    assert [f for f in found if f.where == where and says in f.message], found


def test_rows_that_fit_at_one_width_only_are_found_in_the_other_size(design_of, row_of):
    # The repeat gains a stitch and the edges lose two: with 2 repeats that comes out even.
    row = row_of("2", "3 D2 4 I2x2", "3 D2x2")
    design = design_of(row, repeats=2, rows=6)
    assert build_rows(design).misfit is None
    results = Pipeline().results(edits.set_values(design, sizes=(NamedSize("lap", 3, 6),)))
    (found,) = [f for f in tech_edit(results) if f.level == "error"]
    assert found.where == "sizes"
    assert "In size lap row 2 takes" in found.message


LAP = NamedSize(name="lap", repeats=8, rows=72)
HOW_OFTEN = "repeat from * 10 more times (11 times in all)"


def test_own_words_are_read_in_every_size_that_carries_them(sound):
    # Worded for 11 repeats; 8 have 36 stitches fewer (12 each, the demo's multiple).
    design = edits.set_values(own(sound, 2, "Ch 3 (", "Ch three ("), sizes=(LAP,))
    (found,) = errors(tech_edit(Pipeline().results(design)))
    assert found.where == "sizes"
    assert found.message.startswith("In size lap: Row 2: the stitches run out")
    wide = own(sound, 2, HOW_OFTEN, "repeat from * to last 11 sts")
    text = wide.own_words[0].text
    counted = edits.set_values(wide, sizes=(LAP,))
    (found,) = errors(tech_edit(Pipeline().results(counted)))
    assert "says 144 stitches" in found.message and "In size lap" in found.message
    any_width = set_own_words(counted, 2, text.replace(" (144 sts)", ""))
    assert errors(tech_edit(Pipeline().results(any_width))) == []


def test_what_is_exported_is_what_is_edited(sound):
    """A German maker finds DStb in a row that the German list doesn't have; an English one not."""
    de, lap = Edition(language="de"), Edition(language="de", size=0)
    typed = own(sound, 2, "(144 sts)", "(144 sts) (no DStb here)")
    results = Pipeline().results(edits.set_values(typed, sizes=(LAP,)))
    its_own = {f.message for f in open_errors(results)}
    assert not any("DStb" in message for message in its_own)
    for edition, says in ((de, "“DStb”"), (lap, "“DStb”"), (Edition(size=0), "run out")):
        more = [f for f in open_errors(results, edition) if f.message not in its_own]
        assert any(says in f.message for f in more), edition
        assert f"Only in this edition: {more[0].text}" in stamped(results, edition)
    alone = Pipeline().results(typed)
    assert stamp_for(alone) == draft_line(alone) == ""
    assert stamp_for(alone, de) == "ENTWURF"
    assert draft_line(alone, de) == "ENTWURF: 1 Fehler ist offen."


# Faults in a German pattern and in one of a named size, each with its place.
ELSEWHERE = {
    ("de", "own"): {
        "abbreviations": ("words", "stands in no list"),
        "gauge": ("gauge", "gauge is missing"),
        "size": ("size", "size is missing"),
        "materials": ("gauge", "hook is missing"),
        "rules": ("turning", "turning chain counts"),
        "head": ("details", "which terms"),
        "stripes": ("stripes", "no stripe list"),
    },
    ("en", 0): {
        "abbreviations": ("words", "stands in no list"),
        "gauge": ("gauge", "gauge is missing"),
        "size": ("size", "size is missing"),
        "materials": ("gauge", "hook is missing"),
        "rules": ("turning", "turning chain counts"),
        "rows": ("words", "no rows"),
        "stripes": ("stripes", "no stripe list"),
    },
}


@pytest.mark.parametrize("edition", ELSEWHERE, ids=str)
def test_faults_of_a_german_pattern_and_of_a_named_size_are_found(sound, edition):
    language, size = edition
    chosen = Edition(language=language, size=size)
    results = Pipeline().results(edits.set_values(sound, sizes=(LAP,)))
    pattern = published(results, chosen)
    assert errors(tech_edit(results, pattern, chosen)) == []
    for name, (where, says) in ELSEWHERE[edition].items():
        assert pattern.section(name) is not None
        seeded = edited(pattern, name, lambda b: None)
        found = errors(tech_edit(results, seeded, chosen))
        assert [f for f in found if f.where == where and says in f.message], (name, found)


def test_a_size_that_is_not_the_named_sizes_is_found_in_its_pattern(sound):
    chosen = Edition(size=0)
    results = Pipeline().results(edits.set_values(sound, sizes=(LAP,)))
    pattern = published(results, chosen)
    own_size = next(b.text for b in published(results).section("size").blocks if " cm" in b.text)
    seeded = edited(pattern, "size", lambda b: replace(b, text=own_size) if " cm" in b.text else b)
    found = errors(tech_edit(results, seeded, chosen))
    assert [f for f in found if f.where == "size" and "100 × 138 cm" in f.message], found


def test_findings_speak_in_the_designs_own_units(sound):
    inches = edits.set_values(sound, units="in", notes="Finished size: 60 x 80 in.")
    results = Pipeline().results(inches)
    pattern = published(results)
    (noted,) = [f for f in tech_edit(results) if f.where == "details notes"]
    assert noted.message.startswith("Line 1 of the notes says 60.0 × 80.0 in; ")
    wrong = retexted(pattern, "size", "100 x 138 cm (39.2", "112 x 138 cm (39.2")
    bare = edited(pattern, "gauge", lambda b: None)
    found = [*tech_edit(results, wrong), *tech_edit(results, bare)]
    size = next(f for f in found if f.where == "size")
    assert "44.1 × 54.3 in" in size.message  # 112 and 138 cm by 2.54
    assert "11 repeats of 3.2" in size.message and "cm" not in size.message
    assert any("over 4 in (10 cm)" in f.way for f in found)


def test_cautions_for_infants_may_not_be_missing(sound):
    results = Pipeline().results(edits.set_values(sound, use="baby"))
    pattern = published(results)
    assert errors(tech_edit(results, pattern)) == []
    bare = edited(pattern, "care", lambda b: None if b.text == INFANT else b)
    (found,) = errors(tech_edit(results, bare))
    assert found.where == "details use" and "infant" in found.message
    small = Pipeline().results(
        edits.set_size(edits.set_values(sound, use="lap"), repeats=6, rows=40)
    )
    assert any(
        "infant" in f.message
        for f in tech_edit(small, edited(published(small), "care", lambda b: None))
    )


def test_names_that_look_like_stitches_are_only_names(sound):
    names = ("Single Crochet hdc", "tr3tog", "SC", "Skip", "blo yo")
    design = sound
    for number, name in enumerate(names):
        design = edits.set_yarn(design, number, name=name)
    design = edits.set_values(design, sizes=(NamedSize(name="sc hdc", repeats=8, rows=72),))
    for edition in (Edition(), Edition(size="all"), Edition(language="de")):
        assert errors(tech_edit(Pipeline().results(design), None, edition)) == []


def test_words_explained_in_the_notes_or_named_with_their_system_are_well(sound):
    for notes in (
        "sk: skip. Sk no chain.",
        "Worked in treble (US double crochet).",
        "100 x 138 cm",
    ):
        found = tech_edit(Pipeline().results(edits.set_values(sound, notes=notes)))
        assert [f for f in found if f.where == "details notes"] == [], notes


def test_own_words_that_leave_out_only_the_loops_are_to_be_looked_at(sound):
    design = own(sound, 2, "Working in back loops only, last st through both loops: 1 tr", "1 tr")
    found = [f for f in tech_edit(Pipeline().results(design)) if f.where == "words 2"]
    assert [f.level for f in found] == ["warning"]
    assert "only in the loops" in found[0].message


@given(st.integers(1, 400), st.sampled_from([1, 2]))
@settings(max_examples=30)
def test_a_wrong_count_in_own_words_is_always_found_at_its_row(design_of, row_of, count, row):
    base = design_of(row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), rows=4)
    design = own(base, row, "(36 sts)", f"({count} sts)")
    found = {f.where for f in tech_edit(Pipeline().results(design)) if f.level == "error"}
    assert found == (set() if count == 36 else {f"words {row}"})


@given(by_hand.closing_rows(), st.integers(1, 3))
@settings(max_examples=20)
def test_no_row_that_closes_is_called_wrong(design_of, row, repeats):
    assume(any(item.stitch for item in row.repeat))
    results = Pipeline().results(design_of(row, repeats=repeats, rows=4))
    if results.rows.misfit is None:
        assert errors(tech_edit(results)) == []


@given(st.text(max_size=300), st.text(max_size=120), st.text(max_size=60))
@settings(max_examples=40)
def test_whatever_is_typed_the_list_is_drawn_up(two_row_ripple, words, notes, title):
    def plain(text, also=""):
        return "".join(sign for sign in text if sign.isprintable() or sign in also)

    design = edits.set_values(two_row_ripple, notes=plain(notes, "\n"), title=plain(title))
    design = set_own_words(design, 2, plain(words, "\n"))
    assert tech_edit(Pipeline().results(design))


@pytest.mark.parametrize(
    "piece",
    [
        "repeat from * ",
        "9",
        "1 x ",
        "[",
        " ",
        "dc",
        "sk: ",
        "*",
        "(2 dc) ",
        "*dc* to ",
        "rep the ",
        "ab *9",
    ],
)
def test_long_texts_cost_by_their_length(two_row_ripple, piece):
    """Eight times the text costs at most about eight times as much: nothing is read twice."""

    def cost_of(signs):
        long = (piece * 20_000)[:signs]
        title = "x" + (piece * 199)[:199]
        design = edits.set_values(two_row_ripple, notes=f"1{long}.", title=title)
        results = Pipeline().results(set_own_words(design, 2, f"1{long[: signs // 4]}."))
        return cost_s(lambda: tech_edit(results))

    assert cost_of(19_990) < 24 * cost_of(2_500)


def test_an_even_tension_is_said_in_the_us_too(sound):
    us = edits.set_values(sound, terms="US", notes="Keep an even tension.\nTension: 13 sts.")
    found = [f for f in tech_edit(Pipeline().results(us)) if f.where == "details notes"]
    assert [f.message for f in found] == [
        "Line 2 of the notes says “tension”, which isn't a word of US terms."
    ]


def test_own_words_that_the_pattern_leaves_aside_are_not_looked_at(sound):
    design = own(sound, 2, "2 tr in top of turning ch", "2 tr in top of tch, no sc")
    other = edits.set_values(design, terms="US")
    found = [f for f in tech_edit(Pipeline().results(other)) if f.where == "words 2"]
    assert [f.level for f in found] == ["note"]
    assert "own words are in UK terms" in found[0].message


# --- the stamp and the list -----------------------------------------------------------------------


def test_errors_stamp_and_warnings_never_do(sound):
    wrong = Pipeline().results(own(sound, 2, "(144 sts)", "(145 sts)"))
    assert len(open_errors(wrong)) == 1
    assert stamp_for(wrong) == "DRAFT"
    assert stamp_for(wrong, Edition(language="de")) == "ENTWURF"
    assert draft_line(wrong) == "DRAFT: 1 error is open."
    assert stamped(wrong) == "1 error open: stamped DRAFT."
    bare = Pipeline().results(edits.set_values(sound, contact="", skill="", swatch=None))
    assert [f for f in tech_edit(bare) if f.level == "warning"]
    assert stamp_for(bare) == stamped(bare) == ""


def test_the_list_as_text_numbers_every_finding_with_its_place(sound):
    design = edits.set_values(own(sound, 2, "(144 sts)", "(145 sts)"), contact="", licence="")
    found = tech_edit(Pipeline().results(design))
    text = list_text(found, design)
    lines = text.splitlines()
    assert lines[0] == "Tech edit: Harbour Steps throw"
    assert lines[1] == "1 to mend, 1 to look at, 1 to know"
    assert [line for line in lines if line.startswith("[ ] ")] == [
        f"[ ] {n}. {place_name(f.where, design)}: {f.text}" for n, f in enumerate(found, start=1)
    ]
    assert "[ ] 1. words of row 2: " in text
    assert "the contact: " in text


def test_every_place_of_a_finding_has_a_name(sound):
    assert place_name("yarn 1", sound) == sound.yarns[1].name
    assert place_name("words 0", sound) == "words of the foundation"
    assert place_name("words", sound) == "words"
    assert place_name("details skill", sound) == "the skill level"
    assert place_name("yarn 99", sound) == "yarn 99"


def test_the_whole_list_costs_as_much_as_a_few_patterns(sound):
    """It rereads the pattern in every way there is: some six times what writing it costs."""
    results = Pipeline().results(sound)
    tech_edit(results)
    writing = cost_s(lambda: write_pattern(results.design, results.rows))
    assert cost_s(lambda: tech_edit(results)) < 30 * writing
