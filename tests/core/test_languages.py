"""The pattern in US and UK terms and in German, abbreviated and spelled out.

Golden texts are what the program wrote when somebody last read them through; everything else here
follows from the catalogue, from the published chart of terms, or from the rows themselves.
"""

import re
from functools import lru_cache
from pathlib import Path

import msgspec
import pytest
from published_names import PUBLISHED
from some import some

from core import editions
from core.craft.stitches import CATALOGUE, WORKED
from core.design import edits
from core.design.document import (
    Border,
    Design,
    Edging,
    EndFill,
    Gauge,
    Item,
    Loops,
    NamedSize,
    Size,
    Stripe,
    Stripes,
    Swatch,
    Turning,
    Wave,
    Yarn,
)
from core.editions import Edition, pattern_of
from core.pipeline import Pipeline
from core.records import replace
from core.rows.build import build_rows
from core.rows.choices import with_edges
from core.rows.rhythm import Rhythm
from core.rows.starters import starter
from core.rows.waves import FAMILIES, shape_of, wave_of
from core.words import write
from core.words.facts import Amount, Caution, Facts
from core.words.languages import WORDINGS, StitchName
from core.words.short import height_label, short_label
from core.words.vocabulary import vocabulary
from core.words.write import write_pattern, written_rows

GOLDEN = Path(__file__).parents[1] / "golden"
FORMS = [(terms, language) for language in WORDINGS for terms in ("US", "UK")]

# The published chart of terms, and the spelling of both countries.
UK_OF_US = {
    **{stitch.us: stitch.uk for stitch in PUBLISHED[1:]},
    **{stitch.us_long: stitch.uk_long for stitch in PUBLISHED[1:]},
    "skip": "miss", "skipped": "missed", "Skip": "Miss",
    "Skipped": "Missed",
    "yo": "yrh", "yarn over": "yarn round hook", "color": "colour", "colors": "colours",
    "Gauge": "Tension", "centimeters": "centimetres", "millimeters": "millimetres",
    "meters": "metres", "US": "UK",
}  # fmt: skip


def families() -> dict[str, Design]:
    """Return a small design of every family, some with lace, cycles, edging, washing, inches."""
    found = {family.name: starter(family) for family in FAMILIES}
    found = {name: edits.set_size(design, repeats=3, rows=17) for name, design in found.items()}
    heights = next(family.name for family in FAMILIES if family.is_of_heights)
    tall = replace(shape_of(found[heights].wave), near="dip", far="dip")
    found["tall edges"] = edits.set_wave(found[heights], wave_of(tall))
    found["tall edges, counted"] = edits.set_turning(found["tall edges"], counts=True)
    gentle = shape_of(found["Gentle"].wave)
    dips = wave_of(with_edges(gentle, "dip", "dip"))
    found["dip edges"] = edits.set_wave(found["Gentle"], dips)
    swaps = wave_of(replace(gentle, rhythm=Rhythm(every=2, swap_after=4)))
    found["swap"] = edits.set_wave(found["Gentle"], swaps)
    found["in turn"] = edits.set_loops(found["Gentle"], in_turn=("back", "both"))
    found["anew"] = edits.set_loops(found["Gentle"], in_turn=("back", "both"), each_colour=True)
    edging = Edging(top=EndFill(), bottom=EndFill(), border=Border(rounds=3, multiple=4, extra=1))
    swatch = Swatch(
        repeats=2, repeats_mm=166, washed_width_mm=160, rows=10, rows_mm=144, washed_length_mm=140
    )
    found["edged"] = msgspec.structs.replace(found["Gentle"], edging=edging, swatch=swatch)
    found["inches"] = msgspec.structs.replace(found["edged"], units="in")
    losing = found["Gentle"].wave
    short = Wave(losing.start, (*losing.repeat, Item(skip=1)), losing.end)
    found["misfit"] = edits.set_wave(found["Gentle"], short)
    every = tuple(edits.set_stitch(found["Gentle"], key).wave.row for key in WORKED)
    wave = msgspec.structs.replace(found["Gentle"].wave, cycle=every)
    found["every stitch"] = edits.set_wave(found["Gentle"], wave)
    names = tuple(replace_yarn(number) for number in range(3))
    return {
        name: msgspec.structs.replace(design, title="", yarns=names, sizes=sizes_of(design))
        for name, design in found.items()
    }


