"""Fields to type, step or choose in, which leave alone what is being typed.

Every field has a name for those who can't see it, shows a value without saying so, and says
`changed` only when a person has changed it. Typing says so once, when it is finished. Steps by
arrow keys, wheel and buttons carry a gesture, the same one for as long as the field keeps the
focus, so that they undo as one.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Final, get_args, get_type_hints

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QMouseEvent, QValidator, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QWidget,
)

from app.theme import UNIT
from app.type_following import measure_in_type

Bounds = tuple[float, float]

_AIR_PX: Final = UNIT + 2  # above and below a line in a field, together

_NEAR: Final = 1e-9
_BARE: Final = (
    "QLineEdit, QLineEdit:focus { border: none; padding: 0 0 0 4px; background: transparent; }"
)
_TRY_KEYS: Final = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)


def bounds_of(kind: type, field: str) -> Bounds:
    """Return the least and the greatest value that the design allows for a number of it."""
    hint = get_type_hints(kind, include_extras=True)[field]
    for part in (hint, *get_args(hint)):
        for note in getattr(part, "__metadata__", ()):
            return float(note.ge), float(note.le)
    raise LookupError(field)


def longest_of(kind: type, field: str) -> int:
    """Return how many characters or entries the design allows at most."""
    hint = get_type_hints(kind, include_extras=True)[field]
    return int(hint.__metadata__[0].max_length)


def bare_line(spin: QAbstractSpinBox) -> None:
    """Take the frame from the line in a field: one of its own would cut the figures."""
    spin.lineEdit().setStyleSheet(_BARE)
    measure_in_type(spin, lambda one: one.setMaximumHeight(one.fontMetrics().height() + _AIR_PX))


class NumberField(QDoubleSpinBox):
    """A number within bounds, typed or stepped; it may be absent if `absent` says how.

    What is shown can be in another unit than the design's: see `set_unit`.
    """

    changed = Signal(object, object)  # the number, or None if absent; the gesture

    def __init__(
        self,
        name: str,
        within: Bounds,
        *,
        step: float = 1.0,
        digits: int = 0,
        unit: str = "",
        absent: str = "",
        first: float | None = None,
        keeps_zeros: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._within = within
        self._keeps_zeros = keeps_zeros
        self._absent = absent
        self._first = first  # where stepping up from nothing begins
        self._per_unit = 1.0
        self._stored: float | None = within[0]
        self._stepping = False
        self._gesture: object = object()
        self.setAccessibleName(name)
        self.setKeyboardTracking(False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)  # a wheel must not take the focus
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSpecialValueText(absent)
        bare_line(self)
        self.set_unit(1.0, unit, step=step, digits=digits)
        self.valueChanged.connect(self._on_value)

    def sizeHint(self) -> QSize:
        """Return the height that lines and choices have too."""
        return QSize(super().sizeHint().width(), self.fontMetrics().height() + _AIR_PX)

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(super().minimumSizeHint().width(), self.sizeHint().height())

    def set_unit(self, per_unit: float, unit: str, *, step: float, digits: int) -> None:
        """Show values in a unit that is `per_unit` of what the design keeps."""
        self._per_unit = per_unit
        low, high = (bound / per_unit for bound in self._within)
        fine = 10.0**digits
        was_blocked = self.blockSignals(True)
        self.setDecimals(digits)
        self.setSuffix(f" {unit}" if unit else "")
        self.setSingleStep(step)
        low = math.ceil(low * fine - _NEAR) / fine
        self.setRange(0.0 if self._absent else low, math.floor(high * fine + _NEAR) / fine)
        self.blockSignals(was_blocked)
        self.show_value(self._stored, even_if_typed=True)

    def show_value(self, stored: float | None, *, even_if_typed: bool = False) -> None:
        """Show a value of the design's, unless something else is just being typed."""
        self._stored = stored
        if self.is_being_typed and not even_if_typed:
            return
        was_blocked = self.blockSignals(True)
        self.setValue(0.0 if stored is None else stored / self._per_unit)
        self.blockSignals(was_blocked)
        self.lineEdit().setModified(False)

    @property
    def stored_value(self) -> float:
        """The number shown, in the design's own unit; 0 if it is absent."""
        return round(self.value() * self._per_unit, 6)

    @property
    def is_being_typed(self) -> bool:
        """Whether there is text in it that hasn't become a value yet."""
        return self.hasFocus() and self.lineEdit().isModified()

    def _on_value(self, shown: float) -> None:
        self.lineEdit().setModified(False)
        self.changed.emit(self._stored_of(shown), self._gesture if self._stepping else None)

    def _stored_of(self, shown: float) -> float | None:
        if self._absent and shown <= 0:
            return None
        low, high = self._within
        return min(max(round(shown * self._per_unit, 6), low), high)

    def stepBy(self, steps: int) -> None:
        """Go to the next whole step rather than by one."""
        self.interpretText()
        step = self.singleStep()
        places = self.value() / step
        whole = math.floor(places + _NEAR) if steps > 0 else math.ceil(places - _NEAR)
        target = (whole + steps) * step
        if self._absent and self.value() <= 0 < steps and self._first is not None:
            target = self._first / self._per_unit
        elif self._absent and target < self._within[0] / self._per_unit:
            target = 0.0
        self._stepping = True
        self.setValue(target)
        self._stepping = False
        self.selectAll()

    def textFromValue(self, value: float) -> str:
        """Return a number without idle zeros."""
        text, point = super().textFromValue(value), self.locale().decimalPoint()
        if point not in text or self._keeps_zeros:
            return text
        return text.rstrip("0").removesuffix(point)

    def validate(self, text: str, at: int) -> tuple[QValidator.State, str, int]:
        """Accept an emptied field where a value may be absent."""
        if self._absent and not text.removesuffix(self.suffix()).strip():
            return QValidator.State.Acceptable, text, at
        return super().validate(text, at)

    def valueFromText(self, text: str) -> float:
        """Return the number that was typed."""
        if self._absent and not text.removesuffix(self.suffix()).strip():
            return 0.0
        return super().valueFromText(text)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window unless something is being typed."""
        if _is_left_to_window(event, self.is_being_typed):
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put typed text back with Escape."""
        if event.key() == Qt.Key.Key_Escape and self.is_being_typed:
            self.show_value(self._stored, even_if_typed=True)
            self.selectAll()
            return
        super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Step only where the focus is: otherwise the wheel is for the page."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin a gesture; words that stand for no number are replaced by typing."""
        self._gesture = object()
        super().focusInEvent(event)
        if self._absent and self.value() <= 0:
            QTimer.singleShot(0, self, self.selectAll)


