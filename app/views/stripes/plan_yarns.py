"""Which yarns take part in a plan, how often, and which may not lie side by side."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QIcon, QKeyEvent, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_entry, plain_tip
from app.theme import UNIT
from app.views.pages.fields import NumberField
from core.design.document import Yarn
from core.design.plan import Barred, Share
from core.errors import DesignError
from core.stripes.first_plan import even_shares

_MOST = (0, 2000)


def _swatch(yarn: Yarn) -> QIcon:
    swatch = QPixmap(20, 14)
    swatch.fill(QColor(yarn.colour))
    return QIcon(swatch)


class YarnShares(QWidget):
    """A line for each yarn: whether it takes part, how often at least and at most."""

    changed = Signal()

    def __init__(self, yarns: Sequence[Yarn], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._count = 1
        self._names = [yarn.name for yarn in yarns]
        self._is_even = False
        self.ticks: list[QCheckBox] = []
        self.least: list[NumberField] = []
        self.most: list[NumberField] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(UNIT // 2)
        grid.setVerticalSpacing(UNIT // 2)
        grid.setColumnStretch(0, 1)
        self._heads = [QLabel("at least", self), QLabel("at most", self)]
        for column, head in enumerate(self._heads, 1):
            head.setProperty("quiet", True)
            grid.addWidget(head, 0, column)
        for row, yarn in enumerate(yarns, 1):
            tick = QCheckBox(plain_entry(yarn.name), self)
            tick.setIcon(_swatch(yarn))
            tick.setToolTip(plain_tip(f"Whether {yarn.name} takes part"))
            tick.setMinimumWidth(60)
            least = NumberField(f"{yarn.name}, times at least", _MOST)
            most = NumberField(f"{yarn.name}, times at most", (1, 2000), absent="any", first=1)
            for field in (least, most):
                field.setFixedWidth(8 * UNIT)
            grid.addWidget(tick, row, 0)
            grid.addWidget(least, row, 1)
            grid.addWidget(most, row, 2)
            self.ticks.append(tick)
            self.least.append(least)
            self.most.append(most)
            tick.clicked.connect(self._on_tick)
            least.changed.connect(self._by_hand)
            most.changed.connect(self._by_hand)

    @property
    def focusable(self) -> list[QWidget]:
        """Everything in it that takes the focus, in order."""
        rows = zip(self.ticks, self.least, self.most, strict=True)
        return [widget for row in rows for widget in row]

    def show_shares(self, shares: Sequence[Share], count: int) -> None:
        """Show shares of so many stripes."""
        known = {share.yarn: share for share in shares}
        self._count = count
        self._is_even = tuple(shares) == even_shares([s.yarn for s in shares], count)
        for yarn, tick in enumerate(self.ticks):
            share = known.get(yarn)
            tick.setChecked(share is not None)
            self.least[yarn].show_value(share.least if share else 0)
            self.most[yarn].show_value(share.most if share else None)
        self._enable()

    @property
    def shares(self) -> tuple[Share, ...]:
        """What is chosen.

        Raises:
            DesignError: A yarn is to be used at least more often than at most.
        """
        found = []
        for yarn, tick in enumerate(self.ticks):
            if tick.isChecked():
                least, most = int(self.least[yarn].value()), int(self.most[yarn].value())
                if most and most < least:
                    raise DesignError(
                        f"{self._names[yarn]} at least {least} and at most {most} times exclude "
                        "each other"
                    )
                found.append(Share(yarn, least, most or None))
        return tuple(found)

    def show_counts(self, shown: bool) -> None:
        """Show or hide how often."""
        for widget in (*self._heads, *self.least, *self.most):
            widget.setVisible(shown)

    def set_count(self, count: int) -> None:
        """Follow the number of stripes for as long as the shares are even."""
        self._count = count
        if self._is_even:
            self.share_evenly()

    def share_evenly(self) -> None:
        """Let every yarn come about equally often."""
        yarns = [yarn for yarn, tick in enumerate(self.ticks) if tick.isChecked()]
        self.show_shares(even_shares(yarns, self._count), self._count)
        self._is_even = True

    def _on_tick(self) -> None:
        if self._is_even:
            self.share_evenly()
        self._enable()
        self.changed.emit()

    def _by_hand(self) -> None:
        self._is_even = False
        self.changed.emit()

    def _enable(self) -> None:
        for yarn, tick in enumerate(self.ticks):
            self.least[yarn].setEnabled(tick.isChecked())
            self.most[yarn].setEnabled(tick.isChecked())


class BarredPairs(QWidget):
    """Pairs of yarns that may not lie side by side."""

    changed = Signal()

    def __init__(self, yarns: Sequence[Yarn], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._names = [yarn.name for yarn in yarns]
        self._pairs: list[Barred] = []
        self.one, self.other = QComboBox(self), QComboBox(self)
        for box, name in ((self.one, "First yarn"), (self.other, "Second yarn")):
            box.setAccessibleName(f"{name} of a pair to keep apart")
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(5)
            for number, yarn in enumerate(yarns):
                box.addItem(_swatch(yarn), yarn.name, number)
        self.other.setCurrentIndex(min(1, len(yarns) - 1))
        self.add = QPushButton("Keep apart", self)
        self.add.setToolTip("These two may not lie side by side")
        self.add.clicked.connect(self._add)
        self.list = _Pairs(self)
        self.list.setAccessibleName("Pairs kept apart; Delete takes one out")
        self.list.setToolTip("Press Delete, or double-click, to take a pair out")
        self.list.gone.connect(self._remove)
        row = QHBoxLayout()
        row.setSpacing(UNIT // 2)
        row.addWidget(self.one, 1)
        row.addWidget(self.other, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT // 2)
        column.addLayout(row)
        column.addWidget(self.add)
        column.addWidget(self.list)
        self._show()

    @property
    def focusable(self) -> list[QWidget]:
        """Everything in it that takes the focus, in order."""
        return [self.one, self.other, self.add, self.list]

    @property
    def pairs(self) -> tuple[Barred, ...]:
        """The pairs."""
        return tuple(self._pairs)

    def show_pairs(self, pairs: Sequence[Barred]) -> None:
        """Show these pairs."""
        self._pairs = list(pairs)
        self._show()

    def _add(self) -> None:
        low, high = sorted((self.one.currentData(), self.other.currentData()))
        pair = Barred(low, high)
        if low != high and pair not in self._pairs:
            self._pairs.append(pair)
            self._show()
            self.changed.emit()

    def _remove(self, row: int) -> None:
        if 0 <= row < len(self._pairs):
            del self._pairs[row]
            self._show()
            self.changed.emit()

    def _show(self) -> None:
        self.list.clear()
        for pair in self._pairs:
            self.list.addItem(f"{self._names[pair.one]} and {self._names[pair.other]}")
        lines = min(len(self._pairs), 5) * (self.fontMetrics().lineSpacing() + 4)
        self.list.setFixedHeight(lines + 2 * UNIT)
        self.list.setVisible(bool(self._pairs))


class _Pairs(QListWidget):
    """A list whose lines can be taken out."""

    gone = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.itemDoubleClicked.connect(lambda item: self.gone.emit(self.row(item)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take out the line pointed at."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.gone.emit(self.currentRow())
            return
        super().keyPressEvent(event)
