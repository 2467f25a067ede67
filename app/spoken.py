"""What a screen reader is told of a view that paints itself: its role, its parts, its value.

Qt knows a painted widget's name and description only. `tell` adds what kind of thing it is and, if
it has parts that keys go through (stripes, marks, rows), each of them with name, place and state.
Values can't be offered as Qt's own interface for them: casting to it from Python crashes (6.11).
"""

from collections.abc import Callable
from typing import Any, Final
from weakref import ref

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QTimer
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QAccessibleInterface,
    QGuiApplication,
    QWindow,
)
from PySide6.QtWidgets import QAccessibleWidget, QWidget
from shiboken6 import Shiboken

from core.records import Struct, field

Role = QAccessible.Role
_Text = QAccessible.Text
_MOST: Final = 2000  # parts that are told: a blanket has fewer stripes, rows and marks


class Part(Struct, frozen=True):
    """One part of a view.

    Attributes:
        name: What it is, with its number: "Stripe 3 of 48: 2 rows of Sea".
        place: Where it lies in its widget.
        selected: Whether it is chosen.
    """

    name: str
    place: QRect
    selected: bool = False


class Told(Struct, frozen=True, kw_only=True):
    """What is told of a view: its role, its value in words, its parts and which keys act on."""

    role: QAccessible.Role
    value: Callable[[], str] = field(default=str)
    count: Callable[[], int] = field(default=int)
    part: Callable[[int], Part] | None = None
    current: Callable[[], int] = field(default=lambda: -1)
    part_role: QAccessible.Role = Role.ListItem

    def parts(self) -> int:
        """Return how many parts are told."""
        return 0 if self.part is None else min(self.count(), _MOST)


_KEY: Final = "_told"  # among a widget's own attributes, so that both go together
_LAST: Final = "_told_last"  # the part told last: number, name, whether it has become that
_NOTHING: Final = -1, "", False
_faces: dict[int, "_Face"] = {}  # by the widget's address; Qt deletes them with their widgets
_watch: list["_Watch"] = []


def tell(widget: QWidget, told: Told) -> None:
    """Have a widget told in this way, from now on."""
    if not _watch:
        _watch.append(_Watch())
        QAccessible.installFactory(_face_of)
    vars(widget)[_KEY] = told
    widget.installEventFilter(_watch[0])


def speaks_descriptions() -> bool:
    """Return whether readers say by themselves that a description has changed, as on Linux."""
    return QGuiApplication.platformName() in ("xcb", "wayland")


def _told_of(widget: object) -> Told | None:
    told: Told | None = getattr(widget, _KEY, None)
    return told


def tell_current(widget: QWidget) -> None:
    """Say that keys act on another part now, or what the part they act on has become.

    Readers don't say again what has the focus already, but they say that its name has changed.
    """
    told = _told_of(widget)
    if told is None or not QAccessible.isActive() or not widget.hasFocus():
        return
    face, current = QAccessible.queryAccessibleInterface(widget), told.current()
    if face is None or told.part is None or not 0 <= current < told.parts():
        return
    name = told.part(current).name
    last_current, last_name, _ = vars(widget).get(_LAST, _NOTHING)
    is_same = last_current == current
    if is_same and last_name == name:
        return
    vars(widget)[_LAST] = current, name, is_same
    kinds = [QAccessible.Event.NameChanged if is_same else QAccessible.Event.Focus]
    if is_same and speaks_descriptions():  # names of a list's items go unsaid there
        kinds.append(QAccessible.Event.DescriptionChanged)
    for kind in kinds:
        event = QAccessibleEvent(widget, kind)
        event.setChild(face.childCount() - told.parts() + current)  # after its widgets
        QAccessible.updateAccessibility(event)


class _Watch(QObject):
    """Follows the focus from a widget to its current part."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Have the part told after Qt has told the widget."""
        if event.type() == QEvent.Type.FocusIn and QAccessible.isActive():
            QTimer.singleShot(0, lambda: _tell_if_there(watched))
        return False


def _tell_if_there(widget: QObject) -> None:
    if Shiboken.isValid(widget) and isinstance(widget, QWidget):
        vars(widget).pop(_LAST, None)  # the reader comes from elsewhere
        tell_current(widget)


def _face_of(key: str, widget: object) -> QAccessibleInterface | None:
    """Return what Qt is to show readers of a widget; nothing for what isn't told here."""
    del key
    told = _told_of(widget)
    if told is None or not isinstance(widget, QWidget):
        return None
    address = Shiboken.getCppPointer(widget)[0]
    if address not in _faces:
        _faces[address] = _Face(widget, told)
        widget.destroyed.connect(lambda: _forget(address))
    return _faces[address]


def _forget(address: int) -> None:
    face = _faces.pop(address, None)
    if face is not None:
        face.close()


