"""A dialog that shows stripe orders side by side, six at a time, beside the one there is."""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QImage, QPixmap
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.theme import UNIT, Theme
from app.type_following import lines_px, measure_in_type
from app.views.pages.page import Note, Trouble
from app.views.stripes.pictures import BlanketPictures
from core.design.document import Design
from core.design.edits import Edit
from core.pipeline import Results
from core.records import Struct

AT_A_TIME: Final = 6
_BOX: Final = QSize(132, 184)
_LARGE_BOX: Final = QSize(208, 288)
_LARGE_SCREEN: Final = 1000


class Candidate(Struct, frozen=True, eq=False):
    """An order to choose.

    Attributes:
        design: The design with it.
        words: What it is called, in two short lines.
        step: Text of the step that takes it.
        edit: The step.
    """

    design: Design
    words: str
    step: str
    edit: Edit


class Orders(Struct, frozen=True, eq=False):
    """What was found: candidates, and a sentence where there are none or fewer."""

    candidates: tuple[Candidate, ...]
    why: str = ""


Find = Callable[[Design, ShouldStop], Orders]


class _Request(Struct, frozen=True, eq=False):
    design: Design
    find: Find
    box: QSize


class _Answer(Struct, frozen=True, eq=False):
    orders: Orders
    images: list[QImage]  # the design as it is, then each candidate


class _Maker:
    """Finds orders and paints them, in the worker's thread."""

    def __init__(self, base: Results) -> None:
        self._pictures = BlanketPictures(base)

    def __call__(self, request: Any, should_stop: ShouldStop) -> _Answer:
        orders = request.find(request.design, should_stop)
        designs = [request.design, *(candidate.design for candidate in orders.candidates)]
        return _Answer(orders, self._pictures.pictures(designs, request.box, should_stop))


