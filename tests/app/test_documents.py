"""Saving survives: every failure is one sentence with a way out, and nothing is lost."""

import errno
import os
import shutil
import stat
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, QSettings, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QMessageBox

from app import documents as module
from app.changes_dialog import ChangesDialog
from app.keeping.places import key_of
from app.session import Session
from app.theme import Theme
from app.window import Window
from core.design import disk, edits
from core.design.files import design_from_bytes, read_design, write_design
from core.design.journal import read_newest
from core.design.versions import VersionStore

ANSWER = QMessageBox.StandardButton
posix = pytest.mark.skipif(os.name == "nt", reason="permissions and links are different there")


@pytest.fixture
def make(ripple, tmp_path, qtbot):
    """Make windows that keep things in one folder, as windows of one user do."""
    made = []

    def window(design=ripple, path=None):
        number = len(made)
        settings = QSettings(str(tmp_path / f"set{number}.ini"), QSettings.Format.IniFormat)
        session = Session(design)
        session.open(design, path)
        new = Window(session, Theme(), settings, tmp_path / "kept")
        qtbot.addWidget(new, before_close_func=lambda w: w.session.undo_stack.setClean())
        made.append(new)
        return new

    return window


@pytest.fixture
def window(make):
    return make()


@pytest.fixture(autouse=True)
def asked(monkeypatch):
    """Hear every question; answer with the buttons named, in turn, and then with Cancel."""
    heard, answers = [], []

    def execute(box):
        assert box.textFormat() == Qt.TextFormat.PlainText
        heard.append(box.text())
        wanted = answers.pop(0) if answers else "Cancel"
        for button in box.buttons():
            if button.text().replace("&", "").startswith(wanted):
                monkeypatch.setattr(QMessageBox, "clickedButton", lambda _, b=button: b)
                return box.standardButton(button)
        monkeypatch.setattr(QMessageBox, "clickedButton", lambda _: None)
        return ANSWER.Cancel

    monkeypatch.setattr(QMessageBox, "exec", execute)
    return heard, answers


@pytest.fixture
def saved(window, tmp_path):
    folder = tmp_path / "mine"
    folder.mkdir()
    path = folder / "blanket.dipslope"
    assert window.documents.save_to(path)
    window.session.change("Change length", lambda d: edits.set_size(d, rows=50))
    return path


def chooses(monkeypatch, path):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a: (str(path), ""))


def fails(monkeypatch, code):
    def write(handle, data):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(disk, "_write_all", write)


@pytest.mark.parametrize(
    ("code", "words"),
    [("ENOSPC", "The disk is full"), ("EIO", "doesn't answer"), ("ESTALE", "doesn't answer"),
     ("EROFS", "can't be written to"), ("EDQUOT", "The disk is full")],
)  # fmt: skip
def test_a_disk_that_fails_is_told_with_a_way_out(window, saved, asked, monkeypatch, code, words):
    before = saved.read_bytes()
    with monkeypatch.context() as patch:
        fails(patch, getattr(errno, code))
        assert not window.documents.save()
    assert words in asked[0][0]
    assert "Nothing is lost" in asked[0][0]
    assert saved.read_bytes() == before
    assert not window.session.is_saved
    assert window.session.design.size.rows == 50
    assert window.documents.save()


def test_after_a_failure_the_design_can_be_saved_elsewhere_at_once(
    window, saved, asked, monkeypatch, tmp_path
):
    other = tmp_path / "other.dipslope"
    chooses(monkeypatch, other)
    asked[1].append("Save as")
    shutil.rmtree(saved.parent)
    assert window.documents.save()
    assert "The folder mine is no longer there" in asked[0][0]
    assert read_design(other) == window.session.design
    assert window.session.path == other
    assert window.session.is_saved


@posix
def test_a_file_set_to_be_only_read_is_not_replaced(window, saved, asked):
    saved.chmod(0o444)
    before = saved.read_bytes()
    assert not window.documents.save()
    assert "blanket.dipslope is set to be only read" in asked[0][0]
    assert saved.read_bytes() == before
    assert stat.S_IMODE(saved.stat().st_mode) == 0o444


def test_a_file_that_is_gone_is_written_again_and_that_is_said(window, saved, asked):
    said = []
    window.documents.said.connect(said.append)
    saved.unlink()
    assert window.documents.save()
    assert read_design(saved) == window.session.design
    assert "no longer there" in said[-1]
    assert not asked[0]


