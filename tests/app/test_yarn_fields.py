"""The yarn page: its list and fields by keyboard and mouse."""

import pytest
from desk import stepped, typed
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import (
    QColor,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QColorDialog,
)

from app.views.pages.swatch import SwatchPage
from app.views.pages.yarn import YarnPage
from app.views.pages.yarn_table import BALLS, LENGTH, NAME, OWNED, ROWS, SHORT
from core.craft.tables import YARN_M_PER_M2
from core.design import edits
from core.design.document import Stripe, Swatch
from core.palette.neighbours import MERGE_DIFFERENCE
from core.stripes.colour import difference

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def swatch(desk):
    return desk(SwatchPage)


@pytest.fixture
def yarn(desk):
    return desk(YarnPage)


def cell(page, row, column):
    return page.table.item(row, column).text()


def test_the_list_says_what_each_yarn_has_to_do(yarn):
    page, uses = yarn.page, yarn.results.yarn
    for row, use in enumerate(uses):
        assert cell(page, row, NAME) == yarn.design.yarns[row].name
        assert cell(page, row, ROWS) == str(use.rows) == "10"
        assert cell(page, row, LENGTH) == f"{use.length_m:.0f}"
        assert cell(page, row, BALLS) == str(use.balls)
    assert cell(page, 0, OWNED) == "0.5" and cell(page, 1, OWNED) == "0"
    assert int(cell(page, 0, SHORT)) <= uses[0].balls
    assert "owned" in page.table.item(0, NAME).data(Qt.ItemDataRole.AccessibleTextRole)


def test_the_lines_of_the_chosen_yarn_and_the_totals_are_those_computed(yarn):
    page, use = yarn.page, yarn.results.yarn[0]
    assert page.in_rows.text() == f"{use.body_m:.1f} m"
    assert page.foundation.text() == f"{use.foundation_m:.1f} m"
    assert page.tails.text() == f"{use.tails_m:.1f} m"
    assert page.spare.text() == f"{use.spare_m:.1f} m"
    assert page.together.text() == f"{use.length_m:.1f} m"
    assert page.all_length.text() == f"{sum(u.length_m for u in yarn.results.yarn):.0f} m"
    assert page.ends.text() == "20"  # ten stripes, two ends each
    assert page.cost.text().endswith(", 1 without price")


def test_the_arrow_keys_choose_a_yarn_and_enter_leads_to_its_name(yarn):
    page = yarn.page
    stepped(page.table, Key.Key_Down)
    assert page.name.text() == "Sand" and page.foundation.text() == "–"
    assert page.price.text() == "not given"
    QTest.keyClick(page.table, Key.Key_Return)
    assert page.name.hasFocus()
    typed(page.name, "Dune")
    ((text, _, _),) = yarn.wishes
    assert text == "Rename yarn"
    assert yarn.design.yarns[1].name == cell(page, 1, NAME) == "Dune"
    assert yarn.design.yarns[0].name == "Sea"


@pytest.mark.parametrize(
    ("name", "keys", "values"),
    [
        ("ball_m", "120.5", {"ball_m": 120.5}),
        ("ball_g", "100", {"ball_g": 100}),
        ("owned", "2.25", {"owned_balls": 2.25}),
        ("price", "3.2", {"price": 3.2}),
        ("price", "0", {"price": None}),
        ("name", "Deep sea", {"name": "Deep sea"}),
    ],
)
def test_every_field_of_a_yarn_makes_its_own_edit(yarn, ripple, name, keys, values):
    typed(getattr(yarn.page, name), keys)
    assert yarn.design == edits.set_yarn(ripple, 0, **values) != ripple
    assert not yarn.refused


def test_a_name_can_not_be_emptied(yarn):
    typed(yarn.page.name, "   ")
    assert yarn.page.name.text() == "Sea" and not yarn.wishes
    typed(yarn.page.name, "Slate", end=Key.Key_Escape)
    assert yarn.page.name.text() == "Sea" and not yarn.wishes


def test_text_for_one_yarn_never_ends_up_on_another(yarn):
    page = yarn.page
    typed(page.name, "Dun", end=None)
    page.table.setCurrentCell(1, NAME)
    assert page.name.text() == "Sand"


def test_an_added_yarn_is_new_in_name_and_colour_and_chosen(yarn, ripple):
    page = yarn.page
    for _ in range(6):
        QTest.keyClick(page.add_button, Key.Key_Space)
    names = [y.name for y in yarn.design.yarns]
    assert names[2:] == ["Yarn 3", "Yarn 4", "Yarn 5", "Yarn 6", "Yarn 7", "Yarn 8"]
    assert page.name.text() == "Yarn 8" and page.table.currentRow() == 7
    colours = [y.colour for y in yarn.design.yarns]
    apart = [difference(a, b) for n, a in enumerate(colours) for b in colours[:n]]
    assert min(apart) > MERGE_DIFFERENCE
    assert yarn.design.stripes == ripple.stripes
    assert yarn.session.undo_stack.count() == 6


def test_no_more_yarns_than_a_design_holds(desk, ripple):
    many = tuple(replace(ripple.yarns[0], name=f"Yarn {n}") for n in range(200))
    yarn = desk(YarnPage, replace(ripple, yarns=many))
    assert not yarn.page.add_button.isEnabled()
    QTest.keyClick(yarn.page.table, Key.Key_Insert)
    assert not yarn.wishes
    yarn.page.add_yarn_for_stripe(0)
    assert yarn.refused and yarn.page.question.dialog is None


