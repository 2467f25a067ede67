"""The list of neighbours that merge: names, and both colours as each kind of eye sees them."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFont,
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.theme import UNIT, Theme, small
from app.views.figures import counted, number
from core.design.document import Design
from core.palette.neighbours import SIGHTS, Beside, Meeting, Merge, least_apart
from core.palette.sight import Sight, seen

_MERGE: Final = Qt.ItemDataRole.UserRole
_CARD: Final = Qt.ItemDataRole.UserRole + 1
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
_PATCH: Final = 5 * UNIT  # of both colours together
_WORDS: Final = {
    "plain": "To every eye",
    "grey": "In grey",
    "protan": "To red-blind eyes",
    "deutan": "To green-blind eyes",
    "tritan": "To blue-blind eyes",
}

_EDGING: Final[dict[Beside, str]] = {
    "bottom": "at the bottom",
    "top": "at the top",
    "sides": "along the sides",
    "border": "fill rows under the border",
}

Index = QModelIndex | QPersistentModelIndex
Line = tuple[str, str, str]  # both colours as seen, the words


class MergeList(QListWidget):
    """The pairs as cards, the worst first; Enter goes to the next place where they meet."""

    chosen = Signal(object)  # Merge
    went = Signal(object)  # Merge, to its next place
    left = Signal()
    resized = Signal()  # its lines may be wrapped otherwise

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: list[tuple[str, tuple[Line, ...]]] = []
        self.setAccessibleName("Neighbours that merge")
        self.setItemDelegate(_CardDelegate(theme, self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMouseTracking(True)
        self.itemClicked.connect(lambda item: self.went.emit(item.data(_MERGE)))
        self.currentItemChanged.connect(self._on_current)
        theme.changed.connect(self.viewport().update)

    def show_merges(self, merges: Sequence[Merge], design: Design) -> None:
        """List pairs; the chosen one stays chosen as far as it is still there."""
        cards = [card_of(merge, design) for merge in merges]
        if cards == self._shown and all(
            self.item(row).data(_MERGE) == merge for row, merge in enumerate(merges)
        ):
            return
        self._shown = cards
        before = self.current_merge()
        was_blocked = self.blockSignals(True)
        self.clear()
        row = 0
        for merge, (head, lines) in zip(merges, cards, strict=True):
            said = ". ".join(words for *_, words in lines)
            item = QListWidgetItem(f"{head}. {said}", self)
            item.setData(_MERGE, merge)
            item.setData(_CARD, (head, lines))
            if before is not None and _pair(before) == _pair(merge):
                row = self.count() - 1
        self.setCurrentRow(row if merges else -1)
        self.blockSignals(was_blocked)
        self._on_current()

    def current_merge(self) -> Merge | None:
        """Return the chosen pair."""
        item = self.currentItem()
        merge: Merge | None = None if item is None else item.data(_MERGE)
        return merge

    def _on_current(self, *_: object) -> None:
        self.chosen.emit(self.current_merge())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the next place where the pair meets with Enter or the space bar."""
        keys = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
        if event.key() in keys and self.currentItem() is not None:
            self.went.emit(self.current_merge())
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Point at nothing any more."""
        super().focusOutEvent(event)
        self.left.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap the sentences anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()
        if event.size().width() != event.oldSize().width():
            self.resized.emit()

    def wanted_height(self, most: int) -> int:
        """Return the height that shows all pairs, at most so much."""
        total = sum(self.sizeHintForRow(row) for row in range(self.count()))
        around = self.height() - self.viewport().height()
        return min(total + max(around, 0) + 2, most)


def card_of(merge: Merge, design: Design) -> tuple[str, tuple[Line, ...]]:
    """Return a pair's names and its lines, one for each way of seeing in which it merges."""
    one, other = (design.yarns[n] for n in (merge.meeting.one, merge.meeting.other))
    places = counted(merge.meeting.places, "place")
    apart = dict(zip(SIGHTS, merge.apart, strict=True))
    lines = tuple(
        (seen(one.colour, sight), seen(other.colour, sight), _line(sight, apart[sight]))
        for sight in merge.sights
    )
    where = said_edging(merge.meeting)
    return f"{one.name} and {other.name}, {places}{where}", lines


def said_edging(meeting: Meeting) -> str:
    """Return where edging is among the places, to go on a sentence; empty where it isn't."""
    if not meeting.edging:
        return ""
    *first, last = (_EDGING[where] for where in meeting.edging)
    return f" ({', '.join(first)} and {last})" if first else f" ({last})"


def _line(sight: Sight, apart: float) -> str:
    kind = " in lightness" if sight.kind == "grey" else ""
    return f"{_WORDS[sight.kind]}: {number(apart, 1)} of {least_apart(sight):.0f} apart{kind}"


def _pair(merge: Merge) -> tuple[int, int]:
    return merge.meeting.one, merge.meeting.other


class _CardDelegate(QStyledItemDelegate):
    """Paints a pair: its names, and a patch with words for every way of seeing."""

    def __init__(self, theme: Theme, parent: MergeList) -> None:
        super().__init__(parent)
        self._theme = theme
        self._list = parent

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height that the lines take at the list's width."""
        del option
        width = self._list.viewport().width()
        inner = QRect(0, 0, max(width - 2 * UNIT, 1), 100_000)
        head, lines = index.data(_CARD)
        total = self._bounds(inner, head, bold=True).height() + UNIT // 2
        for *_, words in lines:
            total += self._line_rect(inner, words).height() + UNIT // 2
        return QSize(width, total + 2 * UNIT)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the card."""
        tones, rect = self._theme.tones, option.rect
        head, lines = index.data(_CARD)
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        if is_chosen or option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, QColor(tones.sheet))
        if is_chosen:
            bar = tones.accent if self._list.hasFocus() else tones.muted
            painter.fillRect(QRect(rect.left(), rect.top(), 3, rect.height()), QColor(bar))
        painter.setPen(QColor(tones.hairline))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        inner = rect.adjusted(UNIT, UNIT, -UNIT, 0)
        box = self._bounds(inner, head, bold=True)
        painter.setFont(self._font(bold=True))
        painter.setPen(QColor(tones.ink))
        painter.drawText(box, _WRAPPED, head)
        top = box.bottom() + UNIT // 2 + 1
        painter.setFont(self._font(bold=False))
        for one, other, words in lines:
            place = self._line_rect(QRect(inner.left(), top, inner.width(), 100_000), words)
            patch = QRectF(inner.left(), top + 0.5, _PATCH, QFontMetrics(painter.font()).height())
            half = QRectF(patch.left(), patch.top(), 0.5 * patch.width(), patch.height())
            painter.fillRect(half, QColor(one))
            painter.fillRect(half.translated(half.width(), 0), QColor(other))
            painter.setPen(QColor(tones.hairline))
            painter.drawRect(patch)
            painter.setPen(QColor(tones.ink))
            painter.drawText(place, _WRAPPED, words)
            top += place.height() + UNIT // 2
        painter.restore()

    def _font(self, *, bold: bool) -> QFont:
        font = QFont(self._list.font()) if bold else small(self._list.font())
        if bold:
            font.setWeight(QFont.Weight.DemiBold)
        return font

    def _bounds(self, inner: QRect, text: str, *, bold: bool) -> QRect:
        return QFontMetrics(self._font(bold=bold)).boundingRect(inner, _WRAPPED, text)

    def _line_rect(self, inner: QRect, words: str) -> QRect:
        room = inner.adjusted(_PATCH + UNIT, 0, 0, 0)
        height = self._bounds(room, words, bold=False).height()
        return QRect(room.left(), room.top(), room.width(), height)
