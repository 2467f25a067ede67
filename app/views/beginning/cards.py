"""Cards to begin a design from: a picture, a name, what it is.

arrows        go from card to card        letters    go to the card whose name begins so
Enter         begin with it               click      choose it, double-click to begin with it
"""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QImage,
    QKeyEvent,
    QPainter,
    QPainterPath,
    QPen,
)
from PySide6.QtWidgets import (
    QFrame,
    QListView,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.theme import UNIT, Theme, Tones, figure, small
from app.views.beginning.pictures import SIZE
from core.records import Struct

COLUMNS: Final = 5
_CARD: Final = Qt.ItemDataRole.UserRole
_GAP: Final = UNIT
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
_LINES: Final = 2  # that a card's sentence takes
_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)

Index = QModelIndex | QPersistentModelIndex
Painted = Callable[[QPainter, QRectF, Tones], None]


class Card(Struct, frozen=True, eq=False):
    """What is on a card.

    Attributes:
        key: The program's name for it.
        name: What a person calls it.
        about: One sentence on it.
        figures: A few figures; none for what has none.
        painted: Paints its picture; without one it is a wave's, and made elsewhere.
    """

    key: str
    name: str
    about: str
    figures: str = ""
    painted: Painted | None = None


class CardList(QListWidget):
    """Shows the cards; one is chosen."""

    chosen = Signal(str)  # key of the card
    begun = Signal(str)

    def __init__(
        self, theme: Theme, picture: Callable[[str], QImage | None], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName("What to start from")
        self.setAccessibleDescription("Arrows choose, Enter starts, letters go to a name")
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setFlow(QListView.Flow.LeftToRight)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setMovement(QListView.Movement.Static)
        self.setUniformItemSizes(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setMouseTracking(True)
        self.setStyleSheet("QListWidget { background: transparent; border: none; padding: 0; }")
        self._delegate = _CardDelegate(theme, picture, self)
        self.setItemDelegate(self._delegate)
        self.setGridSize(self._delegate.size + QSize(_GAP, _GAP))
        self.itemDoubleClicked.connect(lambda item: self.begun.emit(item.data(_CARD).key))
        self.currentItemChanged.connect(self._tell)
        theme.changed.connect(self.viewport().update)

    @property
    def card(self) -> Card | None:
        """The card that is chosen."""
        item = self.currentItem()
        card: Card | None = None if item is None else item.data(_CARD)
        return card

    def sizeHint(self) -> QSize:
        """Return room for all cards."""
        rows = -(-max(self.count(), 1) // COLUMNS)
        grid = self.gridSize()
        bar = self.verticalScrollBar().sizeHint().width()  # or the last column would have to go
        return QSize(COLUMNS * grid.width() + bar + UNIT, rows * grid.height() + 2)

    def show_cards(self, cards: tuple[Card, ...]) -> None:
        """Show cards; the one chosen stays so if it is among them."""
        now = self.card
        self.blockSignals(True)
        self.clear()
        for card in cards:
            item = QListWidgetItem(card.name, self)
            item.setData(_CARD, card)
            item.setToolTip(card.about)
            said = ". ".join(part for part in (card.name, card.about, card.figures) if part)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, said)
            if now is not None and card.key == now.key:
                self.setCurrentItem(item)
        if self.currentItem() is None:
            self.setCurrentRow(0)
        self.blockSignals(False)
        self.updateGeometry()
        self._tell()

    def choose(self, key: str) -> None:
        """Choose a card."""
        for row in range(self.count()):
            if self.item(row).data(_CARD).key == key:
                self.setCurrentRow(row)

    def place_of(self, key: str) -> QPoint:
        """Return the middle of a card in the viewport."""
        for row in range(self.count()):
            if self.item(row).data(_CARD).key == key:
                return self.visualItemRect(self.item(row)).center()
        raise KeyError(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Begin with Enter."""
        card = self.card
        if event.key() in _ENTER and card is not None:
            self.begun.emit(card.key)
        else:
            super().keyPressEvent(event)

    def _tell(self) -> None:
        card = self.card
        if card is not None:
            self.chosen.emit(card.key)


class _CardDelegate(QStyledItemDelegate):
    """Paints a card like a slip of paper with the piece of fabric on it."""

    def __init__(
        self, theme: Theme, picture: Callable[[str], QImage | None], parent: QListWidget
    ) -> None:
        super().__init__(parent)
        self._theme, self._picture, self._list = theme, picture, parent
        line = QFontMetrics(small(parent.font())).height()
        text = QFontMetrics(self._name_font()).height() + (_LINES + 1) * line
        self.size = QSize(SIZE.width(), SIZE.height() + text + 2 * UNIT)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return a card's size."""
        del option, index
        return self.size

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the card."""
        tones, card, state = self._theme.tones, index.data(_CARD), option.state
        is_chosen = bool(state & QStyle.StateFlag.State_Selected)
        is_near = bool(state & QStyle.StateFlag.State_MouseOver)
        rect = QRect(option.rect.topLeft(), self.size).adjusted(1, 1, -1, -1)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        edge = QPainterPath()
        edge.addRoundedRect(QRectF(rect), UNIT, UNIT)
        painter.fillPath(edge, QColor(tones.field if is_chosen or is_near else tones.sheet))
        painter.setClipPath(edge)
        top = QRectF(rect.left(), rect.top(), rect.width(), SIZE.height())
        self._paint_picture(painter, top, card, tones)
        painter.setClipping(False)
        self._paint_words(painter, rect.adjusted(UNIT + 2, SIZE.height() + 4, -UNIT, 0), card)
        pen = QPen(QColor(tones.hairline), 1)
        if is_chosen:
            pen = QPen(QColor(tones.accent), 3 if self._list.hasFocus() else 2)
        elif is_near:
            pen = QPen(QColor(tones.accent), 1)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(edge)
        painter.restore()

    def _paint_picture(self, painter: QPainter, top: QRectF, card: Card, tones: Tones) -> None:
        painter.fillRect(top, QColor(tones.ground))
        image = self._picture(card.key)
        if card.painted is not None:
            card.painted(painter, top, tones)
        elif image is not None and not image.isNull():
            painter.drawImage(top.topLeft(), image)
        else:
            painter.setFont(small(self._list.font()))
            painter.setPen(QColor(tones.muted))
            words = "settling…" if image is None else "no picture"
            painter.drawText(top, Qt.AlignmentFlag.AlignCenter, words)
        painter.setPen(QPen(QColor(tones.hairline), 1))
        painter.drawLine(top.bottomLeft(), top.bottomRight())

    def _paint_words(self, painter: QPainter, room: QRect, card: Card) -> None:
        tones = self._theme.tones
        painter.setFont(self._name_font())
        name_px = painter.fontMetrics().height()
        painter.setPen(QColor(tones.ink))
        painter.drawText(room, _WRAPPED, card.name)
        painter.setFont(small(self._list.font()))
        line_px = painter.fontMetrics().height()
        painter.setPen(QColor(tones.muted))
        painter.drawText(
            room.adjusted(0, name_px, 0, 0), _WRAPPED, _short(painter, card.about, room.width())
        )
        painter.setPen(QColor(tones.ink))
        painter.drawText(room.adjusted(0, name_px + _LINES * line_px, 0, 0), 0, card.figures)

    def _name_font(self) -> QFont:
        font = figure(self._list.font(), large=1.05)
        font.setWeight(QFont.Weight.DemiBold)
        return font


def _short(painter: QPainter, text: str, width: int) -> str:
    """Return so much of a sentence as its lines hold."""
    metrics, tall = painter.fontMetrics(), QRect(0, 0, width, 10_000)
    most, words = _LINES * metrics.height() + 1, text.split()
    if metrics.boundingRect(tall, _WRAPPED, text).height() <= most:
        return text
    while words and metrics.boundingRect(tall, _WRAPPED, " ".join(words) + "…").height() > most:
        words.pop()
    return " ".join(words) + "…"
