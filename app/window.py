"""The window: puts the views together and carries wishes to the session; nothing else."""

from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QSettings, QSize, Qt
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QIcon,
    QKeySequence,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_entry, plain_tip, plain_title
from app.chart_copy import ChartCopy
from app.choosers import Choosers
from app.computing import LiveResults
from app.depicting import written_pattern
from app.details_dialog import DetailsDialog
from app.documents import Documents, designs_in
from app.export_dialog import ExportDialog
from app.helping import Helping
from app.keeping.keeper import Keeper
from app.menus import make_menus
from app.palettes import Palettes
from app.pictures import is_picture_name
from app.recovery_dialog import Recovery
from app.session import Session
from app.theme import UNIT, Look, Theme
from app.version_keeping import VersionKeeping
from app.views.busy import BusyNote
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from app.views.figures import counted
from app.views.knowing import explain_figures
from app.views.pages.checks import ChecksPage
from app.views.pages.colour import ColourPage
from app.views.pages.edging import EdgingPage
from app.views.pages.stripes import StripesPage
from app.views.pages.swatch import SwatchPage
from app.views.pages.versions import VersionsPage
from app.views.pages.words import WordsPage
from app.views.pages.yarn import YarnPage
from app.views.pointing import stitch_text
from app.views.sentence import Sentence
from app.views.stripe_strip import StripeStrip
from app.views.wave_band import WaveBand
from app.views.wave_controls import WaveControls
from app.views.wave_tools import WaveTools
from core.craft.stitches import Terms
from core.design.document import Design
from core.design.edits import set_values
from core.pipeline import Results
from core.rows.starters import starter
from core.rows.waves import Family

_PAGE_WIDTH: Final = 320
_WIDE_ENOUGH: Final = 1500  # from here on a page is open at first


