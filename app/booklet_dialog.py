"""The booklet window: choose an edition, look at its pages, save it."""

from dataclasses import replace
from pathlib import Path
from typing import Final, cast

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QColor,
    QIcon,
    QImage,
    QKeySequence,
    QPainter,
    QPixmap,
    QResizeEvent,
    QShortcut,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QCheckBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMessageBox,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain, plain_box
from app.booklet_preview import Made, Maker, Request, paint
from app.booklets import booklet_ending
from app.computing import LatestWins
from app.theme import UNIT, Theme
from app.views.figures import counted, number
from app.views.pages.fields import ChoiceField, NumberField
from core.booklet.options import EDITIONS, EditionName, Options, PageName, edition_of
from core.craft.stitches import Terms
from core.design.disk import write_whole
from core.design.document import Hand
from core.pipeline import Results

_LEFT: Final = 300
_THUMBS: Final = 160
_PATIENCE_MS: Final = 15_000  # before a fabric that is left unsettled is settled here
_QUIET_MS: Final = 400  # without a change before a file is made
_ZOOMS: Final = (
    ("page", "Whole page"),
    ("width", "Page width"),
    ("100", "100 %"),
    ("150", "150 %"),
    ("200", "200 %"),
)
_PX_PER_PT_AT_100: Final = 96 / 72