def change_outside(path, **values):
    theirs = edits.set_values(read_design(path), **values)
    write_design(theirs, path)
    later = time.time() + 5
    os.utime(path, (later, later))
    return theirs


def test_a_file_changed_by_somebody_else_is_not_replaced_unasked(window, saved, asked):
    theirs = change_outside(saved, title="Theirs")
    assert not window.documents.save()
    assert "was changed by somebody else" in asked[0][0]
    assert read_design(saved) == theirs
    assert not window.session.is_saved


def test_what_somebody_else_saved_is_kept_if_it_is_replaced(window, saved, asked, qtbot, tmp_path):
    theirs = change_outside(saved, title="Theirs")
    asked[1].append("Replace")
    assert window.documents.save()
    assert read_design(saved) == window.session.design
    store = VersionStore(tmp_path / "kept" / "versions" / key_of(saved))
    qtbot.waitUntil(lambda: not window.keeper._jobs.is_busy, timeout=5000)
    assert theirs in [store.design(version) for version in store.versions()]


def test_differences_can_be_seen_before_deciding(window, saved, asked, monkeypatch):
    change_outside(saved, title="Theirs")
    seen = []

    def show(dialog):
        seen.append(dialog.text.toPlainText())

    monkeypatch.setattr(ChangesDialog, "exec", show)
    asked[1].extend(["See differences", "Cancel"])
    assert not window.documents.save()
    assert seen == ["Title “Theirs” → “A ripple”\nRows 20 → 50"]
    assert len(asked[0]) == 2


def test_a_file_only_touched_is_not_asked_about(window, saved, asked):
    later = time.time() + 5
    os.utime(saved, (later, later))
    assert window.documents.save()
    assert not asked[0]


def test_a_file_that_somebody_broke_can_be_replaced_or_left(window, saved, asked):
    saved.write_bytes(b"broken, and longer than before?")
    assert not window.documents.save()
    assert "See differences" not in asked[0][0]
    asked[1].append("Replace")
    assert window.documents.save()
    assert read_design(saved) == window.session.design


@pytest.mark.parametrize(
    "name", ["a b %20.dipslope", "ünïcode 海.dipslope", "#1?.dipslope", "-rf.dipslope", "l" * 246]
)
def test_odd_and_long_names_are_saved_and_opened(window, tmp_path, asked, name):
    path = tmp_path / (name if name.endswith(".dipslope") else name + ".dipslope")
    assert window.documents.save_to(path)
    assert window.documents.open(path)
    assert window.session.path == path
    assert window.documents.recent()[0] == path


def test_a_name_longer_than_a_disk_takes_is_told(window, tmp_path, asked):
    assert not window.documents.save_to(tmp_path / ("l" * 300 + ".dipslope"))
    assert "The name is too long" in asked[0][0]


def test_a_folder_is_no_file(window, tmp_path, asked):
    (tmp_path / "f.dipslope").mkdir()
    assert not window.documents.save_to(tmp_path / "f.dipslope")
    assert "is a folder" in asked[0][0]


@posix
def test_a_link_is_followed_and_is_the_same_design(window, saved, tmp_path, asked, make):
    link = tmp_path / "link.dipslope"
    link.symlink_to(saved)
    assert key_of(link) == key_of(saved)
    assert window.documents.save_to(link)
    assert link.is_symlink()
    assert read_design(saved).size.rows == 50


def test_given_up_changes_are_still_among_the_versions(window, saved, asked, qtbot, tmp_path):
    asked[1].append("Discard")
    given_up = window.session.design
    assert window.documents.may_leave()
    qtbot.waitUntil(lambda: not window.keeper._jobs.is_busy, timeout=5000)
    store = VersionStore(tmp_path / "kept" / "versions" / key_of(saved))
    newest = store.versions()[0]
    assert (newest.name, store.design(newest)) == ("Left unsaved", given_up)


# --- one window for each design ----------------------------------------------------------


def test_a_design_open_in_another_window_is_shown_there(window, saved, make, asked, qtbot):
    other = make()
    before = other.session.design
    with qtbot.waitSignal(window.keeper.presence.raise_wished):
        assert not other.documents.open(saved)
    assert other.session.design is before
    assert not asked[0]


def test_a_design_that_is_closed_can_be_opened_elsewhere(window, saved, make, asked, tmp_path):
    other = make()
    assert window.documents.save_to(tmp_path / "second.dipslope")  # this one is let go
    assert other.documents.open(saved)
    assert not list(saved.parent.glob(".*second*"))


