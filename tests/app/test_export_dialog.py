"""The export sheet by hand: what it shows, what it asks, what it writes; never in the way."""

import os
import stat
import time
from threading import Event

import pytest
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtWidgets import QApplication, QCheckBox, QMessageBox, QPushButton, QWidget

from app.export_dialog import ExportDialog, size_text
from app.views.export_preview import reading_of
from core.chart.clearance import Clearance
from core.design.files import read_design
from core.errors import Stopped
from core.pipeline import Pipeline

SOON = 20_000


@pytest.fixture(scope="module")
def settled(demo_path):
    return Pipeline().settled_results(read_design(demo_path))


@pytest.fixture
def window(qtbot, theme):
    theme.set_look("light")
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget


@pytest.fixture
def dialog(qtbot, settled, tmp_path, window):
    sheet = ExportDialog(settled, tmp_path / "out", "throw", window)
    sheet.show()
    yield sheet
    sheet.reject()


def wait_for_files(qtbot, dialog):
    qtbot.waitUntil(lambda: dialog.status.endswith("in all."), timeout=SOON)


def wait_for_picture(qtbot, dialog):
    qtbot.waitUntil(
        lambda: bool(not dialog._looking.is_busy and dialog.preview.reading), timeout=SOON
    )


def tick(dialog, words):
    for box in dialog.findChildren(QCheckBox):
        if words in box.text():
            return box
    raise AssertionError(words)


def answer(qtbot, button):
    """Press a button of the next message box; return what the box said."""
    said = []

    def press():
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            QTimer.singleShot(20, press)
            return
        said.append(box.text())
        for found in box.buttons():
            if found.text().replace("&", "") == button:
                found.click()
                return
        box.reject()

    QTimer.singleShot(0, press)
    return said


def test_sizes_shown_before_saving_are_those_of_the_files(qtbot, dialog, tmp_path):
    wait_for_files(qtbot, dialog)
    shown = {name: label.text() for name, label in dialog.fields._sizes.items() if label.text()}
    assert set(shown) == {"chart-svg", "chart-png", "rows-txt"}
    total = dialog.status
    with qtbot.waitSignal(dialog.accepted, timeout=SOON):
        qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    endings = {"chart-svg": "-chart.svg", "chart-png": "-chart.png", "rows-txt": "-rows.txt"}
    paths = {name: tmp_path / "out" / f"throw{ending}" for name, ending in endings.items()}
    assert sorted(dialog.written) == sorted(paths.values())
    for name, path in paths.items():
        assert shown[name] == size_text(path.stat().st_size)
    assert size_text(sum(path.stat().st_size for path in paths.values())) in total


def test_only_the_newest_choice_is_shown_and_written(qtbot, dialog):
    for width in (60, 90, 120, 150):
        dialog.fields.width_mm.setValue(width)
    wait_for_files(qtbot, dialog)
    with qtbot.waitSignal(dialog.accepted, timeout=SOON):
        dialog.save.click()
    svg = next(path for path in dialog.written if path.suffix == ".svg")
    assert 'width="150mm"' in svg.read_text()


def test_a_file_that_is_there_is_replaced_only_after_asking(qtbot, dialog, tmp_path):
    (tmp_path / "out").mkdir()
    there = tmp_path / "out" / "throw-rows.txt"
    there.write_text("mine")
    wait_for_files(qtbot, dialog)
    said = answer(qtbot, "Cancel")
    dialog.save.click()
    assert "throw-rows.txt" in said[0]
    assert "throw-chart.svg" not in said[0]
    assert there.read_text() == "mine"
    assert dialog.isVisible()
    answer(qtbot, "Replace")
    with qtbot.waitSignal(dialog.accepted, timeout=SOON):
        dialog.save.click()
    assert there.read_text() != "mine"


