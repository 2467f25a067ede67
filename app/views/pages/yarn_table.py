"""The list of yarns with what each has to do, as many columns of it as there is room for."""

from typing import Final

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QRectF,
    QSize,
    QSizeF,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFontMetrics,
    QIcon,
    QKeyEvent,
    QPainter,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.asking import plain_tip
from app.theme import UNIT, Theme, figure
from app.views.figures import number, plain, yarn_unit, yarn_unit_m
from core.pipeline import Results
from core.records import Struct
from core.yarn.shopping import balls_to_buy

BAR: Final = int(Qt.ItemDataRole.UserRole) + 1
NAME, ROWS, LENGTH, MASS, BALLS, OWNED, SHORT = range(7)

_HEADINGS: Final = ("Yarn", "Rows", "m", "g", "Balls", "Own", "Short")
_MEANINGS: Final = (
    "The yarn and its colour; the bar is what it has to do, filled as far as it is owned",
    "Rows worked in it",
    "Length to have, tails and spare included",
    "Its weight by the ball band",
    "Whole balls to have",
    "Balls already owned",
    "Whole balls still to buy",
)
_DROPPED_FIRST: Final = (MASS, OWNED, ROWS, LENGTH, SHORT)
_BAR_PX: Final = 4
_MOST_ROWS: Final = 8  # shown at once; more are scrolled
_NAME_SIGNS: Final = 8  # of a name that stay readable before a column gives way


class _Cells(Struct, frozen=True):
    texts: tuple[str, ...]
    spoken: str
    shares: tuple[float, float]  # of what is to be had: needed, and owned


