"""What stands around written rows: stripes, sizes, gauge, abbreviations, special stitches."""

import re
from collections.abc import Sequence

import pytest
from follow import COUNT, STITCH, phrases_of, times_of
from hypothesis import given
from hypothesis import strategies as st
from published_names import UK, US
from written import NAMED, a_design, any_designs, lines_of, pattern_text, section, text_of

from core.design.document import (
    Item,
    Row,
    Yarn,
)
from core.records import replace
from core.rows.build import build_rows
from core.words import write as write_module
from core.words.abbreviations import special_stitches
from core.words.vocabulary import Vocabulary, vocabulary

# Stripes --------------------------------------------------------------------------------------


def test_colours_change_on_the_last_yarn_over_of_the_row_before(twelve):
    lines = lines_of(a_design(twelve.wave.row, rows=4), ball_for_row=[0, 1, 1, 0])
    assert lines[0] == "Foundation: With Sea, ch 39 (a multiple of 12, plus 3)."
    assert "chang" not in lines[1] + lines[2]  # a row that repeats reads the same every time
    assert lines[3] == (
        "Rows 3 to 4: Repeat row 2 until 4 rows are worked, changing color where the stripes do. "
        "(36 sts)"
    )


def test_the_rule_says_when_the_colour_changes(twelve):
    text = pattern_text(twelve, build_rows(twelve, rows=4), yarn_of_row=[0, 1, 1, 0])
    (rule,) = [line for line in section(text, "Before you begin") if line.startswith("Changing")]
    assert "last st of a stripe up to its last yo, then make that yo with the new color" in rule
    plain = pattern_text(twelve, build_rows(twelve, rows=4), yarn_of_row=[0, 0, 0, 0])
    assert "Changing" not in plain


def test_a_stripe_sequence_that_comes_again_is_said_once(twelve):
    yarns = [0, 0, 1, 0, 0, 1, 1, 0] * 4 + [0, 0, 1]
    text = pattern_text(twelve, build_rows(twelve, rows=35), yarn_of_row=yarns)
    # Counted by hand: 35 rows are four sequences of 8 and 3 rows more.
    assert section(text, "Stripes") == [
        "The stripe sequence has 8 rows:",
        "Rows 1 to 2: Sea (2 rows, 2 in all)",
        "Row 3: Sand (1 row, 3 in all)",
        "Rows 4 to 5: Sea (2 rows, 5 in all)",
        "Rows 6 to 7: Sand (2 rows, 7 in all)",
        "Row 8: Sea (1 row, 8 in all)",
        "Repeat rows 1 to 8 of the stripe sequence 3 more times: 32 rows in all.",
        "Then work rows 1 to 3 of the sequence again: 35 rows in all.",
    ]


def stripes_read(lines: Sequence[str], names: Sequence[str]) -> list[int]:
    """Return the yarn of every row, read from a stripe list."""
    yarns: list[int] = []
    for line in lines:
        if match := re.match(r"Rows? (\d+)(?: to (\d+))?: (\w+) \((\d+) rows?, (\d+) in all", line):
            assert int(match[1]) == len(yarns) + 1
            yarns += [names.index(match[3])] * int(match[4])
            assert len(yarns) == int(match[5]) == int(match[2] or match[1])
        elif match := re.match(r"Repeat .* 1 to (\d+) .* (?:once|(\d+)) more.*: (\d+) rows", line):
            yarns *= int(match[2] or 1) + 1
            assert len(yarns) == int(match[3])
        elif match := re.match(r"Then work rows? 1(?: to (\d+))? .*: (\d+) rows", line):
            yarns += yarns[: int(match[1] or 1)]
            assert len(yarns) == int(match[2])
        else:
            assert re.fullmatch(r"The stripe sequence has \d+ rows:", line)
    return yarns


@given(st.lists(st.integers(0, 1), min_size=1, max_size=12), st.integers(1, 40))
def test_a_stripe_list_read_again_gives_every_row_its_yarn(sequence, n_rows):
    yarns = (sequence * 40)[:n_rows]
    row = Row((), (Item(stitch="dc", times=6),), ())
    design = a_design(row, rows=n_rows)
    text = pattern_text(design, build_rows(design), yarn_of_row=yarns)
    assert stripes_read(section(text, "Stripes"), ["Sea", "Sand"]) == yarns