def replace_yarn(number: int) -> Yarn:
    return Yarn(name=str(number + 1), colour="#204060", ball_m=105.5, ball_g=50)


def sizes_of(design: Design) -> tuple[NamedSize, ...]:
    return (NamedSize(name="lap", repeats=4, rows=24), NamedSize(name="2", repeats=1, rows=9))


DESIGNS = families()


@lru_cache(maxsize=1)
def results_of(name: str):
    return Pipeline().results(DESIGNS[name])


def text_of(name: str, **edition) -> str:
    return pattern_of(results_of(name), Edition(**edition)).plain


# The catalogue --------------------------------------------------------------------------------


def fields(phrase: str) -> set[str]:
    return set(re.findall(r"\{(\w+)\}", phrase))


@pytest.mark.parametrize("language", WORDINGS)
def test_every_language_has_every_phrase(language):
    mine, english = WORDINGS[language], WORDINGS["en"]
    assert mine.phrases.keys() == english.phrases.keys()
    assert not (mine.spelled.keys() | mine.sized.keys()) - mine.phrases.keys()
    assert not mine.spelled_sized.keys() - mine.phrases.keys()
    for key in mine.phrases:
        assert mine.phrases[key].strip() or key in ("in one part",)
        for table in (mine.phrases, mine.spelled, mine.sized, mine.spelled_sized):
            phrase = table.get(key, "")
            assert fields(phrase) <= fields(english.phrases[key]) | {"one", "n", "more", "plural"}
            assert phrase.count("|") <= 1


@pytest.mark.parametrize("language", WORDINGS)
def test_every_language_names_every_stitch_by_a_name_of_its_own(language):
    for names in some(WORDINGS[language].stitches.values()):
        assert list(names) == list(CATALOGUE), (
            f"core/words/languages: give every stitch of the catalogue a name in {language!r}, "
            "in its order"
        )
        assert len({name.short for name in names.values()}) == len(names)
        assert len({name.long for name in names.values()}) == len(names)


@pytest.mark.parametrize(("terms", "language"), FORMS)
@pytest.mark.parametrize("spelled", [False, True])
@pytest.mark.parametrize("sized", [False, True])
def test_no_phrase_is_left_with_a_word_for_a_country(terms, language, spelled, sized):
    words = vocabulary(terms, language, spelled=spelled, sized=sized)
    assert not [phrase for phrase in words.phrases.values() if "<" in phrase or ">" in phrase]


# Spelled otherwise on the two sides of the Atlantic: common practice.
UK_SPELLING = re.compile(r"\b(?:fibre|grey|centre|labelled|[\w-]*colour|(?:centi|milli)?metre)")
US_SPELLING = re.compile(r"\b(?:fiber|gray|center|labeled|[\w-]*color|(?:centi|milli)?meter)")


@pytest.mark.parametrize(("terms", "foreign"), [("US", UK_SPELLING), ("UK", US_SPELLING)])
@pytest.mark.parametrize("spelled", [False, True])
@pytest.mark.parametrize("sized", [False, True])
def test_no_phrase_is_spelled_as_in_the_other_country(terms, foreign, spelled, sized):
    words = vocabulary(terms, spelled=spelled, sized=sized)
    said = {key: re.sub(r"{\w*}", "", phrase) for key, phrase in words.phrases.items()}
    assert not {key: text for key, text in said.items() if foreign.search(text.lower())}


# One system, one language ---------------------------------------------------------------------


def translated(text: str) -> str:
    longest_first = sorted(UK_OF_US, key=len, reverse=True)
    stitch = "|".join(map(re.escape, longest_first))
    pattern = re.compile(rf"(?<![\w-])(?:{stitch})(?=\d+tog|(?![\w-]))", re.IGNORECASE)

    def uk(match: re.Match[str]) -> str:
        word = match[0]
        if word in UK_OF_US:
            return UK_OF_US[word]
        small = UK_OF_US[word[:1].lower() + word[1:]]
        return small[:1].upper() + small[1:]

    return pattern.sub(uk, text)