class ChoiceField(QComboBox):
    """One of a few words; stepping through them by keys or wheel is one gesture."""

    changed = Signal(str, object)  # the key of the choice; the gesture

    def __init__(
        self, name: str, choices: Sequence[tuple[str, str]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._gesture: object = object()
        self._stepping = False
        self._shown = ""
        for key, words in choices:
            self.addItem(words, key)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.activated.connect(self._on_activated)

    def set_words(self, words: Mapping[str, str]) -> None:
        """Call the choices something else."""
        for index in range(self.count()):
            self.setItemText(index, words[self.itemData(index)])

    def show_value(self, key: str) -> None:
        """Show a choice of the design's."""
        self._shown = key
        self.setCurrentIndex(self.findData(key))

    def _on_activated(self, index: int) -> None:
        key = self.itemData(index)
        if key != self._shown:
            self.changed.emit(key, self._gesture if self._stepping else None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step through the choices."""
        self._stepping = True
        super().keyPressEvent(event)
        self._stepping = False

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Step only where the focus is: otherwise the wheel is for the page."""
        if not self.hasFocus():
            event.ignore()
            return
        self._stepping = True
        super().wheelEvent(event)
        self._stepping = False

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin a gesture."""
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self._gesture = object()
        super().focusInEvent(event)


class TextField(QLineEdit):
    """A line of text; unless it `may_be_empty` it goes back to what it was."""

    changed = Signal(str)

    def __init__(
        self,
        name: str,
        *,
        longest: int,
        may_be_empty: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._stored = ""
        self._may_be_empty = may_be_empty
        self.setMaxLength(longest)
        self.setAccessibleName(name)
        self.editingFinished.connect(self._on_finished)

    def show_value(self, text: str, *, even_if_typed: bool = False) -> None:
        """Show a text of the design's, unless something else is just being typed."""
        self._stored = text
        if self.is_being_typed and not even_if_typed:
            return
        if text != self.text():
            self.setText(text)
        self.setModified(False)

    @property
    def is_being_typed(self) -> bool:
        """Whether there is text in it that isn't finished."""
        return self.hasFocus() and self.isModified()

    def _on_finished(self) -> None:
        text = "".join(sign for sign in self.text() if sign.isprintable()).strip()
        self.setModified(False)
        if (text or self._may_be_empty) and text != self._stored:
            self.changed.emit(text)
        else:
            self.show_value(self._stored)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window unless something is being typed."""
        if _is_left_to_window(event, self.is_being_typed):
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put typed text back with Escape."""
        if event.key() == Qt.Key.Key_Escape and self.is_being_typed:
            self.show_value(self._stored, even_if_typed=True)
            self.selectAll()
            return
        super().keyPressEvent(event)


class Tick(QWidget):
    """A box to tick, with words that wrap where they don't fit."""

    changed = Signal(bool)

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.box = QCheckBox(self)
        self.box.setAccessibleName(words)
        # Level with the first line.
        measure_in_type(self.box, lambda box: box.setMinimumHeight(box.fontMetrics().height()))
        self._words = _Words(words, self.box, self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT // 2)
        row.addWidget(self.box, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self.setFocusProxy(self.box)
        self.box.clicked.connect(self.changed)

    def show_value(self, ticked: bool) -> None:
        """Show a choice of the design's."""
        self.box.setChecked(ticked)


class _Words(QLabel):
    """Words beside a box; a click on them is a click on it."""

    def __init__(self, words: str, box: QCheckBox, parent: QWidget) -> None:
        super().__init__(words, parent)
        self._box = box
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Click the box."""
        if event.button() == Qt.MouseButton.LeftButton and self.rect().contains(
            event.position().toPoint()
        ):
            self._box.setFocus(Qt.FocusReason.MouseFocusReason)
            self._box.click()


def _is_left_to_window(event: QEvent, is_being_typed: bool) -> bool:
    """Return whether a key of a line's own undo should reach the window's instead."""
    if event.type() != QEvent.Type.ShortcutOverride or is_being_typed:
        return False
    if not isinstance(event, QKeyEvent) or not any(event.matches(key) for key in _TRY_KEYS):
        return False
    event.ignore()
    return True
