"""The window that prints what is seen: asks before it replaces, and a tick breaks nothing off."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QMessageBox

from app.painting.fabric import Manner
from app.paper.seen import Seen, SeenChart, SeenFabric
from app.printing import STOPPED
from app.seen_dialog import SeenDialog

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


def test_escape_stops_what_is_being_written_and_says_so_before_it_closes(
    dialog, tmp_path, monkeypatch, qtbot
):
    choose(monkeypatch, tmp_path / "seen.pdf")
    dialog.save_button.click()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible() and dialog.status.text() == STOPPED
    assert dialog.save_button.isEnabled()
    dialog.save_button.click()  # it can be begun again
    qtbot.waitUntil(lambda: dialog.status.text().startswith("Saved"), timeout=SOON)
    assert (tmp_path / "seen.pdf").exists()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
