"""A slip of paper under the menu bar on which any action is found by a few letters.

Typing narrows the list, Up and Down choose, Enter does it, Escape puts the slip away.
An action that can't be done now is shown and says so.
"""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    QTimer,
)
from PySide6.QtGui import QAccessible, QAccessibleEvent, QColor, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.actions import Entry
from app.finding import Sought, found
from app.theme import UNIT, Theme, small
from app.views.figures import counted
from app.views.scrolled import wide_for

_WIDTH: Final = 70 * UNIT
_MOST_LINES: Final = 9
_OF_SCREEN: Final = 0.6  # of the screen's height, that the list takes at most
_ENTRY: Final = Qt.ItemDataRole.UserRole
_TO_LIST: Final = frozenset(
    (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
)


class FinderSlip(QFrame):
    """The slip; it goes when anything else is clicked."""

    def __init__(self, entries: Sequence[Entry], theme: Theme, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAccessibleName("Find an action")
        self._entries = list(entries)
        self._sought = [Sought(entry.name, entry.place) for entry in entries]
        tones = theme.tones
        self.setObjectName("slip")
        self.setStyleSheet(
            f"#slip {{ background: {tones.sheet}; border: 1px solid {tones.hairline}; }}"
            f"#slip QListWidget {{ background: {tones.sheet}; border: none;"
            f" border-top: 1px solid {tones.hairline}; border-radius: 0; padding: 0; }}"
        )
        self.line = QLineEdit(self)
        self.line.setPlaceholderText("What would you like to do? gauge, frog, treble, print…")
        self.line.setAccessibleName("Words of the action to find")
        self.line.setToolTip("Type a few letters; Up and Down choose, Enter does it")
        self.list = QListWidget(self)
        self.list.setAccessibleName("Actions found")
        self.list.setToolTip("Enter or a click does it")
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.list.setUniformItemSizes(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setItemDelegate(_Line(theme, self.list))
        self.note = QLabel(self)
        self.note.setProperty("quiet", True)
        self.note.setWordWrap(True)
        self.note.setFont(small(self.font()))
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.line)
        column.addWidget(self.list)
        column.addWidget(self.note)
        self.line.installEventFilter(self)
        self.line.textChanged.connect(self._fill)
        self.list.itemClicked.connect(self._do)
        self._fill("")

    def open_under(self, bar: QWidget) -> None:
        """Hang the slip from the menu bar's lower edge."""
        width = min(wide_for(self, _WIDTH), max(bar.width() - 2 * UNIT, 30 * UNIT))
        self.setFixedWidth(width)
        high = self.list.sizeHintForRow(0) if self.list.count() else 5 * UNIT
        lines = int(_OF_SCREEN * self.screen().availableGeometry().height() / high)
        self.list.setFixedHeight(min(max(lines, 2), _MOST_LINES) * high + 2)
        self.resize(width, self.heightForWidth(width))
        corner = bar.mapToGlobal(bar.rect().bottomLeft())
        self.move(corner.x() + UNIT, corner.y() + 1)
        self.show()
        self.line.setFocus(Qt.FocusReason.PopupFocusReason)

    @property
    def names(self) -> list[str]:
        """The actions found, the likeliest first."""
        return [self._entry(self.list.item(n)).name for n in range(self.list.count())]

    def _entry(self, item: QListWidgetItem) -> Entry:
        entry: Entry = item.data(_ENTRY)
        return entry

    def _fill(self, query: str) -> None:
        self.list.clear()
        for number in found(query, self._sought):
            entry = self._entries[number]
            item = QListWidgetItem(spoken(entry))
            item.setData(_ENTRY, entry)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        count = self.list.count()
        self.note.setText(
            f"{counted(count, 'action')}. Up and Down choose, Enter does it, Esc puts this away"
            if count
            else "No action is called that. Try another word: border, tension, print…"
        )
        if query:  # a slip just opened is introduced by its line
            self._say_chosen()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let keys that the line has no use for choose and do."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = Qt.Key(event.key())
            if key in _TO_LIST:
                self._move(key)
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                item = self.list.currentItem()
                if item is not None:
                    self._do(item)
                return True
        return super().eventFilter(watched, event)

    def _move(self, key: Qt.Key) -> None:
        by = {
            Qt.Key.Key_Up: -1,
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_PageUp: -_MOST_LINES,
            Qt.Key.Key_PageDown: _MOST_LINES,
        }[key]
        last = self.list.count() - 1
        self.list.setCurrentRow(min(max(self.list.currentRow() + by, 0), last))
        self._say_chosen()

    def _say_chosen(self) -> None:
        """Say what Enter would do, through the line: it keeps the focus."""
        item, count = self.list.currentItem(), self.list.count()
        found = f"{item.text()}, {self.list.currentRow() + 1} of {count}" if item else ""
        # Readers take the window under a popup for what has the focus, and then say nothing.
        focus = QAccessibleEvent(self.line, QAccessible.Event.Focus)
        QAccessible.updateAccessibility(focus)
        self.line.setAccessibleDescription(found or self.note.text())

    def _do(self, item: QListWidgetItem) -> None:
        entry = self._entry(item)
        if not entry.action.isEnabled():
            self.note.setText(f"{entry.name} can't be done now: there is nothing for it to act on")
            return
        self.close()
        QTimer.singleShot(0, entry.action, entry.action.trigger)


def spoken(entry: Entry) -> str:
    """Return an action as a voice reads it."""
    keys = f", keys {entry.keys}" if entry.keys else ""
    state = ", on" if entry.action.isCheckable() and entry.action.isChecked() else ""
    now = "" if entry.action.isEnabled() else ", not now"
    return f"{entry.name}, in {entry.place}{keys}{state}{now}"


class _Line(QStyledItemDelegate):
    """Draws an action on two lines: its name with its keys, its place under it."""

    def __init__(self, theme: Theme, parent: QObject) -> None:
        super().__init__(parent)
        self._theme = theme

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return room for two lines."""
        del index
        high = option.fontMetrics.height()
        return QSize(100, round(1.95 * high) + UNIT)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint one action."""
        entry: Entry = index.data(_ENTRY)
        tones, rect = self._theme.tones, QRect(option.rect)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        ink, quiet = tones.ink, tones.muted
        if chosen:
            painter.fillRect(rect, QColor(tones.accent))
            ink = quiet = tones.on_accent
        elif not entry.action.isEnabled():
            ink = tones.muted
        inner = rect.adjusted(UNIT, UNIT // 2, -UNIT, -UNIT // 2)
        font = option.font
        painter.save()
        painter.setFont(font)
        painter.setPen(QColor(ink))
        left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop
        keys = entry.keys if entry.action.isEnabled() else f"{entry.keys}  not now".strip()
        taken = painter.fontMetrics().horizontalAdvance(keys) + 2 * UNIT if keys else 0
        sign = "✓ " if entry.action.isCheckable() and entry.action.isChecked() else ""
        name = painter.fontMetrics().elidedText(
            sign + entry.name, Qt.TextElideMode.ElideRight, inner.width() - taken
        )
        painter.drawText(inner, left, name)
        painter.drawText(inner, right, keys)
        painter.setFont(small(font))
        painter.setPen(QColor(quiet))
        painter.drawText(
            inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, entry.place
        )
        painter.restore()
