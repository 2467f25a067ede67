"""The booklet window: choose an edition, look at its pages, save it."""

from pathlib import Path
from typing import Final

from PySide6.QtCore import QTimer
from PySide6.QtGui import QImage, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QWidget,
)

from app.asking import asked_path, complain
from app.booklet_preview import Made, Maker, Request, paint
from app.booklets import booklet_ending
from app.pages_dialog import PagesDialog
from app.theme import Theme
from app.views.booklet_fields import BookletFields
from app.views.figures import counted, number
from core.booklet.options import PAGES_MM
from core.craft.units import MM_PER_IN
from core.design.disk import write_whole
from core.pipeline import Results
from core.records import replace

_PATIENCE_MS: Final = 15_000  # before a fabric that is left unsettled is settled here
_QUIET_MS: Final = 400  # without a change before a file is made
_SCREEN_IN: Final = 8.5  # HTML as it is shown: a narrow window


class BookletDialog(PagesDialog):
    """Editions at the left, pages in the middle; follows the open design until it is closed."""

    def __init__(
        self, results: Results, folder: Path, stem: str, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__("Booklet", results, (folder, stem), theme, Maker(), paint, parent)
        self.made: Made | None = None
        self.saved: Path | None = None
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(lambda: self._ask(settled=True))
        self._quiet = QTimer(self)  # the file takes longer than the pages and can wait
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(_QUIET_MS)
        self._quiet.timeout.connect(self._ask_file)
        self.fields = BookletFields(results.design, self)
        self.fields.changed.connect(self._on_choice)
        self.lay_out(self._left())
        self._edition = self.fields.options.edition
        self._ask()

    # building

    def _left(self) -> QWidget:
        panel, column = self.panel()
        column.addWidget(self.fields)
        self.facts = self.label(panel)
        self.facts.setAccessibleName("Pages, file size and ink")
        self.contents = self.label(panel, quiet=True)
        self.contents.setAccessibleName("Contents")
        self.trouble = self.label(panel)
        self.trouble.setProperty("trouble", True)
        for label in (self.facts, self.contents, self.trouble):
            column.addWidget(label)
        column.addStretch(1)
        column.addLayout(self._buttons(panel))
        return panel

    def _buttons(self, panel: QWidget) -> QHBoxLayout:
        self.save_button = QPushButton("&Save…", panel)
        self.save_button.setProperty("primary", True)
        self.save_button.setToolTip("Save the edition shown (Ctrl+S)")
        self.save_button.setDefault(True)
        self.save_button.clicked.connect(self.save)
        close = QPushButton("&Close", panel)
        close.setAutoDefault(False)
        close.setToolTip("Close the booklet (Esc)")
        close.clicked.connect(self.reject)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Save), self, self.save)
        buttons = QHBoxLayout()
        buttons.addWidget(self.save_button, 1)
        buttons.addWidget(close)
        return buttons

    # choices

    def show_results(self, results: Results) -> None:
        """Follow the design."""
        if self._closed:
            return
        self._results = results
        self.fields.show_design(results.design)
        self._ask()

    def _on_choice(self) -> None:
        edition = self.fields.options.edition
        if edition != self._edition:
            self._edition = edition
            self.pages.show_first()
        self._ask()

    # making

    def _ask(self, *, settled: bool | None = None) -> None:
        """Make the booklet: at once as the fabric is, to be saved when it has come to rest."""
        if settled is None:
            settled = self._results.fabric.settled and self._results.ends.settled
        self._patience.stop()
        if not settled:
            self._patience.start()
        self._say_busy()
        self._quiet.stop()
        self._request = Request(self._results, self.fields.options, settled)
        self._maker.submit(self._request)

    def _ask_file(self) -> None:
        self._maker.submit(replace(self._request, with_file=True))

    def _say_busy(self) -> None:
        self.save_button.setEnabled(False)
        self.pages.status.setText("Laying out the pages…")

    def _show_made(self, made: Made) -> None:
        self.made = made
        self.save_button.setEnabled(made.settled and made.data is not None)
        if made.data is None:
            self._quiet.start()
        self.facts.setText("\n".join(f"{line}." for line in _facts(made)))
        self.contents.setText(f"Contains: {', '.join(made.contents)}.")
        reasons = " ".join(made.draft[:2])
        self.trouble.setText(
            f"{counted(len(made.draft), 'error')} open: stamped DRAFT. {reasons}" if reasons else ""
        )
        wide = PAGES_MM[made.options.page][0] / MM_PER_IN if made.laid else _SCREEN_IN
        self.pages.show_pages(made.thumbs, wide_in=wide)

    # the page

    def _ask_page(self, place: int, width_px: int) -> None:
        if self.made is not None:
            self._painter.submit((self.made, place, width_px))

    def _show_page(self, answer: tuple[int, QImage]) -> None:
        place, image = answer
        self.pages.show_page(image)
        made = self.made
        if made is None or place >= made.n_pages:
            return
        text = f"{'Page' if made.laid else 'Screen'} {place + 1} of {made.n_pages}"
        if not made.settled:
            text += ". A first sketch: it can be saved once the stitches have settled"
        self.pages.status.setText(f"{text}.")

    # saving

    def save(self) -> None:
        """Ask where to and save what is shown."""
        made = self.made
        if made is None or made.data is None or not self.save_button.isEnabled():
            return
        ending = booklet_ending(made.options, self._results.design)
        kind = "HTML files (*.html)" if made.laid is None else "PDF files (*.pdf)"
        start = self._folder / f"{self._stem}{ending}"
        path = asked_path(self, "Save booklet", start, kind, Path(ending).suffix)
        if path is not None:
            self.save_to(path, made.data)

    def save_to(self, path: Path, data: bytes) -> None:
        """Write a booklet's file whole."""
        try:
            write_whole(path, data)
        except OSError as error:
            complain(self, "The booklet couldn't be saved", error.strerror or str(error))
            return
        self.saved = path
        self._folder = path.parent
        self.written.emit(path.parent)
        self.pages.status.setText(f"Saved {path.name}, {_size_text(len(data))}, in {path.parent}.")
        self.said.emit(f"Saved {path.name} in {path.parent}")

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._patience.stop()
        self._quiet.stop()
        super().done(result)


def _facts(made: Made) -> list[str]:
    """Return how many pages, how large a file, how much ink."""
    kind = "page" if made.laid else "screen"
    size = "size follows" if made.data is None else _size_text(len(made.data))
    lines = [f"{counted(made.n_pages, kind)}, {size}"]
    if not made.laid:
        return [*lines, "Nothing to print: it is read on a screen or aloud"]
    ink = f"Ink: {number(100 * sum(made.ink) / len(made.ink), 1)} % of the paper is covered"
    most = max(range(made.n_pages), key=lambda n: made.ink[n])
    return [*lines, f"{ink}, most on page {most + 1} ({number(100 * made.ink[most])} %)"]


def _size_text(size: int) -> str:
    if size < 1_000_000:
        return f"{number(max(size / 1000, 1))} kB"
    return f"{number(size / 1e6, 1)} MB"