@pytest.mark.parametrize("spelled", [False, True])
@pytest.mark.parametrize("name", DESIGNS)
def test_uk_words_are_us_words_by_the_published_chart(name, spelled):
    """Word for word, so that none of the other system is left, and nothing else changes."""
    us = text_of(name, terms="US", spelled=spelled)
    uk = text_of(name, terms="UK", spelled=spelled)
    assert "Written in UK terms" in uk
    assert sorted(translated(us).splitlines()) == sorted(uk.splitlines())  # lists are by letters


ENGLISH_TOO = {
    # words that are the same
    "finger",
    "in",
    "plus",
    "es",
    "mm",
    "m",
    "g",
    "cm",
    "x",
    "so",
    "fast",
    "hat",
    "an",
    "am",
    "die",
    "lose",
}


def words_in(text: str) -> set[str]:
    return set(re.findall(r"(?<!\d)[^\W\d_]+", text.lower()))  # 1st is no abbreviation


@pytest.mark.parametrize("size", ["own", "all"])
@pytest.mark.parametrize("spelled", [False, True])
@pytest.mark.parametrize("name", DESIGNS)
def test_no_english_word_is_left_in_german(name, spelled, size):
    english = set()
    for table in (WORDINGS["en"].phrases, WORDINGS["en"].spelled):
        for phrase in table.values():
            english |= words_in(re.sub(r"\{\w+\}", " ", phrase))
    for names in WORDINGS["en"].stitches.values():
        english |= {word for stitch in names.values() for word in words_in(stitch.long)}
        english |= {stitch.short for stitch in names.values()}
    text = text_of(name, language="de", spelled=spelled, size=size)
    assert words_in(text) & english <= ENGLISH_TOO


def test_labels_on_drawings_are_in_the_catalogue_too(items_of):
    items = items_of("3 D2x2 K2 V")
    assert short_label(items, "US", "de") == "3, 2 zus. ×2, 2 auslassen, 2 in 1 mit 1 Lm"
    assert height_label(items_of("2", "hdc"), "US", "de") == "2 hStb"


def numbers(text: str) -> list[str]:
    """Return every figure in a text, told ones among them, from small to large."""
    text = (
        re.sub(r"\bonce(?! the)", "1", text)
        .replace("twice", "2")
        .replace("Repeat row", "repeat row")
    )
    return sorted(re.findall(r"\d+", text))


@pytest.mark.parametrize("name", DESIGNS)
def test_rows_have_the_same_figures_in_german(name):
    design, rows = DESIGNS[name], results_of(name).rows
    english = written_rows(design, rows, terms="US")
    german = written_rows(design, rows, language="de")
    assert len(english) == len(german)
    for one, two in zip(english, german, strict=True):
        # "1 dc3tog" and "dc3tog" are counted in one language only.
        us = re.sub(r"\b1 (?=\w+\d+tog)|(?<=dc)2tog (?=count)", "", one.text)
        if "tog" in us and "count" in us:
            continue
        assert numbers(us.replace("3fStb", "")) == numbers(two.text.replace("3fStb", ""))
        assert (one.row, one.side, one.count) == (two.row, two.side, two.count)


def test_german_has_decimal_commas_and_metric_units_only():
    text = text_of("inches", language="de")
    assert re.search(r"13 Stb und 7,88 Reihen = 10 cm|13 Stb und \d,\d+ Reihen = 10 cm", text)
    assert "105,5 m je Knäuel zu 50 g" in text
    assert not re.search(r"\d\.\d", text)
    assert " in)" not in text and "yd" not in text and "Häkelnadel: 5 mm" in text


# Spelled out ----------------------------------------------------------------------------------

SHORT = {
    "en": {"st", "sts", "ch", "sp", "sps", "rs", "ws", "yo", "yrh", "sc", "hdc", "dc", "tr", "dtr",
           "htr", "trtr", "ss", "sl", "cm", "mm", "m", "g", "yd", "tog"},
    "de": {"m", "lm", "u", "fm", "hstb", "stb", "dstb", "fstb", "km", "hinr", "rückr", "cm", "mm",
           "g", "zus", "abm"},
}  # fmt: skip


