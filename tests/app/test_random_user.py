"""A user who does anything in any order: after every act the window holds together.

Acts are real mouse and key events, menu entries, saving, killing and starting again. How long
it goes on is set from outside: `DIPSLOPE_RANDOM_USERS=200 pytest tests/app/test_random_user.py`.
"""

import itertools
import os
import shutil
import sys
import tempfile
from pathlib import Path

import pytest
from desk import LEFT, NO_BUTTON, mouse
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from PySide6.QtCore import QEvent, QPoint, QPointF, QSettings, Qt, qInstallMessageHandler
from PySide6.QtGui import QWheelEvent
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QInputDialog,
    QLineEdit,
    QMenu,
    QMessageBox,
)

from app.session import Session
from app.theme import Theme
from app.window import Window
from core.design.document import Design
from core.design.files import read_design
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES

USERS = int(os.environ.get("DIPSLOPE_RANDOM_USERS", "6"))
ACTS = 30
Key = Qt.Key
KEYS = (
    Key.Key_Up, Key.Key_Down, Key.Key_Left, Key.Key_Right, Key.Key_Home, Key.Key_End,
    Key.Key_Plus, Key.Key_Minus, Key.Key_Delete, Key.Key_Backspace, Key.Key_Insert, Key.Key_Return,
    Key.Key_Escape, Key.Key_Space, Key.Key_Tab, Key.Key_PageUp, Key.Key_PageDown, Key.Key_D,
    Key.Key_M, Key.Key_2, Key.Key_F2,
)  # fmt: skip
MODS = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)
VIEWS = ("wave", "strip", "chart", "fabric", "wave_controls", "sentence")
LEAVES = {"Quit", "Open in another window…"}
"""Entries that end this program or start another."""
HARMLESS = ("propagateSizeHints", "This plugin does not support", "QFont::", "doesn't support")


def dealt_with(monkeypatch):
    """Every question is answered at once: this user waits for nobody."""
    monkeypatch.setattr(QDialog, "exec", lambda box: 0)
    monkeypatch.setattr(QMessageBox, "exec", lambda box: QMessageBox.StandardButton.Discard)
    monkeypatch.setattr(QMenu, "exec", lambda *_: None)
    monkeypatch.setattr(QPrintDialog, "exec", lambda box: 0)
    for name in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, name, staticmethod(lambda *_, **__: ("", "")))
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", staticmethod(lambda *_, **__: ""))
    monkeypatch.setattr(QInputDialog, "getText", staticmethod(lambda *_, **__: ("", False)))


def entries(menu):
    for action in menu.actions():
        if action.menu() is not None:
            yield from entries(action.menu())
        elif not action.isSeparator():
            yield action