class _Face(QAccessibleWidget):
    """A view as readers see it."""

    def __init__(self, widget: QWidget, told: Told) -> None:
        super().__init__(widget, told.role, "")
        self._ref = ref(widget)
        self._parts: dict[int, _PartFace] = {}

    @property
    def _widget(self) -> QWidget:
        widget = self._ref()
        assert widget is not None  # the face goes with its widget
        return widget

    @property
    def _told(self) -> Told:
        told: Told = vars(self._widget)[_KEY]
        return told

    def close(self) -> None:
        """Take the parts away: their widget is going."""
        for part in self._parts.values():
            if Shiboken.isValid(part):
                QAccessible.deleteAccessibleInterface(QAccessible.uniqueId(part))
        self._parts.clear()

    def text(self, which: QAccessible.Text) -> str:
        """Return name, description or value."""
        if which == _Text.Value:
            return self._told.value()
        return super().text(which)

    def childCount(self) -> int:
        """Return how many parts there are, after the widget's own children."""
        return int(super().childCount()) + self._told.parts()

    def child(self, number: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return a child widget or a part."""
        widgets = super().childCount()
        if number < widgets:
            return super().child(number)
        part = number - widgets
        if not 0 <= part < self._told.parts():
            return None
        if part not in self._parts:
            self._parts[part] = _PartFace(self._widget, part)
            QAccessible.registerAccessibleInterface(self._parts[part])
        return self._parts[part]

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return the number of a child."""
        if isinstance(child, _PartFace):
            return int(super().childCount()) + child.number
        return int(super().indexOfChild(child))

    def focusChild(self) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return the part that keys act on, while the widget has the focus."""
        current = self._told.current()
        if self._widget.hasFocus() and 0 <= current < self._told.parts():
            return self.child(int(super().childCount()) + current)
        return super().focusChild()

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return the part at a place on the screen."""
        inside: QAccessibleInterface | None = super().childAt(x, y)
        if inside is not None or self._told.part is None:
            return inside
        here = self._widget.mapFromGlobal(QPoint(x, y))
        for number in range(self._told.parts()):
            if self._told.part(number).place.contains(here):
                return self.child(int(super().childCount()) + number)
        return None


class _PartFace(QAccessibleInterface):
    """One part of a view as readers see it."""

    def __init__(self, widget: QWidget, number: int) -> None:
        super().__init__()
        self._ref, self.number = ref(widget), number

    @property
    def _widget(self) -> QWidget:
        widget = self._ref()
        assert widget is not None and Shiboken.isValid(widget)
        return widget

    @property
    def _told(self) -> Told:
        told: Told = vars(self._widget)[_KEY]
        return told

    def isValid(self) -> bool:
        """Return whether the part is still there."""
        widget = self._ref()
        return widget is not None and Shiboken.isValid(widget) and self.number < self._told.parts()

    def object(self) -> QObject | None:  # type: ignore[override]
        """Return nothing: a part is no object of Qt's."""
        return None

    def window(self) -> QWindow | None:  # type: ignore[override]
        """Return the window that the part is in."""
        return self._widget.window().windowHandle() if self.isValid() else None

    def relations(self, match: Any = None) -> list[Any]:
        """Return no relations."""
        del match
        return []

    def focusChild(self) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return nothing: a part has no parts."""
        return None

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return nothing."""
        del x, y
        return None

    def parent(self) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return the view."""
        return QAccessible.queryAccessibleInterface(self._widget) if self.isValid() else None

    def child(self, number: int) -> QAccessibleInterface | None:  # type: ignore[override]
        """Return nothing."""
        del number
        return None

    def childCount(self) -> int:
        """Return none."""
        return 0

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return that there is no such child."""
        del child
        return -1

    def text(self, which: QAccessible.Text) -> str:
        """Return the part's name; as its description, what it has become under a reader's hands."""
        part = self._part()
        if part is None:
            return ""
        if which == _Text.Description:
            last = vars(self._widget).get(_LAST, _NOTHING)
            return part.name if last == (self.number, part.name, True) else ""
        return part.name if which == _Text.Name else ""

    def setText(self, which: QAccessible.Text, text: str) -> None:
        """Leave the name as it is."""

    def rect(self) -> QRect:
        """Return where it lies on the screen."""
        part = self._part()
        if part is None:
            return QRect()
        seen = part.place & self._widget.rect()
        return QRect(self._widget.mapToGlobal(seen.topLeft()), seen.size())

    def role(self) -> QAccessible.Role:
        """Return what kind of part it is."""
        return self._told.part_role

    def state(self) -> QAccessible.State:
        """Return whether it is chosen, whether keys act on it, whether it can be seen."""
        state, part = QAccessible.State(), self._part()
        if part is None:
            state.invalid = True
            return state
        state.focusable = state.selectable = True
        state.selected = part.selected
        state.focused = self._widget.hasFocus() and self.number == self._told.current()
        state.offscreen = not part.place.intersects(self._widget.rect())
        return state

    def _part(self) -> Part | None:
        if not self.isValid() or self._told.part is None:
            return None
        return self._told.part(self.number)
