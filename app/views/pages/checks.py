"""The page of the checks: what a tech editor would mark, each with the way to its place."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
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
    QKeyEvent,
    QPainter,
    QPainterPath,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, Theme, Tones
from app.views.empty_sheet import EmptySheet
from app.views.pages.page import Page
from core.checks.findings import Finding, FindingLevel, summary_of
from core.design.document import Design
from core.pipeline import Results

ALL_WELL: Final = "Nothing to mend: every row fits the one below."

_WORDS: Final[dict[FindingLevel, str]] = {"error": "To mend", "warning": "Caution", "note": "Note"}
_LEVELS: Final[tuple[FindingLevel, ...]] = ("error", "warning", "note")
_FINDING: Final = Qt.ItemDataRole.UserRole
_HEAD: Final = Qt.ItemDataRole.UserRole + 1
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)


class ChecksPage(Page):
    """Lists the findings, errors first."""

    title = "Checks"

    jump = Signal(str)  # the place a finding speaks of

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._findings: tuple[Finding, ...] = ()
        self.head = QLabel("", self)
        self.head.setWordWrap(True)
        self.list = _FindingList(theme, self)
        self.empty = EmptySheet(theme, "fits", ALL_WELL, self)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.head)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        column.addStretch(0)
        self.setFocusProxy(self.list)
        self.list.activated_finding.connect(lambda finding: self.jump.emit(finding.where))

    @property
    def summary(self) -> str:
        """How much there is to mend and to note, in a few words."""
        return summary_of(self._findings)

    def show_results(self, results: Results) -> None:
        """List the findings of these results."""
        super().show_results(results)
        self._findings = results.findings
        has_errors = any(finding.level == "error" for finding in self._findings)
        self.head.setText("Choose one to go to its place." if has_errors else ALL_WELL)
        self.head.setVisible(bool(self._findings))
        self.empty.setVisible(not self._findings)
        self.list.setVisible(bool(self._findings))
        self.list.show_findings(self._findings, results.design)


class _FindingList(QListWidget):
    """The findings as cards."""

    activated_finding = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Findings")
        self.setItemDelegate(_CardDelegate(theme, self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMouseTracking(True)
        self.itemClicked.connect(self._go)
        theme.changed.connect(self.viewport().update)

    def show_findings(self, findings: Sequence[Finding], design: Design) -> None:
        """List findings; the chosen one stays chosen if it is still there."""
        heads = [f"{_WORDS[found.level]} · {_place(found.where, design)}" for found in findings]
        shown = [(item.data(_FINDING), item.data(_HEAD)) for item in self._items()]
        if shown == list(zip(findings, heads, strict=True)):
            return
        row = self.currentRow()
        chosen: Finding | None = shown[row][0] if row >= 0 else None
        self.clear()
        for finding, head in zip(findings, heads, strict=True):
            item = QListWidgetItem(f"{head}: {finding.message}", self)
            item.setData(_FINDING, finding)
            item.setData(_HEAD, head)
        if chosen is not None and chosen in findings:
            row = list(findings).index(chosen)
        self.setCurrentRow(min(max(row, 0), self.count() - 1))

    def _items(self) -> list[QListWidgetItem]:
        return [self.item(row) for row in range(self.count())]

    def _go(self, item: QListWidgetItem) -> None:
        self.activated_finding.emit(item.data(_FINDING))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the finding's place with Enter or the space bar."""
        keys = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
        if event.key() in keys and self.currentItem() is not None:
            self._go(self.currentItem())
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap the sentences anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()


Index = QModelIndex | QPersistentModelIndex