def test_a_folder_that_cannot_be_written_to_is_named(qtbot, dialog, tmp_path):
    (tmp_path / "a file").write_text("")
    dialog._folder.setText(str(tmp_path / "a file" / "out"))
    wait_for_files(qtbot, dialog)
    said = answer(qtbot, "OK")
    dialog.save.click()
    qtbot.waitUntil(lambda: bool(said), timeout=SOON)
    assert str(tmp_path / "a file") in said[0]
    assert "Choose another" in said[0]
    assert dialog.isVisible()
    qtbot.waitUntil(dialog.save.isEnabled)
    assert not dialog.written


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written_to_is_named(qtbot, dialog, tmp_path):
    closed = tmp_path / "closed"
    closed.mkdir()
    closed.chmod(stat.S_IRUSR | stat.S_IXUSR)
    dialog._folder.setText(str(closed))
    said = answer(qtbot, "OK")
    dialog.save.click()
    qtbot.waitUntil(lambda: bool(said), timeout=SOON)
    assert "may not be written to" in said[0]


def test_nothing_ticked_is_said_and_nothing_written(qtbot, dialog, tmp_path):
    for words in ("SVG", "as a picture", "plain text"):
        tick(dialog, words).setChecked(False)
    said = answer(qtbot, "OK")
    dialog.save.click()
    assert "Nothing was chosen" in said[0]
    assert not (tmp_path / "out").exists()


def test_print_size_is_as_many_pixels_as_the_screen_has_there(qtbot, dialog):
    dialog.fields.width_mm.setValue(150)
    dialog.preview.at_print_size.setChecked(True)
    wait_for_picture(qtbot, dialog)
    dots = dialog.screen().physicalDotsPerInchX() * dialog.devicePixelRatioF()
    assert dialog.preview.picture_size.width() == pytest.approx(150 / 25.4 * dots, abs=1)
    dialog.preview.at_print_size.setChecked(False)
    wait_for_picture(qtbot, dialog)
    assert dialog.preview.picture_size.width() <= dialog.preview.width()


