"""The booklet's tree, its pictures in words, and the HTML edition read by strict parsers."""

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser

import pytest
from sentences_apart import sentences

from core.booklet.closeup import closeup_mm
from core.booklet.contents import booklet_of, version_of
from core.booklet.html import ACCENT, INK, PAPER, QUIET, booklet_html
from core.booklet.measures import measures_of
from core.booklet.nodes import Picture, Ticks
from core.booklet.options import EDITIONS, Options, edition_of
from core.booklet.pdf_marks import with_bookmarks
from core.booklet.stripes import letters_of, stripes_sentence, ticks_of
from core.checks.cautions import INFANT
from core.design.document import Item, NamedSize, Stripe, Stripes, Wave
from core.design.edits import set_sequence, set_size, set_swatch, set_values, set_wave, set_yarn
from core.design.files import read_design
from core.editions import Edition
from core.editions import pattern_of as pattern_in
from core.palette.words import colour_words
from core.pipeline import Pipeline
from core.reading.own import set_own_words
from core.records import replace
from core.stripes.colour import contrast
from core.techedit.draft import published
from core.words.measures import both_lengths
from core.words.pattern import Paragraph, Pattern, Section, Table
from core.words.vocabulary import vocabulary
from core.words.write import written_rows

HOSTILE = '"><script src="https://example.org/x.js">alert(1)</script><img src=x onerror=y> & \'<!--'


@pytest.fixture(scope="module")
def demo(demo_path):
    return Pipeline().settled_results(read_design(demo_path))


UK = vocabulary("UK")


def pattern_of(results, terms=None, **choices):
    return pattern_in(results, Edition(terms=terms, **choices))


def booklet(results, **choices):
    options = Options(**choices)
    spelled = edition_of(options.edition).spelled
    edition = Edition(terms=options.terms, language=options.language, spelled=spelled)
    return booklet_of(results, published(results, edition), options)


def html(results, **choices):
    made = booklet(results, edition="html", **choices)
    return booklet_html(made, {"fabric": b"\x89PNG", "chart": b"\xff\xd8\xff"})


# letters and stripes


def test_a_letter_belongs_to_its_yarn(demo):
    """A yarn that isn't worked with leaves its letter out."""
    stripes = tuple(Stripe(yarn, 2) for yarn in (0, 2, 4))
    fewer = Pipeline().results(set_sequence(demo.design, stripes))
    assert letters_of(fewer) == {0: "A", 2: "C", 4: "E"}


def test_ticks_count_every_row_once_and_end_with_the_last(demo):
    ticks = ticks_of(demo, UK)
    assert [tick.first for tick in ticks[1:]] == [tick.last + 1 for tick in ticks[:-1]]
    assert ticks[0].first == 1
    assert ticks[-1].last == demo.design.size.rows == 96
    letters = letters_of(demo)
    assert all(tick.letter == letters[demo.yarn_of_row[tick.first - 1]] for tick in ticks)
    assert len(set(letters.values())) == len(letters)


def test_a_sequence_that_repeats_is_said_once(demo):
    said = stripes_sentence(ticks_of(demo, UK), UK)
    assert said.startswith("48 stripes in 5 colours.")
    assert "These 12 are worked 4 times." in said
    assert said.count("Lamp Oil") == 1


def test_a_sequence_that_breaks_off_says_so(demo):
    short = Pipeline().results(set_size(demo.design, rows=28))
    said = stripes_sentence(ticks_of(short, UK), UK)
    assert said.startswith("14 stripes in 5 colours")
    long = Pipeline().results(set_size(demo.design, rows=54))
    assert "worked twice, then the first 3 once more." in stripes_sentence(ticks_of(long, UK), UK)


# pictures in words


def test_the_picture_is_told_with_the_designs_own_figures(demo):
    cover = booklet(demo).cover
    told = " ".join(cover.description)
    waves = round(demo.size.width_mm / demo.wave.repeat_width_mm)
    assert f"{waves} waves across" in cover.alt
    assert f"{demo.size.width_mm / 10:.0f} × {demo.size.length_mm / 10:.0f} cm" in told
    assert f"{demo.wave.wave_height_mm / 10:.1f} cm high from dip to peak" in told
    assert "Peaks stand above peaks" in told
    assert "ridges" in told  # worked in the back loops
    assert f"Lamp Oil is {colour_words('#e0a83a')}" in told


