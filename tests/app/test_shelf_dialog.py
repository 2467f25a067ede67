"""The shelf's window, with real keys: nothing changes by itself; hands and eyes reach all."""

import time
from functools import partial
from threading import get_ident

import pytest
from desk import Key, Mods, focusable, press
from msgspec.structs import replace as changed
from PySide6 import QtGui
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel, QStackedWidget, QWidget
from shelf_hands import settle
from shelved import yarn

from app.shelf_dialog import ShelfDialog
from app.views.shelf.words import stock
from core.design import edits
from core.design.files import write_design
from core.shelf.changes import put
from core.shelf.entry import Aside
from core.shelf.finding import find

# --- nothing changes by itself -----------------------------------------------------------


def test_no_shelf_is_made_by_opening_windows_designs_or_the_shelf(
    window, open_shelf, store, tmp_path, qtbot
):
    dialog = open_shelf()
    path = tmp_path / "a.dipslope"
    write_design(changed(window.session.design, title="Another"), path)
    window.documents.open_asking_first(path)
    settle(dialog, qtbot)
    assert not store.folder.exists()
    assert "Nothing on the shelf changes" in dialog.said.text()


def test_opening_and_saving_designs_leaves_the_file_byte_for_byte(
    window, open_shelf, store, tmp_path, qtbot
):
    store.apply(put("Put", [yarn(asides=(Aside("A ripple", 20.0),)), yarn("Sand")]))
    before = store.path.read_bytes()
    dialog = open_shelf()
    path = tmp_path / "a.dipslope"
    write_design(changed(window.session.design, title="Another"), path)
    window.documents.open_asking_first(path)
    window.session.change("More", partial(edits.set_yarn, number=0, owned_balls=9.0))
    window.documents.save()
    settle(dialog, qtbot)
    dialog.close()
    assert store.path.read_bytes() == before
    assert b"kept" not in path.read_bytes() and b"shelf" not in path.read_bytes()


def test_the_window_starts_without_the_librarys_module(tmp_path):
    import subprocess
    import sys

    code = "import app.window, sys; sys.exit('sqlite3' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], timeout=120).returncode == 0


# --- finding -----------------------------------------------------------------------------


def test_looking_for_words_and_colours(window, open_shelf, store, qtbot):
    store.apply(
        put(
            "Put",
            [
                yarn(),
                yarn("Sand", colour="#e9d8a6", place="attic"),
                yarn("Coal", colour="#222222"),
            ],
        )
    )
    dialog = open_shelf()
    QTest.keyClick(dialog.list, Key.Key_F, Mods.ControlModifier)
    assert dialog.looking.words.hasFocus()
    QTest.keyClicks(dialog.looking.words, "attic")
    settle(dialog, qtbot)
    assert [found.entry.name for found in dialog._shown] == ["Sand"]
    assert dialog.count.text() == "1 of 3 yarns"
    dialog.looking.reset()
    dialog.looking.look_for_colour("#c1543c")
    settle(dialog, qtbot)
    assert dialog._shown == () and "nearest in colour" in dialog.none_words.text()
    press(dialog.all_button)
    settle(dialog, qtbot)
    assert dialog.list.count() == 3
    press(dialog.tabs.button(1))
    dialog.design.list.setFocus()
    QTest.keyClick(dialog.design.list, Key.Key_Return)
    settle(dialog, qtbot)
    assert [found.entry.name for found in dialog._shown] == ["Sea"]


def test_ten_thousand_yarns_hold_the_window_up_for_a_moment_only(
    open_shelf, store, qtbot, monkeypatch
):
    store.apply(put("Put", [yarn(f"Yarn {n}", colour=f"#{n * 997 % 0xFFFFFF:06x}")
                            for n in range(10_000)]))  # fmt: skip
    dialog = open_shelf()
    settle(dialog, qtbot)
    assert dialog.list.count() == 10_000
    picture = min(thread_time_of(dialog.grab) for _ in range(5))
    worst, threads = 0.0, set()

    def noted(*args):
        threads.add(get_ident())
        return find(*args)

    monkeypatch.setattr("app.views.shelf.answers.find", noted)
    dialog.looking.words.setText("yarn 77")
    while dialog.list.count() == 10_000 or dialog._worker.is_busy:
        worst = max(worst, thread_time_of(lambda: qtbot.wait(1)))
    assert 0 < dialog.list.count() < 10_000
    assert threads and get_ident() not in threads
    assert worst < 20 * picture  # of the window's thread; twice a picture where this was written


def thread_time_of(do):
    begun = time.thread_time()
    do()
    return time.thread_time() - begun


# --- hands and eyes ----------------------------------------------------------------------