def test_a_removed_yarn_leaves_its_stripes_to_its_neighbour_and_the_step_says_so(yarn, ripple):
    page = yarn.page
    stepped(page.table, Key.Key_Down, Key.Key_Delete)
    assert yarn.texts == ["Remove Sand: its stripes go to Sea"]
    assert yarn.design == edits.remove_yarn(ripple, 1)
    assert page.name.text() == "Sea" and not page.remove_button.isEnabled()
    QTest.keyClick(page.table, Key.Key_Delete)
    assert len(yarn.wishes) == 1


def test_the_first_yarn_leaves_its_stripes_to_the_second(yarn, ripple):
    QTest.mouseClick(yarn.page.remove_button, LEFT)
    assert yarn.texts == ["Remove Sea: its stripes go to Sand"]
    assert {y.name for y in yarn.design.yarns} == {"Sand"}


def test_a_yarn_without_stripes_goes_without_a_word_of_them(yarn):
    QTest.mouseClick(yarn.page.add_button, LEFT)
    QTest.mouseClick(yarn.page.remove_button, LEFT)
    assert yarn.texts[-1] == "Remove Yarn 3"


def test_a_colour_is_seen_while_it_is_chosen_and_undone_as_one(yarn, ripple):
    page = yarn.page
    QTest.keyClick(page.colour, Key.Key_Space)
    dialog = page.question.dialog
    assert isinstance(dialog, QColorDialog) and dialog.currentColor() == QColor("#2a6f97")
    for colour in ("#804020", "#905030"):
        dialog.setCurrentColor(QColor(colour))
        assert yarn.design.yarns[0].colour == colour
    dialog.accept()
    assert page.question.dialog is None
    assert yarn.design == edits.set_yarn(ripple, 0, colour="#905030")
    assert page.colour.text().strip() == "#905030"
    assert yarn.session.undo_stack.count() == 1


def test_a_colour_that_was_not_taken_leaves_no_trace(yarn, ripple):
    yarn.page.choose_colour()
    dialog = yarn.page.question.dialog
    dialog.setCurrentColor(QColor("#804020"))
    dialog.reject()
    assert yarn.design == ripple and yarn.session.undo_stack.count() == 0


def test_a_new_yarn_for_a_stripe_is_one_step_with_its_colour(yarn, ripple):
    yarn.page.add_yarn_for_stripe(1)
    dialog = yarn.page.question.dialog
    assert yarn.design.stripes.sequence == (Stripe(0, 2), Stripe(2, 2))
    assert dialog is not None and yarn.page.name.text() == "Yarn 3"
    dialog.setCurrentColor(QColor("#804020"))
    dialog.accept()
    assert yarn.design.yarns[2].colour == "#804020"
    assert yarn.session.undo_stack.count() == 1
    yarn.session.undo_stack.undo()
    assert yarn.design is ripple
    assert yarn.page.table.rowCount() == 2


def test_the_source_of_the_figures_is_said_and_can_be_one_s_own_swatch(yarn, ripple):
    page = yarn.page
    assert "published figure" in page.source.text() and page.per_area.text() == "not measured"
    typed(page.per_area, "900")
    assert yarn.design.swatch == Swatch(yarn_m_per_m2=900)
    assert "your weighed swatch" in page.source.text()
    assert page.in_rows.text() == f"{yarn.results.yarn[0].body_m:.1f} m"
    page.per_area.selectAll()
    QTest.keyClick(page.per_area, Key.Key_Backspace)
    QTest.keyClick(page.per_area, Key.Key_Return)
    assert yarn.design == ripple
    stepped(page.per_area, Key.Key_Up)
    assert yarn.design.swatch.yarn_m_per_m2 == YARN_M_PER_M2


def test_the_sequence_s_end_can_be_chosen(yarn, ripple):
    stepped(yarn.page.fill, Key.Key_Down)
    assert yarn.design == edits.set_fill(ripple, "mirror")


def test_yarn_is_told_in_yards_beside_inches(desk, ripple):
    yarn = desk(YarnPage, replace(ripple, units="in"))
    page = yarn.page
    assert page.ball_m.text() == "114.8 yd"  # 105 m
    assert page.together.text() == f"{yarn.results.yarn[0].length_m / 0.9144:.1f} yd"
    assert page.table.horizontalHeaderItem(LENGTH).text() == "yd"
    typed(page.ball_m, "120")
    assert yarn.design.yarns[0].ball_m == pytest.approx(109.728)


def test_a_slim_list_keeps_names_and_balls_a_wide_one_shows_everything(yarn):
    page, table = yarn.page, yarn.page.table
    shown = [column for column in range(7) if not table.isColumnHidden(column)]
    assert {NAME, BALLS} <= set(shown)
    width = sum(table.columnWidth(column) for column in shown)
    assert width <= table.viewport().width()
    page.resize(600, 640)
    assert not any(table.isColumnHidden(column) for column in range(7))


def test_undo_that_takes_the_chosen_yarn_away_chooses_another(yarn):
    QTest.mouseClick(yarn.page.add_button, LEFT)
    yarn.session.undo_stack.undo()
    assert yarn.page.name.text() == "Sand"