def test_stripes_are_listed_with_the_rows_so_far(twelve):
    rows = build_rows(twelve, rows=6)
    text = pattern_text(twelve, rows, yarn_of_row=[0, 0, 1, 0, 0, 0])
    assert section(text, "Stripes") == [
        "Rows 1 to 2: Sea (2 rows, 2 in all)",
        "Row 3: Sand (1 row, 3 in all)",
        "Rows 4 to 6: Sea (3 rows, 6 in all)",
    ]


def test_yarns_of_the_same_name_are_told_apart(twelve):
    same = tuple(Yarn(name="Wool", colour=c, ball_m=90, ball_g=50) for c in ("#102030", "#405060"))
    design = a_design(twelve.wave.row, yarns=same, rows=2)
    text = pattern_text(design, build_rows(design), yarn_of_row=[0, 1])
    assert "Row 2: Wool (yarn 2) (1 row, 2 in all)" in text


def test_only_yarns_that_are_worked_with_are_materials(twelve):
    text = pattern_text(twelve, build_rows(twelve, rows=2), yarn_of_row=[1, 1])
    assert section(text, "Materials") == ["Sand: 105 m in a ball of 50 g", "Hook: 5 mm"]


# Size and gauge -------------------------------------------------------------------------------


def test_the_multiple_says_how_to_make_it_wider(twelve):
    # `ripple12` in tests/files/published_ripples.json: a multiple of 12, and 3 chains.
    assert section(pattern_text(twelve, build_rows(twelve)), "Multiple") == [
        "Multiple of 12 plus 3 ch (27 ch or more).",
        "This blanket has 2 repeats between its edges: 39 ch in all.",
        "For every repeat more, make 12 ch more; every row then has 12 sts more.",
        "At any width, in row 1 repeat from * to last 11 ch, in every later row repeat from * to "
        "last 11 sts (the turning ch is one of them).",
    ]


@given(any_designs())
def test_to_the_last_stitches_is_where_the_repeats_end(design):
    rows = build_rows(design)
    lines = "\n".join(section(pattern_text(design, rows, terms="US"), "Multiple"))
    row_1 = re.search(r"in row 1 repeat from \* to last (?:(\d+) )?ch", lines)
    later = re.search(r"in every later row repeat from \* to last (?:(\d+) )?sts?", lines)
    for row, found in ((1, row_1), (2, later)):
        if found is None or row > len(rows.which):
            continue
        text = text_of(design, row)
        joined = row > 1 and " ch and this " in text_of(design, row - 1)
        tail = COUNT.sub("", text).split(" in all)", 1)[1].removeprefix(", ")
        assert int(found[1] or 1) == _uses(tail, joined=joined)


def _uses(tail: str, *, joined: bool) -> int:
    """Return how many places a tail goes into, by its numbers alone."""
    uses = 0
    for phrase in phrases_of(tail):
        times = 1
        if match := re.fullmatch(r"\[(.*)\] (.*)", phrase):
            phrase, times = match[1], times_of(match[2])
        if re.fullmatch(r"ch \d+|leaving turning ch unworked", phrase):
            continue
        where = re.split(r" in | over |skip |leave ", phrase)[-1]
        number = re.search(r"(?:next|last|first) (\d+)", where)
        named = (
            int(number[1])
            if number
            else len(re.findall(r"next st|last st|(?:last|next) ch(?!-)", where))
            + sum(map(int, re.findall(r"ch-(\d+) sp", where)))
        )
        of_turning = "turning ch" in where and not joined
        uses += (named + of_turning) * times
    return uses


def test_rows_that_fit_at_one_width_only_are_said_to(row_of):
    wide = row_of("2", "4", "")
    narrow = row_of("4", "3", "")
    design = a_design(wide, cycle=(wide, narrow), repeats=2)
    assert build_rows(design).misfit is None
    assert "The rows fit one another at this width only." in pattern_text(
        design, build_rows(design)
    )