@pytest.mark.parametrize("size", ["own", "all"])
@pytest.mark.parametrize("language", WORDINGS)
@pytest.mark.parametrize("name", DESIGNS)
def test_spelled_out_nothing_is_left_for_a_voice_to_stumble_over(name, language, size):
    text = text_of(name, language=language, spelled=True, size=size)
    assert not re.findall(r"[*()\[\]=×x+/<>–„“\"](?!\w)", text)
    assert not words_in(text) & SHORT[language]
    assert "Abbreviations" not in text and "Abkürzungen" not in text


def test_spelled_out_reads_as_a_sentence():
    design = DESIGNS["Gentle"]
    rows = written_rows(design, build_rows(design), terms="US", spelled=True)
    assert (
        "work 1 double crochet in each of the next 3 stitches, twice in a row work 2 double "
        in (rows[2].text)
    )
    assert rows[2].label == "Row 2, wrong side"
    assert rows[2].text.startswith("Chain 3, which counts as 1 double crochet, and turn. ")
    assert ", end of repeat, work this repeat 3 times in all, " in rows[2].text


# Golden texts ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def twelve(row_of) -> Design:
    """The published 12-stitch ripple (madebypurpje.com, 12n + 3) in two colours."""
    row = row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2")
    return Design(
        title="Ripple of twelve",
        designer="A. Designer",
        notes="Wash before you measure.",
        gauge=Gauge(stitch="dc", stitches=13, rows=7.5, hook_mm=5.0),
        wave=Wave(row.start, row.repeat, row.end),
        turning=Turning(chains=3, counts=True),
        loops=Loops(work_in="back", last_stitch_both=True),
        size=Size(repeats=2, rows=18),
        yarns=(
            Yarn(name="Sea", colour="#2a6f97", ball_m=105, ball_g=50),
            Yarn(name="Sand", colour="#e9d8a6", ball_m=105, ball_g=50),
        ),
        stripes=Stripes((Stripe(yarn=0, rows=2), Stripe(yarn=1, rows=2))),
    )


FACTS = Facts(
    width_mm=253.0,
    length_mm=262.5,
    is_washed=True,
    wider_mm=12.4,
    longer_mm=12.4,
    has_border=True,
    repeat_mm=84.25,
    rise_mm=14.5,
    washed_repeat_mm=81.5,
    washed_rise_mm=14.25,
    tails=18,
    carried=True,
    cautions=(Caution("infant", "size"),),
    amounts={0: Amount(2, 112.4, 53.5, 10.2), 1: Amount(1, 85.5, 40.7, 7.8)},
)

GOLDENS = {
    "us": {"terms": "US"},
    "uk": {"terms": "UK"},
    "de": {"language": "de"},
    "us_spelled": {"terms": "US", "spelled": True},
    "de_spelled": {"language": "de", "spelled": True},
}


@pytest.mark.parametrize("name", GOLDENS)
def test_the_twelve_stitch_ripple_reads_as_before(twelve, name):
    yarns = [0, 0, 1, 1] * 4 + [0, 0]
    pattern = write_pattern(
        twelve, build_rows(twelve), yarn_of_row=yarns, facts=FACTS, **GOLDENS[name]
    )
    golden = GOLDEN / f"words_ripple12_{name}.txt"
    assert pattern.plain == golden.read_text(encoding="utf-8")


# German read back -----------------------------------------------------------------------------

US_OF_GERMAN = {
    "fM": "sc", "hStb": "hdc", "Stb": "dc", "DStb": "tr", "3fStb": "dtr", "Km": "sl st",
}  # fmt: skip
_ST = r"(?:3fStb|DStb|hStb|Stb|fM|Km)"
_ORDER = {"erst": "first", "nächst": "next", "letzt": "last"}


def _ordinal(number: str) -> str:
    return vocabulary("US").ordinal(int(number))


def _times(n: str) -> str:
    return {"1": "once", "2": "twice"}.get(n, f"{n} times")


def _noun(n: int, german: str) -> str:
    return "ch" if german == "Lm" else ("st" if n == 1 else "sts")


