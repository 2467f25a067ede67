"""A small settled piece on screen, alone or as the pictures of a list to choose from."""

from typing import Final

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QListView,
    QListWidget,
    QListWidgetItem,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.painting.piece import paint_piece, placed_in
from app.spoken import Role, Told, tell
from app.theme import UNIT, Theme, small
from core.doctor.mistakes import LOOKS, Mistake
from core.doctor.piece import Comparison, Piece

_CARD: Final = QSize(176, 168)
_LOOKS: Final = {look.key: look for look in LOOKS}
_KEY: Final = Qt.ItemDataRole.UserRole
_FOUND: Final = Qt.ItemDataRole.UserRole + 1
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)


class PieceView(QWidget):
    """One piece, to the scale it is told."""

    def __init__(self, name: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._piece: Piece | None = None
        self._bounds = (0.0, 0.0, 1.0, 1.0)
        self._colours: list[str] = []
        self.setAccessibleName(name)
        tell(self, Told(role=Role.Graphic))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumHeight(96)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room to see the rows."""
        return QSize(380, 150)

    def show_piece(
        self, piece: Piece | None, bounds: tuple[float, float, float, float], colours: list[str]
    ) -> None:
        """Show a piece within bounds that may be those of several; None for none yet."""
        self._piece, self._bounds, self._colours = piece, bounds, colours
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the piece on a sheet."""
        tones = self._theme.tones
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(tones.sheet))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._piece is None:
                painter.setPen(QColor(tones.muted))
                painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "settling…")
                return
            room = QRectF(self.rect()).adjusted(UNIT, UNIT, -UNIT, -UNIT)
            placing = placed_in(self._bounds, room)
            paint_piece(painter, self._piece, placing, self._colours, tones.ink)


class MistakeList(QListWidget):
    """Drawings of mistakes to pick from, with mouse or arrow keys."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.colours: list[str] = []
        self.setAccessibleName("Drawings of what may have gone wrong")
        self.setItemDelegate(_Card(theme, self))
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setMovement(QListView.Movement.Static)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setUniformItemSizes(True)
        self.setSpacing(UNIT // 2)
        theme.changed.connect(self.viewport().update)

    def show_mistakes(self, mistakes: tuple[Mistake, ...], colours: list[str]) -> None:
        """List these mistakes, their drawings still to come."""
        self.colours = colours
        self.clear()
        for mistake in mistakes:
            look = _LOOKS[mistake.look]
            item = QListWidgetItem(f"{look.name}: {mistake.name}. {look.about}", self)
            item.setData(_KEY, mistake.key)
            item.setToolTip(look.about)

    def show_drawing(self, key: str, found: Comparison) -> None:
        """Put a drawing on its card."""
        item = self.item_of(key)
        if item is not None:
            item.setData(_FOUND, found)

    def item_of(self, key: str) -> QListWidgetItem | None:
        """Return the card of a mistake."""
        items = (self.item(row) for row in range(self.count()))
        return next((item for item in items if item.data(_KEY) == key), None)

    def key_of(self, item: QListWidgetItem | None) -> str:
        """Return the mistake of a card; empty without one."""
        return str(item.data(_KEY)) if item is not None else ""


class _Card(QStyledItemDelegate):
    def __init__(self, theme: Theme, parent: MistakeList) -> None:
        super().__init__(parent)
        self._theme = theme
        self._list = parent

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return a card's size at the system's text size."""
        del option, index
        lines = QFontMetrics(self._list.font()).height() + 2 * QFontMetrics(self._small()).height()
        return QSize(_CARD.width(), max(_CARD.height(), 96 + lines + 2 * UNIT))

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint the drawing with the look's name and the mistake's under it."""
        tones = self._theme.tones
        item = self._list.item(index.row())
        look_name, _, rest = item.text().partition(": ")
        name = rest.partition(".")[0]
        found: Comparison | None = index.data(_FOUND)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        card = QRectF(option.rect).adjusted(2, 2, -2, -2)
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        near = is_chosen or bool(option.state & QStyle.StateFlag.State_MouseOver)
        painter.setPen(
            QPen(QColor(tones.accent if near else tones.hairline), 2.5 if is_chosen else 1)
        )
        painter.setBrush(QColor(tones.sheet))
        painter.drawRoundedRect(card, 6, 6)
        bold = QFont(self._list.font())
        bold.setWeight(QFont.Weight.DemiBold)
        head, text = QFontMetrics(bold).height(), 2 * QFontMetrics(self._small()).height()
        inner = card.adjusted(UNIT, UNIT, -UNIT, -UNIT)
        room = QRectF(inner.left(), inner.top(), inner.width(), inner.height() - head - text - 4)
        if found is None:
            painter.setPen(QColor(tones.muted))
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, "settling…")
        else:
            placing = placed_in(found.wrong.bounds_mm(), room)
            paint_piece(painter, found.wrong, placing, self._list.colours, tones.ink)
        top = round(room.bottom()) + 4
        words = QRect(round(inner.left()), top, round(inner.width()), head)
        painter.setPen(QColor(tones.ink))
        painter.setFont(bold)
        painter.drawText(words, int(Qt.AlignmentFlag.AlignLeft), look_name)
        painter.setFont(self._small())
        painter.setPen(QColor(tones.muted))
        painter.drawText(words.adjusted(0, head, 0, text), _WRAPPED, name)
        painter.restore()

    def _small(self) -> QFont:
        return small(QApplication.font())
