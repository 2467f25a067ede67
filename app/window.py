"""The window: puts the views together and carries wishes to the session; nothing else."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

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
    QMainWindow,
    QPushButton,
    QSplitter,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_entry, plain_tip, plain_title
from app.chart_copy import ChartCopy
from app.choosers import Choosers
from app.computing import LiveResults
from app.documents import Documents, designs_in
from app.first_steps import FirstSteps
from app.folders import show_folder
from app.going import go_to
from app.helping import Helping
from app.keeping.keeper import Keeper
from app.linking import Linking
from app.menus import make_menus
from app.opened import OpenDialogs
from app.palettes import Palettes
from app.pictures import is_picture_name
from app.recovery_dialog import Recovery
from app.session import Session
from app.shelving import Shelving
from app.side_pages import SidePages, WantedPage
from app.tab_order import follow_layout
from app.tech_edit import TechEdit
from app.theme import UNIT, Contrast, Look, Theme
from app.variants import Variants
from app.views.aside_bar import AsidePlate
from app.views.broken_line import BrokenLine
from app.views.busy import BusyNote
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from app.views.figures import counted
from app.views.foot import Foot
from app.views.knowing import explain_figures
from app.views.sentence import Sentence
from app.views.stripe_strip import StripeStrip
from app.views.wave_panel import WavePanel
from core.craft.stitches import Terms
from core.design.document import Design
from core.design.edits import set_values
from core.pipeline import Results

if TYPE_CHECKING:  # their modules are loaded when a page is first wanted
    from app.version_keeping import VersionKeeping
    from app.views.pages.checks import ChecksPage
    from app.views.pages.colour import ColourPage
    from app.views.pages.edging import EdgingPage
    from app.views.pages.stripes import StripesPage
    from app.views.pages.swatch import SwatchPage
    from app.views.pages.versions import VersionsPage
    from app.views.pages.words import WordsPage
    from app.views.pages.yarn import YarnPage

_PAGE_WIDTH: Final = 320
_WIDE_ENOUGH: Final = 1500  # from here on a page is open at first


class Window(QMainWindow):
    """Dipslope's window."""

    swatch: "WantedPage[SwatchPage]" = WantedPage()
    yarn: "WantedPage[YarnPage]" = WantedPage()
    words: "WantedPage[WordsPage]" = WantedPage()
    checks: "WantedPage[ChecksPage]" = WantedPage()
    edging: "WantedPage[EdgingPage]" = WantedPage()
    colour: "WantedPage[ColourPage]" = WantedPage()
    stripes: "WantedPage[StripesPage]" = WantedPage()
    versions: "WantedPage[VersionsPage]" = WantedPage()

    def __init__(
        self, session: Session, theme: Theme, settings: QSettings, keep_in: Path | None = None
    ) -> None:
        super().__init__()
        self.session = session
        session.setParent(self)  # ends with it; left to the collector, its steps crash Qt
        self.theme = theme
        self._settings = settings
        self.live = LiveResults(self)
        self._is_held = False  # whether the fabric's scale is held while a variant is looked at
        self._seen: Results | None = None  # the design's, or those of a variant looked at
        beside = Path(settings.fileName()).parent / "kept"
        self.keeper = Keeper(session, keep_in or beside, self)
        self.documents = Documents(session, self, settings, self.keeper)
        self.recovery = Recovery(session, self.keeper, self.documents, self)
        self.sentence = Sentence(theme, self)
        self.chart = ChartView(theme, self)
        self.chart_copy = ChartCopy(self)
        self.strip = StripeStrip(theme, self)
        self.fabric = FabricView(theme, self)
        self._wave_panel = WavePanel(theme, self)
        self.wave, self.wave_tools = self._wave_panel.band, self._wave_panel.tools
        self.wave_controls = self._wave_panel.controls
        self.pages = SidePages(self, _PAGE_WIDTH)
        self.tech_edit = TechEdit(self.live, self)
        self.opened = OpenDialogs(self.live, self)
        self.palettes = Palettes(session, theme, self.documents, self.opened, self)
        self.helping = Helping(self.live, self.chart, theme, self.opened, self)
        self.helping.speak_of(lambda: self.yarn.chosen_yarn)
        explain_figures(self, self.helping.know)
        self.variants = Variants(
            session, self.live, self.keeper, self.documents, theme, self.opened, self
        )
        self._plates = (
            AsidePlate(theme, self.chart, UNIT),
            AsidePlate(theme, self.fabric, 6 * UNIT),  # below the switches
        )
        self.first_steps = FirstSteps(session, settings, theme, self)
        self.first_steps.lead_to(
            {
                "shape": lambda: self.wave,
                "stripes": lambda: self.strip,
                "size": lambda: self.sentence.width_figure,
                "export": lambda: self.export_button,
            }
        )
        self.choosers = Choosers(session, self.live, self.documents, theme, self.opened, self)
        shelf = self.keeper.places.shelf
        self.shelving = Shelving(shelf, self.live, self.documents, theme, self.opened, self)
        self.linking = Linking(self)
        self._build()
        self._recent = make_menus(self)
        self._fill_recent()
        self._wire()
        self.setAcceptDrops(True)
        self.resize(1280, 800)
        self.fabric.begin_plainly()
        self.live.hold()
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
        places: tuple[tuple[Terms, str], ...] = (("US", "first"), ("UK", "last"))
        for terms, place in places:
            button = QToolButton(switch)
            button.setText(terms)
            button.setProperty("segment", place)
            button.setCheckable(True)
            button.setToolTip(f"Write everything in {terms} terms")
            button.clicked.connect(partial(self.set_terms, terms))
            self._terms.addButton(button)
            row.addWidget(button)
        self.export_button = QPushButton("Export…", self)
        self.export_button.setProperty("primary", True)
        self.export_button.setMinimumHeight(switch.sizeHint().height())
        self.export_button.clicked.connect(self.export)
        top = QWidget(self)
        top.setMinimumHeight(5 * UNIT)  # what it needs follows from its width
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
        left = QSplitter(Qt.Orientation.Vertical, self)
        left.setChildrenCollapsible(False)
        left.addWidget(self._middle)
        left.addWidget(self._wave_panel)
        left.setStretchFactor(0, 1)
        left.setSizes([460, 176])
        body = QWidget(self)
        body_row = QHBoxLayout(body)
        body_row.setContentsMargins(2 * UNIT, 0, 0, 0)
        body_row.setSpacing(UNIT)
        body_row.addWidget(left, 1)
        body_row.addWidget(self.pages.stack)
        body_row.addWidget(self._page_tabs())
        self.broken = BrokenLine(self)
        central = QWidget(self)
        column = QVBoxLayout(central)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(top)
        column.addWidget(self.first_steps.line)
        column.addWidget(self.broken)
        column.addWidget(body, 1)
        self.setCentralWidget(central)
        self._summary = QPushButton(self)
        self._summary.setProperty("quiet", True)
        self._summary.setToolTip("See what was found, on the page Checks")
        self._busy = BusyNote(self)
        self.foot = Foot(self)
        self.setStatusBar(self.foot)
        self.statusBar().addPermanentWidget(self._busy)
        self.statusBar().addPermanentWidget(self.variants.bar)
        self.statusBar().addPermanentWidget(self._summary)
        follow_layout(self)

    def _chart_panel(self) -> QWidget:
        panel = QWidget(self)
        row = QHBoxLayout(panel)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        row.addWidget(self.chart, 1)
        row.addWidget(self.strip)
        return panel

    def _page_tabs(self) -> QWidget:
        tabs = QWidget(self)
        column = QVBoxLayout(tabs)
        column.setContentsMargins(0, 0, 2 * UNIT, 0)
        column.setSpacing(UNIT // 2)
        self._tabs: list[QToolButton] = []
        for number, title in enumerate(self.pages.titles):
            button = QToolButton(tabs)
            button.setText(title)
            button.setCheckable(True)
            button.setToolTip(f"{title} (Ctrl+{number + 1})")
            button.setMinimumWidth(82)
            button.clicked.connect(partial(self.toggle_page, number))
            column.addWidget(button)
            self._tabs.append(button)
        column.addStretch(1)
        return tabs

    def _wire(self) -> None:
        self.session.design_changed.connect(self._show_design)
        self.session.opened.connect(self._show_title)
        for forget in (self.chart.look_anew, self.fabric.look_anew, self.wave.look_anew):
            self.session.replaced.connect(forget)
        self.session.replaced.connect(self.tech_edit.forget)
        self.broken.checks_wished.connect(self._show_checks)
        self.broken.undo_wished.connect(self.session.undo_stack.undo)
        self.session.undo_stack.canUndoChanged.connect(self.broken.undo.setEnabled)
        self.session.design_changed.connect(self._show_title)
        self.session.undo_stack.cleanChanged.connect(self._show_title)
        self.session.undo_stack.indexChanged.connect(self._say_step)
        self.session.refused.connect(self.say)
        self.documents.said.connect(self.say)
        self.documents.recent_changed.connect(self._fill_recent)
        self._recent.aboutToShow.connect(self._fill_recent)
        self.recovery.said.connect(self.say)
        self.keeper.presence.raise_wished.connect(self.come_forward)
        self.live.changed.connect(self._show_results)
        self.live.busy_changed.connect(self._busy.show_busy)
        self.live.progressed.connect(self._busy.show_share)
        self._busy.stop_wished.connect(self.live.stop)
        self.live.failed.connect(self.say)
        wishing = (
            self.sentence,
            self.strip,
            self.fabric,
            self.wave,
            self.wave_controls,
            self.palettes,
            self.choosers,
            self.shelving,
        )
        for view in wishing:
            view.wish.connect(self.carry)
        self.chart.placing_changed.connect(self._align_strip)
        self.chart.copy_wished.connect(self.copy_chart)
        self.chart.export_wished.connect(self.export)
        self.chart_copy.said.connect(self.say)
        self.choosers.said.connect(self.say)
        self.choosers.aside_wished.connect(self.variants.keep)
        self.choosers.stash_opened.connect(self.shelving.lend_to)
        self.variants.said.connect(self.say)
        self.variants.shown.connect(self._look_at)
        self.shelving.said.connect(self.say)
        self.sentence.page_wished.connect(self.show_place)
        self.strip.wheeled.connect(lambda up: self.chart.pan(0, up))
        self.strip.yarn_wished.connect(self._add_yarn)
        self.strip.deeds.said.connect(self.say)
        self.strip.deeds.name_wished.connect(self._name_stripes)
        self.tech_edit.failed.connect(self.say)
        self.tech_edit.summed_up.connect(self._sum_up)
        self._summary.clicked.connect(self._show_checks)
        self.fabric.colours.sight_changed.connect(self.chart.set_sight)
        self.wave_tools.draw.clicked.connect(self.choosers.draw_wave)
        self.wave_tools.compare.clicked.connect(self.choosers.compare_variants)

    # the way of the data

    def carry(self, text: str, edit: object, gesture: object) -> None:
        """Carry a wish to the session, unless a variant is only looked at."""
        if self.variants.is_flipped:
            self.variants.refuse()
            return
        self.session.change(text, edit, gesture)  # type: ignore[arg-type]

    @property
    def version_keeping(self) -> "VersionKeeping":
        """What joins the page of versions with what is kept."""
        return self.pages.version_keeping

    def _show_design(self, design: Design) -> None:
        self.live.show(design)

    def _show_results(self, results: Results) -> None:
        if not self.variants.is_flipped:
            self._show_all_of(results)

    def _look_at(self, aside: Results | None) -> None:
        """Show a variant kept aside in place of the design; None shows the design again."""
        for plate in self._plates:
            plate.show_name(self.variants.name)
        now = self.fabric.placing
        results = aside or self.live.results
        if results is None:
            return
        self._show_all_of(results)
        self.fabric.forget_last()
        self.wave.look_anew()
        if aside is None and self._is_held:
            self.fabric.look_anew()
        self._is_held = aside is not None and self.fabric.hold(now)

    def _show_all_of(self, results: Results) -> None:
        self._seen = results
        self.linking.show_results(results)
        self.sentence.show_results(results)
        self.chart.show_results(results)
        self.fabric.show_results(results)
        self.wave.show_results(results)
        self.broken.show_results(results)
        self.wave_controls.show_results(results)
        self._align_strip()
        self.pages.show_results(results)
        for button in self._terms.buttons():
            button.setChecked(button.text() == results.design.terms)

    def _align_strip(self) -> None:
        results, fabric = self._seen, self.chart.fabric
        if results is not None and fabric is not None:
            self.strip.set_placing(self.chart.placing)
            self.strip.show_results(results, fabric)

    def set_terms(self, terms: Terms) -> None:
        """Write and say everything in a system of terms."""
        self.session.change("Change terms", partial(set_values, terms=terms))

    # what is pointed at

    def point_at(self, row: int) -> None:
        """Show a row on chart and fabric; -1 leaves them as they are."""
        self.fabric.relief.frame(row)
        if row > 0:
            self.chart.show_row(row)

    # pages and places

    def show_place(self, where: str) -> None:
        """Bring to the front what a finding or figure speaks of."""
        go_to(self, where)

    def show_page(self, number: int) -> None:
        """Open a side page."""
        self.pages.show(number)
        for index, button in enumerate(self._tabs):
            button.setChecked(index == number)

    def toggle_page(self, number: int) -> None:
        """Open a side page, or close it if it is open."""
        if self.pages.is_shown(number):
            self.pages.stack.hide()
            self._tabs[number].setChecked(False)
        else:
            self.show_page(number)

    def _show_checks(self) -> None:
        self.show_page(self.pages.index(self.checks))

    def _sum_up(self, checks: str) -> None:
        self._summary.setText(checks)
        self._summary.setVisible(bool(checks))

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
        return self.theme.look

    def set_look(self, look: Look) -> None:
        """Stay light or dark, or follow the system; kept for the next start."""
        self.theme.set_look(look)
        self._settings.setValue("look", look)

    def set_contrast(self, contrast: Contrast) -> None:
        """Follow the system's contrast, or stay plain or high; kept for the next start."""
        self.theme.set_contrast(contrast)
        self._settings.setValue("contrast", contrast)

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
        self.variants.end_flip()
        self.chart_copy.copy(self.live.results, straight=self.chart.is_straight)

    def export(self) -> None:
        """Open the export sheet."""
        self.documents.finish_typing()
        results = self.live.results
        if results is None:
            return
        from app.export_dialog import ExportDialog

        folder, stem = self.documents.out_folder, self.documents.stem
        dialog = ExportDialog(results, folder, stem, self)
        has_written = bool(dialog.exec()) and dialog.written
        dialog.deleteLater()  # closed, it would stay with its pictures as long as the window
        if has_written:
            self.first_steps.note_exported()
            self.documents.note_written(has_written[0].parent)
            self.foot.offer(
                f"Exported {counted(len(has_written), 'file')} to {has_written[0].parent}",
                "Show the folder",
                self.show_exports,
            )

    def show_exports(self) -> None:
        """Show the folder that exports go to."""
        why_not = show_folder(self.documents.out_folder)
        if why_not:
            self.say(why_not)

    def edit_details(self, field: str = "") -> None:
        """Change title, designer and notes; a field may be named to begin with."""
        from app.details_dialog import DetailsDialog

        size = self.live.results.size if self.live.results is not None else None
        dialog = DetailsDialog(self.session.design, self, size, field)
        if dialog.exec() and self.session.change("Change title and notes", dialog.edit()):
            self._show_title()
        dialog.deleteLater()

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
            names = [path.name for path in designs_in(urls)]
            self.say(f"Drop to open {names[0]}" if names else "Drop to take its colours")

    def dropEvent(self, event: QDropEvent) -> None:
        """Open designs that are dropped, or take the colours of a picture."""
        urls = event.mimeData().urls()
        path = Path(urls[0].toLocalFile())
        if len(urls) == 1 and is_picture_name(path):
            self.palettes.from_picture(path)
        else:
            self.documents.open_dropped(designs_in(urls))

    # status

    def say(self, text: str) -> None:
        """Say something in the status line for a while."""
        self.statusBar().showMessage(text, 8000)

    def _say_step(self) -> None:
        text = self.session.undo_stack.undoText()
        if self.session.undo_stack.canRedo():
            self.say(f"Taken back: {self.session.undo_stack.redoText()}")
        elif text:
            keys = QKeySequence(QKeySequence.StandardKey.Undo).toString()
            self.say(f"{text} ({keys} undoes it)")

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
        self.session.undo_stack.cleanChanged.disconnect(self._show_title)  # it ends before us
        self.opened.close()
        self.variants.close()
        self.first_steps.close()
        self.shelving.close()
        self.live.close()
        self.chart_copy.close()
        self.fabric.close_worker()
        self.pages.close_workers()
        self.keeper.close()
        event.accept()