def test_another_design_is_told_otherwise(demo):
    other = set_yarn(set_size(demo.design, rows=24), 4, colour="#0000ff", name="Far Out")
    told = " ".join(booklet(Pipeline().results(other)).cover.description)
    assert "Far Out is vivid blue" in told
    assert "Lamp Oil" not in told
    assert "wider than tall" in told


def test_the_chart_is_told_stitch_by_stitch_and_counts_to_the_row(demo):
    part = booklet(demo).part("chart")
    (picture,) = part.nodes
    assert isinstance(picture, Picture)
    told = next(line for line in picture.description if line.startswith("Row 2,"))
    made = 0
    for step in told.split(": ", 1)[1].rstrip(".").split("; "):
        times = 2 if "twice" in step else int(re.search(r"(\d+) times", step)[1]) \
            if " times" in step else 1  # fmt: skip
        made += times * (1 if "together" in step else int(re.match(r"\d+", step)[0]))
    once = set_size(demo.design, repeats=1)
    assert made == Pipeline().results(once).rows.makes(2)
    assert "treble" in told
    assert "Rows 1 and 3 start at the right edge; row 2 starts at the left edge." in (
        picture.description
    )


def test_rows_start_at_the_other_sides_for_the_left_hand(demo):
    left = Pipeline().results(set_values(demo.design, hand="left"))
    made = booklet(left)
    assert any("left hand" in line for line in made.lines)
    (picture,) = made.part("chart").nodes
    assert "Rows 1 and 3 start at the left edge; row 2 starts at the right edge." in (
        picture.description
    )


def test_washing_stands_beside_the_measures(demo):
    # Figures of a swatch of our own, in inches; the ratios are plain arithmetic.
    swatch = {
        "wash_width_mm": 19 * 25.4,
        "washed_width_mm": 18 * 25.4,
        "wash_length_mm": 23.25 * 25.4,
        "washed_length_mm": 21.5 * 25.4,
    }
    washed = Pipeline().results(set_swatch(demo.design, **swatch))
    measures = measures_of(washed, UK)
    assert measures.width / measures.worked_width == pytest.approx(18 / 19)
    assert measures.length / measures.worked_length == pytest.approx(21.5 / 23.25)
    schematic = next(n for n in booklet(washed).part("size").nodes if isinstance(n, Picture))
    assert "after washing" in schematic.caption
    assert f"Off the hook: {measures.worked_width / 10:.0f} cm" in schematic.caption


def test_inches_come_first_where_the_design_is_in_inches():
    assert both_lengths(254.0, "in", UK) == "10.0 in (25 cm)"
    assert both_lengths(254.0, "cm", UK) == "25 cm (10.0 in)"


def test_the_close_up_is_of_the_corner_where_row_1_begins(demo):
    left = Pipeline().results(set_values(demo.design, hand="left"))
    for results, side in ((demo, "right"), (left, "left")):
        (picture,) = booklet(results).part("closeup").nodes
        assert f"lower {side} corner" in picture.alt
        low_x, low_y, high_x, high_y = closeup_mm(results)
        corner = results.fabric.row_tops_mm(0)[-1 if side == "right" else 0]
        assert low_x < corner[0] < high_x
        assert low_y < corner[1] < high_y
        nearer = high_x - corner[0] if side == "right" else corner[0] - low_x
        assert nearer < 0.1 * (high_x - low_x)


def test_plain_rows_have_straight_edges(demo):
    # Closed form: without increases or decreases every cell is a rectangle, and so is the whole.
    one = (Item(stitch="dc"),)
    plain = Pipeline().settled_results(set_wave(demo.design, Wave(one, one, one)))
    (picture,) = booklet(plain).part("closeup").nodes
    assert picture.description[-1].endswith("The side edge runs straight up.")


# contents

# What good patterns contain (common practice), as far as a design knows it.
WANTED = ("size", "materials", "gauge", "abbreviations", "special", "multiple", "rules", "rows",
          "chart", "stripes", "finishing", "trouble", "cautions", "version")  # fmt: skip


@pytest.mark.parametrize("edition", [edition.key for edition in EDITIONS])
def test_every_edition_has_what_an_excellent_pattern_contains(demo, edition):
    made = booklet(demo, edition=edition)
    names = [part.name for part in made.parts]
    spelled = {"abbreviations"} if edition == "html" else set()
    assert set(WANTED) - spelled <= set(names)
    assert len(names) == len(set(names))
    assert made.access.startswith("Access:")
    assert "Written in UK terms" in made.lines
    nodes = [node for part in made.parts for node in part.nodes]
    assert any(isinstance(node, Ticks) for node in nodes)


