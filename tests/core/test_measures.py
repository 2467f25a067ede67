"""Lengths are rounded in one place (that the window says the same: tests/app/test_figures.py)."""

import ast
from pathlib import Path

import pytest
from measured import HELD, SAID, YARN

from core.words import measures
from core.words.vocabulary import vocabulary

ROOT = Path(__file__).parents[2]
US, DE = vocabulary("US"), vocabulary("US", "de")
SPELLED = vocabulary("UK", spelled=True)


@pytest.mark.parametrize(("mm", "units", "said"), SAID)
def test_a_length_is_said_as_one_says_it(mm, units, said):
    assert measures.round_length(mm, units, US) == said


@pytest.mark.parametrize(("mm", "units", "stitch", "ruler"), HELD)
def test_lengths_are_those_worked_out_on_paper(mm, units, stitch, ruler):
    assert measures.small_length(mm, units, US) == stitch
    assert measures.ruler_length(mm, units, US) == ruler


@pytest.mark.parametrize(("m", "units", "said"), YARN)
def test_yarn_is_said_in_metres_or_yards(m, units, said):
    assert measures.yarn_in_unit(m, units, US) == said


@pytest.mark.parametrize(
    ("mm", "said"),
    # Swatches are measured over 10 cm or 4 in (common practice), 1.6 % apart; 8 cm are 3.15 in.
    [(100, "4 in (10 cm)"), (50.8, "2 in (5.08 cm)"), (80, "3.15 in (8 cm)")],
)
def test_a_swatch_is_said_in_quarters_of_an_inch_only_where_that_is_near(mm, said):
    assert measures.swatch_length(mm, "in", US) == said


def test_both_units_stand_in_the_designs_order_where_the_language_has_both():
    assert measures.both_sizes(1000, 1380, "cm", US) == "100 × 138 cm (39.4 × 54.3 in)"
    assert measures.both_sizes(1000, 1380, "in", US) == "39.4 × 54.3 in (100 × 138 cm)"
    assert measures.both_sizes(1000, 1380, "in", DE) == "100 × 138 cm"
    assert measures.short_length(83, "in", DE, fine=True) == "8,3 cm"
    spelled = measures.both_sizes(1000, 1380, "cm", SPELLED)
    assert spelled == "100 by 138 centimetres or 39.4 by 54.3 inches"


def by_an_inch(path):
    """Return the lines where a module divides by an inch."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.BinOp)
        and isinstance(node.op, ast.Div)
        and isinstance(node.right, ast.Name)
        and node.right.id == "MM_PER_IN"
    ]


def test_nobody_else_turns_millimetres_into_inches_to_be_read():
    """No module of words, booklet, sheets on paper or the window's figures divides by an inch."""
    one = ROOT / "core/words/measures.py"
    assert by_an_inch(one)
    others = [
        path for part in ("words", "booklet", "paper") for path in ROOT.glob(f"core/{part}/**/*.py")
    ]
    others += [ROOT / "app/views/figures.py"]
    assert len(others) > 40
    assert not {path.name: by_an_inch(path) for path in others if path != one and by_an_inch(path)}