def test_a_design_that_somebody_else_has_open_is_opened_as_a_copy(
    window, saved, make, asked, monkeypatch
):
    from PySide6.QtCore import QLockFile

    window.keeper.presence.let_go()
    lock = QLockFile(str(saved.with_name(".blanket.dipslope.lock")))
    assert lock.tryLock(0)
    other = make()
    assert not other.documents.open(saved)
    assert "blanket.dipslope is open elsewhere" in asked[0][0]
    asked[1].append("Open a copy")
    assert other.documents.open(saved)
    assert other.session.path is None
    assert not other.session.is_saved
    asked[1].append("Open it anyway")
    assert other.documents.open(saved)
    assert other.session.path == saved
    lock.unlock()


def test_no_trace_is_left_beside_a_closed_design(window, saved):
    assert [p.name for p in saved.parent.iterdir() if p != saved] == [".blanket.dipslope.lock"]
    window.keeper.presence.let_go()
    assert list(saved.parent.iterdir()) == [saved]


def test_a_lock_left_by_a_crash_does_not_count(saved, make, window, asked):
    window.keeper.presence.let_go()
    import socket

    dead = 2**22 - 3  # no process has a number as high
    lock = saved.with_name(".blanket.dipslope.lock")
    lock.write_text(f"{dead}\npython3.11\n{socket.gethostname()}\n")
    assert make().documents.open(saved)
    assert not asked[0]


# --- dropping, recent files, the start ---------------------------------------------------


def drop_on(window, paths):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    action, none = Qt.DropAction.CopyAction, Qt.KeyboardModifier.NoModifier
    left = Qt.MouseButton.LeftButton
    enter = QDragEnterEvent(QPointF(9, 9).toPoint(), action, data, left, none)
    window.dragEnterEvent(enter)
    if enter.isAccepted():
        window.dropEvent(QDropEvent(QPointF(9, 9), action, data, left, none))
    return enter.isAccepted()


def test_a_dropped_design_is_opened(window, saved, tmp_path, ripple):
    window.session.undo_stack.setClean()
    path = tmp_path / "dropped one.dipslope"
    write_design(edits.set_size(ripple, rows=33), path)
    assert drop_on(window, [path])
    assert window.session.path == path


def test_several_dropped_designs_open_a_window_each(window, tmp_path, ripple, monkeypatch):
    started = []
    monkeypatch.setattr(module, "start_another", lambda *words: bool(started.append(words)) or True)
    paths = [tmp_path / f"{n}.dipslope" for n in range(3)]
    for path in paths:
        write_design(ripple, path)
    assert drop_on(window, paths)
    assert window.session.path == paths[0]
    assert started == [(str(paths[1]),), (str(paths[2]),)]


def test_what_is_no_design_is_not_taken(window, tmp_path):
    picture = tmp_path / "notes.txt"
    picture.write_bytes(b"")
    assert not drop_on(window, [picture])


def test_recent_designs_have_pictures(window, saved, qtbot):
    assert window.documents.save()
    qtbot.waitUntil(lambda: window.keeper.pictures.of_file(saved) is not None, timeout=10_000)
    window._recent.aboutToShow.emit()
    (action,) = window._recent.actions()
    assert not action.icon().isNull()
    assert action.text() == "blanket.dipslope"


def test_a_recent_file_on_a_drive_that_was_away_is_listed_again(window, saved, tmp_path):
    assert window.documents.save()
    away = saved.rename(tmp_path / "elsewhere")
    for number in range(12):
        assert window.documents.save_to(tmp_path / f"other {number}.dipslope")
    listed = window.documents.recent()
    assert len(listed) == 10  # no longer than a menu is read
    assert saved not in listed
    away.rename(saved)
    for number in range(4, 12):
        (tmp_path / f"other {number}.dipslope").unlink()
    assert window.documents.recent()[-1] == saved


def test_the_last_design_is_opened_at_the_start_only_if_that_was_chosen(window, saved):
    settings = window._settings
    assert window.documents.save()
    assert module.file_to_reopen(settings) is None
    window.documents.set_reopens(True)
    assert module.file_to_reopen(settings) == saved
    saved.unlink()
    assert module.file_to_reopen(settings) is None