class RandomUser(RuleBasedStateMachine):
    """A window, a file that was saved now and then, and what went wrong unseen."""

    home = itertools.count()

    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="random-user-"))
        self.file = self.folder / "blanket.dipslope"
        self.saved = None
        self.errors, self.warnings = [], []
        self._before = sys.excepthook
        sys.excepthook = lambda kind, error, trace: self.errors.append((kind, error, trace))
        self._handler = qInstallMessageHandler(self._on_message)
        self.window = self._start(starter(FAMILIES[0]), "kept")

    def _on_message(self, kind, context, text):
        if not any(words in text for words in HARMLESS):
            self.warnings.append(text)

    def _start(self, design, kept):
        ini = QSettings(str(self.folder / "settings.ini"), QSettings.Format.IniFormat)
        window = Window(Session(design), Theme(), ini, self.folder / kept)
        window.resize(1366, 768)
        window.show()
        QApplication.processEvents()
        return window

    def _shut(self):
        for other in QApplication.topLevelWidgets():
            if other is not self.window and not isinstance(other, QMenu):
                other.close()
        self.window.session.undo_stack.setClean()
        self.window.close()
        self.window.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        QApplication.processEvents()

    def teardown(self):
        self._shut()
        sys.excepthook = self._before
        qInstallMessageHandler(self._handler)
        shutil.rmtree(self.folder, ignore_errors=True)
        assert not self.errors, self.errors[0]

    # acts

    @rule(view=st.sampled_from(VIEWS), key=st.sampled_from(KEYS), mods=st.sampled_from(MODS))
    def press_a_key(self, view, key, mods):
        widget = getattr(self.window, view)
        widget.setFocus()
        QTest.keyClick(QApplication.focusWidget() or widget, key, mods)

    @rule(
        view=st.sampled_from(VIEWS[:4]),
        way=st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=5),
        escape=st.booleans(),
    )
    def drag(self, view, way, escape):
        widget = getattr(self.window, view)
        size = widget.size()
        places = [QPoint(int(x * size.width()), int(y * size.height())) for x, y in way]
        self._mouse(widget, QEvent.Type.MouseMove, places[0], held=False)
        self._mouse(widget, QEvent.Type.MouseButtonPress, places[0])
        for place in places[1:]:
            self._mouse(widget, QEvent.Type.MouseMove, place)
        if escape:
            QTest.keyClick(widget, Key.Key_Escape)
        self._mouse(widget, QEvent.Type.MouseButtonRelease, places[-1], held=False)

    def _mouse(self, widget, kind, place, *, held=True):
        button = NO_BUTTON if kind == QEvent.Type.MouseMove else LEFT
        mouse(widget, kind, place, button, LEFT if held else NO_BUTTON)

    @rule(view=st.sampled_from(("chart", "fabric", "strip")), up=st.sampled_from((-120, 120)))
    def turn_the_wheel(self, view, up):
        widget = getattr(self.window, view)
        middle = QPointF(widget.rect().center())
        event = QWheelEvent(
            middle,
            QPointF(widget.mapToGlobal(middle.toPoint())),
            QPoint(),
            QPoint(0, up),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(widget, event)

    @rule(number=st.integers(0, 10_000))
    def choose_from_the_menus(self, number):
        found = [
            action
            for menu in self.window.menuBar().actions()
            for action in entries(menu.menu())
            if action.isEnabled() and action.text().replace("&", "") not in LEAVES
        ]
        found[number % len(found)].trigger()
        self._put_away()

    def _put_away(self):
        """Close whatever opened."""
        QApplication.processEvents()
        for other in QApplication.topLevelWidgets():
            if other is not self.window and other.isVisible():
                other.close()

    @rule(number=st.integers(0, 10_000), text=st.text(max_size=12))
    def type_into_a_field(self, number, text):
        fields = [f for f in self.window.findChildren(QLineEdit) if f.isVisible()]
        if not fields:
            return
        field = fields[number % len(fields)]
        field.setFocus()
        field.selectAll()
        field.insert(text)
        QTest.keyClick(field, Key.Key_Return)
        self._put_away()

    @rule(steps=st.integers(1, 6))
    def undo_and_redo(self, steps):
        stack = self.window.session.undo_stack
        steps = min(steps, stack.index())
        before = self.window.session.design
        for _ in range(steps):
            stack.undo()
        for _ in range(steps):
            stack.redo()
        assert self.window.session.design == before

    @rule(steps=st.integers(1, 6))
    def undo(self, steps):
        for _ in range(steps):
            self.window.session.undo_stack.undo()

    @rule()
    def save(self):
        assert self.window.documents.save_to(self.file)
        self.saved = self.window.session.design

    @precondition(lambda self: self.saved is not None)
    @rule()
    def open_what_was_saved(self):
        assert self.window.documents.open_asking_first(self.file)
        assert self.window.session.design == self.saved

    @precondition(lambda self: not self.window.session.is_saved)
    @rule()
    def kill_and_start_again(self):
        """What a kill leaves is what is on the disk; a lock whose process is gone is none."""
        window, keeper = self.window, self.window.keeper
        keeper.autosave.write()
        self._wait(lambda: not keeper.autosave.is_pending)
        design, number = window.session.design, next(self.home)
        left = self.folder / f"kept-{number}"
        shutil.copytree(keeper.places.journals.parent, left)
        for lock in left.rglob("*.lock"):
            lock.unlink()
        on_disk = self.file.read_bytes() if self.file.exists() else None
        self._shut()
        if on_disk is not None:
            self.file.write_bytes(on_disk)
        self.window = self._start(starter(FAMILIES[0]), left.name)
        same = self.saved == design
        found = []
        self.window.recovery.looked.connect(found.append)
        self.window.recovery.look()
        self._wait(lambda: bool(found))
        if not (found[0] or same):
            pytest.fail("what was changed last is not offered back")
        if found[0]:
            self.window.recovery.dialog.accept()
            assert self.window.session.design == design

    def _wait(self, until):
        for _ in range(2_000):
            if until():
                return
            QTest.qWait(5)
        pytest.fail("waited in vain")

    # what always holds

    @invariant()
    def nothing_went_wrong_unseen(self):
        QApplication.processEvents()
        assert not self.errors, self.errors[0]
        assert not self.warnings

    @invariant()
    def every_view_shows_the_design(self):
        window = self.window
        assert isinstance(window.session.design, Design)
        assert window.live.results.design is window.session.design
        assert window.isWindowModified() is not window.session.is_saved

    @invariant()
    def rows_close_or_say_why_not(self):
        design = self.window.session.design
        rows = build_rows(design)
        if rows.misfit is not None:
            assert str(rows.misfit)
            return
        below = rows.foundation.base_stitches
        for number in range(1, min(design.size.rows, 6) + 1):
            plan = rows.plan(number)
            feet = {int(parent) for _, parent in plan.links}
            assert not feet or max(feet) < below
            below = len(plan.kind)
            assert below == rows.makes(number)

    @invariant()
    def the_file_holds_what_was_saved(self):
        if self.saved is not None:
            assert read_design(self.file) == self.saved


def test_a_user_who_does_anything_in_any_order(qapp, monkeypatch):
    dealt_with(monkeypatch)
    machine = RandomUser.TestCase
    machine.settings = settings(
        max_examples=USERS,
        stateful_step_count=ACTS,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    machine().runTest()