def test_every_part_is_named_has_a_tooltip_and_no_letter_twice(open_shelf, store, qtbot):
    store.apply(put("Put", [yarn(remnants=(4.0,))]))
    dialog = open_shelf()
    assert dialog.file.path.toolTip() == str(store.path)
    assert dialog.file.path.text().replace("\u200b", "") == str(store.path)
    for page in range(3):
        dialog.show_page(page)
        parts = focusable(dialog)
        assert len(parts) > 10
        for part in parts:
            name = part.accessibleName() or getattr(part, "text", str)()
            assert name, part
            assert part.toolTip() or part is dialog.list, name
        letters = [
            button.text()[button.text().index("&") + 1].lower()
            for button in dialog.findChildren(QAbstractButton)
            if button.isVisibleTo(dialog) and "&" in button.text()
        ]
        assert sorted(letters) == sorted(set(letters)), page


def test_the_tab_key_reaches_everything(open_shelf, store, qtbot):
    store.apply(put("Put", [yarn(remnants=(4.0,))]))
    dialog = open_shelf()
    dialog.looking.words.setFocus()
    wanted, reached = set(focusable(dialog)), set()
    for _ in range(80):
        now = dialog.focusWidget()
        while now is not None:
            reached.add(now)
            now = now.parentWidget()
        QTest.keyClick(dialog.focusWidget(), Key.Key_Tab)
    others = {button for button in dialog.tabs.buttons() if not button.isChecked()}
    missed = {part for part in wanted - reached - others if part.isEnabled()}
    assert not missed, [part.accessibleName() or part.text() for part in missed]
    dialog.tabs.button(0).setFocus()
    QTest.keyClick(dialog.tabs.button(0), Key.Key_Right)
    assert dialog._pages.currentWidget() is dialog.design


@pytest.mark.parametrize("scale", [1.0, 1.4])
def test_it_fits_a_small_screen(dressed, open_shelf, store, qtbot, scale):
    dressed(scale)
    store.apply(put("Put", [yarn("A name that is long enough to be cut off where it must be")]))
    dialog = open_shelf()
    assert dialog.minimumSizeHint().width() <= 1366
    assert dialog.minimumSizeHint().height() <= 728
    dialog.resize(1366, 728)
    qtbot.waitUntil(lambda: dialog.width() == 1366, timeout=5000)
    for page in dialog.findChildren(QStackedWidget):
        assert page.width() > 200


def test_opening_it_again_brings_the_same_one_to_the_front(window, open_shelf):
    first = open_shelf()
    window.shelving.open()
    assert window.opened.of(ShelfDialog) is first
    first.close()
    assert window.opened.of(ShelfDialog) is None
    window.shelving.open()
    assert window.opened.of(ShelfDialog) is not None
    assert stock(yarn(balls=0)) == "0 balls"


# --- names from strangers ----------------------------------------------------------------

MARKUP = '<b>Sea</b><img src="http://example.invalid/x"> & more'


def test_names_and_titles_are_shown_as_they_are_written(window, open_shelf, store, qtbot):
    """A list or a design from a stranger can't put markup, pictures or keys into the window."""
    window.session.change("Title", lambda d: edits.set_values(d, title=MARKUP))
    window.session.change("Name", lambda d: edits.set_yarn(d, 0, name=MARKUP))
    store.apply(
        put(
            "Put",
            [
                yarn(MARKUP, remnants=(4.0,), asides=(Aside(MARKUP, 5.0),)),
                yarn("Coal", colour="#222222"),
            ],
        )
    )
    dialog = open_shelf()
    seen = 0
    for page in range(3):
        dialog.show_page(page)
        dialog.list.setFocus()
        QTest.keyClick(dialog.list, Key.Key_Home)
        settle(dialog, qtbot)
        dialog.take_all_button.click()
        settle(dialog, qtbot)
        for label in dialog.findChildren(QLabel):
            if "<b>" in label.text():
                seen += 1
                assert label.textFormat() == Qt.TextFormat.PlainText, label.accessibleName()
        for part in dialog.findChildren(QWidget):
            if MARKUP in part.toolTip():
                assert not QtGui.Qt.mightBeRichText(part.toolTip()), part
        for button in dialog.findChildren(QAbstractButton):
            if "<b>" in button.text():
                assert "&& more" in button.text()
    assert seen > 2
    dialog.looking.look_for_colour("#c1543c")
    settle(dialog, qtbot)
    assert dialog.none_words.textFormat() == Qt.TextFormat.PlainText


def test_what_is_put_aside_for_a_blanket_without_a_title_is_said_so(
    window, open_shelf, store, qtbot
):
    window.session.change("Title", lambda d: edits.set_values(d, title=""))
    store.apply(put("Put", [yarn(asides=(Aside("", 5.0),))]))
    dialog = open_shelf()
    dialog.list.setFocus()
    QTest.keyClick(dialog.list, Key.Key_Home)
    settle(dialog, qtbot)
    (chip,) = dialog.form.asides.buttons
    assert chip.text() == "5 g for a blanket without a title  ×"
    assert chip.toolTip() == "5 g put aside for a blanket without a title: give them back"