def test_the_gauge_names_the_units_of_the_design(twelve):
    inches = a_design(twelve.wave.row, units="in")
    text = pattern_text(inches, build_rows(inches))
    assert section(text, "Gauge") == [
        "13 dc and 7.5 rows = 4 in (10 cm), in plain rows of dc without the wave."
    ]
    assert "Sea: 105 m (115 yd) in a ball of 50 g" in text
    assert section(pattern_text(twelve, build_rows(twelve), terms="UK"), "Tension") == [
        "13 tr and 7.5 rows = 10 cm, in plain rows of tr without the wave."
    ]


def test_a_gauge_from_a_swatch_of_another_size_is_said_to_a_hundredth(twelve):
    """26 rows in 33 cm are 7.878787… in 10 cm, which nobody counts."""
    gauge = replace(twelve.gauge, rows=26 / 3.3)
    swatched = replace(twelve, gauge=gauge)
    (said,) = section(pattern_text(swatched, build_rows(swatched), terms="UK"), "Tension")
    assert said.startswith("13 tr and 7.88 rows = 10 cm")


def test_notes_and_size_lines_stand_as_they_are_given(twelve):
    design = a_design(twelve.wave.row, notes="Wash cool.\nDry flat.")
    text = pattern_text(design, build_rows(design), size_text=["Width: 91 cm"])
    assert section(text, "Notes") == ["Wash cool.", "Dry flat."]
    assert section(text, "Size") == ["Width: 91 cm"]


def test_a_design_without_title_and_designer_begins_with_its_terms(twelve):
    design = a_design(twelve.wave.row, title="", designer="")
    assert pattern_text(design, build_rows(design)).startswith("Written in US terms\n")


# Words ----------------------------------------------------------------------------------------

# Which words belong to which system: tests/core/published_names.py, with its sources; sl st and ss,
# skip and miss, gauge and tension, color and colour are common practice.
ONLY_US = (
    r"\b(?:sc|hdc|sl st|skip|skipped|gauge|yo|yarn over|color|single crochet|half double crochet)\b"
    r"|\b(?:sc|hdc|sl st)\d+tog"
)
ONLY_UK = (
    r"\b(?:ss|htr|trtr|miss|missed|tension|yrh|yarn round hook|colour|half treble|triple treble)\b"
    r"|\b(?:ss|htr|trtr)\d+tog"
)