def test_the_large_edition_tells_the_chart_in_words(demo):
    chart = booklet(demo, edition="large").part("chart")
    assert not any(isinstance(node, Picture) for node in chart.nodes)
    full = booklet(demo).part("chart").nodes[0]
    assert chart.nodes[0].points == full.description


def test_sections_come_in_the_writers_order_and_new_ones_too(demo):
    pattern = pattern_of(demo)
    table = Table(("Size", "Chains"), (("pram", "99"), ("bed", "231")), "Sizes")
    more = Section("other sizes", "Other sizes", (table, Paragraph("One more.", "Note")))
    sections = (*pattern.sections[:3], more, *pattern.sections[3:])
    made = booklet_of(demo, Pattern(pattern.terms, sections), Options())
    wanted = [part.name for part in sections if part.name != "head"]
    assert [part.name for part in made.parts if part.name in wanted] == wanted
    assert made.part("other sizes").nodes == more.blocks


def test_what_the_writer_says_is_not_said_again(demo):
    pattern = pattern_of(demo)
    own = Section("cautions", "Take care", (Paragraph("Ours."),))
    made = booklet_of(demo, Pattern(pattern.terms, (*pattern.sections, own)), Options())
    assert made.part("cautions").heading == "Take care"
    assert sum(part.name == "cautions" for part in made.parts) == 1


def test_a_block_of_a_kind_unknown_here_is_set_as_its_plain_text(demo):
    @dataclass(frozen=True)
    class Newer:
        plain: str = "first <line>\nsecond line"

    pattern = pattern_of(demo)
    part = Section("newer", "Newer", (Newer(),))
    made = booklet_of(demo, Pattern(pattern.terms, (*pattern.sections, part)), Options())
    text = booklet_html(made, {})
    assert "<p>first &lt;line&gt;</p>\n<p>second line</p>" in text


def test_an_infants_size_brings_the_caution_once(demo):
    pram = Pipeline().results(set_size(demo.design, repeats=7, rows=60))
    assert INFANT in [f.message for f in pram.findings]
    made = booklet(pram, edition="html")
    (cautions,) = made.part("cautions").nodes
    assert INFANT in cautions.points
    text = html(pram)
    for caution in cautions.points:
        assert text.count(escape(caution, quote=False)) == 1
    assert "not sized for an infant" not in text
    assert "not sized for an infant" in html(demo)


def caution_points(made):
    (points,) = made.part("cautions").nodes
    return points.points


@pytest.mark.parametrize("language", ["en", "de"])
def test_while_rows_do_not_fit_nobody_is_told_that_it_is_not_for_infants(demo, language):
    wave = demo.design.wave
    odd = set_wave(demo.design, Wave(wave.start, wave.repeat, wave.end[:-1]))
    words = vocabulary("UK", language)
    for use, size in (("", (7, 60)), ("", (11, 96)), ("baby", (11, 96)), ("bed", (11, 96))):
        design = set_size(set_values(odd, use=use), repeats=size[0], rows=size[1])
        results = Pipeline().results(design)
        assert results.rows.misfit is not None
        points = caution_points(booklet(results, language=language))
        assert words.say("caution not for infants") not in points
        assert points.count(words.say("caution infant")) == 1
        assert (words.say("caution ends") in points) == (use != "bed")


def test_a_caution_is_known_by_the_model_and_not_by_its_words(demo):
    pram = Pipeline().results(set_size(demo.design, repeats=7, rows=60))
    pattern = pattern_of(pram)
    care = pattern.section("care")
    reworded = Section("care", "Care", tuple(
        replace(b, text="Mind babies.") if b.caution == "infant" else b for b in care.blocks
    ))  # fmt: skip
    without = [part for part in pattern.sections if part.name != "care"]
    for sections in ((*without, reworded), tuple(without)):
        made = booklet_of(pram, Pattern(pattern.terms, sections), Options())
        assert not any("not sized for an infant" in point for point in caution_points(made))
        assert ("Mind babies." in caution_points(made)) == (reworded in sections)
        assert (INFANT in caution_points(made)) == (reworded not in sections)


def test_notes_that_sound_like_a_caution_are_none(demo):
    noted = Pipeline().results(set_values(demo.design, notes=INFANT))
    assert any("not sized for an infant" in point for point in caution_points(booklet(noted)))


