"""A palette from a picture: its colours, where they lie on it, and the yarns for them."""

from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.pictures import FILTER, Picture, read_picture
from app.theme import UNIT, Theme
from app.views.figures import counted
from app.views.pages.fields import NumberField
from app.views.palette_taking import PaletteTaking
from app.views.picture_view import PictureView
from app.views.proposals import Proposed
from core.design.document import Design
from core.errors import DesignError, Stopped
from core.palette.cluster import FEWEST, MOST, Found, colour_at, colours_of, shares_of
from core.records import Struct, replace

_FIRST: Final = 6
_EMPTY: Final = "Drop a picture here, or choose one: cups, cloth, a view from a window."


class _Request(Struct, frozen=True, eq=False):
    picture: Path | Picture
    number: int


class _Answer(Struct, frozen=True, eq=False):
    picture: Picture
    found: tuple[Found, ...]
    is_new: bool


def _look(request: Any, should_stop: ShouldStop) -> _Answer:
    picture, is_new = request.picture, False
    if isinstance(picture, Path):
        picture, is_new = read_picture(picture), True
    if should_stop():
        raise Stopped
    return _Answer(picture, colours_of(picture.pixels, request.number), is_new)


class PictureDialog(QDialog):
    """Shows a picture's colours as points on it and as yarns beside it."""

    wish = Signal(str, object, object)

    def __init__(
        self, design: Design, theme: Theme, folder: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Palette from a picture")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.setAcceptDrops(True)
        self._design, self._folder = design, folder
        self._picture: Picture | None = None
        self._found: tuple[Found, ...] = ()
        self._finder = LatestWins(_look, self)
        self._finder.finished.connect(self._show_answer)
        self._finder.failed.connect(self._show_failure)
        self.view = PictureView(theme, self)
        self.view.show_text(_EMPTY)
        self.view.moved.connect(self._on_moved)
        self.open_button = QPushButton("&Choose a picture…", self)
        self.open_button.setToolTip("Read a picture file; or drop one on this window")
        self.open_button.setAutoDefault(False)
        self.open_button.clicked.connect(self.ask_and_open)
        self.number = NumberField("Colours to take", (FEWEST, MOST), parent=self)
        self.number.setToolTip(f"How many colours to look for, {FEWEST} to {MOST}")
        self.number.show_value(_FIRST)
        self.number.setFixedWidth(9 * UNIT)
        self.number.changed.connect(lambda *_: self._look_again())
        self.taking = PaletteTaking(
            theme, "Work the stripes in these colours, from light to dark", self
        )
        self.taking.taken.connect(self._take)
        self.taking.left.connect(self.reject)
        self.list = self.taking.list
        self.list.pointed.connect(self.view.choose)
        self.view.pointed.connect(self.list.mark)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName("What was made of the picture")
        self.taking.put_under_list(self.said)
        self._lay_out()
        self.resize(1000, 580)
        self.open_button.setFocus()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(UNIT)
        top.addWidget(self.open_button)
        top.addStretch(1)
        label = QLabel("Co&lours", self)
        label.setBuddy(self.number)
        top.addWidget(label)
        top.addWidget(self.number)
        right = QVBoxLayout()
        right.setSpacing(UNIT)
        right.addLayout(top)
        right.addWidget(self.taking, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(self.view, 1)
        row.addLayout(right, 1)

    def sizeHint(self) -> QSize:
        """Return a size that fits a small screen."""
        return QSize(1000, 580)

    # pictures

    def ask_and_open(self) -> None:
        """Let a picture be chosen."""
        name, _ = QFileDialog.getOpenFileName(self, "Choose a picture", self._folder, FILTER)
        if name:
            self.open_picture(Path(name))

    def open_picture(self, path: Path) -> None:
        """Read a picture in the background; one that can't be read leaves the one before."""
        self._folder = str(path.parent)
        self._say(f"Reading {path.name}…")
        self._finder.submit(_Request(path, self._wished()))

    def _wished(self) -> int:
        return min(max(round(self.number.value()), FEWEST), MOST)

    def _look_again(self) -> None:
        if self._picture is not None:
            self._finder.submit(_Request(self._picture, self._wished()))

    def _show_answer(self, answer: _Answer) -> None:
        self._picture, self._found = answer.picture, answer.found
        height, width = answer.picture.pixels.shape[:2]
        if answer.is_new:
            self.view.show_picture(answer.picture.image, (width, height))
        self._show_found(anew=True)
        fewer, parts = len(answer.found) < self._wished(), []
        if answer.picture.moves:
            parts.append("It moves; its first picture is used.")
        if fewer:
            parts.append(f"It has only {counted(len(answer.found), 'colour')} to tell apart.")
        self._say(" ".join(parts))
        self.list.mark(self.view.chosen)

    def _show_found(self, *, anew: bool) -> None:
        self.view.show_spots([(f.x, f.y) for f in self._found], [f.colour for f in self._found])
        proposed = [Proposed(found.colour, found.share) for found in self._found]
        self.taking.show_proposals(proposed, self._design.yarns, anew=anew)

    def _on_moved(self, point: int, x: int, y: int) -> None:
        assert self._picture is not None
        pixels = self._picture.pixels
        colour = colour_at(pixels, x, y)
        if colour is None:
            self._say("The picture is clear there; the point keeps its colour.")
            return
        found = list(self._found)
        found[point] = replace(found[point], x=x, y=y, colour=colour)
        shares = shares_of(pixels, [one.colour for one in found])
        self._found = tuple(
            replace(one, share=share) for one, share in zip(found, shares, strict=True)
        )
        self._say("")
        self._show_found(anew=False)

    def _show_failure(self, error: object) -> None:
        """Say why a picture can't be used; one shown before stays."""
        known = isinstance(error, DesignError)
        text = str(error) if known else f"This picture can't be used ({error}). Try another one."
        text = text if text.endswith(".") else f"{text}."
        text = f"⚠ {text}"
        if self._picture is None:
            self.view.show_text(text)
        self._say("" if self._picture is None else text)

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))

    # leaving

    def _take(self, text: str, edit: object) -> None:
        self.wish.emit(text, edit, None)
        self.accept()

    def done(self, result: int) -> None:
        """Stop the search and close."""
        self._finder.close()
        super().done(result)

    # dropping

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take a picture that is dragged in."""
        urls = event.mimeData().urls()
        if len(urls) == 1 and urls[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Read a picture that is dropped."""
        self.open_picture(Path(event.mimeData().urls()[0].toLocalFile()))