@pytest.mark.parametrize("name", [*NAMED, "losing_wave"])
def test_no_word_of_the_other_system_is_left(name, request):
    design = request.getfixturevalue(name)
    rows = build_rows(design)
    for terms, foreign in (("UK", ONLY_US), ("US", ONLY_UK)):
        text = pattern_text(design, rows, terms=terms, yarn_of_row=[0, 1] * (len(rows.which) // 2))
        assert not re.search(foreign, text, re.IGNORECASE)


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("name", [*NAMED, "losing_wave"])
def test_exactly_the_abbreviations_in_use_are_explained(name, terms, request):
    design = request.getfixturevalue(name)
    rows = build_rows(design)
    text = pattern_text(design, rows, terms=terms, yarn_of_row=[0, 1] * (len(rows.which) // 2))
    listed = {line.split(": ")[0] for line in section(text, "Abbreviations")}
    rest = text.replace("\n".join(section(text, "Abbreviations")), "").replace(
        "\nAbbreviations", ""
    )
    assert listed == _abbreviations_in(rest, terms)


def _abbreviations_in(text: str, terms: str) -> set[str]:
    found = {match[0].lower() for match in re.finditer(rf"\b{STITCH}\d+tog\b", text, re.IGNORECASE)}
    for word in ["ch", "RS", "WS", "yo", "yrh", *(US if terms == "US" else UK)]:
        if re.search(rf"\b{word}\b", text, re.IGNORECASE):
            found.add(word)
    if re.search(r"\bsps?\b", text):
        found.add("sp(s)")
    bare = re.sub(r"\bsl st\b", "", text)
    return found | ({"st(s)"} if re.search(r"\bsts?\b", bare, re.IGNORECASE) else set())


# Common practice: a leg ends with its last two loops left, and one more yarn over closes all. Loops
# on the hook by counting: one, and one (hdc: two) for each leg.
DECREASES = {
    ("sc", 2): "[insert hook in next st, yo and pull up a loop] twice, yo and pull through all "
    "3 loops on hook.",
    ("hdc", 3): "[yo, insert hook in next st, yo and pull up a loop] 3 times, yo and pull through "
    "all 7 loops on hook.",
    ("dc", 3): "[yo, insert hook in next st, yo and pull up a loop, yo and pull through 2 loops] "
    "3 times, yo and pull through all 4 loops on hook.",
    ("tr", 2): "[yo twice, insert hook in next st, yo and pull up a loop, (yo and pull through "
    "2 loops) twice] twice, yo and pull through all 3 loops on hook.",
    ("sl st", 2): "insert hook in next st, yo and pull up a loop, insert hook in next st, yo and "
    "pull through the st and all loops on hook.",
}


@pytest.mark.parametrize(("stitch", "over"), DECREASES)
def test_decreases_are_written_out_for_their_stitch(stitch, over):
    name = f"{stitch}{over}tog"
    (line,) = special_stitches(f"{name} over next", [], vocabulary("US"))
    assert line == (name, DECREASES[stitch, over].removesuffix("."))


def test_increases_are_written_out_once_each(items_of):
    items = items_of("I2 3 I2x2 I3 V")
    assert special_stitches("", items, vocabulary("UK")) == (
        ("2 tr in one st", "work all of them into the same place; 1 st more than before"),
        ("3 tr in one st", "work all of them into the same place; 2 sts more than before"),
        (
            "(1 tr, ch 1, 1 tr) in one st",
            "work all of it into the same place; 2 sts more than before, each ch counted as one",
        ),
    )


def test_both_systems_have_a_phrase_for_every_key():
    us, uk = vocabulary("US"), vocabulary("UK")
    assert us.phrases.keys() == uk.phrases.keys()
    for key, phrase in us.phrases.items():
        assert set(re.findall(r"\{\w+\}", phrase)) == set(re.findall(r"\{\w+\}", uk.phrases[key]))
        assert "<" not in phrase + uk.phrases[key]


@pytest.mark.parametrize(("number", "written"), [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"),
                                                 (11, "11th"), (12, "12th"), (13, "13th"),
                                                 (21, "21st"), (111, "111th")])  # fmt: skip
def test_ordinals_are_english(number, written):
    assert vocabulary("US").ordinal(number) == written


@pytest.mark.parametrize("name", [*NAMED, "losing_wave"])
def test_every_word_comes_from_the_vocabulary(name, request, monkeypatch):
    """With all words of the catalogue turned into x, no letter but x is left."""
    english = vocabulary("US")
    blank = Vocabulary(
        terms="US",
        phrases={
            key: re.sub(r"\{\w+\}|[A-Za-z]", lambda m: m[0] if m[0][0] == "{" else "x", phrase)
            for key, phrase in english.phrases.items()
        },
        names={key: type(entry)("xx", "xxx", "xxx") for key, entry in english.names.items()},
        number_of=english.number_of,
        ordinal=str,
    )
    monkeypatch.setattr(write_module, "vocabulary", lambda *args, **kwargs: blank)
    design = request.getfixturevalue(name)
    yarns = tuple(Yarn(name=n, colour="#000000", ball_m=1, ball_g=1) for n in ("1", "2"))
    plain = a_design(
        design.wave.row,
        title="3",
        designer="4",
        yarns=yarns,
        setup=design.wave.setup,
        cycle=design.wave.cycle,
        turning=design.turning,
        loops=design.loops,
    )
    text = pattern_text(plain, build_rows(plain), yarn_of_row=[0, 1] * 4)
    assert set(re.findall(r"[A-Za-z]", text)) <= {"x", "X", "U", "S"}  # US itself is filled in