def points_in_all_sizes(design, language="en", edition="full"):
    results, spelled = Pipeline().results(design), edition_of(edition).spelled
    pattern = pattern_of(results, size="all", language=language, spelled=spelled)
    options = Options(size="all", language=language, edition=edition)
    return caution_points(booklet_of(results, pattern, options))


PRAM = NamedSize(name="pram", repeats=7, rows=60)


def test_sizes_in_one_text_have_the_cautions_of_the_smallest(demo):
    points = points_in_all_sizes(set_values(demo.design, sizes=(PRAM,)))
    assert any(INFANT in point and "pram" in point for point in points)
    assert vocabulary("UK").say("caution not for infants") not in points  # not so of the pram's


@pytest.mark.parametrize("edition", ["full", "html"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_larger_sizes_in_one_text_keep_the_cautions_of_every_blanket(demo, language, edition):
    throw = NamedSize(name="throw", repeats=11, rows=96)
    words = vocabulary("UK", language, spelled=edition_of(edition).spelled)
    general = words.say("caution not for infants")
    bed, names = NamedSize("bed", 20, 120), {"throw": words.phrases["size throw"], "bed": "bed"}
    names |= {"": words.phrases["own size"]}
    for sizes, others in (((throw,), ["throw"]), ((), [""]), ((throw, bed), ["throw", "bed"])):
        sized = set_values(demo.design, sizes=(PRAM, *sizes))
        points = points_in_all_sizes(sized, language, edition)
        told = words.joined([names[other] for other in others])
        assert words.say("size only", text=general, size=told) in points
        assert words.say("caution loose") in points
        small = words.phrases["size pram"]
        for caution in ("infant", "ends", "weight"):
            text = words.say(f"caution {caution}")
            assert words.say("size only", text=text, size=small) in points


@pytest.mark.parametrize("language", ["en", "de"])
def test_cautions_of_all_sizes_take_the_place_of_those_of_every_blanket(demo, language):
    words, smaller = vocabulary("UK", language), NamedSize(name="small", repeats=6, rows=50)
    for design in (
        set_size(set_values(demo.design, sizes=(PRAM, smaller)), repeats=7, rows=60),
        set_values(demo.design, sizes=(PRAM,), use="baby"),
    ):
        points = points_in_all_sizes(design, language)
        assert words.say("caution infant") in points
        assert words.say("caution ends") in points
        assert not any(words.say("caution not for infants") in point for point in points)
        assert words.say("caution loose") not in points
    points = points_in_all_sizes(
        set_values(demo.design, sizes=(NamedSize("bed", 20, 120),)), language
    )
    assert words.say("caution not for infants") in points  # of no size, so of all


def test_the_version_tells_designs_apart(demo):
    assert version_of(demo.design) == version_of(set_values(demo.design, hand="right"))
    assert version_of(demo.design) != version_of(set_values(demo.design, title="Other"))
    made = booklet(demo)
    assert made.version in made.foot[1]


def test_a_design_that_cannot_be_worked_is_a_draft(demo):
    wave = demo.design.wave
    odd = set_wave(demo.design, Wave(wave.start, wave.repeat, wave.end[:-1]))
    results = Pipeline().settled_results(odd)
    made = booklet(results, edition="html")
    assert made.draft == tuple(f.message for f in results.findings if f.level == "error")
    assert made.draft
    text = booklet_html(made, {})
    assert text.count("DRAFT") == 1 + len(made.parts)  # at the head and under every heading
    assert not booklet(demo).draft


# HTML


class Tree(HTMLParser):
    """Collects the tags of a page."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.tags, self.text, self.open = [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.open.append(tag)

    def handle_endtag(self, tag):
        self.open.remove(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        if "style" not in self.open:
            self.text.append(data)


def test_the_page_is_well_formed_and_says_its_language(demo):
    text = html(demo)
    assert text.startswith("<!DOCTYPE html>")
    root = ET.fromstring(text.split("\n", 1)[1])
    assert root.get("lang") == "en"  # WCAG 2.2, 3.1.1
    assert root.find("head/title").text == "Harbour Steps throw"  # 2.4.2


def test_headings_go_down_one_level_at_a_time(demo):
    levels = [int(tag[1]) for tag, _ in Tree(html(demo)).tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in itertools.pairwise(levels))


def test_every_picture_is_described_and_every_table_has_scopes(demo):
    text = html(demo)
    assert text.count("<table>") == text.count("<caption>") == 2  # 1.3.1: letters and stripes
    tags = Tree(text).tags
    pictures = [attrs for tag, attrs in tags if tag == "img"]
    assert len(pictures) == 2
    ids = [attrs["id"] for _, attrs in tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    for picture in pictures:  # WCAG 2.2, 1.1.1
        assert len(picture["alt"]) > 30
        assert picture["aria-describedby"] in ids
        assert picture["src"].startswith("data:image/")
    assert all(attrs.get("scope") in ("col", "row") for tag, attrs in tags if tag == "th")  # 1.3.1
    assert all(attrs.get("aria-label") for tag, attrs in tags if tag == "input")  # 4.1.2
    assert all(attrs["aria-labelledby"] in ids for tag, attrs in tags if tag == "section")
    assert all(attrs["href"][1:] in ids for tag, attrs in tags if tag == "a")


def test_the_page_loads_and_runs_nothing(demo):
    text = html(demo)
    for tag, attrs in Tree(text).tags:
        assert tag not in ("script", "link", "iframe", "object", "base", "form")
        for name, value in attrs.items():
            assert not name.startswith("on")
            if name in ("src", "href", "action", "srcset"):
                assert value.startswith(("data:image/", "#"))
    style = text[text.index("<style>") : text.index("</style>")]
    assert "url(" not in style
    assert "@import" not in style


def test_what_was_typed_stays_text(demo):
    design = set_values(demo.design, title=HOSTILE, designer=HOSTILE, notes=HOSTILE)
    design = set_yarn(set_yarn(design, 0, name=HOSTILE[:80]), 2, name='<b>"&')
    text = html(Pipeline().results(design))
    root = ET.fromstring(text.split("\n", 1)[1])
    assert not [node for node in root.iter() if node.tag == "script"]
    assert root.find("body/header/h1").text == HOSTILE
    assert len(list(root.iter("img"))) == 2
    assert not list(root.iter("b"))
    told = "".join(root.itertext())
    assert told.count('<b>"&') > 24  # a label, a key and every stripe of it
    assert f"Designed by {HOSTILE}" in told
    assert all(not name.startswith("on") for node in root.iter() for name in node.attrib)


def test_what_was_typed_stays_text_where_no_abbreviation_is_known(demo):
    section = Section("notes", "<i>Notes</i>", (Paragraph("a <b>b</b> & c"),))
    text = booklet_html(booklet_of(demo, Pattern("UK", (section,)), Options(edition="html")), {})
    root = ET.fromstring(text.split("\n", 1)[1])
    assert "a <b>b</b> & c" in [node.text for node in root.iter("p")]
    assert "<i>Notes</i>" in [node.text for node in root.iter("h2")]


def test_every_line_of_the_pattern_is_in_the_page_in_order(demo):
    told = re.sub(r"\s+", " ", "".join(Tree(html(demo)).text))
    at = 0
    for section in pattern_of(demo, spelled=True).sections:
        if section.name in ("stripes", "size", "head"):
            continue
        for block in section.blocks:
            text = re.sub(r"\s+", " ", block.text)
            for piece in text.split(": ", 1):
                at = told.index(piece, at)


OWN = "Ch 3 (counts as 1 tr), turn. Work as row 1 says. tr2tog, and mind the tide. (144 sts)"


@pytest.fixture(scope="module")
def in_own_words(demo):
    """The demo with row 2 in the designer's own words, which say other rows than the chart."""
    return Pipeline().results(set_own_words(demo.design, 2, OWN))


@pytest.mark.parametrize("language", ["en", "de"])
def test_own_wording_is_kept_and_told_beside(in_own_words, language):
    """WCAG 2.2, 3.1.2 and 3.1.4: what is abbreviated is explained, another language is marked."""
    tree = Tree(html(in_own_words, language=language))
    text = html(in_own_words, language=language)
    assert '<abbr title="treble 2 stitches together">tr2tog</abbr>' in text
    assert '<abbr title="stitches">sts</abbr>' in text
    assert "mind the tide" in text
    own = [attrs for tag, attrs in tree.tags if tag == "dd" and attrs.get("lang") == "en"]
    meanings = booklet(in_own_words, edition="html", language=language).own_meanings
    assert len(own) == (language == "de") * (1 + len(meanings))
    label = {"en": "Row 2, wrong side, as the chart has it", "de": "Reihe 2, Rückreihe, nach der"}
    assert label[language] in text
    spelled = pattern_in(in_own_words, Edition(language=language, spelled=True))
    row = next(block for block in spelled.section("rows").blocks if block.row == 2)
    assert escape(row.text) in text


def test_own_wording_that_says_the_chart_s_row_is_spelled_out_beside(demo):
    line = next(line for line in written_rows(demo.design, demo.rows) if line.row == 2)
    said = Pipeline().results(set_own_words(demo.design, 2, f"{line.text} Mind the tide."))
    assert "<dt>Row 2, wrong side, spelled out</dt>" in html(said)


def test_only_the_designers_own_wording_is_abbreviated(demo, in_own_words):
    assert "<abbr" not in html(demo)
    assert html(in_own_words).count("mind the tide") == 1


@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_is_left_for_a_voice_to_stumble_over(in_own_words, demo, language):
    """As in the spelled pattern (`test_languages`): no short forms, no signs that a voice drops."""
    del in_own_words
    tree = Tree(html(demo, language=language))
    text = " ".join(tree.text[tree.text.index("Harbour Steps throw") :]).split("</style>")[-1]
    text = text[text.index("Access") if language == "en" else text.index("Zugänglichkeit") :]
    assert not re.findall(r"[*\[\]=×+/<>–„“\"]", text)
    words = set(re.findall(r"(?<![\w-])[^\W\d_]+(?![\w-])", text))
    assert not words & SHORT[language]


SHORT = {
    "en": {"st", "sts", "ch", "sp", "RS", "WS", "yrh", "ss", "dc", "htr", "tr", "dtr", "cm", "mm",
           "m", "g", "tog"},
    "de": {"M", "Lm", "U", "fM", "hStb", "Stb", "DStb", "Km", "Hinr", "Rückr", "cm", "mm", "m",
           "g", "zus", "abm"},
}  # fmt: skip


@pytest.mark.parametrize("edition", [edition.key for edition in EDITIONS])
def test_no_english_furniture_is_left_in_a_german_booklet(in_own_words, edition):
    """No words in a row of both editions but what the designer typed.

    The chart's: tests/app/test_booklet_charts.py.
    """
    design = in_own_words.design
    typed = " ".join(
        [design.title, design.designer, design.notes, design.contact, design.licence, OWN]
        + [yarn.name for yarn in design.yarns]
        + list(booklet(in_own_words, edition="html").own_meanings.values())
    )

    def texts(language):
        made = booklet(in_own_words, edition=edition, language=language)
        return "\n".join(Tree(booklet_html(made, {"fabric": b"\x89PNG"})).text)

    english, german = sentences(texts("en")), sentences(texts("de"))
    assert len(english) > 20 and len(german) > 20
    both = english & german
    known = " ".join(re.sub(r"[\d\W_]+", " ", typed).split())
    left = {re.sub(r"^[A-E] ", "", found) for found in both}  # a yarn's letter before its name
    assert {found for found in left if found not in known} == set()


def test_the_german_booklet_says_its_language(demo):
    root = ET.fromstring(html(demo, language="de").split("\n", 1)[1])
    assert root.get("lang") == "de"


def test_text_reads_on_its_ground():
    # WCAG 2.2, 1.4.3: 4.5 to 1.
    assert min(contrast(colour, PAPER) for colour in (INK, ACCENT, QUIET)) >= 4.5


def test_terms_are_those_asked_for(demo):
    us = booklet(demo, edition="html", terms="US")
    text = booklet_html(us, {})
    assert "Written in US terms" in text
    assert "treble" not in text
    assert "yrh" not in text


# bookmarks


def test_a_file_of_another_make_is_refused():
    with pytest.raises(ValueError, match="isn't made as expected"):
        with_bookmarks(b"%PDF-1.4 nothing", [("One", 0)], language="en")


def test_skipped_dips_and_chains_are_told(demo):
    plain, skip = Item(stitch="dc", times=4), Item(skip=2)
    peak = Item(stitch="dc", make=2, chain=1)
    row = ((Item(stitch="dc"),), (plain, peak, plain, skip), (Item(stitch="dc"),))
    design = set_sequence(set_wave(demo.design, Wave(*row)), (Stripe(yarn=0, rows=2),))
    assert isinstance(design.stripes, Stripes)
    (picture,) = booklet(Pipeline().results(design)).part("chart").nodes
    told = " ".join(picture.description)
    assert "miss 2" in told
    assert "2 treble in one place, 1 chain between" in told
