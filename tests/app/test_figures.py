"""The window says lengths as a pattern does, whose words round them (`core.words.measures`)."""

import pytest
from measured import HELD, SAID, YARN
from PySide6.QtCore import QLocale

from app.views import figures


@pytest.fixture(autouse=True)
def english_numbers():
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))
    yield
    QLocale.setDefault(before)


@pytest.mark.parametrize(("mm", "units", "said"), SAID)
def test_a_length_is_said_as_one_says_it(mm, units, said):
    assert figures.length_text(mm, units) == said


@pytest.mark.parametrize(("mm", "units", "stitch", "ruler"), HELD)
def test_lengths_are_those_worked_out_on_paper(mm, units, stitch, ruler):
    assert figures.small_length(mm, units) == stitch
    assert figures.length(mm, units) == ruler


@pytest.mark.parametrize(("m", "units", "said"), YARN)
def test_yarn_is_said_in_metres_or_yards(m, units, said):
    assert figures.yarn_length(m, units) == said