class OrderDialog(QDialog):
    """Shows candidates; one can be taken, in one step."""

    wish = Signal(str, object, object)

    def __init__(
        self, title: str, results: Results, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._theme = theme
        self._design = results.design
        self._candidates: tuple[Candidate, ...] = ()
        self._first = 0
        screen = self.screen().availableSize()
        self._box = _LARGE_BOX if screen.height() >= _LARGE_SCREEN else _BOX
        self._worker = LatestWins(_Maker(results), self)
        self._worker.finished.connect(self._show_answer)
        self._worker.failed.connect(self._show_failure)
        self._build()

    def _build(self) -> None:
        self.side = QVBoxLayout()
        self.side.setSpacing(UNIT)
        self.gallery = Gallery(self._box, self)
        self.gallery.taken.connect(self.take)
        self.gallery.currentRowChanged.connect(self._on_row)
        self.now = QLabel(self)
        self.now.setFixedSize(self._box)
        self.now.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom)
        self.now.setAccessibleName("The order as it is now")
        self.said = Note("", self)
        self.trouble = Trouble(self)
        measure_in_type(self.trouble, lambda two: two.setMinimumHeight(lines_px(two, 2)))
        self.back = self._button("&Back", "The six before", self.show_back)
        self.more = self._button("&More", "The next six", self.show_more)
        self.use = self._button("&Use this order", "Take the one pointed at, in one step")
        self.use.setProperty("primary", True)
        self.use.clicked.connect(lambda: self.take(self.gallery.currentRow()))
        self.use.setEnabled(False)
        close = self._button("Close", "Leave the stripes as they are", self.reject)
        now = QVBoxLayout()
        now.addSpacing(UNIT)
        now.addWidget(self.now)
        name = Note("As it is now", self)
        name.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        now.addWidget(name)
        now.addStretch(1)
        pictures = QHBoxLayout()
        pictures.setSpacing(2 * UNIT)
        pictures.addLayout(now)
        pictures.addWidget(self.gallery, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(UNIT)
        for button in (self.back, self.more):
            buttons.addWidget(button)
        buttons.addWidget(self.said, 1)
        for button in (close, self.use):
            buttons.addWidget(button)
        right = QVBoxLayout()
        right.setSpacing(UNIT)
        right.addWidget(self.trouble)
        right.addLayout(pictures, 1)
        right.addLayout(buttons)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addLayout(self.side)
        row.addLayout(right, 1)
        self._theme.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        tones = self._theme.tones
        self.gallery.setStyleSheet(
            f"QListWidget {{ outline: 0; }}"
            f"QListWidget::item {{ border: 2px solid transparent; border-radius: 6px; "
            f"padding: 3px; color: {tones.ink}; }}"
            f"QListWidget::item:selected {{ border-color: {tones.accent}; "
            f"background: {tones.ground}; }}"
        )

    def _button(self, words: str, tip: str, do: Callable[[], object] | None = None) -> QPushButton:
        button = QPushButton(words, self)
        button.setToolTip(tip)
        button.setAccessibleName(f"{words.replace('&', '')}: {tip}")
        button.setAutoDefault(False)
        if do is not None:
            button.clicked.connect(lambda: do())
        return button

    # what a dialog made from it says

    def finder(self, first: int) -> Find:
        """Return what finds the candidates from number `first` on; it runs in the worker."""
        raise NotImplementedError

    # asking and showing

    def ask(self, first: int = 0) -> None:
        """Have candidates found and shown, from number `first` on."""
        self._first = first
        self.said.setText("looking…")
        self.use.setEnabled(False)
        box = self._box * self.devicePixelRatioF()
        self._worker.submit(_Request(self._design, self.finder(first), box))

    def show_more(self) -> None:
        """Show the next six."""
        self.ask(self._first + AT_A_TIME)

    def show_back(self) -> None:
        """Show the six before."""
        self.ask(max(self._first - AT_A_TIME, 0))

    @property
    def is_busy(self) -> bool:
        """Whether candidates are still being looked for."""
        return self._worker.is_busy

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """What is shown."""
        return self._candidates

    def _show_answer(self, answer: _Answer) -> None:
        self._candidates = answer.orders.candidates
        ratio = self.devicePixelRatioF()
        pixmaps = [_pixmap(image, ratio) for image in answer.images]
        self.now.setPixmap(pixmaps[0])
        words = [candidate.words for candidate in self._candidates]
        self.gallery.show_pictures(pixmaps[1:], words)
        self.trouble.say(answer.orders.why)
        self.back.setEnabled(self._first > 0)
        self.more.setEnabled(len(self._candidates) == AT_A_TIME)
        self.said.setText("All pictures are to one scale." if self._candidates else "")
        self._on_row(self.gallery.currentRow())

    def _show_failure(self, error: object) -> None:
        self._candidates = ()
        self.gallery.clear()
        self.said.setText("")
        self.trouble.say(f"No order could be shown: {error}.")

    def _on_row(self, row: int) -> None:
        self.use.setEnabled(0 <= row < len(self._candidates) and not self.is_busy)

    def take(self, row: int) -> None:
        """Take a candidate and close."""
        if 0 <= row < len(self._candidates) and not self.is_busy:
            candidate = self._candidates[row]
            self.wish.emit(candidate.step, candidate.edit, None)
            self.accept()

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._worker.close()
        super().done(result)


class Gallery(QListWidget):
    """Pictures in a grid; arrows point, Enter or a double-click takes."""

    taken = Signal(int)

    def __init__(self, box: QSize, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        lines = 2 * self.fontMetrics().lineSpacing()
        cell = QSize(box.width() + 3 * UNIT, box.height() + lines + 3 * UNIT)
        self.setViewMode(QListWidget.ViewMode.IconMode)
        self.setMovement(QListWidget.Movement.Static)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setIconSize(box)
        self.setGridSize(cell)
        self.setUniformItemSizes(True)
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        bar = self.verticalScrollBar().sizeHint().width()
        self.setMinimumSize(3 * cell.width() + bar + 4 * UNIT, 2 * cell.height() + 3 * UNIT)
        self.setAccessibleName("Orders to choose from")
        self.setToolTip("Point by arrow keys or a click; Enter or a double-click takes it")
        self.itemActivated.connect(lambda item: self.taken.emit(self.row(item)))

    def show_pictures(self, pixmaps: list[QPixmap], words: list[str]) -> None:
        """Show these pictures; the first is pointed at."""
        self.clear()
        for pixmap, said in zip(pixmaps, words, strict=True):
            icon = QIcon(pixmap)
            icon.addPixmap(pixmap, QIcon.Mode.Selected)  # or it would be tinted
            item = QListWidgetItem(icon, said, self)
            item.setTextAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, said.replace("\n", ", "))
            item.setSizeHint(self.gridSize() - QSize(UNIT, UNIT))  # or a second line is cut
        if pixmaps:
            self.setCurrentRow(0)


def _pixmap(image: QImage, ratio: float) -> QPixmap:
    pixmap = QPixmap.fromImage(image)
    pixmap.setDevicePixelRatio(ratio)
    return pixmap