class _CardDelegate(QStyledItemDelegate):
    """Paints a finding: a shape, a word, its place, and the sentence under them."""

    def __init__(self, theme: Theme, parent: QListWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._list = parent

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height that the sentence takes at the list's width."""
        del option
        width = self._list.viewport().width()
        head, message = self._texts(index)
        inner = QRect(0, 0, max(width - 2 * UNIT, 1), 100_000)
        head_px = self._head_rect(inner, head).height()
        text_px = QFontMetrics(self._list.font()).boundingRect(inner, _WRAPPED, message).height()
        return QSize(width, head_px + text_px + 3 * UNIT)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the card."""
        tones, rect = self._theme.tones, option.rect
        state = option.state
        finding: Finding = index.data(_FINDING)
        head, message = self._texts(index)
        is_chosen = bool(state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if is_chosen or state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, QColor(tones.sheet))
        if is_chosen:
            has_focus = self._list.hasFocus()
            painter.fillRect(
                QRect(rect.left(), rect.top(), 3, rect.height()),
                QColor(tones.accent if has_focus else tones.muted),
            )
        painter.setPen(QColor(tones.hairline))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        inner = rect.adjusted(UNIT, UNIT, -UNIT, -UNIT)
        head_rect = self._head_rect(inner, head)
        metrics = QFontMetrics(self._head_font())
        side = metrics.ascent()
        place = QRectF(inner.left(), inner.top() + metrics.leading(), side, side)
        place.translate(0, (metrics.height() - side) / 2)
        paint_level(painter, place, finding.level, tones)
        painter.setFont(self._head_font())
        painter.setPen(QColor(tones.trouble if finding.level == "error" else tones.ink))
        painter.drawText(head_rect, _WRAPPED, head)
        painter.setFont(self._list.font())
        painter.setPen(QColor(tones.ink))
        painter.drawText(
            inner.adjusted(0, head_rect.height() + UNIT // 2, 0, UNIT), _WRAPPED, message
        )
        painter.restore()

    def _texts(self, index: Index) -> tuple[str, str]:
        return index.data(_HEAD), index.data(_FINDING).message

    def _head_font(self) -> QFont:
        font = QFont(self._list.font())
        font.setWeight(QFont.Weight.DemiBold)
        return font

    def _head_rect(self, inner: QRect, head: str) -> QRect:
        """Return where the words beside the shape stand."""
        metrics = QFontMetrics(self._head_font())
        room = inner.adjusted(metrics.ascent() + UNIT, 0, 0, 0)
        height = metrics.boundingRect(room, _WRAPPED, head).height()
        return QRect(room.left(), room.top(), room.width(), height)


def paint_level(painter: QPainter, place: QRectF, level: FindingLevel, tones: Tones) -> None:
    """Paint the shape of a level: a filled diamond, a triangle, a ring; each with its sign."""
    colour = QColor(tones.trouble if level == "error" else tones.ink)
    path = QPainterPath()
    half = place.width() / 2
    middle = place.center()
    if level == "error":
        corners = [(0, -half), (half, 0), (0, half), (-half, 0)]
    elif level == "warning":
        corners = [(0, -half), (half, half * 0.8), (-half, half * 0.8)]
    else:
        corners = []
        path.addEllipse(middle, half * 0.9, half * 0.9)
    if corners:
        path.moveTo(middle + QPointF(*corners[0]))
        for x, y in corners[1:]:
            path.lineTo(middle + QPointF(x, y))
        path.closeSubpath()
    painter.setPen(QPen(colour, 1.4))
    painter.setBrush(colour if level == "error" else Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
    sign = QPen(QColor(tones.field) if level == "error" else colour, max(1.4, half / 4))
    sign.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(sign)
    top, bottom, dot = (-0.35, 0.1, 0.42) if level != "note" else (0.05, 0.42, -0.4)
    painter.drawLine(middle + QPointF(0, top * half), middle + QPointF(0, bottom * half))
    painter.drawPoint(middle + QPointF(0, dot * half))


def _place(where: str, design: Design) -> str:
    """Return the place as people call it: a yarn by its name."""
    word, _, number = where.partition(" ")
    if word == "yarn" and number.isdigit() and int(number) < len(design.yarns):
        return design.yarns[int(number)].name
    if word == "words" and number.isdigit():
        return f"words of row {number}" if int(number) else "words of the foundation"
    return where
