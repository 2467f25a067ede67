"""The page of the checks: the tech edit, each finding with the way to its place and out of it."""

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QPainter,
    QPainterPath,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QFrame,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_tip
from app.theme import UNIT, Theme, Tones
from app.views.empty_sheet import EmptySheet
from app.views.flow import Flow
from app.views.pages.page import Page
from core.checks.findings import LEVELS, Finding, FindingLevel, by_level
from core.design.document import Design
from core.pipeline import Results
from core.techedit.listing import NAMES, list_text, place_name, sum_of

ALL_WELL: Final = "Nothing to mend: every row fits the one below."
_GO: Final = "Choose one to go to its place."

_FINDING: Final = Qt.ItemDataRole.UserRole
_HEAD: Final = Qt.ItemDataRole.UserRole + 1
_GROUP: Final = Qt.ItemDataRole.UserRole + 2
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
_COPY: Final = "Copy the list"
_SAID_MS: Final = 2000


class ChecksPage(Page):
    """The tech edit: every finding under its weight, those to mend first.

    What the pipeline sees at once is shown at once; the rest follows when it has been drawn up
    (`findings_of`), and until then what was last said stays.
    """

    title = "Checks"

    jump = Signal(str)  # the place a finding speaks of

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._findings: tuple[Finding, ...] = ()
        self.findings_of: Callable[[Results], tuple[Finding, ...]] = _at_once
        self.head = QLabel("", self)
        self.head.setWordWrap(True)
        self.first_only = QCheckBox("Only what to mend first", self)
        self.first_only.setToolTip("Show the heaviest findings alone; the others wait")
        self.copy_button = QPushButton(_COPY, self)
        self.copy_button.setToolTip("Put the whole list on the clipboard as text, with places")
        self.list = _FindingList(theme, self)
        self.empty = EmptySheet(theme, "fits", ALL_WELL, self)
        bar = Flow(self, gap_px=UNIT)
        bar.add(self.copy_button, self.first_only)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.head)
        column.addWidget(self.empty)
        column.addWidget(bar)
        column.addWidget(self.list, 1)
        column.addStretch(0)
        self.setFocusProxy(self.list)
        self._said = QTimer(self, singleShot=True, interval=_SAID_MS)
        self._said.timeout.connect(lambda: self.copy_button.setText(_COPY))
        self.copy_button.clicked.connect(lambda: self.copy())
        self.first_only.toggled.connect(lambda: self._show())
        self.list.activated_finding.connect(lambda finding: self.jump.emit(finding.where))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, errors first."""
        return self._findings

    @property
    def summary(self) -> str:
        """How much there is of each weight, in a few words."""
        return sum_of(self._findings)

    @property
    def list_text(self) -> str:
        """The whole list as plain text."""
        design = self._results.design if self._results is not None else None
        return list_text(self._findings, design) if design is not None else ""

    def show_results(self, results: Results) -> None:
        """List what is known of these results."""
        super().show_results(results)
        self.list_anew()

    def list_anew(self) -> None:
        """List what is known by now."""
        if self._results is not None:
            self._findings = self.findings_of(self._results)
            self._show()

    def copy(self) -> None:
        """Put the whole list on the clipboard."""
        QGuiApplication.clipboard().setText(self.list_text)
        self.copy_button.setText("Copied")
        self._said.start()

    def _show(self) -> None:
        if self._results is None:
            return
        shown, heaviest = self._findings, next(iter(self._findings), None)
        if self.first_only.isChecked() and heaviest is not None:
            shown = tuple(f for f in shown if f.level == heaviest.level)
        has_errors = heaviest is not None and heaviest.level == "error"
        head = ALL_WELL
        if has_errors:
            head = (
                f"{_sentence(self.summary)}. {_GO} While something is to mend, exports are stamped."
            )
        elif heaviest is not None:
            head = f"{ALL_WELL} {_sentence(self.summary)}. {_GO}"
        self.head.setText(head)
        for widget in (self.head, self.list, self.first_only, self.copy_button):
            widget.setVisible(bool(self._findings))
        self.empty.setVisible(not self._findings)
        self.list.show_findings(shown, self._results.design)


class _FindingList(QListWidget):
    """The findings as cards under the names of their weights."""

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
        places = [place_name(found.where, design) for found in findings]
        shown = [(item.data(_FINDING), item.data(_HEAD)) for item in self.cards()]
        wanted = [(f, _sentence(place)) for f, place in zip(findings, places, strict=True)]
        if shown == wanted:
            return
        chosen: Finding | None = self.currentItem().data(_FINDING) if self.currentItem() else None
        row = self.cards().index(self.currentItem()) if chosen is not None else 0
        self.clear()
        for level in LEVELS:
            its = [pair for pair in wanted if pair[0].level == level]
            if its:
                head = QListWidgetItem(f"{NAMES[level]} ({len(its)})", self)
                head.setData(_GROUP, level)
                head.setFlags(Qt.ItemFlag.NoItemFlags)
            for finding, place in its:
                text = f"{NAMES[level]} · {place[:1].lower() + place[1:]}: {finding.text}"
                if finding.where.startswith("yarn"):  # a name keeps its capital
                    text = f"{NAMES[level]} · {place}: {finding.text}"
                item = QListWidgetItem(text, self)
                item.setData(_FINDING, finding)
                item.setData(_HEAD, place)
                item.setToolTip(plain_tip(f"Go to: {place}"))
        cards = self.cards()
        if chosen is not None and chosen in findings:
            row = [card.data(_FINDING) for card in cards].index(chosen)
        if cards:
            self.setCurrentItem(cards[min(row, len(cards) - 1)])

    def cards(self) -> list[QListWidgetItem]:
        """Return the items that are findings, without the names of the weights."""
        items = [self.item(row) for row in range(self.count())]
        return [item for item in items if item.data(_FINDING) is not None]

    def _go(self, item: QListWidgetItem) -> None:
        if item.data(_FINDING) is not None:
            self.activated_finding.emit(item.data(_FINDING))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the finding's place with Enter or the space bar; Home leads to the first."""
        if event.key() == Qt.Key.Key_Home and self.cards():
            self.setCurrentItem(self.cards()[0])
            self.scrollToTop()
            return
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
        """Return the height that the sentences take at the list's width."""
        del option
        width = self._list.viewport().width()
        metrics = QFontMetrics(self._list.font())
        if index.data(_GROUP):
            return QSize(width, metrics.height() + 3 * UNIT)
        head, message, way = self._texts(index)
        inner = QRect(0, 0, max(width - 2 * UNIT, 1), 100_000)
        head_px = self._head_rect(inner, head).height()
        text_px = metrics.boundingRect(inner, _WRAPPED, message).height()
        way_px = metrics.boundingRect(inner, _WRAPPED, way).height() + UNIT // 2 if way else 0
        return QSize(width, head_px + text_px + way_px + 3 * UNIT)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the card, or the name of a weight."""
        tones, rect = self._theme.tones, option.rect
        if index.data(_GROUP):
            self._paint_group(painter, rect, index, tones)
            return
        state = option.state
        finding: Finding = index.data(_FINDING)
        head, message, way = self._texts(index)
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
        room = inner.adjusted(0, head_rect.height() + UNIT // 2, 0, UNIT)
        painter.drawText(room, _WRAPPED, message)
        if way:
            high = QFontMetrics(self._list.font()).boundingRect(room, _WRAPPED, message).height()
            painter.setPen(QColor(tones.muted))
            painter.drawText(room.adjusted(0, high + UNIT // 2, 0, 0), _WRAPPED, way)
        painter.restore()

    def _paint_group(self, painter: QPainter, rect: QRect, index: Index, tones: Tones) -> None:
        painter.save()
        painter.setFont(self._head_font())
        painter.setPen(QColor(tones.trouble if index.data(_GROUP) == "error" else tones.muted))
        room = rect.adjusted(UNIT, UNIT, -UNIT, -UNIT // 2)
        painter.drawText(
            room, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom), index.data()
        )
        painter.setPen(QColor(tones.hairline))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.restore()

    def _texts(self, index: Index) -> tuple[str, str, str]:
        finding: Finding = index.data(_FINDING)
        return index.data(_HEAD), finding.message, finding.way

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


def _at_once(results: Results) -> tuple[Finding, ...]:
    return by_level(results.findings)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