class YarnTable(QTableWidget):
    """Shows the yarns; one of them is the chosen one."""

    chosen = Signal(int)  # by a person
    edit_wished = Signal()
    add_wished = Signal()
    remove_wished = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(0, len(_HEADINGS), parent)
        self._theme = theme
        self._colours: tuple[str, ...] = ()
        self._shown: list[_Cells] = []
        self.setAccessibleName("Yarns")
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setCornerButtonEnabled(False)
        self.setItemDelegate(_RowDelegate(theme, self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self._set_row_height()
        for column, (words, meaning) in enumerate(zip(_HEADINGS, _MEANINGS, strict=True)):
            item = QTableWidgetItem(words)
            item.setToolTip(meaning)
            side = Qt.AlignmentFlag.AlignLeft if column == NAME else Qt.AlignmentFlag.AlignRight
            item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
            self.setHorizontalHeaderItem(column, item)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionsClickable(False)
        header.setMinimumSectionSize(2 * UNIT)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)  # asking every cell is slow
        header.setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
        self.currentCellChanged.connect(self._on_current)
        self.itemDoubleClicked.connect(lambda: self.edit_wished.emit())
        theme.changed.connect(self._on_theme)

    def show_results(self, results: Results, chosen: int) -> None:
        """Show the yarns of these results, one of them chosen."""
        was_blocked = self.blockSignals(True)
        units = results.design.units
        self.model().setHeaderData(LENGTH, Qt.Orientation.Horizontal, yarn_unit(units))
        self.setRowCount(len(results.design.yarns))
        for row in range(self.rowCount()):
            cells = _cells(results, row)
            if row < len(self._shown) and self._shown[row] == cells:
                continue
            for column, text in enumerate(cells.texts):
                self._cell(row, column).setText(text)
            self._cell(row, NAME).setData(Qt.ItemDataRole.AccessibleTextRole, cells.spoken)
            self._cell(row, NAME).setToolTip(plain_tip(cells.spoken))
            self._cell(row, NAME).setData(BAR, cells.shares)
            self._shown[row:] = [cells, *self._shown[row + 1 :]]
        del self._shown[self.rowCount() :]
        colours = tuple(yarn.colour for yarn in results.design.yarns)
        if colours != self._colours:
            before, self._colours = self._colours, colours
            self._paint_swatches(unlike=before)
        if self.currentRow() != chosen:
            self.setCurrentCell(chosen, NAME)
        self.blockSignals(was_blocked)
        self._make_room()
        self.updateGeometry()

    def _cell(self, row: int, column: int) -> QTableWidgetItem:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            if column != NAME:
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                item.setFont(figure(self.font(), large=1.0))
            self.setItem(row, column, item)
        return item

    def _on_theme(self) -> None:  # a method, so that the theme keeps no table that is gone
        self._paint_swatches()

    def _paint_swatches(self, *, unlike: tuple[str, ...] = ()) -> None:
        """Paint the patches of colour; those that are as before stay."""
        height = self.fontMetrics().ascent()
        for row, colour in enumerate(self._colours):
            if row < len(unlike) and unlike[row] == colour:
                continue
            icon = swatch_icon(colour, QSize(height, height), self._theme, self.devicePixelRatioF())
            self._cell(row, NAME).setIcon(icon)

    # room

    def _make_room(self) -> None:
        """Hide what doesn't fit beside the names; the chosen yarn's lines say it all."""
        for column in _DROPPED_FIRST:
            self.setColumnHidden(column, False)
        name = self.fontMetrics().averageCharWidth() * _NAME_SIGNS + 5 * UNIT
        needed = name + sum(self._column_px(column) for column in range(ROWS, SHORT + 1))
        for column in _DROPPED_FIRST:
            if needed <= self.viewport().width():
                break
            needed -= self._column_px(column)
            self.setColumnHidden(column, True)
        for column in range(ROWS, SHORT + 1):
            if not self.isColumnHidden(column):
                self.setColumnWidth(column, self._column_px(column))

    def _column_px(self, column: int) -> int:
        metrics = QFontMetrics(figure(self.font(), large=1.0))
        texts = {cells.texts[column] for cells in self._shown}
        widest = max((metrics.horizontalAdvance(text) for text in texts), default=0)
        return max(widest + 2 * UNIT, self.horizontalHeader().sectionSizeHint(column) + 1)

    def _set_row_height(self) -> None:
        height = self.fontMetrics().height() + UNIT + _BAR_PX
        self.verticalHeader().setDefaultSectionSize(height)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's text size."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_row_height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many columns as there is room for."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._make_room()

    def sizeHint(self) -> QSize:
        """Return room for a few yarns."""
        rows = min(max(self.rowCount(), 1), _MOST_ROWS)
        row = self.rowHeight(0) if self.rowCount() else self.fontMetrics().height() + UNIT
        frame = self.height() - self.viewport().height() - self.horizontalHeader().height()
        frame = min(max(frame, 2 * self.frameWidth()), 3 * UNIT)
        return QSize(240, self.horizontalHeader().sizeHint().height() + rows * row + frame)

    def minimumSizeHint(self) -> QSize:
        """Return the same height, and little width."""
        return QSize(160, self.sizeHint().height())

    # hands

    def _on_current(self, row: int, column: int, was_row: int, was_column: int) -> None:
        del column, was_column
        if row >= 0 and row != was_row:
            self.chosen.emit(row)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Edit with Enter or F2, add with Ins, remove with Del."""
        match event.key():
            case Qt.Key.Key_Return | Qt.Key.Key_Enter | Qt.Key.Key_F2:
                self.edit_wished.emit()
            case Qt.Key.Key_Insert:
                self.add_wished.emit()
            case Qt.Key.Key_Delete | Qt.Key.Key_Backspace:
                self.remove_wished.emit()
            case _:
                super().keyPressEvent(event)


class _RowDelegate(QStyledItemDelegate):
    """Paints cells without a frame of their own, and under each name a bar.

    The bar's rim is what the yarn has to do, the filled part what is owned of it; what is over
    reaches beyond the rim's tick.
    """

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint the cell, and its bar."""
        super().paint(painter, option, index)
        shares = index.data(BAR)
        if shares is None:
            return
        needed, owned = shares
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        tones = self._theme.tones
        ink = QColor(tones.on_accent if chosen else tones.accent)
        area = QRectF(option.rect).adjusted(UNIT // 2, 0, -UNIT, 0)
        full = QRectF(area.left(), area.bottom() - _BAR_PX - 2, area.width(), _BAR_PX)
        painter.save()
        if owned > 0:
            painter.fillRect(QRectF(full.topLeft(), QSizeF(full.width() * owned, _BAR_PX)), ink)
        painter.setPen(QPen(ink, 1))
        painter.drawRect(QRectF(full.topLeft(), QSizeF(full.width() * needed, _BAR_PX)))
        if needed < 1:  # what is over lies beyond a gap
            gap = QRectF(full.left() + full.width() * needed + 1, full.top(), 2, _BAR_PX)
            painter.fillRect(gap, QColor(tones.accent if chosen else tones.field))
        painter.restore()

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Take the focus mark off a cell."""
        super().initStyleOption(option, index)
        option.state &= ~QStyle.StateFlag.State_HasFocus


def swatch_icon(colour: str, size: QSize, theme: Theme, ratio: float) -> QIcon:
    """Return a patch of a yarn's colour with a rim, so that it stands out from any ground."""
    tones, icon = theme.tones, QIcon()
    for rim, mode in (
        (tones.muted, QIcon.Mode.Normal),
        (tones.on_accent, QIcon.Mode.Selected),
    ):
        patch = QPixmap(size * ratio)
        patch.setDevicePixelRatio(ratio)
        patch.fill(QColor(colour))
        with QPainter(patch) as painter:
            painter.setPen(QColor(rim))
            painter.drawRect(0, 0, size.width() - 1, size.height() - 1)
        icon.addPixmap(patch, mode)
    return icon


def _cells(results: Results, row: int) -> _Cells:
    yarn, use = results.design.yarns[row], results.yarn[row]
    units = results.design.units
    length = number(use.length_m / yarn_unit_m(units))
    mass, short = number(use.mass_g), balls_to_buy(use, yarn)
    texts = (
        yarn.name,
        str(use.rows),
        length,
        mass,
        str(use.balls),
        plain(yarn.owned_balls),
        str(short),
    )
    spoken = (
        f"{yarn.name}: {use.rows} rows, {length} {yarn_unit(units)}, {mass} g, "
        f"{use.balls} balls, {plain(yarn.owned_balls)} owned, {short} short"
    )
    owned_m = yarn.owned_balls * yarn.ball_m
    most = max(use.length_m, owned_m, 1e-9)
    return _Cells(texts, spoken, (use.length_m / most, owned_m / most))
