"""Someone who has never seen the window gets from a wave to a chart file; or ignores the line."""

import pytest
from desk import LEFT, SOON, Key, drag
from PySide6.QtCore import QPoint, QSettings, Qt, QTimer
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from app.export_dialog import ExportDialog
from app.first_steps import steps_between
from app.views.first_line import ALL_DONE, STEPS
from core.craft.tables import USUAL_SIZES_MM
from core.design import edits


@pytest.fixture
def settings(tmp_path):
    return QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def window(open_window):
    return open_window()


def click(window, key):
    QTest.mouseClick(window.first_steps.line.steps[key], LEFT)


def drag_a_peak(window):
    wave = window.wave
    mark = next(mark for mark in wave._marks() if mark.kind == "peak")
    start = wave._at(mark, wave._placing()).toPoint()
    drag(wave, start, *(start - QPoint(0, up) for up in (10, 20, 30)))


def press_in_menu(*keys):
    """Press keys in the menu that is about to open."""

    def press():
        menu = QApplication.activePopupWidget()
        if isinstance(menu, QMenu):
            for key in keys:
                QTest.keyClick(menu, key)
        else:
            QTimer.singleShot(20, press)

    QTimer.singleShot(0, press)


def test_the_path_leads_from_the_wave_to_a_chart_file(window, qtbot, tmp_path, monkeypatch):
    steps, line = window.first_steps, window.first_steps.line
    assert line.isVisible() and line.next_step.key == "shape"
    click(window, "shape")
    assert window.wave.hasFocus() and steps.light.lit is window.wave
    drag_a_peak(window)
    assert steps.done == {"shape"} and line.next_step.key == "stripes"
    assert line.how.text() == STEPS[1].how

    click(window, "stripes")
    assert window.strip.hasFocus() and steps.light.lit is window.strip
    QTest.keyClick(window.strip, Key.Key_Plus)
    assert steps.done == {"shape", "stripes"}

    click(window, "size")
    assert window.sentence.width_figure.hasFocus()
    QTest.mouseClick(window.sentence.width_figure, LEFT)
    menu = QApplication.activePopupWidget()
    QTest.keyClick(menu, Key.Key_Down)
    QTest.keyClick(menu, Key.Key_Return)
    assert steps.done == {"shape", "stripes", "size"}

    click(window, "export")
    assert window.export_button.hasFocus()
    folder = tmp_path / "out"

    def save():
        dialog = window.findChild(ExportDialog)
        if dialog is None or not dialog.isVisible() or dialog._folder.hasFocus():
            QTimer.singleShot(20, save)
            return
        dialog._folder.setFocus()
        dialog._folder.selectAll()
        QTest.keyClicks(dialog._folder, str(folder))
        QTest.mouseClick(dialog.save, LEFT)

    QTimer.singleShot(0, save)
    QTest.keyClick(window.export_button, Key.Key_Space)
    assert any(path.name.endswith("-chart.svg") for path in folder.iterdir())
    assert steps.done == {step.key for step in STEPS}
    assert line.how.text() == ALL_DONE


