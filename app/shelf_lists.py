"""What would change on the shelf, and which backups there are: shown before anything is done."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QSize, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_tip
from app.theme import UNIT, Theme
from app.views.figures import counted
from app.views.moments import moment_text
from app.views.pages.yarn_table import swatch_icon
from app.views.shelf.words import called, difference_words
from core.shelf.backups import Backup
from core.shelf.merging import Difference

Index = QModelIndex | QPersistentModelIndex


class DifferencesDialog(QDialog):
    """Yarns with what would become of them; the ticked ones are taken."""

    def __init__(
        self,
        title: str,
        lead: str,
        differences: Sequence[Difference],
        ticked: Sequence[bool],
        theme: Theme,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.differences = tuple(differences)
        head = QLabel(lead, self)
        head.setWordWrap(True)
        head.setTextFormat(Qt.TextFormat.PlainText)
        table = self.table = QTableView(self)
        self._model = _Differences(self.differences, list(ticked), theme, table)
        table.setModel(self._model)
        _dress(table)
        table.setAccessibleName("What would change on the shelf")
        self.sum = QLabel(self)
        self.sum.setProperty("quiet", True)
        self.sum.setWordWrap(True)
        self.go = QPushButton("&Change the shelf", self)
        self.go.setProperty("primary", True)
        self.go.setDefault(True)
        self.go.setToolTip("Do what is ticked; one undo takes it back")
        self.go.clicked.connect(self.accept)
        close = QPushButton("&Leave it as it is", self)
        close.setToolTip("Change nothing (Esc)")
        close.setAutoDefault(False)
        close.clicked.connect(self.reject)
        _lay_out(self, head, table, self.sum, close, self.go)
        self._model.dataChanged.connect(lambda *_: self._show_sum())
        self.resize(680, 460)
        self._show_sum()
        table.setCurrentIndex(self._model.index(0, 0))
        table.setFocus()

    @property
    def chosen(self) -> tuple[Difference, ...]:
        """The ticked ones."""
        ticks = zip(self.differences, self._model.ticked, strict=True)
        return tuple(one for one, ticked in ticks if one.can_be_taken and ticked)

    def _show_sum(self) -> None:
        chosen = self.chosen
        new = sum(one.kind == "new" for one in chosen)
        same = sum(one.kind == "same" for one in self.differences)
        left = len(self.differences) - len(chosen) - same
        parts = [f"{counted(new, 'yarn')} will be new", f"{len(chosen) - new} will change"]
        parts += [f"{same} {'is' if same == 1 else 'are'} there just so"] if same else []
        parts += [f"{left} will be left as {'it is' if left == 1 else 'they are'}"] if left else []
        if any(one.can_be_taken for one in self.differences):
            self.sum.setText(f"{', '.join(parts)}. Nothing has changed yet.")
        else:
            self.sum.setText("Nothing of this would change the shelf.")
        self.go.setEnabled(bool(chosen))


class _Differences(QAbstractTableModel):
    """Words are made when they are seen: a list may be long."""

    def __init__(
        self, shown: Sequence[Difference], ticked: list[bool], theme: Theme, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._shown, self.ticked, self._theme = shown, ticked, theme
        self._side, self._ratio = parent.fontMetrics().ascent(), parent.devicePixelRatioF()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own signature
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else 2

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return ("Yarn", "What would become of it")[section]
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        one, is_name = self._shown[index.row()], index.column() == 0
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return called(one.after) if is_name else difference_words(one)
            case Qt.ItemDataRole.AccessibleTextRole:
                return f"{called(one.after)}: {difference_words(one)}"
            case Qt.ItemDataRole.ToolTipRole:
                return plain_tip(f"{called(one.after)}: {difference_words(one)}")
            case Qt.ItemDataRole.DecorationRole if is_name:
                size = QSize(self._side, self._side)
                return swatch_icon(one.after.colour, size, self._theme, self._ratio)
            case Qt.ItemDataRole.CheckStateRole if is_name and one.can_be_taken:
                state = Qt.CheckState
                return state.Checked if self.ticked[index.row()] else state.Unchecked
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        can = index.column() == 0 and self._shown[index.row()].can_be_taken
        return flags | Qt.ItemFlag.ItemIsUserCheckable if can else flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.CheckStateRole:
            return False
        self.ticked[index.row()] = Qt.CheckState(value) == Qt.CheckState.Checked
        self.dataChanged.emit(index, index)
        return True


class BackupsDialog(QDialog):
    """The copies there are, newest first; one is chosen."""

    def __init__(
        self, backups: Sequence[tuple[Backup, int | None]], trouble: str, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Restore the shelf")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.backups = tuple(backups)
        kept = (
            "The file that can't be used is kept aside, in the folder beside it."
            if trouble
            else "The shelf as it is now is backed up first."
        )
        head = QLabel(
            f"Choose the copy to put in the shelf's place. {kept}"
            if backups
            else "There is no backup yet. One is made before the first change of each day.",
            self,
        )
        head.setWordWrap(True)
        table = self.table = QTableWidget(0, 2, self)
        table.setHorizontalHeaderLabels(("Made", "Holds"))
        _dress(table)
        table.setAccessibleName("Backups of the shelf")
        table.setRowCount(len(self.backups))
        for row, (backup, yarns) in enumerate(self.backups):
            made = QTableWidgetItem(moment_text(backup.time.timestamp()))
            made.setToolTip(plain_tip(str(backup.path)))
            holds = "can't be read" if yarns is None else counted(yarns, "yarn")
            table.setItem(row, 0, made)
            table.setItem(row, 1, QTableWidgetItem(holds))
        self.go = QPushButton("&Restore it", self)
        self.go.setProperty("primary", True)
        self.go.setDefault(True)
        self.go.setToolTip("Put this copy in the shelf's place")
        self.go.clicked.connect(self.accept)
        close = QPushButton("&Leave it as it is", self)
        close.setToolTip("Change nothing (Esc)")
        close.setAutoDefault(False)
        close.clicked.connect(self.reject)
        _lay_out(self, head, table, None, close, self.go)
        table.currentCellChanged.connect(lambda *_: self._show())
        table.itemDoubleClicked.connect(lambda _: self.go.click())
        self.resize(480, 360)
        sound = [row for row, (_, yarns) in enumerate(self.backups) if yarns is not None]
        if sound:
            table.setCurrentCell(sound[0], 0)
        self._show()
        table.setFocus()

    @property
    def chosen(self) -> Backup | None:
        """The copy that was chosen, if it is sound."""
        row = self.table.currentRow()
        if not 0 <= row < len(self.backups) or self.backups[row][1] is None:
            return None
        return self.backups[row][0]

    def _show(self) -> None:
        self.go.setEnabled(self.chosen is not None)


class _Plain(QStyledItemDelegate):
    """Paints cells without a frame of their own."""

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        """Take the focus mark off a cell."""
        super().initStyleOption(option, index)
        option.state &= ~QStyle.StateFlag.State_HasFocus


def _dress(table: QTableView) -> None:
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setTabKeyNavigation(False)
    table.setShowGrid(False)
    table.setCornerButtonEnabled(False)
    table.setWordWrap(False)
    table.setProperty("rows", True)
    table.setItemDelegate(_Plain(table))
    table.verticalHeader().hide()
    header = table.horizontalHeader()
    header.setHighlightSections(False)
    header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    header.setStretchLastSection(True)
    header.resizeSection(0, 30 * UNIT)
    header.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)


def _lay_out(
    dialog: QDialog,
    head: QLabel,
    table: QTableView,
    foot: QLabel | None,
    close: QPushButton,
    go: QPushButton,
) -> None:
    row = QHBoxLayout()
    row.setSpacing(UNIT)
    if foot is not None:
        row.addWidget(foot, 1)
    else:
        row.addStretch(1)
    row.addWidget(close)
    row.addWidget(go)
    column = QVBoxLayout(dialog)
    column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
    column.setSpacing(2 * UNIT)
    column.addWidget(head)
    column.addWidget(table, 1)
    column.addLayout(row)