def test_a_grey_print_is_shown_without_changing_the_files(qtbot, dialog):
    wait_for_picture(qtbot, dialog)
    dialog.preview.in_grey.setChecked(True)
    wait_for_picture(qtbot, dialog)
    image = dialog.preview._picture.pixmap().toImage()
    middle = image.pixelColor(image.width() // 2, image.height() // 3)
    spread = max(middle.red(), middle.green(), middle.blue()) - min(
        middle.red(), middle.green(), middle.blue()
    )
    assert spread <= 4
    assert not dialog.choices().grey


def test_symbols_that_are_too_small_are_told_and_one_press_makes_them_large_enough(qtbot, dialog):
    dialog.fields.width_mm.setValue(70)
    wait_for_picture(qtbot, dialog)
    assert dialog.preview.reading.startswith("Too small to read: under 2.0 mm.")
    offers = [b for b in dialog.preview.findChildren(QPushButton) if "mm wide" in b.text()]
    assert offers
    qtbot.mouseClick(offers[-1], Qt.MouseButton.LeftButton)
    wait_for_picture(qtbot, dialog)
    assert dialog.fields.width_mm.value() > 70
    assert dialog.preview.reading.startswith("Smallest symbol 2.")


def test_the_picture_comes_to_rest(qtbot, dialog):
    dialog.fields.width_mm.setValue(70)  # warned of, with offers below
    wait_for_picture(qtbot, dialog)
    pictures = []
    dialog._looking.finished.connect(pictures.append)
    for _ in range(20):  # a picture that asks for the next one would go on for ever
        qtbot.waitUntil(
            lambda: not dialog._looking.is_busy and not dialog._pause.isActive(), timeout=SOON
        )
        QApplication.processEvents()
    assert len(pictures) <= 2  # the offers below have taken some of its room
    assert not dialog._looking.is_busy and not dialog._pause.isActive()


def test_the_size_to_warn_under_can_be_set(qtbot, dialog):
    wait_for_picture(qtbot, dialog)
    assert "Too small" not in dialog.preview.reading
    dialog.fields._least.setValue(3.0)
    assert dialog.preview.reading.startswith("Too small to read: under 3.0 mm.")
    pages = [b for b in dialog.preview.findChildren(QPushButton) if "A4" in b.text()]
    pages[-1].click()
    assert dialog.choices().pages == "A4"
    assert "chart-pdf" in dialog.fields.wanted()


def test_a_range_never_ends_before_it_begins(dialog):
    dialog.fields.shown.setCurrentIndex(1)
    dialog.fields.rows[0].setValue(9)
    part = dialog.choices().part
    assert (part.shown, part.first_row, part.last_row) == ("part", 9, 9)


def test_every_field_has_a_name_and_a_tip_or_words(dialog):
    kinds = ("QComboBox", "QSpinBox", "QDoubleSpinBox", "QLineEdit")
    for widget in dialog.findChildren(QWidget):
        if (
            widget.metaObject().className() in kinds
            and widget.objectName() != "qt_spinbox_lineedit"
        ):
            assert widget.accessibleName(), widget
            assert widget.toolTip(), widget


def test_the_window_answers_while_large_files_are_made(qtbot, dialog):
    tick(dialog, "whole blanket").setChecked(True)
    waits = []
    timer = QTimer()
    timer.setInterval(5)
    timer.timeout.connect(lambda: waits.append(1))
    timer.start()
    qtbot.waitUntil(lambda: dialog._making.is_busy, timeout=SOON)
    waits.clear()
    wait_for_files(qtbot, dialog)
    assert len(waits) > 20  # it takes seconds; the window had its turn all the while


def test_closing_while_files_are_made_stops_at_once(qtbot, settled, tmp_path, window):
    sheet = ExportDialog(settled, tmp_path, "throw", window)
    sheet.show()
    tick(sheet, "whole blanket").setChecked(True)
    qtbot.waitUntil(lambda: sheet._making.is_busy, timeout=SOON)
    sheet.reject()
    assert not sheet.isVisible()
    assert not list(tmp_path.iterdir())
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_what_is_said_of_a_chart_names_rows_and_touching_symbols():
    reads = Clearance(2.14, "ch", 0, None, 0.31, (2, 2), (0.0, 0.0))
    assert reading_of(reads, 2.0, "US") == (
        "Smallest symbol 2.1 mm (ch, foundation), closest two 0.3 mm apart (row 2)."
    )
    reads = Clearance(1.5, "dc", 3, 0.9, 0.0, (0, 1), (0.0, 0.0))
    assert reading_of(reads, 2.0, "US") == (
        "Too small to read: under 2.0 mm. Smallest symbol 1.5 mm (dc, row 3); the closest two "
        "touch (the foundation and row 1), loop marks 0.9 mm."
    )
    assert "(tr, row 3)" in reading_of(reads, 2.0, "UK")


def test_writing_shows_how_far_it_is_and_can_be_stopped(qtbot, dialog, tmp_path, monkeypatch):
    """Nothing is written, and the dialog stays open with what was chosen."""
    started, given_up = Event(), Event()

    def slow(results, names, choices, work, kept):
        work.progress(0.25)
        started.set()
        while not work.should_stop():
            time.sleep(0.005)
        given_up.set()
        raise Stopped

    monkeypatch.setattr("app.export_dialog.make_files", slow)
    progress = dialog.progress
    assert not progress.stop.isVisible()
    dialog.save.click()
    qtbot.waitUntil(lambda: started.is_set() and progress.bar.value() == 25, timeout=SOON)
    assert progress.stop.isVisible()
    assert "25%" in dialog.status
    qtbot.keyClick(progress.stop, Qt.Key.Key_Space)
    qtbot.waitUntil(given_up.is_set, timeout=SOON)
    assert not progress.bar.isVisible()
    assert dialog.save.isEnabled()
    assert dialog.status.startswith("Stopped")
    assert dialog.isVisible()
    assert not dialog.written