def test_every_step_is_done_without_the_line_too(window):
    window.wave.setFocus()
    QTest.keyClick(window.wave, Key.Key_Up)
    window.fabric.setFocus()
    QTest.keyClick(window.fabric, Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert window.first_steps.done == {"shape", "size"}
    assert window.first_steps.line.steps["size"].text() == "✓ Set the size"


def test_a_usual_size_is_set_from_the_sentence_in_one_step(window):
    window.sentence.width_figure.click()
    menu = QApplication.activePopupWidget()
    usual = next(action.menu() for action in menu.actions() if action.menu() is not None)
    assert [action.text().split("\t")[0] for action in usual.actions()] == [
        name.capitalize() for name, _, _ in USUAL_SIZES_MM
    ]
    throw = usual.actions()[2]
    throw.trigger()
    menu.close()
    size = window.live.results.size
    # 50 x 60 in: sarahmaker.com/crochet-blanket-sizes, thisiscrochet.com/crochet-afghan-size-chart.
    assert abs(size.width_mm - 1270) < 50 and abs(size.length_mm - 1524) < 10
    said = window.session.undo_stack.undoText()
    assert said == "Change size to throw: Repeats between the edges 11 → 14; Rows 96 → 106"
    assert "size" in window.first_steps.done


def test_what_only_looks_like_a_step_isn_t_one(window):
    before = window.session.design
    window.session.open(edits.set_size(before, rows=40), None)  # opened, not set
    assert not window.first_steps.done
    window.session.change("Change stitch", lambda d: edits.set_stitch(d, "sc"))
    assert not window.first_steps.done
    window.session.change("Change title", lambda d: edits.set_values(d, title="Tide"))
    assert not window.first_steps.done
    window.session.undo_stack.undo()
    assert not window.first_steps.done
    assert steps_between(before, before) == frozenset()


def test_an_export_that_is_cancelled_is_none(window):
    def cancel():
        dialog = window.findChild(ExportDialog)
        if dialog is None or not dialog.isVisible():
            QTimer.singleShot(20, cancel)
        else:
            QTest.keyClick(dialog, Key.Key_Escape)

    QTimer.singleShot(0, cancel)
    window.export()
    assert not window.first_steps.done


def test_it_can_be_ignored_closed_for_good_and_brought_back_from_help(
    window, open_window, settings
):
    steps = window.first_steps
    QTest.mouseClick(steps.line.close_button, LEFT)
    assert not steps.line.isVisible() and not steps.action.isChecked()
    again = open_window()
    assert not again.first_steps.line.isVisible()
    help_menu = next(
        action.menu() for action in again.menuBar().actions() if action.text() == "&Help"
    )
    action = next(a for a in help_menu.actions() if a.text() == "&First steps")
    assert isinstance(action, QAction)
    action.trigger()
    assert again.first_steps.line.isVisible()
    assert open_window().first_steps.line.isVisible()


def test_what_was_done_is_remembered(window, open_window):
    window.wave.setFocus()
    QTest.keyClick(window.wave, Key.Key_Up)
    assert open_window().first_steps.done == {"shape"}


def test_once_all_is_done_the_line_is_gone_at_the_next_start(window, open_window, settings):
    for step in STEPS:
        window.first_steps._tick(step.key)
    assert window.first_steps.line.isVisible()  # not taken away from under the hand
    again = open_window()
    assert not again.first_steps.line.isVisible()
    again.first_steps.action.trigger()
    assert not again.first_steps.done  # asked for once more: from the beginning


def test_who_has_designs_already_isn_t_led(open_window, settings):
    settings.setValue("recent", ["/somewhere/throw.dipslope"])
    assert not open_window().first_steps.line.isVisible()


@pytest.mark.parametrize("kept", ["yes", ["shape", "rubbish", 3], 7, {"a": 1}])
def test_settings_that_are_damaged_are_passed_over(open_window, settings, kept):
    settings.setValue("first/done", kept)
    assert open_window().first_steps.done <= {"shape"}


def test_the_line_costs_the_canvas_less_than_28_pixels(window, qtbot):
    # Bounds of our own; 1366 is the smallest screen we aim at.
    tall = window.chart.height()
    QTest.mouseClick(window.first_steps.line.close_button, LEFT)
    qtbot.waitUntil(lambda: window.chart.height() > tall, timeout=SOON)
    assert window.chart.height() - tall <= 28
    assert window.minimumSizeHint().width() <= 1366


def test_the_light_takes_no_click_and_goes_when_its_control_is_used(window):
    click(window, "shape")
    light = window.first_steps.light
    assert light.isVisible()
    assert light.testAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
    assert window.childAt(window.wave.mapTo(window, window.wave.rect().center())) is not light
    drag_a_peak(window)
    assert not light.isVisible() and light.lit is None
