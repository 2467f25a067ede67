"""The first steps: shape a wave, change a stripe, set a size, export; followed or ignored.

A step is done when the design shows that it was, or a chart was written, however it was done.
"""

from collections.abc import Callable, Mapping
from typing import Final

from PySide6.QtCore import QObject, QSettings, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.session import Session
from app.theme import Theme
from app.views.first_line import STEPS, FirstLine
from app.views.lit_frame import LitFrame
from core.design.document import Design

_DONE: Final = "first/done"
_CLOSED: Final = "first/closed"
_RECENT: Final = "recent"
_KEYS: Final = frozenset(step.key for step in STEPS)


class FirstSteps(QObject):
    """Watches what is done, and shows where each step is done."""

    def __init__(
        self, session: Session, settings: QSettings, theme: Theme, window: QWidget
    ) -> None:
        super().__init__(window)
        self._session, self._settings = session, settings
        self._last = session.design
        self._done = _kept_done(settings)
        self._places: Mapping[str, Callable[[], QWidget]] = {}
        self.line = FirstLine(theme, window)
        self.light = LitFrame(theme, window)
        self.action = QAction("&First steps", window)
        self.action.setCheckable(True)
        self.action.setToolTip("Four steps from the wave to a chart, as a line above the canvas")
        self.action.toggled.connect(self._show)
        self.action.setChecked(self._is_wished())
        self._show(self.action.isChecked())
        self.line.closed.connect(lambda: self.action.setChecked(False))
        self.line.step_wished.connect(self.show_place)
        session.undo_stack.indexChanged.connect(self._look)
        session.opened.connect(self._begin_anew)

    @property
    def done(self) -> frozenset[str]:
        """Keys of the steps that are done."""
        return self._done

    def lead_to(self, places: Mapping[str, Callable[[], QWidget]]) -> None:
        """Say where each step is done; the control is asked for when it is wanted."""
        self._places = places

    def add_to(self, menu: QMenu) -> None:
        """Put the line's switch into a menu."""
        menu.addAction(self.action)

    def show_place(self, key: str) -> None:
        """Go to the control that a step is done with, and light it."""
        widget = self._places[key]()
        widget.setFocus(Qt.FocusReason.OtherFocusReason)
        self.light.light(widget)

    def note_exported(self) -> None:
        """Hear that files were written."""
        self._tick("export")

    def close(self) -> None:
        """Watch no longer; call before the window closes."""
        self._session.undo_stack.indexChanged.disconnect(self._look)

    # what was done

    def _is_wished(self) -> bool:
        """Return whether to show the line at the start: until it is closed, or all is done.

        Who has designs already and never saw the line has found their way without it.
        """
        closed = self._settings.value(_CLOSED)
        if closed is None:
            return not self._settings.value(_RECENT)
        return closed not in (True, "true") and self._done != _KEYS

    def _show(self, is_shown: bool) -> None:
        self._settings.setValue(_CLOSED, not is_shown)
        if is_shown and self._done == _KEYS:
            self._done = frozenset()  # asked for once more: from the beginning
            self._settings.setValue(_DONE, [])
        self.line.show_done(self._done)
        self.line.setVisible(is_shown)
        if not is_shown:
            self.light.put_out()

    def _begin_anew(self) -> None:
        self._last = self._session.design

    def _look(self, index: int) -> None:
        """See what the last change was; undoing is no step."""
        before, now, stack = self._last, self._session.design, self._session.undo_stack
        self._last = now
        if index == 0 or stack.canRedo():
            return
        for key in steps_between(before, now):
            self._tick(key)

    def _tick(self, key: str) -> None:
        if key in self._done:
            return
        self._done |= {key}
        self._settings.setValue(_DONE, sorted(self._done))
        self.line.show_done(self._done)


def steps_between(before: Design, now: Design) -> frozenset[str]:
    """Return the steps that lead from one design to another.

    Another stitch is no other shape: it changes the wave's items, but not what they make of it.
    """
    found = set()
    if before.wave != now.wave and before.gauge.stitch == now.gauge.stitch:
        found.add("shape")
    if before.stripes != now.stripes:
        found.add("stripes")
    if before.size != now.size:
        found.add("size")
    return frozenset(found)


def _kept_done(settings: QSettings) -> frozenset[str]:
    kept = settings.value(_DONE, [])
    names = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
    return frozenset(str(name) for name in names) & _KEYS