def english_of(german: str) -> str:
    """Return a German row in US words, by grammar: endings have to be right to be read."""
    rules = [
        (r"(\d+) M, davon (\d+) Lm\)$", lambda m: f"{m[1]} sts, {m[2]} of them ch)"),
        (r"\((\d+) M\)$", lambda m: f"({m[1]} {_noun(int(m[1]), 'M')})"),
        (
            r"; ab \* noch (\d+)-mal wiederholen \(insgesamt (\d+)-mal\)",
            lambda m: (
                f"; repeat from * {'once more' if m[1] == '1' else m[1] + ' more times'} "
                f"({_times(m[2])} in all)"
            ),
        ),
        (r"die (\d+)\. Wende-Lm", lambda m: f"{_ordinal(m[1])} ch of turning ch"),
        (r", die Wende-Lm bleiben unbehäkelt", lambda m: ", leaving turning ch unworked"),
        (r"\bdie Wende-Lm\b", lambda m: "turning ch"),
        (r"turning ch unbehäkelt lassen", lambda m: "leave turning ch unworked"),
        (r"die oberste Wende-Lm", lambda m: "top of turning ch"),
        (r"dieselbe M\b", lambda m: "same st"),
        (
            r"die (\d+)\. (und|bis) (\d+)\. Lm ab der Nadel",
            lambda m: (
                f"{_ordinal(m[1])} {'and' if m[2] == 'und' else 'to'} {_ordinal(m[3])} ch from hook"
            ),
        ),
        (r"die (\d+)\. Lm ab der Nadel", lambda m: f"{_ordinal(m[1])} ch from hook"),
        (r"den (erst|nächst|letzt)en (\d+)-Lm-Bogen", lambda m: f"{_ORDER[m[1]]} ch-{m[2]} sp"),
        (
            r"jede der (erst|nächst|letzt)en (\d+) (M|Lm)\b",
            lambda m: f"each of {_ORDER[m[1]]} {m[2]} {_noun(int(m[2]), m[3])}",
        ),
        (
            r"jede der (\d+) (M|Lm)\b",
            lambda m: f"each of the {m[1]} {_noun(int(m[1]), m[2])}",
        ),
        (
            r"die (erst|nächst|letzt)en (\d+) (M|Lm)\b",
            lambda m: f"{_ORDER[m[1]]} {m[2]} {_noun(int(m[2]), m[3])}",
        ),
        (r"die (erst|nächst|letzt)e (M|Lm)\b", lambda m: f"{_ORDER[m[1]]} {_noun(1, m[2])}"),
        (rf"über ([^,\]]*?) und ([^,\]]*?) (\d+) ({_ST}) zus\. abm\.",
         lambda m: f"{US_OF_GERMAN[m[4]]}{m[3]}tog over {m[1]} and {m[2]}"),
        (rf"über ([^,\]]*?) (\d+) ({_ST}) zus\. abm\.",
         lambda m: f"{US_OF_GERMAN[m[3]]}{m[2]}tog over {m[1]}"),
        (r"\] (\d+)-mal", lambda m: f"] {_times(m[1])}"),
        (rf"(\d+) ({_ST}) in ", lambda m: f"{m[1]} {US_OF_GERMAN[m[2]]} in "),
        (rf"\((\d+) ({_ST}), ", lambda m: f"({m[1]} {US_OF_GERMAN[m[2]]}, "),
        (rf"(\d+) ({_ST})(?=[\])])", lambda m: f"{m[1]} {US_OF_GERMAN[m[2]]}"),
        (
            rf"\((die|Wende-Lm)([^)]*?) und (?:(\d+) )?({_ST}|{_ST} zus\. abm\.) zählen zusammen "
            rf"als (\d+) ({_ST}) zus\. abm\.\)",
            lambda m: "(JOINED)",
        ),
        (r"nur in die hinteren M-Glieder häkeln", lambda m: "working in back loops only"),
        (r"nur in die vorderen M-Glieder häkeln", lambda m: "working in front loops only"),
        (r"die letzte M in beide M-Glieder|last st in beide M-Glieder",
         lambda m: "last st through both loops"),
        (r"\(zähl(t|en) nicht als M\), wenden", lambda m: "(does not count as a st), turn"),
        (r"\(die ausgelassene Lm zählt nicht als M\)",
         lambda m: "(the skipped ch does not count as a st)"),
        (r"\(die (\d+) ausgelassenen Lm zählen nicht als M\)",
         lambda m: f"(the {m[1]} skipped ch do not count as sts)"),
        (r"\(die ausgelassene Lm zählt als ", lambda m: "(the skipped ch counts as "),
        (r"\(die (\d+) ausgelassenen Lm zählen als ",
         lambda m: f"(the {m[1]} skipped ch count as "),
        (r"\(zähl(t|en) als (\d+) ([^)]*)\), wenden", lambda m: f"(counts as {m[2]} {m[3]}), turn"),
        (r"\b(\d+) Lm\b", lambda m: f"ch {m[1]}"),
        (r"\bwenden\b", lambda m: "turn"),
        (r"(^|[,.:*] ?)([^,.:*;]+) auslassen", lambda m: f"{m[1]}skip {m[2].strip()}"),
    ]  # fmt: skip
    text = german[:1].lower() + german[1:]
    text = re.sub(r"(?<=\D\. )[A-ZÜ]", lambda m: m[0].lower(), text)
    for pattern, to in rules:
        text = re.sub(pattern, to, text)
    return text