class BookletDialog(QDialog):
    """Editions at the left, pages in the middle; follows the open design until it is closed."""

    said = Signal(str)

    def __init__(
        self, results: Results, folder: Path, stem: str, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Booklet")
        self._results, self._folder, self._stem, self._theme = results, folder, stem, theme
        self.made: Made | None = None
        self.saved: Path | None = None
        self._shown, self._closed = 0, False
        self._thumbs_of: tuple[QImage, ...] = ()
        self._maker = LatestWins(Maker(), self)
        self._maker.finished.connect(self._show_made)
        self._maker.failed.connect(self._show_failure)
        self._painter = LatestWins(paint, self)
        self._painter.finished.connect(self._show_page)
        self._painter.failed.connect(self._show_failure)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(lambda: self._ask(settled=True))
        self._quiet = QTimer(self)  # the file takes longer than the pages and can wait
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(_QUIET_MS)
        self._quiet.timeout.connect(self._ask_file)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(self._choices_panel())
        row.addWidget(self._pages_list())
        row.addLayout(self._page_panel(), 1)
        self.resize(1180, 760)
        self._show_about()
        self._ask()

    # building

    def _choices_panel(self) -> QWidget:
        panel = QWidget(self)
        panel.setFixedWidth(_LEFT)
        column = QVBoxLayout(panel)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        self.editions = QButtonGroup(self)
        for edition in EDITIONS:
            button = QRadioButton(edition.name, panel)
            button.setToolTip(edition.about)
            button.setAccessibleDescription(edition.about)
            button.setProperty("edition", edition.key)
            self.editions.addButton(button)
            column.addWidget(button)
        self._chosen: EditionName = "full"
        self.editions.buttons()[0].setChecked(True)
        self.editions.buttonClicked.connect(self._on_edition)
        self.about = self._label(panel, quiet=True)
        column.addWidget(self.about)
        design = self._results.design
        self.page = ChoiceField("Paper", (("a4", "A4"), ("letter", "US Letter")))
        self.page.setToolTip("The paper that PDF pages are for")
        self.page.show_value("letter" if design.units == "in" else "a4")
        self.terms = ChoiceField(
            "Terms", (("", "As in the design"), ("US", "US terms"), ("UK", "UK terms"))
        )
        self.terms.setToolTip("The terms the booklet is written in")
        self.terms.show_value("")
        self.hand = ChoiceField(
            "Hand",
            (("", "As in the design"), ("right", "Right-handed"), ("left", "Left-handed")),
        )
        self.hand.setToolTip("Chart, picture and row sides for this working hand")
        self.hand.show_value("")
        self.other_size = QCheckBox("Another si&ze", panel)
        self.other_size.setToolTip("Make the booklet for another number of repeats and rows")
        self.repeats = NumberField("Repeats", (1, 1000))
        self.repeats.setToolTip("Repeats between the edges")
        self.rows = NumberField("Rows", (1, 5000))
        self.rows.setToolTip("Rows of the whole blanket")
        form = QFormLayout()
        form.setVerticalSpacing(UNIT)
        form.setHorizontalSpacing(2 * UNIT)
        for text, field in (
            ("&Paper", self.page),
            ("&Terms", self.terms),
            ("&Hand", self.hand),
            ("", self.other_size),
            ("&Repeats", self.repeats),
            ("Ro&ws", self.rows),
        ):
            form.addRow(text, field)
        column.addLayout(form)
        for choice in (self.page, self.terms, self.hand):
            choice.changed.connect(lambda *_: self._on_choice())
        for field in (self.repeats, self.rows):
            field.changed.connect(lambda *_: self._on_choice())
        self.other_size.toggled.connect(lambda _: self._on_choice())
        self.facts = self._label(panel)
        self.facts.setAccessibleName("Pages, file size and ink")
        column.addWidget(self.facts)
        self.contents = self._label(panel, quiet=True)
        self.contents.setAccessibleName("Contents")
        column.addWidget(self.contents)
        self.trouble = self._label(panel)
        self.trouble.setProperty("trouble", True)
        column.addWidget(self.trouble)
        column.addStretch(1)
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
        column.addLayout(buttons)
        return panel

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
        self.zoom = ChoiceField("Zoom", _ZOOMS)
        self.zoom.setToolTip("How large the page is shown")
        self.zoom.setMinimumContentsLength(10)
        self.zoom.show_value("page")
        self.zoom.changed.connect(lambda *_: self._ask_page())
        self.status = self._label(self, quiet=True)
        label = QLabel("&Zoom", self)
        label.setBuddy(self.zoom)
        top = QHBoxLayout()
        top.setSpacing(UNIT)
        top.addWidget(self.status, 1)
        top.addWidget(label)
        top.addWidget(self.zoom)
        self.sheet = QLabel(self)
        self.sheet.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.sheet.setAccessibleName("The page")
        self.view = QScrollArea(self)
        self.view.setWidget(self.sheet)
        self.view.setWidgetResizable(True)
        self.view.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.view.setAccessibleName("The page")
        column = QVBoxLayout()
        column.setSpacing(UNIT)
        column.addLayout(top)
        column.addWidget(self.view, 1)
        return column

    # choices

    @property
    def options(self) -> Options:
        """What is chosen."""
        other = self.other_size.isChecked()
        terms, hand = self.terms.currentData(), self.hand.currentData()
        return Options(
            edition=self._chosen,
            page=cast("PageName", self.page.currentData()),
            terms=cast("Terms", terms) if terms else None,
            hand=cast("Hand", hand) if hand else None,
            repeats=round(self.repeats.value()) if other else None,
            rows=round(self.rows.value()) if other else None,
        )

    def choose_edition(self, key: EditionName) -> None:
        """Choose an edition, as by a click."""
        for button in self.editions.buttons():
            if button.property("edition") == key:
                button.click()

    def show_results(self, results: Results) -> None:
        """Follow the design."""
        if self._closed:
            return
        self._results = results
        self._show_about()
        self._ask()

    def _on_edition(self, button: QAbstractButton) -> None:
        self._chosen = cast("EditionName", button.property("edition"))
        self._shown = 0
        self._on_choice()

    def _on_choice(self) -> None:
        self._show_about()
        self._ask()

    def _show_about(self) -> None:
        options, size = self.options, self._results.design.size
        edition = edition_of(options.edition)
        self.about.setText(edition.about)
        self.page.setEnabled(edition.has_pages)
        for field in (self.repeats, self.rows):
            field.setEnabled(self.other_size.isChecked())
        if not self.other_size.isChecked():
            self.repeats.show_value(size.repeats)
            self.rows.show_value(size.rows)

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
        self._request = Request(self._results, self.options, settled)
        self._maker.submit(self._request)

    def _ask_file(self) -> None:
        self._maker.submit(replace(self._request, with_file=True))

    def _say_busy(self) -> None:
        self.save_button.setEnabled(False)
        self.status.setText("Laying out the pages…")

    def _show_made(self, made: Made) -> None:
        self.made = made
        self.save_button.setEnabled(made.settled and made.data is not None)
        if made.data is None:
            self._quiet.start()
        kind = "page" if made.laid else "screen"
        size = "size follows" if made.data is None else _size_text(len(made.data))
        lines = [
            f"{counted(made.n_pages, kind)}, {size}",
            f"Ink: {number(100 * sum(made.ink) / len(made.ink), 1)} % of the paper is covered"
            if made.laid
            else "Nothing to print: it is read on a screen or aloud",
        ]
        if made.laid:
            most = max(range(made.n_pages), key=lambda n: made.ink[n])
            lines[-1] += f", most on page {most + 1} ({number(100 * made.ink[most])} %)"
        self.facts.setText("\n".join(f"{line}." for line in lines))
        self.contents.setText(f"Contains: {', '.join(made.contents)}.")
        reasons = " ".join(made.draft[:2])
        self.trouble.setText(
            f"{counted(len(made.draft), 'error')} open: stamped DRAFT. {reasons}" if reasons else ""
        )
        if self._thumbs_of is not made.thumbs:
            self._fill_thumbs(made)
            self._ask_page()

    def _fill_thumbs(self, made: Made) -> None:
        self._thumbs_of = made.thumbs
        self.thumbs.blockSignals(True)
        self.thumbs.clear()
        self.thumbs.setIconSize(made.thumbs[0].size())
        for place, image in enumerate(made.thumbs):
            pixmap = QPixmap.fromImage(image)
            with QPainter(pixmap) as painter:
                painter.setPen(QColor(self._theme.tones.hairline))
                painter.drawRect(pixmap.rect().adjusted(0, 0, -1, -1))
            icon = QIcon(pixmap)
            icon.addPixmap(pixmap, QIcon.Mode.Selected)  # not tinted: its number is
            item = QListWidgetItem(icon, str(place + 1))
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"Page {place + 1}")
            item.setSizeHint(QSize(_THUMBS - 4 * UNIT, image.height() + 3 * UNIT))
            self.thumbs.addItem(item)
        self._shown = min(self._shown, made.n_pages - 1)
        self.thumbs.setCurrentRow(self._shown)
        self.thumbs.blockSignals(False)

    def _show_failure(self, error: object) -> None:
        self.status.setText(f"The booklet couldn't be made: {error}.")

    # the page

    def _on_page(self, number_: int) -> None:
        self._shown = max(number_, 0)
        self._ask_page()

    def _ask_page(self) -> None:
        if self.made is not None:
            fine = self.devicePixelRatioF()
            width = round(self._page_width() * fine)
            self._painter.submit((self.made, self._shown, min(max(width, 60), 4000)))

    def _page_width(self) -> float:
        """Return the width that the page is shown at, in the screen's own points."""
        assert self.made is not None
        room, zoom = self.view.viewport().size(), self.zoom.currentData()
        thumb = self.made.thumbs[0]
        if zoom == "page":
            fit = (room.height() - UNIT) * thumb.width() / thumb.height()
            return min(fit, room.width() - UNIT)
        if zoom == "width":
            return room.width() - 3 * UNIT
        laid = self.made.laid
        natural = laid.paper.width / 10 * _PX_PER_PT_AT_100 if laid else 816.0
        return natural * int(zoom) / 100

    def _show_page(self, answer: tuple[int, QImage]) -> None:
        place, image = answer
        image.setDevicePixelRatio(self.devicePixelRatioF())
        self.sheet.setPixmap(QPixmap.fromImage(image))
        made = self.made
        if made is None or place >= made.n_pages:
            return
        text = f"{'Page' if made.laid else 'Screen'} {place + 1} of {made.n_pages}"
        if not made.settled:
            text += ". A first sketch: it can be saved once the stitches have settled"
        self.status.setText(f"{text}.")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page as large as there is room for."""
        super().resizeEvent(event)
        if self.zoom.currentData() in ("page", "width"):
            self._ask_page()

    # saving

    def save(self) -> None:
        """Ask where to and save what is shown."""
        made = self.made
        if made is None or made.data is None or not self.save_button.isEnabled():
            return
        ending = booklet_ending(made.options, self._results.design)
        kind = "HTML files (*.html)" if made.laid is None else "PDF files (*.pdf)"
        start = str(self._folder / f"{self._stem}{ending}")
        name, _ = QFileDialog.getSaveFileName(self, "Save booklet", start, kind)
        if not name:
            return
        path, suffix = Path(name), Path(ending).suffix
        if path.suffix.lower() != suffix:
            path = path.with_name(path.name + suffix)
            if path.exists() and not self._may_replace(path):
                return
        self.save_to(path, made.data)

    def _may_replace(self, path: Path) -> bool:
        """Ask about a file that the dialog couldn't ask about, as its name was completed."""
        box = plain_box(self, f"{path.name} is there already. Replace it?")
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Yes | button.Cancel)
        box.setDefaultButton(button.Cancel)
        return box.exec() == button.Yes

    def save_to(self, path: Path, data: bytes) -> None:
        """Write a booklet's file whole."""
        try:
            write_whole(path, data)
        except OSError as error:
            complain(self, "The booklet couldn't be saved", error.strerror or str(error))
            return
        self.saved = path
        self._folder = path.parent
        self.status.setText(f"Saved {path.name}, {_size_text(len(data))}.")
        self.said.emit(f"Saved {path.name}")

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._closed = True
        self._patience.stop()
        self._quiet.stop()
        self._maker.close()
        self._painter.close()
        super().done(result)


def _size_text(size: int) -> str:
    if size < 1_000_000:
        return f"{number(max(size / 1000, 1))} kB"
    return f"{number(size / 1e6, 1)} MB"
