"""Versions and recovery in the window: kept, compared, put back, offered once."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QFileDialog, QLabel, QMessageBox, QRadioButton

from app import recovery_dialog, version_keeping
from app.changes_dialog import ChangesDialog
from app.keeping.recovery import left_behind
from app.views.pages.versions import version_title
from core.design import edits
from core.design.files import design_bytes, read_design, write_design
from core.design.journal import Journal, Record
from core.design.kept import Version, to_thin

HOUR, DAY = 3600.0, 86400.0


@pytest.fixture(autouse=True)
def no_question(monkeypatch):
    monkeypatch.setattr(QMessageBox, "exec", lambda box: pytest.fail(box.text()))


@pytest.fixture
def window(open_window, ripple, tmp_path):
    path = tmp_path / "mine" / "blanket.dipslope"
    path.parent.mkdir()
    write_design(ripple, path)
    window = open_window(ripple, path=path, settled=False)
    window.show_page(window.pages.index(window.versions))
    return window


def settle(window, qtbot, count):
    qtbot.waitUntil(lambda: window.versions.list.count() == count, timeout=10_000)
    qtbot.waitUntil(lambda: not window.keeper._jobs.is_busy, timeout=10_000)


def resize_rows(window, rows):
    window.session.change("Change length", lambda d: edits.set_size(d, rows=rows))


def keep(window, qtbot, count, name, note=""):
    QTest.keyClicks(window.versions.name, name)
    QTest.keyClicks(window.versions.note, note)
    QTest.mouseClick(window.versions.keep, Qt.MouseButton.LeftButton)
    settle(window, qtbot, count)


def words(window, row):
    return window.versions.list.item(row).text()


def test_every_save_keeps_a_version_told_in_words(window, qtbot):
    assert window.documents.save()
    settle(window, qtbot, 1)
    resize_rows(window, 24)
    window.session.change("x", lambda d: edits.set_stripe(d, 1, rows=3))
    assert window.documents.save()
    settle(window, qtbot, 2)
    assert "Rows 20 → 24; Stripe 2, rows 2 → 3." in words(window, 0)
    assert "The first one." in words(window, 1)


def test_saving_again_without_a_change_keeps_no_second_version(window, qtbot):
    for _ in range(3):
        assert window.documents.save()
    settle(window, qtbot, 1)


def test_a_version_is_kept_under_a_name_without_touching_the_file(window, qtbot):
    resize_rows(window, 24)
    before = window.session.path.read_bytes()
    keep(window, qtbot, 1, "before the border", "for the aunt")
    assert words(window, 0).startswith("before the border – ")
    assert "for the aunt" in words(window, 0)
    assert window.session.path.read_bytes() == before
    assert not window.session.is_saved
    assert window.versions.name.text() == ""


def test_enter_in_the_name_keeps_the_version(window, qtbot):
    window.keep_version()
    QTest.keyClicks(window.versions.name, "mine")
    QTest.keyClick(window.versions.name, Qt.Key.Key_Return)
    settle(window, qtbot, 1)
    assert words(window, 0).startswith("mine – ")


def test_putting_one_back_is_one_step(window, qtbot):
    first = window.session.design
    keep(window, qtbot, 1, "first")
    resize_rows(window, 24)
    later = window.session.design
    window.versions.list.setCurrentRow(0)
    assert window.versions.back.isEnabled()
    QTest.mouseClick(window.versions.back, Qt.MouseButton.LeftButton)
    assert window.session.design == first
    assert "Put back “first”" in window.session.undo_stack.undoText()
    window.session.undo_stack.undo()
    assert window.session.design is later


def test_then_and_now_are_seen_side_by_side_with_what_changed(window, qtbot):
    keep(window, qtbot, 1, "first")
    window.versions.list.setCurrentRow(0)
    assert window.versions.since.text() == "The design is like this version."
    resize_rows(window, 24)
    qtbot.waitUntil(lambda: window.versions.since.text() == "• Rows 20 → 24", timeout=5000)

    def both():
        return not window.versions._then.pixmap().isNull() and not (
            window.versions._now.pixmap().isNull()
        )

    qtbot.waitUntil(both, timeout=20_000)
    then, now = (
        label.pixmap().toImage() for label in (window.versions._then, window.versions._now)
    )
    assert then != now


def test_the_list_of_changes_can_be_saved_as_text(window, qtbot, tmp_path, monkeypatch):
    keep(window, qtbot, 1, "first")
    resize_rows(window, 24)
    window.versions.list.setCurrentRow(0)
    target = tmp_path / "changes.txt"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a: (str(target), ""))

    def press_save(dialog):
        save = next(b for b in dialog._buttons.buttons() if "Save" in b.text())
        save.click()
        return QDialog.DialogCode.Rejected

    monkeypatch.setattr(ChangesDialog, "exec", press_save)
    QTest.mouseClick(window.versions.changes, Qt.MouseButton.LeftButton)
    assert target.read_text() == "Rows 20 → 24\n"


def test_copies_are_issued_under_numbers(window, qtbot, tmp_path, monkeypatch):
    asked = []

    def choose(parent, title, start, *rest):
        asked.append((title, Path(start).name))
        return str(tmp_path / Path(start).name), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", choose)
    for count in (1, 2):
        QTest.mouseClick(window.versions.issue, Qt.MouseButton.LeftButton)
        settle(window, qtbot, count)
    assert asked == [
        ("Issue number 1", "blanket-v1.dipslope"),
        ("Issue number 2", "blanket-v2.dipslope"),
    ]
    assert read_design(tmp_path / "blanket-v2.dipslope") == window.session.design
    assert words(window, 0).startswith("Issued as number 2 – ")
    assert window.session.path.name == "blanket.dipslope"


def test_one_kept_by_hand_is_removed_only_after_asking(window, qtbot, monkeypatch):
    keep(window, qtbot, 1, "mine")
    window.versions.list.setCurrentRow(0)
    answers = [QMessageBox.StandardButton.Cancel, QMessageBox.StandardButton.Yes]
    monkeypatch.setattr(QMessageBox, "exec", lambda box: answers.pop(0))
    QTest.mouseClick(window.versions.remove, Qt.MouseButton.LeftButton)
    assert window.versions.list.count() == 1
    QTest.mouseClick(window.versions.remove, Qt.MouseButton.LeftButton)
    settle(window, qtbot, 0)
    assert window.versions.empty.isVisible()


def test_versions_of_a_new_design_come_along_when_it_gets_its_file(window, qtbot, tmp_path):
    window.documents.open_demo()
    keep(window, qtbot, 1, "early")
    resize_rows(window, 40)
    assert window.documents.save_to(tmp_path / "new.dipslope")
    settle(window, qtbot, 2)
    assert words(window, 1).startswith("early – ")
    assert window.keeper.store.belongs_to() == str(tmp_path / "new.dipslope")


def test_versions_follow_a_file_that_was_renamed(window, qtbot, tmp_path):
    keep(window, qtbot, 1, "early")
    assert window.documents.save()
    qtbot.waitUntil(lambda: not window.keeper._jobs.is_busy, timeout=10_000)
    moved = tmp_path / "renamed.dipslope"
    shutil.move(window.session.path, moved)
    window.session.undo_stack.setClean()
    assert window.documents.open(moved)
    settle(window, qtbot, 1)
    assert words(window, 0).startswith("early – ")


def test_a_broken_version_is_passed_over(window, qtbot):
    keep(window, qtbot, 1, "early")
    (window.keeper.store.folder / "000-kept.version").write_bytes(b"\x00broken")
    window.keeper.list_versions()
    settle(window, qtbot, 1)


def test_the_page_is_reached_by_its_key_and_every_control_has_name_and_tip(window):
    window.show_page(0)
    QTest.keyClick(window, Qt.Key.Key_8, Qt.KeyboardModifier.ControlModifier)
    page = window.versions
    assert page.isVisible()
    for control in (page.name, page.note, page.keep, page.issue, page.list, page.back,
                    page.changes, page.remove):  # fmt: skip
        text = getattr(control, "text", lambda: "")()
        assert control.accessibleName() or text
        if control is not page.list:
            assert control.toolTip()


# --- thinning ----------------------------------------------------------------------------


def version(when, kind="saved"):
    return Version(file=f"{when}", when=when, kind=kind)


def test_old_versions_are_thinned_and_those_kept_by_hand_never():
    now = 400 * DAY
    often = [version(now - n * 600) for n in range(6 * 24 * 30)]  # every ten minutes for a month
    mine = [version(now - n * DAY - 1, "kept") for n in range(300)]
    every = tuple(sorted(often + mine, key=lambda v: -v.when))
    dropped = set(to_thin(every, now))
    stay = [v for v in every if v not in dropped]
    assert not dropped & set(mine)
    automatic = [v for v in stay if v.kind == "saved"]
    assert automatic[:20] == often[:20]
    within = [v for v in automatic if now - v.when < 2 * DAY]
    assert 20 + 40 <= len(within) <= 20 + 49  # one an hour
    older = [v for v in automatic if now - v.when >= 2 * DAY]
    assert 27 <= len(older) <= 29  # one a day
    assert not to_thin(tuple(stay), now)  # nothing more goes the next time


def test_thinned_for_ever_they_stay_few():
    kept: tuple[Version, ...] = ()
    for n in range(3000):
        now = 1000 * DAY + n * 7 * HOUR
        kept = (version(now), *kept)
        dropped = set(to_thin(kept, now))
        kept = tuple(v for v in kept if v not in dropped)
        assert len(kept) <= 200
    assert kept[-1].when < 1000 * DAY + 60 * DAY  # and still go back to the beginning


# --- recovery ----------------------------------------------------------------------------


@pytest.fixture
def left(window, ripple, tmp_path):
    """Leave what two crashes leave: changes of a file, and a design that was never saved."""
    folder = window.keeper.places.journals
    folder.mkdir(parents=True)
    path = tmp_path / "left.dipslope"
    write_design(ripple, path)
    changed = edits.set_values(edits.set_size(ripple, rows=28), title="<b>Left</b>")
    fresh = edits.set_values(ripple, title="Fresh")
    Journal(folder / "one.journal").add(
        Record({"path": str(path), "when": 2e9}, design_bytes(changed))
    )
    Journal(folder / "two.journal").add(Record({"path": None, "when": 1e9}, design_bytes(fresh)))
    return path, changed, fresh


def offered(window, qtbot):
    window.recovery.look()
    qtbot.waitUntil(lambda: window.recovery.dialog is not None, timeout=10_000)
    return window.recovery.dialog


def test_all_that_was_left_is_offered_in_one_dialog_with_pictures(window, left, qtbot):
    dialog = offered(window, qtbot)
    assert [entry.design for entry in dialog.lefts] == [left[1], left[2]]
    texts = [label.text() for label in dialog.findChildren(QLabel)]
    told = next(text for text in texts if "left.dipslope" in text)
    assert "Title “A ripple” → “<b>Left</b>”; Rows 20 → 28." in told
    assert any("Never saved" in text for text in texts)
    for label in dialog._pictures.values():
        qtbot.waitUntil(lambda label=label: not label.pixmap().isNull(), timeout=20_000)
    for button in dialog.findChildren(QRadioButton):
        assert button.accessibleName()
        assert button.toolTip()
    window.recovery.look()  # a second look doesn't nag
    qtbot.waitUntil(lambda: not window.keeper._jobs.is_busy, timeout=5000)
    assert window.recovery.dialog is dialog
    dialog.reject()


def test_deciding_later_changes_nothing(window, left, qtbot):
    before = {p.name: p.read_bytes() for p in window.keeper.places.journals.glob("*.journal")}
    QTest.keyClick(offered(window, qtbot), Qt.Key.Key_Escape)
    assert window.recovery.dialog is None
    after = {p.name: p.read_bytes() for p in window.keeper.places.journals.glob("*.journal")}
    assert before == after
    assert len(left_behind(window.keeper.places.journals)) == 2


def test_recovering_is_one_step_and_the_file_stays_as_it_was(window, left, qtbot, monkeypatch):
    started = []
    monkeypatch.setattr(recovery_dialog, "start_another", lambda *words: started.append(words))
    path, changed, _ = left
    whole = path.read_bytes()
    offered(window, qtbot).accept()
    assert window.session.design == changed
    assert window.session.path == path
    assert not window.session.is_saved
    assert path.read_bytes() == whole
    assert started == [("--recover", "two")]
    window.session.undo_stack.undo()
    assert window.session.design == read_design(path)
    window.session.undo_stack.redo()
    assert window.documents.save()
    qtbot.waitUntil(lambda: not window.keeper._writing.is_busy, timeout=5000)
    assert not (window.keeper.places.journals / "one.journal").exists()


def test_keeping_the_saved_one_puts_the_changes_among_its_versions(window, left, qtbot):
    path, changed, _ = left
    dialog = offered(window, qtbot)
    dialog.decide(0, "saved")
    dialog.decide(1, "later")
    dialog.accept()
    assert not (window.keeper.places.journals / "one.journal").exists()
    assert (window.keeper.places.journals / "two.journal").exists()
    assert window.documents.open(path)
    settle(window, qtbot, 1)
    newest = window.keeper.store.versions()[0]
    assert version_title(newest) == "Not recovered"
    assert window.keeper.store.design(newest) == changed


def test_a_journal_that_says_what_the_file_says_is_not_offered(window, left, qtbot):
    path, changed, _ = left
    write_design(changed, path)
    assert [entry.design.title for entry in left_behind(window.keeper.places.journals)] == ["Fresh"]


def test_a_journal_in_use_is_not_offered(window, qtbot):
    resize_rows(window, 31)
    with qtbot.waitSignal(window.keeper.autosave.written, timeout=5000):
        pass
    assert left_behind(window.keeper.places.journals) == ()
    window.documents.save()
    qtbot.waitUntil(lambda: not window.keeper._writing.is_busy, timeout=5000)
    assert list(window.keeper.places.journals.iterdir()) == []


def test_a_damaged_journal_is_neither_offered_nor_removed(window, left):
    broken = window.keeper.places.journals / "bad.journal"
    broken.write_bytes(b"not a journal")
    assert len(left_behind(window.keeper.places.journals)) == 2
    assert broken.exists()


def test_the_file_opened_by_a_double_click_asks_only_about_itself(window, left, qtbot):
    with qtbot.waitSignal(window.recovery.looked, timeout=5000) as seen:
        window.recovery.look(only=Path("/elsewhere.dipslope"))
    assert seen.args == [0]
    assert window.recovery.dialog is None
    with qtbot.waitSignal(window.recovery.looked, timeout=5000) as seen:
        window.recovery.look(only=left[0])
    assert seen.args == [1]
    window.recovery.dialog.reject()


def test_looking_for_nothing_by_hand_is_answered(window, qtbot):
    with qtbot.waitSignal(window.recovery.said, timeout=5000) as said:
        window.recovery.look(tell_if_none=True)
    assert "nothing to recover" in said.args[0]


def test_lines_for_many_versions_read_each_design_once(ripple, tmp_path, monkeypatch):
    from core.design.versions import VersionStore

    store = VersionStore(tmp_path)
    for n in range(60):
        store.keep(edits.set_size(ripple, rows=20 + n), "kept")
    read, design_of = [], VersionStore.design

    def counted(self, version):
        read.append(version.file)
        return design_of(self, version)

    monkeypatch.setattr(VersionStore, "design", counted)
    versions = store.versions()
    lines, designs = version_keeping._lines_of(store, versions, {})
    assert len(lines) == len(designs) == 60
    assert sorted(read) == sorted(version.file for version in versions)
    read.clear()
    version_keeping._lines_of(store, versions, designs)
    assert read == []  # those that are known are not read again
