"""Prints chart and fabric as they are seen: the part that shows, on a page with title and scale."""

from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage, QKeySequence, QPainter, QPixmap, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.asking import asked_path, complain
from app.assets import chart_font
from app.computing import LatestWins
from app.paper.making import page_for
from app.paper.seen import Seen, SeenChart, SeenFabric, seen_sheets
from app.paper.sheets import Sheets
from app.printing import asked_printer
from app.stopping import STOPPED, STOPPING, Stop
from app.tab_order import follow_layout
from app.theme import UNIT
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from core.booklet.options import PAGES_MM
from core.craft.units import MM_PER_IN
from core.design.disk import write_whole
from core.errors import Stopped
from core.fabric.relax import ShouldStop
from core.records import replace

_PREVIEW_PX: Final = 300
_MARGIN_MM: Final = 1.0


def seen_now(chart: ChartView, fabric: FabricView, title: str) -> Seen | None:
    """Return what both views show; None if there is nothing yet."""
    shown = chart.shown()
    if shown is None:
        return None
    results, tops = shown
    part = _common(chart.seen_mm(), chart.content_mm())
    found = None if part is None else SeenChart(tops, part)
    cloth = None
    if results.rows.misfit is None and fabric.shown() is not None:
        bounds = _common(fabric.seen_mm(), _around(results.fabric.bounds_mm()))
        cloth = None if bounds is None else SeenFabric(bounds, fabric.manner)
    return Seen(results=results, title=title, chart=found, fabric=cloth)


