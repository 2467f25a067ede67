"""The window of paper: choose sheets, look at their pages, print or save them, copy the list."""

from pathlib import Path
from typing import Any, Final, cast

from PySide6.QtGui import QGuiApplication, QImage, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QGridLayout,
    QPushButton,
    QWidget,
)

from app.asking import asked_path, complain
from app.computing import LatestWins
from app.exporting import paper_ending
from app.pages_dialog import PagesDialog
from app.painting.choices import Choices
from app.paper.making import KINDS, SHEETS, page_for
from app.paper.sheets import SheetName
from app.paper_work import Job, Made, Wish, do, make, paint
from app.printing import asked_printer
from app.stopping import STOPPED, STOPPING
from app.theme import UNIT, Theme
from app.views.figures import counted
from app.views.pages.fields import ChoiceField
from core.booklet.options import PAGES_MM, PageName
from core.craft.units import MM_PER_IN
from core.design.document import Hand
from core.pipeline import Results

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


class PaperDialog(PagesDialog):
    """Sheets at the left, pages in the middle; follows the open design until it is closed."""

    def __init__(
        self, results: Results, folder: Path, stem: str, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__("On paper", results, (folder, stem), theme, make, paint, parent)
        self.made: Made | None = None
        self._job: Job | None = None  # what is being done
        self._told, self._place = False, 0
        self._doer = LatestWins(do, self)
        self._doer.finished.connect(self._on_done)
        self._doer.failed.connect(self._on_not_done)
        self.lay_out(self._choices_panel())
        self._ask()

    # building

    def _choices_panel(self) -> QWidget:
        panel, column = self.panel()
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
            about = self.label(panel, quiet=True)
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
        self.facts = self.label(panel)
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
        close = button("C&lose", "Stop or close (Esc)", self.reject)
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

    def _wish(self, names: tuple[SheetName, ...] | None = None) -> Wish:
        return Wish(results=self._results, names=names or self.names, choices=self.choices)

    def show_results(self, results: Results) -> None:
        """Follow the design."""
        if not self._closed:
            self._results = results
            self._ask()

    # pages

    def _ask(self) -> None:
        """Have the pages made anew."""
        self._told = False
        if self.names:
            self.pages.status.setText("Laying out the pages…")
            self._maker.submit(self._wish())
        else:
            self._maker.cancel()
            self._painter.cancel()
            self.made = None
            self.pages.clear()
            self.facts.setText("")
            self.pages.status.setText(_NOTHING)
        self._let()

    def _let(self) -> None:
        """Allow what can be done: one thing at a time, or one would break off another."""
        is_free = self._job is None
        for button in (self.save_button, self.print_button):
            button.setEnabled(is_free and self.made is not None)
        self.copy_button.setEnabled(is_free)
        self.table_button.setEnabled(is_free and self._table is not None)

    def _show_made(self, made: Made) -> None:
        self.made = made
        self._let()
        kinds = [page.kind for page in made.sheets.pages]
        parts = [
            f"{KINDS[name]}: {counted(kinds.count(KINDS[name]), 'page')}"
            for name in made.wish.names
        ]
        if not made.wish.results.fabric.settled:
            parts.append("Heights are a first sketch; what is saved or printed has settled")
        if len(kinds) > len(made.thumbs):
            parts.append(f"The first {len(made.thumbs)} are shown; all are saved and printed")
        self.facts.setText("\n".join(f"{part}." for part in parts))
        wide_in = PAGES_MM[made.sheets.paper][0] / MM_PER_IN
        self.pages.show_pages(made.thumbs, wide_in=wide_in, kinds=kinds)

    def _ask_page(self, place: int, width_px: int) -> None:
        if self.made is not None:
            self._told = self._told and place == self._place
            self._place = place
            self._painter.submit((self.made.sheets, place, width_px))

    def _show_page(self, answer: tuple[int, QImage]) -> None:
        place, image = answer
        if self.made is None or place >= len(self.made.sheets.pages):
            return
        self.pages.show_page(image)
        page = self.made.sheets.pages[place]
        if self._job is None and not self._told:  # what was done is to be read first
            many = len(self.made.sheets.pages)
            self.pages.status.setText(f"Page {place + 1} of {many}: {page.kind}.")

    # deeds

    def copy(self) -> None:
        """Put the shopping list on the clipboard."""
        self._start(Job("text", self._wish()))

    def save(self) -> None:
        """Ask where to, and save the pages shown as PDF."""
        if not self.save_button.isEnabled():
            return
        names = self.names
        path = self._asked(_FILES[names[0]] if len(names) == 1 else _ALL, "PDF")
        if path is not None:
            self._start(Job("pdf", self._wish(names), path))

    @property
    def _table(self) -> SheetName | None:
        """The list that is saved as a table: the shopping list if both are ticked."""
        tables: tuple[SheetName, ...] = ("shopping", "stripes")
        return next((name for name in tables if name in self.names), None)

    def table(self) -> None:
        """Ask where to, and save a list as a table."""
        name = self._table
        if name is None:
            return
        path = self._asked(_FILES[name].replace(".pdf", ".csv"), "CSV")
        if path is not None:
            self._start(Job("table", self._wish((name,)), path))

    def print_pages(self) -> None:
        """Ask for a printer, and print the pages shown at their true size."""
        if not self.print_button.isEnabled():
            return
        assert self.made is not None
        printer = asked_printer(self, self.made.sheets)
        if printer is not None:
            self._start(Job("print", self._wish(), printer))

    def _asked(self, ending: str, kind: str) -> Path | None:
        """Ask for a file."""
        ending = paper_ending(ending, self.choices, self._results.design)
        suffix = f".{kind.lower()}"
        start = self._folder / f"{self._stem}{ending}"
        return asked_path(self, f"Save {kind}", start, f"{kind} files (*{suffix})", suffix)

    def _start(self, job: Job) -> None:
        if self._job is not None:
            return
        self._job = job
        self._let()
        self.pages.status.setText("Printing…" if job.deed == "print" else "Working…")
        self._doer.submit(job)

    def _on_done(self, said: str) -> None:
        assert self._job is not None
        if said == STOPPED:
            self._finish(said)
            return
        if self._job.deed == "text":
            QGuiApplication.clipboard().setText(said)
            said = "The shopping list is on the clipboard."
        elif isinstance(self._job.target, Path):
            self._folder = self._job.target.parent
            self.written.emit(self._folder)
            said = f"{said.removesuffix('.')} in {self._folder}"
        self._finish(said)

    def _on_not_done(self, error: object) -> None:
        assert self._job is not None
        words = {"print": "printed", "text": "copied"}.get(self._job.deed, "saved")
        self._finish("")
        reason = error.strerror if isinstance(error, OSError) else ""
        complain(self, f"The sheets couldn't be {words}", reason or str(error))

    def _finish(self, said: str) -> None:
        self._job = None
        self._let()
        self.pages.status.setText(said)
        self._told = bool(said)
        if said:
            self.said.emit(said)

    def reject(self) -> None:
        """Stop what is being written or printed; if nothing is, close."""
        if self._job is None or self._job.stop():
            super().reject()
            return
        self._job.stop.wish()
        self.pages.status.setText(STOPPING)

    def done(self, result: int) -> None:
        """Stop the work and close."""
        if self._job is not None:
            self._job.stop.wish()
        self._doer.close()
        super().done(result)
