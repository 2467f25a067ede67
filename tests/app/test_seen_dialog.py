"""The window that prints what is seen: asks before it replaces, and a tick breaks nothing off."""

import threading
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QMessageBox

from app import seen_dialog as module
from app.painting.fabric import Manner
from app.paper.seen import Seen, SeenChart, SeenFabric
from app.paper.sheets import Sheets
from app.seen_dialog import SeenDialog
from app.stopping import STOPPED, STOPPING, Stop

SOON = 30_000


@pytest.fixture
def dialog(qtbot, theme, results, tmp_path):
    left, bottom, right, top = results.fabric.bounds_mm()
    seen = Seen(
        results=results,
        title="A ripple",
        chart=SeenChart(results.fabric, (left, bottom, 0.5 * (left + right), 0.5 * (bottom + top))),
        fabric=SeenFabric((left - 5, bottom - 5, right + 5, top + 5), Manner()),
    )
    dialog = SeenDialog(seen, tmp_path, "ripple")
    qtbot.addWidget(dialog, before_close_func=lambda d: d.reject())
    dialog.show()
    qtbot.waitUntil(dialog.save_button.isEnabled, timeout=SOON)
    return dialog


def choose(monkeypatch, path):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))


def test_a_name_that_is_completed_is_asked_about(dialog, tmp_path, monkeypatch):
    there = tmp_path / "mine.pdf"
    there.write_bytes(b"kept")
    choose(monkeypatch, tmp_path / "mine")
    monkeypatch.setattr(QMessageBox, "exec", lambda box: QMessageBox.StandardButton.Cancel)
    dialog.save_button.click()
    assert there.read_bytes() == b"kept" and dialog.save_button.isEnabled()


def test_a_tick_while_a_file_is_made_does_not_break_it_off(dialog, tmp_path, monkeypatch, qtbot):
    choose(monkeypatch, tmp_path / "seen.pdf")
    told = []
    dialog.written.connect(told.append)
    dialog.save_button.click()
    dialog.fabric.click()  # the preview is made anew meanwhile
    qtbot.waitUntil(lambda: (tmp_path / "seen.pdf").exists(), timeout=SOON)
    qtbot.waitUntil(dialog.save_button.isEnabled, timeout=SOON)
    assert told == [Path(tmp_path)]
    assert dialog.status.text() == f"Saved seen.pdf in {tmp_path}"


def test_with_nothing_ticked_there_is_nothing_to_print(dialog):
    for box in (dialog.chart, dialog.fabric):
        box.click()
    assert not dialog.save_button.isEnabled() and not dialog.print_button.isEnabled()
    assert "tick chart or fabric" in dialog.pages.text()


@pytest.fixture
def held(monkeypatch):
    """Hold whatever is written or printed until it is let go; return what lets it go."""
    gate, begun = threading.Event(), threading.Event()
    made = Sheets.pdf

    def pdf(sheets, *, should_stop):
        begun.set()
        assert gate.wait(30)
        return made(sheets, should_stop=should_stop)

    monkeypatch.setattr(Sheets, "pdf", pdf)
    yield begun, gate
    gate.set()


def test_escape_stops_what_is_being_written_and_says_so_before_it_closes(
    dialog, tmp_path, monkeypatch, qtbot, held
):
    begun, gate = held
    (tmp_path / "seen.pdf").write_bytes(b"kept")
    monkeypatch.setattr(QMessageBox, "exec", lambda box: QMessageBox.StandardButton.Yes)
    monkeypatch.setattr("app.seen_dialog.asked_path", lambda *_: tmp_path / "seen.pdf")
    told = []
    dialog.said.connect(told.append)
    dialog.save_button.click()
    assert begun.wait(30)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible() and dialog.status.text() == STOPPING
    assert not dialog.save_button.isEnabled()
    gate.set()
    qtbot.waitUntil(lambda: dialog.status.text() == STOPPED, timeout=SOON)
    assert (tmp_path / "seen.pdf").read_bytes() == b"kept" and told == [STOPPED]
    dialog.save_button.click()  # it can be begun again
    qtbot.waitUntil(lambda: dialog.status.text().startswith("Saved"), timeout=SOON)
    assert (tmp_path / "seen.pdf").read_bytes().startswith(b"%PDF")
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_what_was_done_when_it_was_to_be_stopped_is_said_to_be_done(
    dialog, tmp_path, monkeypatch, qtbot
):
    written = threading.Event()
    whole = module.write_whole

    def write(path, data):
        whole(path, data)
        written.set()

    monkeypatch.setattr(module, "write_whole", write)
    choose(monkeypatch, tmp_path / "seen.pdf")
    dialog.save_button.click()
    assert written.wait(30)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: dialog.status.text() == f"Saved seen.pdf in {tmp_path}", timeout=SOON)


def test_a_second_escape_closes_without_waiting_for_an_answer(
    dialog, tmp_path, monkeypatch, qtbot, held
):
    begun, gate = held
    choose(monkeypatch, tmp_path / "seen.pdf")
    dialog.save_button.click()
    assert begun.wait(30)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    gate.set()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert not (tmp_path / "seen.pdf").exists()


class Printer:
    """What pages are painted onto."""

    def resolution(self):
        return 300


@pytest.mark.parametrize("already", [True, False])
def test_a_print_that_has_begun_is_whole_and_one_that_has_not_sends_nothing(
    dialog, monkeypatch, already
):
    stop = Stop()
    sent = []

    def paint_all(sheets, printer, dpi, *, should_stop=lambda: False):
        stop.wish()  # in the midst of it
        sent.extend(page for page in sheets.pages if not should_stop())

    monkeypatch.setattr(Sheets, "paint_all", paint_all)
    if already:
        stop.wish()
    request = (dialog.wished, dialog._family, Printer(), stop)
    _, said = module.do(request, lambda: False)
    assert said == (STOPPED if already else "Sent to the printer.")
    assert len(sent) == (0 if already else len(dialog._sheets.pages))
