"""The window of paper: choose sheets, look at their pages, print or save them, copy the list."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, cast

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QGuiApplication,
    QIcon,
    QImage,
    QKeySequence,
    QPainter,
    QPixmap,
    QResizeEvent,
    QShortcut,
)
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMessageBox,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain, plain_box
from app.assets import chart_font
from app.computing import LatestWins, ShouldStop
from app.exporting import paper_ending, settled
from app.painting.choices import Choices
from app.painting.pictures import Work
from app.paper.making import KINDS, SHEETS, page_for
from app.paper.sheets import SheetName, Sheets
from app.papers import paper_sheets, paper_table, shopping_words
from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from app.views.figures import counted
from app.views.pages.fields import ChoiceField
from app.views.scrolled import Scrolled, wide_for
from core.booklet.options import PAGES_MM, PageName
from core.design.disk import write_whole
from core.design.document import Hand
from core.errors import Stopped
from core.pipeline import Results

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

_LEFT: Final = 300
_THUMBS: Final = 160
_THUMB_PX: Final = 112
_MOST_THUMBS: Final = 80
_ABOUT: Final[dict[SheetName, str]] = {
    "shopping": "What to buy of each colour, with room for its dye lot",
    "card": "A slot for every colour to tie a snip of yarn to",
    "ruler": "Every row at its true height, to lay along the work",
    "stripes": "Every stripe to tick off, and where its tails fall",
}
_FILES: Final[dict[SheetName, str]] = {
    "shopping": "-shopping.pdf",
    "card": "-yarn-card.pdf",
    "ruler": "-stripe-ruler.pdf",
    "stripes": "-stripes.pdf",
}
_ALL: Final = "-paper.pdf"
_NOTHING: Final = "Nothing is ticked: tick a sheet to see its pages."


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Wish:
    """Pages that are wanted, or something to be done with them."""

    results: Results
    names: tuple[SheetName, ...]
    choices: Choices


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Made:
    """Pages and small pictures of them."""

    wish: _Wish
    sheets: Sheets
    thumbs: tuple[QImage, ...]


def make(request: Any, should_stop: ShouldStop) -> Made:
    """Return pages with their small pictures; runs in a worker."""
    sheets = paper_sheets(request.results, request.names, request.choices, should_stop=should_stop)
    thumbs = []
    for number in range(min(len(sheets.pages), _MOST_THUMBS)):
        if should_stop():
            raise Stopped
        thumbs.append(sheets.image(number, _THUMB_PX))
    return Made(wish=request, sheets=sheets, thumbs=tuple(thumbs))


def paint(request: Any, should_stop: ShouldStop) -> tuple[int, QImage]:
    """Return the number and the picture of a page; runs in a worker."""
    sheets, number, width_px = request
    return number, sheets.image(number, width_px)


def do(job: Any, should_stop: ShouldStop) -> str:
    """Write a file, fill a printer or make a text; return what is to be said or copied."""
    kind, wish, target = job
    if kind == "text":
        return shopping_words(wish.results, wish.choices, should_stop=should_stop)
    results = settled(wish.results, Work(should_stop))  # heights that are worked by are at rest
    if kind == "table":
        name = wish.names[0]
        write_whole(target, paper_table(results, name, wish.choices, should_stop=should_stop))
        return f"Saved {target.name}."
    sheets = paper_sheets(results, wish.names, wish.choices, should_stop=should_stop)
    if kind == "print":
        sheets.paint_all(target, target.resolution(), should_stop=should_stop)
        return f"{counted(len(sheets.pages), 'page')} sent to the printer."
    write_whole(target, sheets.pdf(should_stop=should_stop))
    return f"Saved {target.name}."


class PaperDialog(QDialog):
    """Sheets at the left, pages in the middle; follows the open design until it is closed."""

    said = Signal(str)

    def __init__(
        self, results: Results, folder: Path, stem: str, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("On paper")
        self._results, self._folder, self._stem, self._theme = results, folder, stem, theme
        self.made: Made | None = None
        self._shown, self._closed = 0, False
        self._doing, self._told = "", False
        self._target: object = None
        chart_font()  # fonts are added on this thread
        self._maker = LatestWins(make, self)
        self._maker.finished.connect(self._show_made)
        self._maker.failed.connect(self._show_failure)
        self._painter = LatestWins(paint, self)
        self._painter.finished.connect(self._show_page)
        self._painter.failed.connect(self._show_failure)
        self._doer = LatestWins(do, self)
        self._doer.finished.connect(self._on_done)
        self._doer.failed.connect(self._on_not_done)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(Scrolled(self._choices_panel(), self))
        row.addWidget(self._pages_list())
        row.addLayout(self._page_panel(), 1)
        room = self.screen().availableGeometry()
        self.resize(min(1180, room.width() - 80), min(760, room.height() - 80))
        self._ask()
        follow_layout(self)

    # building

    def _choices_panel(self) -> QWidget:
        panel = QWidget(self)
        panel.setFixedWidth(wide_for(self, _LEFT))
        column = QVBoxLayout(panel)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        self.boxes: dict[SheetName, QCheckBox] = {}
        for name, words in zip(SHEETS, ("&Shopping list", "&Yarn card", "Stripe &ruler",
                                        "S&tripe list"), strict=True):  # fmt: skip
            box = QCheckBox(words, panel)
            box.setToolTip(_ABOUT[name])
            box.setAccessibleDescription(_ABOUT[name])
            box.setChecked(name == "shopping")
            box.toggled.connect(lambda *_: self._ask())
            self.boxes[name] = box
            column.addWidget(box)
            about = self._label(panel, quiet=True)
            about.setText(_ABOUT[name])
            about.setContentsMargins(3 * UNIT, 0, 0, UNIT // 2)
            column.addWidget(about)
        self.page = ChoiceField("Paper", (("a4", "A4"), ("letter", "US Letter")))
        self.page.setToolTip("The paper that pages are for")
        self.page.show_value(page_for(None, self._results.design))
        self.hand = ChoiceField(
            "Hand",
            (("", "As in the design"), ("right", "Right-handed"), ("left", "Left-handed")),
        )
        self.hand.setToolTip("Ruler and tails for this working hand")
        self.hand.show_value("")
        form = QFormLayout()
        form.setVerticalSpacing(UNIT)
        form.setHorizontalSpacing(2 * UNIT)
        form.addRow("&Paper", self.page)
        form.addRow("&Hand", self.hand)
        column.addLayout(form)
        for choice in (self.page, self.hand):
            choice.changed.connect(lambda *_: self._ask())
        self.facts = self._label(panel)
        self.facts.setAccessibleName("Pages")
        column.addWidget(self.facts)
        column.addStretch(1)
        column.addLayout(self._buttons(panel))
        return panel

    def _buttons(self, panel: QWidget) -> QGridLayout:
        def button(words: str, tip: str, deed: Any) -> QPushButton:
            found = QPushButton(words, panel)
            found.setToolTip(tip)
            found.setAutoDefault(False)
            found.clicked.connect(lambda: deed())
            return found

        self.print_button = button("Pri&nt…", "Print the pages shown (Ctrl+P)", self.print_pages)
        self.save_button = button("Save P&DF…", "Save the pages shown (Ctrl+S)", self.save)
        self.save_button.setProperty("primary", True)
        self.copy_button = button(
            "&Copy list", "Put the shopping list on the clipboard as plain text", self.copy
        )
        self.table_button = button(
            "Save ta&ble…", "Save shopping list or stripe list for a spreadsheet (CSV)", self.table
        )
        close = button("C&lose", "Close (Esc)", self.reject)
        grid = QGridLayout()
        grid.setSpacing(UNIT)
        grid.addWidget(self.save_button, 0, 0)
        grid.addWidget(self.print_button, 0, 1)
        grid.addWidget(self.copy_button, 1, 0)
        grid.addWidget(self.table_button, 1, 1)
        grid.addWidget(close, 2, 0, 1, 2)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Save), self, self.save)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Print), self, self.print_pages)
        return grid

    def _label(self, parent: QWidget, *, quiet: bool = False) -> QLabel:
        label = QLabel(parent)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        label.setProperty("quiet", quiet)
        return label

    def _pages_list(self) -> QListWidget:
        self.thumbs = QListWidget(self)
        self.thumbs.setFixedWidth(_THUMBS)
        self.thumbs.setViewMode(QListWidget.ViewMode.IconMode)
        self.thumbs.setFlow(QListWidget.Flow.TopToBottom)
        self.thumbs.setWrapping(False)
        self.thumbs.setMovement(QListWidget.Movement.Static)
        self.thumbs.setSpacing(UNIT // 2)
        self.thumbs.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.thumbs.setAccessibleName("Pages")
        self.thumbs.setToolTip("Choose a page to look at")
        self.thumbs.currentRowChanged.connect(self._on_page)
        return self.thumbs

    def _page_panel(self) -> QVBoxLayout:
        self.status = self._label(self, quiet=True)
        self.status.setAccessibleName("State of the pages")
        self.sheet = QLabel(self)
        self.sheet.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.sheet.setAccessibleName("The page")
        self.view = QScrollArea(self)
        self.view.setWidget(self.sheet)
        self.view.setWidgetResizable(True)
        self.view.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.view.setAccessibleName("The page")
        self.wide = QCheckBox("As &wide as there is room", self)
        self.wide.setToolTip("Show the page large, to read it, instead of whole")
        self.wide.toggled.connect(lambda *_: self._ask_page())
        top = QHBoxLayout()
        top.addWidget(self.status, 1)
        top.addWidget(self.wide)
        column = QVBoxLayout()
        column.setSpacing(UNIT)
        column.addLayout(top)
        column.addWidget(self.view, 1)
        return column

    # what is chosen

    @property
    def names(self) -> tuple[SheetName, ...]:
        """The sheets that are ticked."""
        return tuple(name for name, box in self.boxes.items() if box.isChecked())

    @property
    def choices(self) -> Choices:
        """What is chosen about them."""
        hand = self.hand.currentData()
        return Choices(
            paper=cast("PageName", self.page.currentData()),
            hand=cast("Hand", hand) if hand else None,
        )

    def _wish(self) -> _Wish:
        return _Wish(results=self._results, names=self.names, choices=self.choices)

    def show_results(self, results: Results) -> None:
        """Follow the design."""
        if not self._closed:
            self._results = results
            self._ask()

    # pages

    def _ask(self) -> None:
        """Have the pages made anew."""
        self._told = False
        names = self.names
        tables = [name for name in ("shopping", "stripes") if name in names]
        self.table_button.setEnabled(bool(tables))
        if names:
            self.status.setText("Laying out the pages…")
            self._maker.submit(self._wish())
            return
        self._maker.cancel()
        self._painter.cancel()
        self.made = None
        self.thumbs.clear()
        self.sheet.clear()
        self.facts.setText("")
        self.status.setText(_NOTHING)
        self._let(may=False)

    def _let(self, *, may: bool) -> None:
        for button in (self.save_button, self.print_button):
            button.setEnabled(may)

    def _show_made(self, made: Made) -> None:
        self.made = made
        self._let(may=not self._doing)
        pages = made.sheets.pages
        parts = [
            f"{KINDS[name]}: {counted(sum(page.kind == KINDS[name] for page in pages), 'page')}"
            for name in made.wish.names
        ]
        if not made.wish.results.fabric.settled:
            parts.append("Heights are a first sketch; what is saved or printed has settled")
        if len(pages) > len(made.thumbs):
            parts.append(f"The first {len(made.thumbs)} are shown; all are saved and printed")
        self.facts.setText("\n".join(f"{part}." for part in parts))
        self.thumbs.blockSignals(True)
        self.thumbs.clear()
        self.thumbs.setIconSize(made.thumbs[0].size())
        for place, image in enumerate(made.thumbs):
            pixmap = QPixmap.fromImage(image)
            with QPainter(pixmap) as painter:
                painter.setPen(QColor(self._theme.tones.hairline))
                painter.drawRect(pixmap.rect().adjusted(0, 0, -1, -1))
            icon = QIcon(pixmap)
            icon.addPixmap(pixmap, QIcon.Mode.Selected)
            item = QListWidgetItem(icon, str(place + 1))
            said = f"Page {place + 1}, {pages[place].kind}"
            item.setData(Qt.ItemDataRole.AccessibleTextRole, said)
            item.setToolTip(said)
            item.setSizeHint(QSize(_THUMBS - 4 * UNIT, image.height() + 3 * UNIT))
            self.thumbs.addItem(item)
        self._shown = min(self._shown, len(made.thumbs) - 1)
        self.thumbs.setCurrentRow(self._shown)
        self.thumbs.blockSignals(False)
        self._ask_page()

    def _on_page(self, number: int) -> None:
        self._shown, self._told = max(number, 0), False
        self._ask_page()

    def _ask_page(self) -> None:
        if self.made is None:
            return
        fine = self.devicePixelRatioF()
        room = self.view.viewport().size()
        wide, high = PAGES_MM[self.made.sheets.paper]
        width = min((room.height() - UNIT) * wide / high, room.width() - UNIT)
        if self.wide.isChecked():
            width = room.width() - 3 * UNIT
        width_px = min(max(round(width * fine), 60), 4000)
        self._painter.submit((self.made.sheets, self._shown, width_px))

    def _show_page(self, answer: tuple[int, QImage]) -> None:
        place, image = answer
        if self.made is None or place >= len(self.made.sheets.pages):
            return
        image.setDevicePixelRatio(self.devicePixelRatioF())
        self.sheet.setPixmap(QPixmap.fromImage(image))
        page = self.made.sheets.pages[place]
        if not self._doing and not self._told:  # what was done is to be read first
            self.status.setText(f"Page {place + 1} of {len(self.made.sheets.pages)}: {page.kind}.")

    def _show_failure(self, error: object) -> None:
        self.status.setText(f"The pages couldn't be made: {error}.")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page as large as there is room for."""
        super().resizeEvent(event)
        self._ask_page()

    # deeds

    def copy(self) -> None:
        """Put the shopping list on the clipboard."""
        self._start("text", None)

    def save(self) -> None:
        """Ask where to, and save the pages shown as PDF."""
        if not self.save_button.isEnabled():
            return
        names = self.names
        ending = _FILES[names[0]] if len(names) == 1 else _ALL
        path = self._asked(paper_ending(ending, self.choices, self._results.design), "PDF")
        if path is not None:
            self._start("pdf", path)

    def table(self) -> None:
        """Ask where to, and save a list as a table; the shopping list if both are ticked."""
        name: SheetName = "shopping" if "shopping" in self.names else "stripes"
        ending = _FILES[name].replace(".pdf", ".csv")
        path = self._asked(paper_ending(ending, self.choices, self._results.design), "CSV")
        if path is not None:
            self._start("table", path, (name,))

    def print_pages(self) -> None:
        """Ask for a printer, and print the pages shown at their true size."""
        if not self.print_button.isEnabled() or self.made is None:
            return
        try:
            printer = self.asked_printer()
        except ImportError:
            complain(self, "There is no way to print here", "Save a PDF and print that")
            return
        if printer is not None:
            self._start("print", printer)

    def asked_printer(self) -> "QPrinter | None":
        """Ask for a printer with the paper chosen and no scaling; None if the user gives up."""
        # A library of its own that only printing needs.
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter

        assert self.made is not None
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setDocName(self.made.sheets.title)
        printer.setFullPage(True)
        printer.setPageLayout(self.made.sheets.layout())
        dialog = QPrintDialog(printer, self)
        dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange, on=False)
        return printer if dialog.exec() == QDialog.DialogCode.Accepted else None

    def _asked(self, ending: str, kind: str) -> Path | None:
        """Ask for a file; one whose name had to be completed is asked about here."""
        start = str(self._folder / f"{self._stem}{ending}")
        suffix = f".{kind.lower()}"
        name, _ = QFileDialog.getSaveFileName(
            self, f"Save {kind}", start, f"{kind} files (*{suffix})"
        )
        if not name:
            return None
        path = Path(name)
        if path.suffix.lower() != suffix:
            path = path.with_name(path.name + suffix)
            if path.exists() and not self._may_replace(path):
                return None
        return path

    def _may_replace(self, path: Path) -> bool:
        box = plain_box(self, f"{path.name} is there already. Replace it?")
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Yes | button.Cancel)
        box.setDefaultButton(button.Cancel)
        return box.exec() == button.Yes

    def _start(self, kind: str, target: object, names: tuple[SheetName, ...] | None = None) -> None:
        wish = self._wish()
        if names is not None:
            wish = _Wish(results=wish.results, names=names, choices=wish.choices)
        self._doing = kind
        self._let(may=False)
        self.status.setText("Printing…" if kind == "print" else "Working…")
        self._target = target
        self._doer.submit((kind, wish, target))

    def _on_done(self, said: str) -> None:
        if self._doing == "text":
            QGuiApplication.clipboard().setText(said)
            said = "The shopping list is on the clipboard."
        elif isinstance(self._target, Path):
            self._folder = self._target.parent
        self._finish(said)

    def _on_not_done(self, error: object) -> None:
        words = {"print": "printed", "text": "copied"}.get(self._doing, "saved")
        self._finish("")
        reason = error.strerror if isinstance(error, OSError) else ""
        complain(self, f"The sheets couldn't be {words}", reason or str(error))

    def _finish(self, said: str) -> None:
        self._doing, self._target = "", None
        self._let(may=self.made is not None)
        self.status.setText(said)
        self._told = bool(said)
        if said:
            self.said.emit(said)

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._closed = True
        for worker in (self._maker, self._painter, self._doer):
            worker.close()
        super().done(result)
