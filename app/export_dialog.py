"""The export sheet: which files, how large, where to. Everything slow runs off this thread."""

import math
from pathlib import Path
from typing import Final

from PySide6.QtCore import QTimer
from PySide6.QtGui import QCloseEvent, QIcon, QImage
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain, plain_box
from app.assets import chart_font
from app.computing import LatestWins, Progress, ShouldStop
from app.depicting import chart_sheet
from app.exporting import (
    EXPORTS,
    Files,
    Kept,
    endings,
    make_files,
    settled,
    write_files,
)
from app.painting.choices import Choices
from app.painting.pictures import Work, chart_image
from app.tab_order import follow_layout
from app.theme import UNIT, roomy
from app.views.export_fields import WIDEST_MM, ExportFields
from app.views.export_preview import ExportPreview
from app.views.export_progress import ExportProgress
from core.chart.clearance import Clearance, clearance_of
from core.chart.sheet import Sheet, width_for
from core.errors import DesignError, Stopped
from core.pipeline import Results
from core.records import Struct, replace
from core.techedit.edit import stamp_for, stamped

_ONE_PAGE_MM: Final = 190.0  # what an A4 page holds across
_PAUSE_MS: Final = 350  # after the last change, before files are worked out


class _Looking(Struct, frozen=True, kw_only=True):
    """A preview that is wanted."""

    choices: Choices
    grey: bool
    width_px: int
    height_px: int | None


class _Seen(Struct, frozen=True, kw_only=True):
    """A preview."""

    image: QImage
    reads: Clearance
    sheet: Sheet
    stamped: str


class _Making(Struct, frozen=True, kw_only=True):
    """Files that are wanted; `folder` is where they are to be written, if they are."""

    names: tuple[str, ...]
    choices: Choices
    folder: Path | None = None
    least_mm: float = 0.0


