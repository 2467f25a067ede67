"""The shelf's file under its window: other windows, faults, backups and lists."""

import contextlib
import sqlite3
from functools import partial

import pytest
from desk import Key, press, typed
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox
from shelf_hands import settle
from shelved import yarn

from app.shelf_lists import BackupsDialog, DifferencesDialog
from core.design import edits
from core.records import replace
from core.shelf.changes import edit, put
from core.shelf.table import shelf_table


def test_another_windows_change_is_seen_and_not_overwritten(open_shelf, store, qtbot):
    sea = yarn()
    store.apply(put("Put", [sea]))
    dialog = open_shelf()
    theirs = replace(sea, balls=1)
    store.apply(edit("Theirs", sea, theirs))
    typed(dialog.form.balls, "9")
    settle(dialog, qtbot)
    assert dialog.said.text().startswith("⚠ Another window has changed this yarn")
    assert dialog.form.balls.value() == 1
    assert store.read().entries == (theirs,)
    assert not dialog.undo_button.isEnabled()


def test_a_damaged_shelf_offers_its_backup_and_leaves_the_design(window, open_shelf, store, qtbot):
    sea = yarn()
    store.apply(put("Put", [sea]))
    store.back_up()
    store.path.write_bytes(b"junk" * 2000)
    dialog = open_shelf()
    assert "damaged" in dialog.trouble.text() and dialog.restore_button.isVisible()
    assert not dialog.add_button.isEnabled()
    assert window.session.change("Rows", partial(edits.set_size, rows=18))
    press(dialog.restore_button)
    qtbot.waitUntil(lambda: dialog.findChild(BackupsDialog) is not None, timeout=5000)
    backups = dialog.findChild(BackupsDialog)
    assert backups.table.item(0, 1).text() == "1 yarn"
    press(backups.go)
    settle(dialog, qtbot)
    assert store.read().entries == (sea,)
    assert not dialog.trouble.isVisible() and dialog.list.count() == 1
    assert [path.name[:6] for path in store.set_aside.iterdir()] == ["shelf-"]


def test_a_vanished_shelf_may_be_begun_anew_only_when_asked(open_shelf, store, qtbot, monkeypatch):
    store.apply(put("Put", [yarn()]))
    store.back_up()
    store.path.unlink()
    dialog = open_shelf()
    assert "no longer where it was" in dialog.trouble.text()
    monkeypatch.setattr(QMessageBox, "exec", lambda box: 0)
    monkeypatch.setattr(QMessageBox, "clickedButton", lambda box: box.buttons()[0])
    press(dialog.anew_button)
    settle(dialog, qtbot)
    assert dialog.first_button.isVisible() and not dialog.trouble.isVisible()


def test_a_shelf_in_use_is_told_and_what_is_shown_is_what_is_kept(open_shelf, store, qtbot):
    sea = yarn()
    store.apply(put("Put", [sea]))
    dialog = open_shelf()
    dialog._keeper.store._wait_s = 0.05
    busy = sqlite3.connect(store.path, isolation_level=None)
    busy.execute("BEGIN IMMEDIATE")
    typed(dialog.form.balls, "9")
    settle(dialog, qtbot)
    assert "Another program is using the shelf" in dialog.said.text()
    busy.execute("ROLLBACK")
    busy.close()
    assert dialog.form.balls.value() == 3


def test_a_list_comes_in_shown_first_and_goes_out_again(open_shelf, store, qtbot, tmp_path):
    sea = yarn()
    store.apply(put("Put", [sea]))
    table = tmp_path / "mine.csv"
    table.write_bytes(shelf_table([replace(sea, balls=5), yarn("Sand")]))
    dialog = open_shelf()
    dialog.errands.import_list(table)
    qtbot.waitUntil(lambda: dialog.findChild(DifferencesDialog) is not None, timeout=5000)
    shown = dialog.findChild(DifferencesDialog)
    assert [one.kind for one in shown.differences] == ["changed", "new"]
    assert store.read().entries == (sea,)
    QTest.keyClick(shown.table, Key.Key_Space)  # the first is not taken
    assert [one.kind for one in shown.chosen] == ["new"]
    press(shown.go)
    settle(dialog, qtbot)
    assert [one.name for one in store.read().entries] == ["Sea", "Sand"]
    for name in ("out.csv", "out.json"):
        dialog._keeper.write_list(tmp_path / name)
        settle(dialog, qtbot)
        assert dialog.said.text() == f"Wrote 2 yarns to {name}."
    dialog.errands.import_list(tmp_path / "out.json")
    settle(dialog, qtbot)
    again = [d for d in dialog.findChildren(DifferencesDialog) if d.isVisible()][-1]
    assert [one.kind for one in again.differences] == ["same", "same"]
    assert not again.go.isEnabled()
    again.reject()


@pytest.mark.parametrize(
    ("data", "told"),
    [(b"name\nSea\n", '"colour"'), (b"\xff\xfe\x00", "UTF-8"), (b"name,colour\n", "no yarn in it")],
)
def test_a_list_that_is_none_is_told(open_shelf, qtbot, tmp_path, data, told):
    path = tmp_path / "list.csv"
    path.write_bytes(data)
    dialog = open_shelf()
    dialog.errands.import_list(path)
    settle(dialog, qtbot)
    assert told in dialog.said.text()
    dialog.errands.import_list(tmp_path / "gone.csv")
    settle(dialog, qtbot)
    assert "gone.csv can't be read" in dialog.said.text()


def test_the_example_comes_only_on_request_and_goes_with_one_undo(open_shelf, store, qtbot):
    dialog = open_shelf()
    press(dialog.example_button)
    settle(dialog, qtbot)
    assert len(store.read().entries) == 8
    press(dialog.undo_button)
    settle(dialog, qtbot)
    assert store.read().entries == () and dialog.first_button.isVisible()


def test_a_step_that_can_t_be_taken_back_just_now_can_be_tried_again(open_shelf, store, qtbot):
    """Another program holds the file for longer than is waited: nothing of the history is lost."""
    dialog = open_shelf()
    dialog.put_example()
    settle(dialog, qtbot)
    keeper = dialog._keeper
    text, many = keeper.undo_text, len(keeper.entries)
    assert text and many
    with contextlib.closing(sqlite3.connect(store.path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        # Given up once its text is offered again; what is on the shelf is then read, and waits too.
        keeper.undo()
        assert keeper.undo_text != text
        qtbot.waitUntil(lambda: keeper.undo_text == text, timeout=10_000)
        other.execute("ROLLBACK")
        settle(dialog, qtbot)
    assert len(keeper.entries) == many and keeper.undo_text == text and not keeper.redo_text
    keeper.undo()
    settle(dialog, qtbot)
    assert not keeper.entries and keeper.redo_text == text
