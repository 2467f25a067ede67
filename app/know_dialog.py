"""How do we know? Every figure of the blanket, each with how it was found."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT
from app.views.knowing import Explained, given_text
from core.explain.figures import Explanation
from core.explain.registry import all_explanations
from core.pipeline import Results


class KnowDialog(QDialog):
    """A list of figures on the left, the chosen one explained on the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("How do we know?")
        self._results: Results | None = None
        self._yarn = 0
        self.list = QListWidget(self)
        self.list.setProperty("lines", True)
        self.list.setAccessibleName("Figures")
        self.list.setMinimumWidth(320)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.currentItemChanged.connect(lambda now, _: self._explain(now))
        self._scroll = QScrollArea(self)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.viewport().setAutoFillBackground(False)
        close = QPushButton("Cl&ose", self)
        close.setAutoDefault(False)
        close.setToolTip("Close (Esc)")
        close.clicked.connect(self.reject)
        right = QVBoxLayout()
        right.setSpacing(UNIT)
        right.addWidget(self._scroll, 1)
        right.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(self.list)
        row.addLayout(right, 1)
        self.resize(792, 496)
        self.list.setFocus()

    def speak_of(self, yarn: int) -> None:
        """Explain this yarn where a figure is of one yarn."""
        self._yarn = yarn
        if self._results is not None:
            self.show_results(self._results)

    def show_results(self, results: Results) -> None:
        """List the figures of these results; the chosen one stays chosen."""
        self._results = results
        key = self.key
        found = all_explanations(results, yarn=self._yarn)
        self.list.blockSignals(True)
        self.list.clear()
        for one in found:
            text = f"{one.result.name}: {given_text(one.result, results.design.units)}"
            item = QListWidgetItem(text, self.list)
            item.setData(Qt.ItemDataRole.UserRole, one)
        self.list.blockSignals(False)
        self.choose(key)

    @property
    def key(self) -> str:
        """The figure that is explained."""
        item = self.list.currentItem()
        return str(item.data(Qt.ItemDataRole.UserRole).key) if item is not None else ""

    def choose(self, key: str) -> None:
        """Explain a figure, the first one if there is none of that key."""
        items = [self.list.item(row) for row in range(self.list.count())]
        wanted = [item for item in items if item.data(Qt.ItemDataRole.UserRole).key == key]
        if items:
            self.list.setCurrentItem((wanted or items)[0])

    def _explain(self, item: QListWidgetItem | None) -> None:
        if item is None or self._results is None:
            return
        explanation: Explanation = item.data(Qt.ItemDataRole.UserRole)
        body = Explained(explanation, self._results.design.units)
        body.setAutoFillBackground(False)
        self._scroll.setWidget(body)
