"""What would change on the shelf, and which backups there are: shown before anything is done."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt
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
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, Theme
from app.views.figures import counted
from app.views.moments import moment_text
from app.views.pages.yarn_table import swatch_icon
from app.views.shelf.words import called, difference_words
from core.shelf.backups import Backup
from core.shelf.merging import Difference

_TICK = Qt.ItemFlag.ItemIsUserCheckable
_MOST_SHOWN = 20_000


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
        self.differences = tuple(differences[:_MOST_SHOWN])
        head = QLabel(lead, self)
        head.setWordWrap(True)
        head.setTextFormat(Qt.TextFormat.PlainText)
        table = self.table = _table(("Yarn", "What would become of it"), self)
        table.setAccessibleName("What would change on the shelf")
        table.setRowCount(len(self.differences))
        self._names: list[QTableWidgetItem] = []
        size, ratio = table.fontMetrics().ascent(), self.devicePixelRatioF()
        for row, (one, is_ticked) in enumerate(zip(self.differences, ticked, strict=False)):
            name = QTableWidgetItem(called(one.after))
            name.setIcon(swatch_icon(one.after.colour, QSize(size, size), theme, ratio))
            if one.can_be_taken:
                name.setFlags(name.flags() | _TICK)
                state = Qt.CheckState.Checked if is_ticked else Qt.CheckState.Unchecked
                name.setCheckState(state)
            else:
                name.setFlags(name.flags() & ~_TICK & ~Qt.ItemFlag.ItemIsEditable)
            words = difference_words(one)
            self._names.append(name)
            table.setItem(row, 0, name)
            becomes = QTableWidgetItem(words)
            becomes.setToolTip(words)
            table.setItem(row, 1, becomes)
            spoken = f"{called(one.after)}: {words}"
            name.setData(Qt.ItemDataRole.AccessibleTextRole, spoken)
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
        table.itemChanged.connect(lambda _: self._show_sum())
        self.resize(680, 460)
        self._show_sum()
        if self.differences:
            table.setCurrentCell(0, 0)
        table.setFocus()

    @property
    def chosen(self) -> tuple[Difference, ...]:
        """The ticked ones."""
        return tuple(
            one
            for one, name in zip(self.differences, self._names, strict=True)
            if one.can_be_taken and name.checkState() == Qt.CheckState.Checked
        )

    def _show_sum(self) -> None:
        chosen = self.chosen
        new = sum(one.kind == "new" for one in chosen)
        same = sum(one.kind == "same" for one in self.differences)
        left = len(self.differences) - len(chosen) - same
        parts = [f"{counted(new, 'yarn')} will be new", f"{len(chosen) - new} will change"]
        parts += [f"{same} {'is' if same == 1 else 'are'} there just so"] if same else []
        parts += [f"{left} will be left as {'it is' if left == 1 else 'they are'}"] if left else []
        self.sum.setText(f"{', '.join(parts)}. Nothing has changed yet.")
        self.go.setEnabled(bool(chosen))


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
        table = self.table = _table(("Made", "Holds"), self)
        table.setAccessibleName("Backups of the shelf")
        table.setRowCount(len(self.backups))
        for row, (backup, yarns) in enumerate(self.backups):
            made = QTableWidgetItem(moment_text(backup.time.timestamp()))
            made.setToolTip(str(backup.path))
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

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Take the focus mark off a cell."""
        super().initStyleOption(option, index)
        option.state &= ~QStyle.StateFlag.State_HasFocus


def _table(heads: tuple[str, ...], parent: QWidget) -> QTableWidget:
    table = QTableWidget(0, len(heads), parent)
    table.setHorizontalHeaderLabels(heads)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setTabKeyNavigation(False)
    table.setShowGrid(False)
    table.setCornerButtonEnabled(False)
    table.setWordWrap(False)
    table.setItemDelegate(_Plain(table))
    table.verticalHeader().hide()
    header = table.horizontalHeader()
    header.setHighlightSections(False)
    header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    header.setStretchLastSection(True)
    header.resizeSection(0, 30 * UNIT)
    header.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
    return table


def _lay_out(
    dialog: QDialog,
    head: QLabel,
    table: QTableWidget,
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