@pytest.mark.parametrize("name", DESIGNS)
def test_german_rows_read_back_are_the_us_rows(name):
    design, rows = DESIGNS[name], results_of(name).rows
    english = written_rows(design, rows, terms="US")
    german = written_rows(design, rows, language="de")
    compared = 0
    for one, two in zip(english[1:], german[1:], strict=True):
        if not one.label.startswith("Row ") or "ork as" in one.text or "Not written" in one.text:
            continue
        us = re.sub(r"\((?:the|\d+ of)[^)]* count as 1 \w+ ?\d+tog\)", "(JOINED)", one.text.lower())
        mine = english_of(two.text).lower().replace("(joined)", "(JOINED)")
        assert mine == us
        compared += 1
    assert compared or name == "misfit"


# Nothing beside the catalogue -----------------------------------------------------------------


@pytest.mark.parametrize("size", ["own", "all", 0])
@pytest.mark.parametrize("name", ["edged", "inches", "Lacy fan", "anew", "swap", "misfit"])
def test_with_every_word_of_the_catalogue_crossed_out_no_word_is_left(name, size, monkeypatch):
    """So no writer has a wording of its own, sizes, edging, yarn and cautions included."""

    def crossed_out(*args, **options):
        words = vocabulary(*args, **options)
        phrases = {
            key: re.sub(r"\{\w+\}|[^\W\d_]", lambda m: m[0] if m[0][0] == "{" else "x", phrase)
            for key, phrase in words.phrases.items()
        }
        names = {key: StitchName("xx", "xxx", "xxx") for key in words.names}
        return replace(words, phrases=phrases, names=names, ordinal=str)

    monkeypatch.setattr(editions, "vocabulary", crossed_out)
    monkeypatch.setattr(write, "plain_words", lambda words: vocabulary("US"))
    results = results_of(name)
    design = msgspec.structs.replace(
        results.design, sizes=(NamedSize(name="7", repeats=4, rows=24),)
    )
    text = pattern_of(replace(results, design=design), Edition(size=size)).plain
    assert set(re.findall(r"[^\W\d_]", text)) <= {"x", "X", "U", "S"}  # US itself is filled in


@pytest.mark.parametrize("name", DESIGNS)
def test_german_explains_exactly_the_abbreviations_it_uses(name):
    pattern = pattern_of(results_of(name), Edition(language="de"))
    listed = {block.label for block in pattern.section("abbreviations").blocks}
    sections = [part for part in pattern.sections if part.name not in ("abbreviations", "head")]
    text = "\n".join(part.plain for part in sections)
    every = {name.short for name in WORDINGS["de"].stitches["US"].values()}
    met = {short for short in every if re.search(rf"(?<![\w-]){short}(?!\w)", text)}
    met |= {
        word for word in ("M", "U", "Hinr", "Rückr") if re.search(rf"(?<!\w){word}(?!\w)", text)
    }
    met |= {"Lm-Bogen"} if re.search(r"Lm-B[oö]gen", text) else set()
    met |= {match[0] for match in re.finditer(r"\d+ \w+ zus\. abm\.", text)}
    assert listed == met