class Window(QMainWindow):
    """Dipslope's window."""

    def __init__(
        self, session: Session, theme: Theme, settings: QSettings, keep_in: Path | None = None
    ) -> None:
        super().__init__()
        self.session = session
        session.setParent(self)  # ends with it; left to the collector, its steps crash Qt
        self._theme = theme
        self._settings = settings
        self.live = LiveResults(self)
        beside = Path(settings.fileName()).parent / "kept"
        self.keeper = Keeper(session, keep_in or beside, self)
        self.documents = Documents(session, self, settings, self.keeper)
        self.recovery = Recovery(session, self.keeper, self.documents, self)
        self.sentence = Sentence(theme, self)
        self.chart = ChartView(theme, self)
        self.chart_copy = ChartCopy(self)
        self.strip = StripeStrip(theme, self)
        self.fabric = FabricView(theme, self)
        self.wave = WaveBand(theme, self)
        self.wave_tools = WaveTools(self.wave)
        self.wave_controls = WaveControls(theme, self)
        self.swatch = SwatchPage(theme, self)
        self.yarn = YarnPage(theme, self)
        self.words = WordsPage(theme, lambda results: written_pattern(results).plain, self)
        self.checks = ChecksPage(theme, self)
        self.edging = EdgingPage(theme, self)
        self.colour = ColourPage(theme, self)
        self.palettes = Palettes(session, theme, self.documents, self)
        self.stripes = StripesPage(theme, self.strip.deeds, self)
        self.versions = VersionsPage(theme, self)
        self.version_keeping = VersionKeeping(
            session, self.keeper, self.documents, self.versions, self
        )
        self.pages = (
            self.swatch,
            self.yarn,
            self.words,
            self.checks,
            self.edging,
            self.colour,
            self.stripes,
            self.versions,
        )
        self.helping = Helping(self.live, self.chart, theme, self)
        self.helping.speak_of(lambda: self.yarn.chosen_yarn)
        explain_figures(self, self.helping.know)
        self.choosers = Choosers(session, self.live, self.documents, theme, self)
        self._build()
        self._recent = make_menus(self)
        self._fill_recent()
        self._wire()
        self.setAcceptDrops(True)
        self.resize(1280, 800)
        self._show_design(session.design)
        self._show_title()

    def sizeHint(self) -> QSize:
        """Return a size that fits a small screen."""
        return QSize(1280, 720)

    # building

    def _build(self) -> None:
        self._terms = QButtonGroup(self)
        switch = QWidget(self)
        row = QHBoxLayout(switch)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        for terms in ("US", "UK"):
            button = QToolButton(switch)
            button.setText(terms)
            button.setCheckable(True)
            button.setToolTip(f"Write everything in {terms} terms")
            button.clicked.connect(partial(self._set_terms, terms))
            self._terms.addButton(button)
            row.addWidget(button)
        self.export_button = QPushButton("Export…", self)
        self.export_button.setProperty("primary", True)
        self.export_button.clicked.connect(self.export)
        top = QWidget(self)
        bar = QHBoxLayout(top)
        bar.setContentsMargins(2 * UNIT, UNIT, 2 * UNIT, UNIT)
        bar.setSpacing(UNIT)
        bar.addWidget(self.sentence, 1)
        bar.addWidget(switch, 0, Qt.AlignmentFlag.AlignTop)
        bar.addWidget(self.export_button, 0, Qt.AlignmentFlag.AlignTop)
        self._middle = QSplitter(Qt.Orientation.Horizontal, self)
        self._middle.setChildrenCollapsible(False)
        self._chart_box = self._chart_panel()
        self._middle.addWidget(self._chart_box)
        self._middle.addWidget(self.fabric)
        self._middle.setSizes([560, 520])
        wave = QWidget(self)
        wave_row = QHBoxLayout(wave)
        wave_row.setContentsMargins(0, 0, 0, 0)
        wave_row.setSpacing(0)
        wave_row.addWidget(self.wave, 1)
        wave_row.addWidget(self.wave_controls)
        left = QSplitter(Qt.Orientation.Vertical, self)
        left.setChildrenCollapsible(False)
        left.addWidget(self._middle)
        left.addWidget(wave)
        left.setStretchFactor(0, 1)
        left.setSizes([460, 176])
        body = QWidget(self)
        body_row = QHBoxLayout(body)
        body_row.setContentsMargins(UNIT, 0, 0, 0)
        body_row.setSpacing(UNIT)
        body_row.addWidget(left, 1)
        body_row.addWidget(self._page_stack())
        body_row.addWidget(self._page_tabs())
        central = QWidget(self)
        column = QVBoxLayout(central)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(top)
        column.addWidget(body, 1)
        self.setCentralWidget(central)
        self._summary = QLabel(self)
        self._summary.setContentsMargins(0, 0, 2 * UNIT, 0)
        self._busy = BusyNote(self)
        self.statusBar().addPermanentWidget(self._busy)
        self.statusBar().addPermanentWidget(self._summary)

    def _chart_panel(self) -> QWidget:
        panel = QWidget(self)
        row = QHBoxLayout(panel)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        row.addWidget(self.chart, 1)
        row.addWidget(self.strip)
        return panel

    def _page_stack(self) -> QWidget:
        self._stack = QStackedWidget(self)
        self._stack.setFixedWidth(_PAGE_WIDTH)
        for page in self.pages:
            self._stack.addWidget(page)
        self._stack.hide()
        return self._stack

    def _page_tabs(self) -> QWidget:
        tabs = QWidget(self)
        column = QVBoxLayout(tabs)
        column.setContentsMargins(0, 0, UNIT, 0)
        column.setSpacing(UNIT // 2)
        self._tabs: list[QToolButton] = []
        for number, page in enumerate(self.pages):
            button = QToolButton(tabs)
            button.setText(page.title)
            button.setCheckable(True)
            button.setToolTip(f"{page.title} (Ctrl+{number + 1})")
            button.setMinimumWidth(82)
            button.clicked.connect(partial(self.toggle_page, number))
            column.addWidget(button)
            self._tabs.append(button)
        column.addStretch(1)
        return tabs

    def _wire(self) -> None:
        self.session.design_changed.connect(self._show_design)
        self.session.opened.connect(self._show_title)
        self.session.opened.connect(self.chart.look_anew)
        self.session.opened.connect(self.fabric.look_anew)
        self.session.design_changed.connect(self._show_title)
        self.session.undo_stack.cleanChanged.connect(self._show_title)
        self.session.undo_stack.indexChanged.connect(self._say_step)
        self.session.refused.connect(self._say)
        self.documents.said.connect(self._say)
        self.documents.recent_changed.connect(self._fill_recent)
        self._recent.aboutToShow.connect(self._fill_recent)
        self.recovery.said.connect(self._say)
        self.version_keeping.said.connect(self._say)
        self.keeper.presence.raise_wished.connect(self.come_forward)
        self.live.changed.connect(self._show_results)
        self.live.busy_changed.connect(self._busy.show_busy)
        self.live.progressed.connect(self._busy.show_share)
        self._busy.stop_wished.connect(self.live.stop)
        self.live.failed.connect(self._say)
        wishing = (
            self.sentence,
            self.strip,
            self.fabric,
            self.wave,
            self.wave_controls,
            self.palettes,
            self.choosers,
            *self.pages,
        )
        for view in wishing:
            view.wish.connect(self._on_wish)
        self.chart.placing_changed.connect(self._align_strip)
        self.chart.stitch_hovered.connect(self._on_hover)
        self.chart.copy_wished.connect(self.copy_chart)
        self.chart.export_wished.connect(self.export)
        self.chart_copy.said.connect(self._say)
        self.choosers.said.connect(self._say)
        self.fabric.stitch_hovered.connect(self._on_hover)
        self.sentence.page_wished.connect(self.show_place)
        self.strip.wheeled.connect(lambda up: self.chart.pan(0, up))
        self.strip.yarn_wished.connect(self._add_yarn)
        self.yarn.marks_changed.connect(self.fabric.mark_yarn)
        self.yarn.stash_wished.connect(self.choosers.plan_stash)
        self.strip.deeds.said.connect(self._say)
        self.strip.deeds.name_wished.connect(self._name_stripes)
        self.stripes.plan_wished.connect(self.choosers.plan_stripes)
        self.stripes.twin_wished.connect(self.choosers.second_colourway)
        self.checks.jump.connect(self.show_place)
        self.colour.row_wished.connect(self._point_at)
        self.colour.sight_wished.connect(self.fabric.colours.set_sight)
        self.colour.picture_wished.connect(self.palettes.from_picture)
        self.colour.harmony_wished.connect(self.palettes.from_colour)
        self.fabric.colours.sight_changed.connect(self.chart.set_sight)
        self.wave_tools.draw.clicked.connect(self.choosers.draw_wave)
        self.wave_tools.compare.clicked.connect(self.choosers.compare_variants)

    # the way of the data

    def _on_wish(self, text: str, edit: object, gesture: object) -> None:
        self.session.change(text, edit, gesture)  # type: ignore[arg-type]

    def _show_design(self, design: Design) -> None:
        self.live.show(design)

    def _show_results(self, results: Results) -> None:
        self.sentence.show_results(results)
        self.chart.show_results(results)
        self.fabric.show_results(results)
        self.wave.show_results(results)
        self.wave_controls.show_results(results)
        self._align_strip()
        for page in self.pages:
            page.show_results(results)
        for button in self._terms.buttons():
            button.setChecked(button.text() == results.design.terms)
        self._summary.setText(self.checks.summary)

    def _align_strip(self) -> None:
        results, fabric = self.live.results, self.chart.fabric
        if results is not None and fabric is not None:
            self.strip.set_placing(self.chart.placing)
            self.strip.show_results(results, fabric)

    def _set_terms(self, terms: Terms) -> None:
        self.session.change("Change terms", partial(set_values, terms=terms))

    # what is pointed at

    def _on_hover(self, row: int, stitch: int) -> None:
        self.chart.light(row, stitch)
        self.fabric.light(row, stitch)
        results = self.live.results
        if results is None or row < 0:
            self.statusBar().clearMessage()
            return
        text, more = stitch_text(results, row, stitch), self.fabric.stitch_words(row, stitch)
        self.statusBar().showMessage(f"{text} – {more}" if more else text)

    def _point_at(self, row: int) -> None:
        """Show a row on chart and fabric; -1 leaves them as they are."""
        self.fabric.relief.frame(row)
        if row > 0:
            self.chart.show_row(row)

    # pages and places

    def show_place(self, where: str) -> None:
        """Bring to the front what a finding or figure speaks of."""
        word, _, number = where.partition(" ")
        if word == "yarn":
            self.show_page(self.pages.index(self.yarn))
        elif word == "swatch":
            self.show_page(self.pages.index(self.swatch))
            self.swatch.wanted.fold.open()
            self.swatch.wanted.width.setFocus()
        elif word == "words" and number.isdigit():
            self.show_page(self.pages.index(self.words))
            self.words.edit_row(int(number))
        elif word == "edging":
            self.show_page(self.pages.index(self.edging))
        elif word == "colour":
            self.show_page(self.pages.index(self.colour))
            self.colour.list.setFocus()
        elif word == "stripes":
            self.strip.setFocus()
        elif word == "wave":
            self.wave.setFocus()
        elif word == "row" and number.isdigit():
            self.chart.setFocus()
            self.chart.show_row(int(number))
        else:
            self.sentence.width_figure.setFocus()

    def show_page(self, number: int) -> None:
        """Open a side page."""
        self._stack.setCurrentIndex(number)
        self._stack.show()
        for index, button in enumerate(self._tabs):
            button.setChecked(index == number)

    def toggle_page(self, number: int) -> None:
        """Open a side page, or close it if it is open."""
        if self._stack.isVisible() and self._stack.currentIndex() == number:
            self._stack.hide()
            self._tabs[number].setChecked(False)
        else:
            self.show_page(number)

    def _add_yarn(self, stripe: int) -> None:
        self.show_page(self.pages.index(self.yarn))
        self.yarn.add_yarn_for_stripe(stripe)

    def _name_stripes(self) -> None:
        self.show_page(self.pages.index(self.stripes))
        self.stripes.label.setFocus()
        self.stripes.label.selectAll()

    @property
    def look(self) -> Look:
        """Light, dark, or as the system is."""
        return self._theme.look

    def set_look(self, look: Look) -> None:
        """Stay light or dark, or follow the system; kept for the next start."""
        self._theme.set_look(look)
        self._settings.setValue("look", look)

    def show_straight(self, straight: bool) -> None:
        """Lay the chart on a straight grid, or as the fabric lies."""
        self.chart.set_straight(straight)
        self._align_strip()

    def show_all(self) -> None:
        """Show all of chart and fabric."""
        self.chart.show_all()
        self.fabric.show_all()

    def flip(self) -> None:
        """Give the chart all the room, then the fabric, then both again."""
        chart, fabric = self._chart_box.isVisible(), self.fabric.isVisible()
        self._chart_box.setVisible(not chart or fabric)
        self.fabric.setVisible(not (chart and fabric))

    # files

    def copy_chart(self) -> None:
        """Put the chart's standard extract onto the clipboard."""
        self.documents.finish_typing()
        self.chart_copy.copy(self.live.results, straight=self.chart.is_straight)

    def export(self) -> None:
        """Open the export sheet."""
        self.documents.finish_typing()
        results = self.live.results
        if results is None:
            return
        folder, stem = Path(self.documents.folder), self.documents.stem
        dialog = ExportDialog(results, folder, stem, self)
        if dialog.exec() and dialog.written:
            count = counted(len(dialog.written), "file")
            self._say(f"Exported {count} to {dialog.written[0].parent}")

    def start_new(self, family: Family) -> None:
        """Start a design in a family's wave."""
        if self.documents.may_leave():
            design = self.session.design
            self.session.open(starter(family, terms=design.terms, units=design.units), None)

    def edit_details(self) -> None:
        """Change title, designer and notes."""
        size = self.live.results.size if self.live.results is not None else None
        dialog = DetailsDialog(self.session.design, self, size)
        if dialog.exec() and self.session.change("Change title and notes", dialog.edit()):
            self._show_title()

    def open_demo(self) -> None:
        """Open the demo blanket."""
        if self.documents.may_leave():
            self.documents.open_demo()

    def _fill_recent(self) -> None:
        self._recent.clear()
        for path in self.documents.recent():
            action = self._recent.addAction(plain_entry(path.name))
            action.setToolTip(plain_tip(str(path)))
            picture = self.keeper.pictures.of_file(path)
            if picture is not None:
                action.setIcon(QIcon(picture))
            action.triggered.connect(partial(self._open_recent, path))
        self._recent.setEnabled(bool(self._recent.actions()))

    def keep_version(self) -> None:
        """Go to where a version can be named and kept."""
        self.show_page(self.pages.index(self.versions))
        self.versions.name.setFocus()

    def come_forward(self) -> None:
        """Come to the front: the design shown here was opened once more."""
        self.setWindowState(self.windowState() & ~Qt.WindowState.WindowMinimized)
        self.show()
        self.raise_()
        self.activateWindow()

    def _open_recent(self, path: Path) -> None:
        self.documents.open_asking_first(path)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take designs or a picture that are dragged in."""
        urls = event.mimeData().urls()
        if designs_in(urls) or (len(urls) == 1 and is_picture_name(Path(urls[0].toLocalFile()))):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open designs that are dropped, or take the colours of a picture."""
        urls = event.mimeData().urls()
        path = Path(urls[0].toLocalFile())
        if len(urls) == 1 and is_picture_name(path):
            self.palettes.from_picture(path)
        else:
            self.documents.open_dropped(designs_in(urls))

    # status

    def _say(self, text: str) -> None:
        self.statusBar().showMessage(text, 8000)

    def _say_step(self) -> None:
        text = self.session.undo_stack.undoText()
        if self.session.undo_stack.canRedo():
            self._say(f"Taken back: {self.session.undo_stack.redoText()}")
        elif text:
            keys = QKeySequence(QKeySequence.StandardKey.Undo).toString()
            self._say(f"{text} ({keys} undoes it)")

    def _show_title(self) -> None:
        path = self.session.path
        name = path.name if path is not None else "not saved yet"
        title = plain_title(self.session.design.title)
        self.setWindowTitle(f"{title}[*] ({plain_title(name)}) – Dipslope")
        self.setWindowModified(not self.session.is_saved)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Open a page at first where there is room."""
        first = not event.oldSize().isValid()
        if first and event.size().width() >= _WIDE_ENOUGH:
            self.show_page(0)
        super().resizeEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved work, then stop the threads."""
        if not self.documents.may_leave():
            event.ignore()
            return
        self.session.undo_stack.indexChanged.disconnect(self._say_step)
        self.palettes.close()
        self.choosers.close()
        self.helping.close()
        self.live.close()
        self.chart_copy.close()
        self.fabric.close_worker()
        self.swatch.close_worker()
        self.words.close_worker()
        self.keeper.close()
        self.words.editor.close_worker()
        event.accept()