class ExportDialog(QDialog):
    """Asks what to export and shows the chart as it will come out."""

    def __init__(self, results: Results, folder: Path, stem: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Export")
        self._results = results
        self._stem = stem
        self._kept: Kept = {}
        self._reads: _Seen | None = None
        self.written: list[Path] = []
        chart_font()  # fonts are added on this thread
        self.fields = ExportFields(
            results.design, [(export.name, export.about, export.group) for export in EXPORTS], self
        )
        self.preview = ExportPreview(self)
        self._folder = QLineEdit(str(folder), self)
        self._folder.setAccessibleName("Folder")
        self._folder.setToolTip("Where the files are written")
        self.progress = ExportProgress(self)
        self.draft = QLabel(self)
        self.draft.setProperty("trouble", True)
        self.draft.setAccessibleName("Whether files are stamped")
        self.draft.setToolTip("Files are stamped until the page Checks has nothing to mend")
        self.draft.setWordWrap(True)
        self.draft.hide()
        self._looking = LatestWins(self._look, self)
        self._making = LatestWins(parent=self, telling=self._make)
        self._writing = LatestWins(parent=self, telling=self._write)
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._lay_out()
        self._wire()
        self._refresh()
        follow_layout(self)

    def _lay_out(self) -> None:
        scroll = QScrollArea(self)
        scroll.setAccessibleName("What is exported")
        scroll.setWidget(self.fields)
        scroll.setWidgetResizable(True)
        wide = self.fields.sizeHint().width() + 3 * UNIT
        scroll.setMinimumWidth(min(wide, self.screen().availableGeometry().width() // 2 - UNIT))
        folder = QHBoxLayout()
        label = QLabel("F&older", self)
        label.setBuddy(self._folder)
        choose = QPushButton("Choo&se…", self)
        choose.setToolTip("Choose the folder")
        choose.clicked.connect(self._choose_folder)
        for widget, stretch in ((label, 0), (self._folder, 1), (choose, 0)):
            folder.addWidget(widget, stretch)
        buttons = QDialogButtonBox(self)
        self.save = buttons.addButton("&Export", QDialogButtonBox.ButtonRole.AcceptRole)
        self.save.setProperty("primary", True)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel).setIcon(QIcon())
        self.save.style().unpolish(self.save)
        self.save.style().polish(self.save)
        buttons.accepted.connect(self._export)
        buttons.rejected.connect(self.reject)
        bottom = QHBoxLayout()
        bottom.addWidget(self.progress, 1)
        bottom.addWidget(buttons)
        row = QHBoxLayout()
        row.addWidget(scroll, 0)
        row.addSpacing(2 * UNIT)
        row.addWidget(self.preview, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addLayout(row, 1)
        column.addLayout(folder)
        column.addWidget(self.draft)
        column.addLayout(bottom)
        self.resize(roomy(self, 1180, 760))

    def _wire(self) -> None:
        self.fields.changed.connect(self._refresh)
        self.fields.least_changed.connect(self._show_reading)
        self.preview.wished.connect(self._wish_look)
        self.preview.offer_taken.connect(self._take_offer)
        self._pause.timeout.connect(self._wish_files)
        self._looking.finished.connect(self._on_seen)
        self._looking.failed.connect(self._on_unseen)
        self._making.finished.connect(self._on_made)
        self._making.failed.connect(lambda error: self.progress.say(_sentence(error)))
        self._making.progressed.connect(
            lambda share: self.progress.say(f"Working out the files… {share:.0%}")
        )
        self._writing.finished.connect(self._on_written)
        self._writing.failed.connect(self._on_not_written)
        self._writing.progressed.connect(self.progress.show_share)
        self.progress.stopped.connect(self._stop)

    def choices(self) -> Choices:
        """Return what was chosen."""
        return self.fields.choices()

    @property
    def status(self) -> str:
        """What is said about the files."""
        return self.progress.text

    # what will come out

    def _refresh(self) -> None:
        self.fields.show_sizes({})
        self._wish_look()
        self._making.cancel()
        self._pause.start()
        self.progress.say("Working out the files…")

    def _wish_look(self) -> None:
        choices = self.choices()
        self.preview.show_busy(busy=True)
        self._looking.submit(
            _Looking(
                choices=choices,
                grey=choices.grey or self.preview.in_grey.isChecked(),
                width_px=self.preview.width_wished_px(choices.width_mm),
                height_px=self.preview.height_room_px(),
            )
        )

    def _look(self, wish: _Looking, should_stop: ShouldStop) -> _Seen:
        """Paint the chart for the screen and measure it; runs in the worker."""
        results = self._results
        if wish.choices.part.shown == "whole":
            results = self._settled(Work(should_stop))
        edition = wish.choices.written
        stamp = stamp_for(results, edition)
        sheet = chart_sheet(results, replace(wish.choices, grey=wish.grey), stamp)
        width, (left, bottom, right, top) = wish.width_px, sheet.bounds_mm
        if wish.height_px is not None:
            width = min(width, max(round(wish.height_px * (right - left) / (top - bottom)), 16))
        work = Work(should_stop)
        image = chart_image(sheet, width, family=chart_font(), work=work)
        reads = clearance_of(sheet, should_stop=should_stop)
        return _Seen(image=image, reads=reads, sheet=sheet, stamped=stamped(results, edition))

    def _on_seen(self, seen: _Seen) -> None:
        self._reads = seen
        self.draft.setText(seen.stamped)
        self.draft.setVisible(bool(seen.stamped))
        self.preview.show_busy(busy=False)
        self.preview.show_picture(seen.image)
        self._show_reading()

    def _on_unseen(self, error: object) -> None:
        self._reads = None
        self.preview.show_busy(busy=False)
        self.preview.say(_sentence(error))

    def _show_reading(self) -> None:
        if self._reads is not None:
            terms = self.choices().terms or self._results.design.terms
            reads, least = self._reads.reads, self.fields.least_mm
            self.preview.show_reading(reads, least, terms, self._offers())

    def _offers(self) -> list[tuple[str, str]]:
        """Return the ways to larger symbols: a wider chart, several pages, fewer repeats."""
        found = []
        wide = self._width_needed()
        if wide is not None:
            found.append(("wider", f"Make it {wide:.0f} mm wide"))
            if wide > _ONE_PAGE_MM and self.choices().pages == "own":
                found.append(("pages", f"{wide:.0f} mm over A4 pages (PDF)"))
        if self.choices().part.shown != "extract":
            found.append(("extract", "Standard extract instead"))
        return found

    def _width_needed(self) -> float | None:
        """Return the printed width, in whole mm, at which no symbol is too small."""
        if self._reads is None:
            return None
        factor = self.fields.least_mm / max(self._reads.reads.smallest_mm, 0.01)
        wide = width_for(self._reads.sheet, factor)
        if wide is None or wide > WIDEST_MM:
            return None
        return float(math.ceil(wide + 0.01))

    def _take_offer(self, name: str) -> None:
        wide = self._width_needed()
        if name == "extract":
            self.fields.shown.setCurrentIndex(0)
        if wide is None or name == "extract":
            return
        if name == "pages":
            self.fields.pages.setCurrentIndex(1)
            self.fields.tick("chart-pdf")
        self.fields.width_mm.setValue(wide)

    # files

    def _wish_files(self) -> None:
        names = tuple(self.fields.wanted())
        if names:
            self._making.submit(_Making(names=names, choices=self.choices()))
        else:
            self.progress.say("No file is ticked.")

    def _make(self, wish: _Making, should_stop: ShouldStop, progress: Progress) -> Files:
        """Make the files; runs in a worker."""
        work = Work(should_stop, progress)
        return make_files(self._settled(work), wish.names, wish.choices, work, self._kept)

    def _settled(self, work: Work) -> Results:
        """Return the results with the fabric at rest; on any thread."""
        self._results = settled(self._results, work)  # the same for whoever comes first
        return self._results

    def _on_made(self, files: Files) -> None:
        sizes: dict[str, str] = {}
        for export in EXPORTS:
            its = endings([export.name], self.choices(), self._results.design)
            if all(ending in files for ending in its):
                sizes[export.name] = size_text(sum(len(files[ending]) for ending in its))
        self.fields.show_sizes(sizes)
        total = size_text(sum(len(data) for data in files.values()))
        self.progress.say(f"{len(files)} file{'' if len(files) == 1 else 's'}, {total} in all.")

    def _choose_folder(self) -> None:
        name = QFileDialog.getExistingDirectory(self, "Export to", self._folder.text())
        if name:
            self._folder.setText(name)

    def _export(self) -> None:
        names = tuple(self.fields.wanted())
        if not names:
            complain(self, "Nothing was chosen", "Tick at least one file to export")
            return
        if not self._folder.text().strip():
            complain(self, "No folder was chosen", "Type one, or choose one")
            return
        folder = Path(self._folder.text()).expanduser()
        if not self._may_replace(folder, names):
            return
        self._pause.stop()
        self._making.cancel()
        self._set_busy(busy=True)
        self.progress.say("Writing…")
        self._writing.submit(_Making(names=names, choices=self.choices(), folder=folder))

    def _may_replace(self, folder: Path, names: tuple[str, ...]) -> bool:
        """Ask about files that are there already."""
        try:
            there = [
                f"{self._stem}{ending}"
                for ending in endings(names, self.choices(), self._results.design)
                if (folder / f"{self._stem}{ending}").exists()
            ]
        except (OSError, ValueError) as error:
            complain(self, f"{folder} can't be looked into", _sentence(error))
            return False
        if not there:
            return True
        one = len(there) == 1
        box = plain_box(
            self,
            f"{'A file is' if one else f'{len(there)} files are'} there already in {folder}.",
            "\n".join(there),
        )
        replace_it = box.addButton("&Replace", QMessageBox.ButtonRole.AcceptRole)
        box.addButton(QMessageBox.StandardButton.Cancel)
        box.setDefaultButton(QMessageBox.StandardButton.Cancel)
        box.exec()
        return box.clickedButton() is replace_it

    def _write(self, wish: _Making, should_stop: ShouldStop, progress: Progress) -> list[Path]:
        """Make the files and write them; runs in a worker."""
        files = self._make(wish, should_stop, progress)
        assert wish.folder is not None
        if should_stop():
            raise Stopped
        return write_files(files, wish.folder, self._stem)

    def _on_written(self, paths: list[Path]) -> None:
        self.written = paths
        self.accept()

    def _on_not_written(self, error: object) -> None:
        self._set_busy(busy=False)
        self.progress.say("Nothing more was written.")
        complain(self, "The export failed", _sentence(error))

    def _set_busy(self, *, busy: bool) -> None:
        self.progress.show_writing(is_writing=busy)
        for widget in (self.fields, self._folder, self.save):
            widget.setEnabled(not busy)

    def _stop(self) -> None:
        """Give the export up; files are written whole when all are made, so none is there."""
        self._writing.cancel()
        self._set_busy(busy=False)
        self.save.setFocus()
        self.progress.say("Stopped. No file was written.")

    # the end

    def done(self, result: int) -> None:
        """Stop the workers before the sheet goes."""
        for worker in (self._looking, self._making, self._writing):
            worker.cancel()
        self._pause.stop()
        super().done(result)
        for worker in (self._looking, self._making, self._writing):
            worker.close()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close as Cancel does."""
        event.accept()
        self.reject()


def size_text(number: int) -> str:
    """Return a file's size in words."""
    if number < 1000:
        return f"{number} B"
    if number < 1_000_000:
        return f"{number / 1000:.0f} KB"
    return f"{number / 1_000_000:.1f} MB"


def _sentence(error: object) -> str:
    """Return what went wrong, and a way out, in a sentence."""
    match error:
        case PermissionError():
            return f"{error.filename} may not be written to. Choose another folder."
        case FileNotFoundError() | NotADirectoryError() | FileExistsError():
            return f"{error.filename} isn't a folder that can be written to. Choose another one."
        case OSError():
            return f"{error.strerror or error}. Choose another folder, or make room."
        case MemoryError():
            return "There isn't enough memory for this. Choose a smaller width."
        case DesignError():
            text = str(error)
            return f"{text[:1].upper()}{text[1:]}."
        case _:
            return str(error)
