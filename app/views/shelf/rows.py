"""Lists of yarns as rows of wound yarn: those of the shelf, and those of a design beside it."""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.asking import plain_tip
from app.theme import UNIT, Theme, figure, small
from app.views.figures import yarn_length
from app.views.shelf.words import about, grams, nearness, spoken, stock, verdict
from core.design.document import Design, Units
from core.shelf.against import Have
from core.shelf.finding import Found

Index = QModelIndex | QPersistentModelIndex

LINE: Final = int(Qt.ItemDataRole.UserRole) + 1
_BALL_PX: Final = 5 * UNIT
_BAR_PX: Final = 4
_WOUND: Final = (0.2, 0.52, 0.8)  # how the threads of a painted ball curve


class Line:
    """What a row says: colours, two lines at the left, two at the right, and a bar."""

    __slots__ = ("bar", "colours", "head", "left", "right", "spoken", "under")

    def __init__(
        self,
        colours: tuple[str, ...],
        head: str,
        left: str,
        right: str,
        under: str,
        spoken: str,
        bar: tuple[float, float] | None = None,
    ) -> None:
        self.colours, self.head, self.left = colours, head, left
        self.right, self.under, self.spoken, self.bar = right, under, spoken, bar


class RowList(QListView):
    """A list of lines; one of them is the chosen one."""

    chosen = Signal(int)  # by a person or as the list changes; -1 for none
    opened = Signal()  # Enter or a double click
    add_wished = Signal()
    remove_wished = Signal()

    def __init__(self, name: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines = _Lines(self)
        self.setModel(self._lines)
        self.setItemDelegate(_LineDelegate(theme, self))
        self.setAccessibleName(name)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("rows", True)
        self.selectionModel().currentChanged.connect(lambda now, _: self.chosen.emit(now.row()))
        self.doubleClicked.connect(lambda _: self.opened.emit())
        theme.changed.connect(self.viewport().update)

    def show_lines(self, count: int, line_of: Callable[[int], Line], chosen: int) -> None:
        """Show other lines, one of them chosen; says nothing. Lines are made when they are seen."""
        was_blocked = self.selectionModel().blockSignals(True)
        bar = self.verticalScrollBar().value()
        self._lines.show(count, line_of)
        self.verticalScrollBar().setValue(bar)
        if chosen >= 0:
            self.setCurrentIndex(self._lines.index(chosen))
        self.selectionModel().blockSignals(was_blocked)
        if chosen >= 0:
            self.scrollTo(self._lines.index(chosen))
        self.viewport().update()

    @property
    def row(self) -> int:
        """The chosen row, -1 if none."""
        return self.currentIndex().row()

    def line(self, row: int) -> Line:
        """Return what a row says."""
        return self._lines.line(row)

    def count(self) -> int:
        """Return how many rows there are."""
        return self._lines.rowCount()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open with Enter or F2, add with Ins, take off with Del."""
        match event.key():
            case Qt.Key.Key_Return | Qt.Key.Key_Enter | Qt.Key.Key_F2:
                self.opened.emit()
            case Qt.Key.Key_Insert:
                self.add_wished.emit()
            case Qt.Key.Key_Delete | Qt.Key.Key_Backspace:
                self.remove_wished.emit()
            case _:
                super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's text size."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.scheduleDelayedItemsLayout()


class _Lines(QAbstractListModel):
    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._count = 0
        self._line_of: Callable[[int], Line] | None = None
        self._made: dict[int, Line] = {}

    def show(self, count: int, line_of: Callable[[int], Line]) -> None:
        self.beginResetModel()
        self._count, self._line_of, self._made = count, line_of, {}
        self.endResetModel()

    def line(self, row: int) -> Line:
        line = self._made.get(row)
        if line is None:
            assert self._line_of is not None
            line = self._made[row] = self._line_of(row)
        return line

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        return 0 if parent.isValid() else self._count

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        line = self.line(index.row())
        if role == LINE:
            return line
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return line.spoken
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(line.spoken)
        return None


class _LineDelegate(QStyledItemDelegate):
    """Paints a wound ball, a name with what stands under it, and figures at the right."""

    def __init__(self, theme: Theme, parent: RowList) -> None:
        super().__init__(parent)
        self._theme, self._list = theme, parent

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return room for two lines."""
        del option, index
        font = self._list.font()
        text = QFontMetrics(_bold(font)).height() + QFontMetrics(small(font)).height()
        return QSize(200, max(text + _BAR_PX, _BALL_PX) + 2 * UNIT)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a row."""
        line: Line = index.data(LINE)
        tones, box = self._theme.tones, QRectF(option.rect)
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        ink = QColor(tones.on_accent if is_chosen else tones.ink)
        muted = QColor(tones.on_accent if is_chosen else tones.muted)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if is_chosen:
            path = QPainterPath()
            path.addRoundedRect(box.adjusted(2, 2, -2, -2), 6, 6)
            painter.fillPath(path, QColor(tones.accent))
        else:
            painter.setPen(QPen(QColor(tones.hairline), 1))
            painter.drawLine(
                QPointF(box.left() + UNIT, box.bottom() - 0.5),
                QPointF(box.right() - UNIT, box.bottom() - 0.5),
            )
        ball = QRectF(box.left() + UNIT, box.center().y() - _BALL_PX / 2, _BALL_PX, _BALL_PX)
        paint_ball(painter, ball, line.colours, muted)
        self._paint_words(painter, option.rect, line, ink, muted)
        if line.bar is not None:
            bar = QRectF(box).adjusted(_BALL_PX + 3 * UNIT, 0, -2 * UNIT, 0)
            bar.setTop(box.bottom() - UNIT - _BAR_PX + 2)
            bar.setHeight(_BAR_PX)
            inks = (tones.on_accent, tones.accent) if is_chosen else (tones.accent, tones.field)
            _paint_bar(painter, bar, *line.bar, *map(QColor, inks))
        painter.restore()

    def _paint_words(
        self, painter: QPainter, rect: QRect, line: Line, ink: QColor, muted: QColor
    ) -> None:
        font = self._list.font()
        head, under, right = _bold(font), small(font), figure(font, large=1.0)
        first, second = QFontMetrics(head).height(), QFontMetrics(under).height()
        area = rect.adjusted(_BALL_PX + 3 * UNIT, 0, -2 * UNIT, 0)
        top = area.top() + (area.height() - first - second - (_BAR_PX if line.bar else 0)) // 2
        upper = QRect(area.left(), top, area.width(), first)
        lower = QRect(area.left(), top + first, area.width(), second)
        for box, at_left, at_right, left_font, right_font, tones in (
            (upper, line.head, line.right, head, right, (ink, ink)),
            (lower, line.left, line.under, under, under, (muted, muted)),
        ):
            taken = 0
            if at_right:
                metrics = QFontMetrics(right_font)
                taken = min(metrics.horizontalAdvance(at_right), box.width() * 2 // 3)
                painter.setFont(right_font)
                painter.setPen(tones[1])
                flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                painter.drawText(box, flags, metrics.elidedText(at_right, _ELIDE, taken + 1))
            painter.setFont(left_font)
            painter.setPen(tones[0])
            room = box.adjusted(0, 0, -taken - UNIT, 0)
            text = QFontMetrics(left_font).elidedText(at_left, _ELIDE, room.width())
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, text)


_ELIDE: Final = Qt.TextElideMode.ElideRight


def paint_ball(painter: QPainter, box: QRectF, colours: tuple[str, ...], rim: QColor) -> None:
    """Paint a ball of yarn, or two halves of balls in two colours."""
    ball = box.adjusted(2, 2, -2, -2)
    for place, colour in enumerate(colours):
        painter.save()
        part = QRectF(box)
        part.setWidth(box.width() / len(colours))
        part.moveLeft(box.left() + place * part.width())
        painter.setClipRect(part)
        tone = QColor(colour)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(tone)
        painter.drawEllipse(ball)
        dark = tone.lightnessF() < 0.4
        thread = tone.lighter(135) if dark else tone.darker(113)
        painter.setPen(QPen(thread, 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        half = ball.width() / 2
        painter.translate(ball.center())
        painter.rotate(38)
        for share in _WOUND:
            painter.drawEllipse(QPointF(0, 0), half * share, half)
        painter.restore()
    painter.setPen(QPen(rim, 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(ball)


def _paint_bar(
    painter: QPainter, bar: QRectF, needed: float, there: float, ink: QColor, ground: QColor
) -> None:
    """Paint what is needed as a rim, filled as far as it is there; what is over follows a gap."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    filled = QRectF(bar)
    filled.setWidth(bar.width() * there)
    painter.fillRect(filled, ink)
    painter.setPen(QPen(ink, 1))
    rim = QRectF(bar)
    rim.setWidth(bar.width() * needed)
    painter.drawRect(rim)
    if needed < 1:
        painter.fillRect(QRectF(rim.right() + 1, bar.top() - 1, 3, bar.height() + 3), ground)


def _bold(font: QFont) -> QFont:
    font = QFont(font)
    font.setWeight(QFont.Weight.DemiBold)
    return font


def found_line(found: Found, units: Units) -> Line:
    """Return the row of a yarn of the shelf."""
    entry = found.entry
    left = about(entry)
    if found.apart is not None:
        left = f"{nearness(found.apart)} · {left}" if left else nearness(found.apart)
    under = stock(entry)
    if entry.aside_g:
        under += f" · {grams(entry.aside_g)} put aside"
    return Line(
        (entry.colour,),
        entry.name,
        left,
        yarn_length(entry.length_m, units),
        under,
        spoken(found, units),
    )


def have_line(have: Have, design: Design) -> Line:
    """Return the row of a design's yarn beside the shelf."""
    yarn, units = design.yarns[have.yarn], design.units
    needs = yarn_length(have.needed_m, units)
    there = yarn_length(have.there_m, units)
    says = verdict(have, units)
    colours = (yarn.colour, *([have.entries[0].colour] if have.entries else []))
    most = max(have.needed_m, have.there_m, 1e-9)
    return Line(
        colours,
        yarn.name,
        says,
        there,
        f"needs {needs}" if have.needed_m else "",
        f"{yarn.name}: {needs} needed, {there} on the shelf: {says}",
        (have.needed_m / most, have.there_m / most),
    )