def _around(bounds: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    left, bottom, right, top = bounds
    more = 0.05 * max(right - left, top - bottom) + _MARGIN_MM
    return left - more, bottom - more, right + more, top + more


def _common(
    one: tuple[float, float, float, float], other: tuple[float, float, float, float]
) -> tuple[float, float, float, float] | None:
    """Return what two boxes have in common; None if that is nothing."""
    left, bottom = max(one[0], other[0]), max(one[1], other[1])
    right, top = min(one[2], other[2]), min(one[3], other[3])
    return (left, bottom, right, top) if right - left > 1 and top - bottom > 1 else None


def look(request: Any, should_stop: ShouldStop) -> tuple[Sheets, tuple[QImage, ...]]:
    """Return the pages as coarse as a preview is, and their pictures; runs in a worker."""
    seen, family, wide_px = request
    paper = page_for(None, seen.results.design)
    sheets = seen_sheets(seen, paper, family, wide_px / PAGES_MM[paper][0] * MM_PER_IN)
    images = []
    for number in range(len(sheets.pages)):
        if should_stop():
            raise Stopped
        images.append(sheets.image(number, wide_px))
    return sheets, tuple(images)


def do(request: Any, should_stop: ShouldStop) -> tuple[Path | None, str]:
    """Write a file or fill a printer; return the folder and what was done; runs in a worker."""
    del should_stop  # it is never asked for something else meanwhile, and has a stop of its own
    seen, family, target, stop = request
    try:
        sheets = seen_sheets(seen, page_for(None, seen.results.design), family)
        if not isinstance(target, Path):
            if stop():
                raise Stopped
            sheets.paint_all(target, target.resolution())  # half a print is none
            return None, "Sent to the printer."
        write_whole(target, sheets.pdf(should_stop=stop))
    except Stopped:
        return None, STOPPED
    return target.parent, f"Saved {target.name} in {target.parent}"


class SeenDialog(QDialog):
    """Chooses what of it to print, shows the pages, prints them or saves them as PDF."""

    said = Signal(str)
    written = Signal(object)  # the folder that a file was written to

    def __init__(self, seen: Seen, folder: Path, stem: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Print what is seen")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._seen, self._folder, self._stem = seen, folder, stem
        self._family = chart_font()  # fonts are added on this thread
        self._sheets: Sheets | None = None
        self._looking = LatestWins(look, self)
        self._looking.finished.connect(self._on_seen)
        self._looking.failed.connect(self._on_failed)
        self._stop: Stop | None = None  # of what is being written or printed
        self._doing = LatestWins(do, self)  # of its own: a look never breaks off a file
        self._doing.finished.connect(self._on_done)
        self._doing.failed.connect(self._on_not_done)
        self.chart = self._box("C&hart", "Print the part of the chart that shows", seen.chart)
        self.fabric = self._box("&Fabric", "Print the part of the fabric that shows", seen.fabric)
        self.pages = QLabel("Drawing…", self)
        self.pages.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.pages.setAccessibleName("What is seen, on paper")
        self.status = QLabel(self)
        self.status.setTextFormat(Qt.TextFormat.PlainText)
        self.status.setWordWrap(True)
        self.status.setAccessibleName("What was done")
        self.status.setProperty("quiet", True)
        self.print_button = self._button("&Print…", "Print the pages (Ctrl+P)", self.print_pages)
        self.save_button = self._button("Save P&DF…", "Save the pages (Ctrl+S)", self.save)
        self.save_button.setProperty("primary", True)
        self.close_button = self._button("&Close", "Stop or close (Esc)", self.reject)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Save), self, self.save)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Print), self, self.print_pages)
        self._lay_out()
        self.resize(680, 560)
        self._ask()

    def _box(self, words: str, tip: str, part: object) -> QCheckBox:
        box = QCheckBox(words, self)
        box.setToolTip(tip)
        box.setChecked(part is not None)
        box.setEnabled(part is not None)
        box.toggled.connect(lambda *_: self._ask())
        return box

    def _button(self, words: str, tip: str, deed: Any) -> QPushButton:
        button = QPushButton(words, self)
        button.setToolTip(tip)
        button.setAutoDefault(False)
        button.clicked.connect(lambda: deed())
        return button

    def _lay_out(self) -> None:
        about = QLabel(
            "The part that shows, as large as the page has room for. Strain, lean, rulers and yarn "
            "marks are left out.",
            self,
        )
        about.setWordWrap(True)
        about.setProperty("quiet", True)
        top = QHBoxLayout()
        top.setSpacing(2 * UNIT)
        top.addWidget(self.chart)
        top.addWidget(self.fabric)
        top.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setWidget(self.pages)
        scroll.setWidgetResizable(True)
        scroll.setAccessibleName("The pages")
        buttons = QHBoxLayout()
        buttons.setSpacing(UNIT)
        buttons.addWidget(self.status, 1)
        for button in (self.print_button, self.save_button, self.close_button):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(about)
        column.addLayout(top)
        column.addWidget(scroll, 1)
        column.addLayout(buttons)
        follow_layout(self)

    @property
    def wished(self) -> Seen:
        """What is ticked."""
        seen = self._seen
        return replace(
            seen,
            chart=seen.chart if self.chart.isChecked() else None,
            fabric=seen.fabric if self.fabric.isChecked() else None,
        )

    def _ask(self) -> None:
        wished = self.wished
        self._sheets = None
        if wished.chart is None and wished.fabric is None:
            self._looking.cancel()
            self.pages.setPixmap(QPixmap())
            self.pages.setText("Nothing is ticked: tick chart or fabric.")
        else:
            fine = self.devicePixelRatioF()
            self._looking.submit((wished, self._family, round(_PREVIEW_PX * fine)))
        self._let()

    def _let(self) -> None:
        may = self._sheets is not None and self._stop is None
        self.print_button.setEnabled(may)
        self.save_button.setEnabled(may)

    def _on_seen(self, found: tuple[Sheets, tuple[QImage, ...]]) -> None:
        self._sheets, images = found
        self.pages.setPixmap(_beside(images, self.devicePixelRatioF()))
        kinds = ", ".join(page.kind for page in self._sheets.pages)
        self.pages.setAccessibleDescription(kinds)
        self._let()

    def _on_done(self, answer: tuple[Path | None, str]) -> None:
        folder, said = answer
        self._stop = None
        if folder is not None:
            self._folder = folder
            self.written.emit(folder)
        self.status.setText(said)
        self.said.emit(said)
        self._let()

    def _on_not_done(self, error: object) -> None:
        self._stop = None
        self._on_failed(error)

    def _on_failed(self, error: object) -> None:
        self.status.setText("")
        self._let()
        reason = error.strerror if isinstance(error, OSError) else ""
        complain(self, "The pages couldn't be made", reason or str(error))

    def save(self) -> None:
        """Ask for a file and write the pages."""
        if not self.save_button.isEnabled():
            return
        start = self._folder / f"{self._stem}-seen.pdf"
        path = asked_path(self, "Save PDF", start, "PDF files (*.pdf)", ".pdf")
        if path is not None:
            self._begin("Saving…", path)

    def print_pages(self) -> None:
        """Ask for a printer and print the pages."""
        if not self.print_button.isEnabled() or self._sheets is None:
            return
        printer = asked_printer(self, self._sheets)
        if printer is not None:
            self._begin("Printing…", printer)

    def _begin(self, said: str, target: object) -> None:
        self._stop = Stop()
        self.status.setText(said)
        self._doing.submit((self.wished, self._family, target, self._stop))
        self._let()

    def reject(self) -> None:
        """Stop what is being written or printed; if nothing is, close."""
        if self._stop is None or self._stop():
            super().reject()
            return
        self._stop.wish()
        self.status.setText(STOPPING)

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._looking.close()
        if self._stop is not None:
            self._stop.wish()
        self._doing.close()
        super().done(result)


def _beside(images: tuple[QImage, ...], fine: float) -> QPixmap:
    """Return pages beside each other, with a line round each."""
    gap = round(2 * UNIT * fine)
    wide = sum(image.width() for image in images) + gap * (len(images) - 1)
    pixmap = QPixmap(wide, max(image.height() for image in images))
    pixmap.fill(Qt.GlobalColor.transparent)
    x = 0
    with QPainter(pixmap) as painter:
        for image in images:
            painter.drawImage(x, 0, image)
            painter.drawRect(x, 0, image.width() - 1, image.height() - 1)
            x += image.width() + gap
    pixmap.setDevicePixelRatio(fine)
    return pixmap
