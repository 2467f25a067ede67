"""The chart that goes with a booklet: its letters, its rows and its language are the booklet's."""

import re
import xml.etree.ElementTree as ET

import pytest
from sentences_apart import sentences

from app.depicting import chart_sheet, written_pattern
from app.painting.choices import Choices
from core.booklet.contents import booklet_of
from core.booklet.options import Options
from core.booklet.stripes import letters_of
from core.chart.svg import svg_text
from core.design.document import Stripe, Wave
from core.design.edits import set_sequence, set_wave
from core.editions import Edition
from core.pipeline import Pipeline


@pytest.fixture(scope="module")
def results(demo):
    return Pipeline().settled_results(demo)


def svg(results, language):
    choices = Choices(edition=Edition(language=language))
    return svg_text(chart_sheet(results, choices), width_mm=180)


def test_the_letters_of_the_list_are_those_of_the_chart(demo):
    """A yarn that isn't worked with leaves its letter out, on the chart and in the list alike."""
    fewer = Pipeline().results(set_sequence(demo, tuple(Stripe(yarn, 2) for yarn in (0, 2, 4))))
    assert letters_of(fewer) == {0: "A", 2: "C", 4: "E"}
    texts = {text.text for text in chart_sheet(fewer, Choices()).texts}
    assert {"A", "C"} <= texts and "B" not in texts


def test_the_chart_in_words_is_of_the_rows_that_the_chart_shows(demo):
    wave = demo.wave
    cycle = Wave(wave.start, wave.repeat, wave.end, cycle=(wave.row,) * 11)
    for design in (demo, set_wave(demo, cycle)):
        results = Pipeline().results(design)
        chart = chart_sheet(results, Choices()).chart
        booklet = booklet_of(results, written_pattern(results), Options())
        told = booklet.part("chart").nodes[0]
        assert f"rows 1 to {chart.last}" in told.alt


def test_no_english_furniture_is_left_on_a_german_chart(results):
    """No words in a row of both charts but what the designer typed."""
    design = results.design
    typed = " ".join([design.title, *(yarn.name for yarn in design.yarns)])
    known = " ".join(re.sub(r"[\d\W_]+", " ", typed).split())
    english, german = (
        sentences("\n".join(ET.fromstring(svg(results, language)).itertext()))
        for language in ("en", "de")
    )
    assert len(english) > 5 and len(german) > 5
    left = {re.sub(r"^[A-E] ", "", found) for found in english & german}
    assert {found for found in left if found not in known} == set()


def test_a_german_chart_says_its_language(results):
    assert 'xml:lang="de"' in svg(results, "de")
    assert 'xml:lang="de"' not in svg(results, "en")
