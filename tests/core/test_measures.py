"""Lengths are rounded in one place; a pattern and the window say the same."""

import ast
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale

from app.views import figures
from core.words import measures
from core.words.vocabulary import vocabulary

ROOT = Path(__file__).parents[2]
US, DE = vocabulary("US"), vocabulary("US", "de")
SPELLED = vocabulary("UK", spelled=True)


@pytest.fixture(autouse=True)
def english_numbers():
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))
    yield
    QLocale.setDefault(before)


# 25.4 mm in an inch (international yard, 1959).
@pytest.mark.parametrize(
    ("mm", "units", "said"),
    [(1120, "cm", "112 cm"), (83, "cm", "8.3 cm"), (1124, "in", "44¼ in"), (6.4, "in", "¼ in")],
)
def test_a_length_is_said_as_one_says_it(mm, units, said):
    assert measures.round_length(mm, units, US) == said
    assert figures.length_text(mm, units) == said


def test_both_units_stand_in_the_designs_order_where_the_language_has_both():
    assert measures.both_sizes(1000, 1380, "cm", US) == "100 × 138 cm (39.4 × 54.3 in)"
    assert measures.both_sizes(1000, 1380, "in", US) == "39.4 × 54.3 in (100 × 138 cm)"
    assert measures.both_sizes(1000, 1380, "in", DE) == "100 × 138 cm"
    assert measures.short_length(83, "in", DE, fine=True) == "8,3 cm"
    spelled = measures.both_sizes(1000, 1380, "cm", SPELLED)
    assert spelled == "100 by 138 centimetres or 39.4 by 54.3 inches"


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("mm", [2.5, 7.7, 83.0, 253.9, 254.1, 999.0])
def test_the_window_says_what_a_pattern_says(mm, units):
    assert figures.small_length(mm, units) == measures.small_length(mm, units, US)
    assert figures.length(mm, units) == measures.ruler_length(mm, units, US)
    assert figures.yarn_length(mm / 2, units) == measures.yarn_in_unit(mm / 2, units, US)


def test_nobody_else_turns_millimetres_into_inches_to_be_read():
    """No module of words, booklet, chart or window divides by an inch and adds " in" itself."""
    allowed = {"core/words/measures.py"}
    for path in [*ROOT.glob("core/words/**/*.py"), *ROOT.glob("core/booklet/*.py"),
                 ROOT / "app/views/figures.py"]:  # fmt: skip
        name = str(path.relative_to(ROOT))
        tree = ast.parse(path.read_text(encoding="utf-8"))
        divides = [
            node
            for node in ast.walk(tree)
            if isinstance(node, ast.BinOp)
            and isinstance(node.op, ast.Div)
            and isinstance(node.right, ast.Name)
            and node.right.id == "MM_PER_IN"
        ]
        assert not divides or name in allowed, name
