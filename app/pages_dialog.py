"""What booklet and paper have in common: choices at the left, pages at the right, live."""

from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.assets import chart_font
from app.computing import Compute, LatestWins
from app.tab_order import follow_layout
from app.theme import UNIT, Theme, roomy
from app.views.printed_pages import PrintedPages
from app.views.scrolled import Scrolled, keep_wide
from core.pipeline import Results

_LEFT: Final = 300


class PagesDialog(QDialog):
    """Pages made and painted off the GUI thread; follows the open design until it is closed.

    A dialog made from it lays itself out (`lay_out`), asks `_maker` for pages and `_painter` for
    the page that is looked at, and says in `_show_made` and `_show_page` what came of it.
    """

    said = Signal(str)
    written = Signal(object)  # the folder that a file was written to

    def __init__(
        self,
        title: str,
        results: Results,
        place: tuple[Path, str],
        theme: Theme,
        make: Compute,
        paint: Compute,
        parent: QWidget | None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self._results = results
        self._folder, self._stem = place
        self._closed = False
        chart_font()  # fonts are added on this thread, and before anything is measured
        self.pages = PrintedPages(theme, self)
        self.pages.wished.connect(self._ask_page)
        self._maker = LatestWins(make, self)
        self._maker.finished.connect(self._show_made)
        self._maker.failed.connect(self._show_failure)
        self._painter = LatestWins(paint, self)
        self._painter.finished.connect(self._show_page)
        self._painter.failed.connect(self._show_failure)

    # building

    def panel(self) -> tuple[QWidget, QVBoxLayout]:
        """Return what the choices stand in."""
        panel = QWidget(self)
        keep_wide(panel, _LEFT)
        column = QVBoxLayout(panel)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        return panel, column

    def label(self, parent: QWidget, *, quiet: bool = False) -> QLabel:
        """Return a label for text that may come from the design."""
        label = QLabel(parent)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        label.setProperty("quiet", quiet)
        return label

    def lay_out(self, choices: QWidget) -> None:
        """Put the choices beside the pages."""
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(Scrolled(choices, self))
        row.addWidget(self.pages, 1)
        self.resize(roomy(self, 1180, 760))
        follow_layout(self)

    # pages

    def show_results(self, results: Results) -> None:
        """Follow the design."""
        raise NotImplementedError

    def _ask_page(self, place: int, width_px: int) -> None:
        raise NotImplementedError

    def _show_made(self, made: Any) -> None:
        raise NotImplementedError

    def _show_page(self, answer: tuple[int, QImage]) -> None:
        raise NotImplementedError

    def _show_failure(self, error: object) -> None:
        self.pages.status.setText(f"The pages couldn't be made: {error}.")

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._closed = True
        self._maker.close()
        self._painter.close()
        super().done(result)