@pytest.mark.parametrize("text", ["", "[General]\nrecent=@Invalid()\n", "\x00\xff[[[", "recent=3"])
def test_settings_that_somebody_broke_do_no_harm(tmp_path, text, make):
    path = tmp_path / "set0.ini"
    path.write_bytes(text.encode("latin-1"))
    window = make()
    assert window.documents.recent() == []
    assert not window.documents.reopens


def test_a_journal_that_cannot_be_written_is_said_once_and_work_goes_on(
    window, saved, monkeypatch, qtbot
):
    said = []
    window.version_keeping.said.connect(said.append)
    with monkeypatch.context() as patch:
        fails(patch, errno.ENOSPC)
        for rows in (51, 52):
            window.session.change("x", lambda d, rows=rows: edits.set_size(d, rows=rows))
            window.keeper.autosave.write()
            qtbot.waitUntil(lambda: not window.keeper.autosave.is_pending, timeout=5000)
    assert len(said) == 1
    assert "The disk is full" in said[0]
    window.keeper.autosave.write()
    qtbot.waitUntil(lambda: not window.keeper.autosave.is_pending, timeout=5000)
    assert list((Path(window.keeper.places.journals)).glob("*.journal"))


def test_a_journal_that_could_not_be_written_is_tried_again_by_itself(
    window, saved, monkeypatch, qtbot
):
    autosave = window.keeper.autosave
    autosave._again.setInterval(200)

    def kept_rows():
        found = list(Path(window.keeper.places.journals).glob("*.journal"))
        newest = [read_newest(journal) for journal in found]
        return [design_from_bytes(kept.data).size.rows for kept in newest if kept is not None]

    with monkeypatch.context() as patch:
        fails(patch, errno.ENOSPC)
        window.session.change("x", lambda d: edits.set_size(d, rows=51))
        qtbot.waitUntil(lambda: autosave._again.isActive(), timeout=5000)
        assert 51 not in kept_rows()
    qtbot.waitUntil(lambda: not autosave.is_pending and kept_rows() == [51], timeout=5000)
    assert not autosave._again.isActive()


def test_what_is_given_up_is_not_tried_again(window, saved, ripple, monkeypatch, qtbot):
    autosave = window.keeper.autosave
    with monkeypatch.context() as patch:
        fails(patch, errno.ENOSPC)
        window.session.change("x", lambda d: edits.set_size(d, rows=51))
        qtbot.waitUntil(lambda: autosave._again.isActive(), timeout=5000)
        window.session.open(ripple, saved)
        assert not autosave._again.isActive()


def test_a_design_without_a_file_is_kept_aside_before_anything_is_changed_in_it(
    window, ripple, qtbot
):
    window.session.open(edits.set_values(ripple, title="Read from rows"), None, unsaved=True)
    folder = window.keeper.places.journals
    qtbot.waitUntil(lambda: bool(list(folder.glob("*.journal"))), timeout=5000)
    qtbot.waitUntil(lambda: not window.keeper.autosave.is_pending, timeout=5000)
    (journal,) = folder.glob("*.journal")
    assert design_from_bytes(read_newest(journal).data).title == "Read from rows"


def test_a_design_that_a_file_holds_is_not_kept_aside(window, saved, ripple, qtbot):
    qtbot.waitUntil(lambda: not window.keeper.autosave.is_pending, timeout=5000)
    window.session.open(ripple, saved)
    assert not window.keeper.autosave.is_pending
    qtbot.waitUntil(lambda: not window.keeper._writing.is_busy, timeout=5000)
    assert not list(window.keeper.places.journals.glob("*.journal"))


# --- where one is -------------------------------------------------------------------------------


@pytest.mark.parametrize("view", ["chart", "strip", "wave", "fabric"])
def test_saving_leaves_the_keys_where_they_were(window, tmp_path, view):
    window.show()
    here = getattr(window, view)
    here.setFocus()
    assert window.documents.save_to(tmp_path / "a.dipslope")
    window.documents.finish_typing()
    assert window.focusWidget() is here


def test_a_figure_that_is_being_typed_is_saved_and_can_be_typed_on(window, tmp_path, qtbot):
    path = tmp_path / "a.dipslope"
    window.documents.save_to(path)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.show_page(0)
    field = window.swatch.stitches
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "17")
    assert window.session.design.gauge.stitches != 17
    assert window.documents.save()
    assert read_design(path).gauge.stitches == 17
    assert window.focusWidget() is field
