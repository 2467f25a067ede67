"""Opens the dialogs beside the window: those something is chosen in, and those that follow it.

A dialog's module is loaded when it is first opened: the window starts without them.
"""

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.computing import LiveResults
from app.documents import Documents
from app.opened import OpenDialogs
from app.session import Session
from app.theme import Theme
from core.design.document import Design
from core.design.edits import Edit
from core.pipeline import Results

if TYPE_CHECKING:  # loaded when they are opened
    from app.booklet_dialog import BookletDialog
    from app.new_dialog import NewDialog
    from app.pages_dialog import PagesDialog
    from app.paper_dialog import PaperDialog
    from app.seen_dialog import SeenDialog
    from app.views.chart_view import ChartView
    from app.views.fabric_view import FabricView


class Choosers(QObject):
    """What is chosen becomes a wish; what is typed elsewhere is finished first."""

    wish = Signal(str, object, object)
    said = Signal(str)
    aside_wished = Signal(str, object)  # a variant to keep aside: its name, the Design
    stash_opened = Signal(object)  # its dialog

    def __init__(
        self,
        session: Session,
        live: LiveResults,
        documents: Documents,
        theme: Theme,
        opened: OpenDialogs,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._session, self._live, self._documents = session, live, documents
        self._theme, self._opened, self._window = theme, opened, window

    # a new design

    def new_design(self) -> None:
        """Choose what a new design is to start from."""
        from app.new_dialog import NewDialog

        self._documents.finish_typing()
        design = self._session.design
        dialog = NewDialog(design.terms, design.units, self._theme, self._window)
        dialog.begun.connect(partial(self._begin, dialog))
        dialog.other.connect(partial(self._begin_otherwise, dialog))
        self._opened.choose(dialog)

    def _begin(self, dialog: "NewDialog", design: Design) -> None:
        if self._documents.may_leave():
            dialog.accept()
            self._session.open(design, None)
            self.said.emit(f"A new design: {design.title}. It has no file until it is saved.")

    def _begin_otherwise(self, dialog: "NewDialog", key: str) -> None:
        from app.new_dialog import DEMO_CARD, SKETCH

        if key == SKETCH:
            plain = dialog.begun_design()
            if plain is not None:
                self._sketch_new(plain, dialog)
        elif key == DEMO_CARD:
            if self._documents.may_leave():
                dialog.accept()
                self._documents.open_demo()
        else:
            dialog.accept()
            self.read_rows()

    def _sketch_new(self, plain: Design, dialog: "NewDialog") -> None:
        """Draw the wave of a new design; the open one stays until a wave is chosen."""
        from app.sketch_dialog import SketchDialog

        dialog.accept()
        sketch = SketchDialog(plain, self._theme, self._window)

        def begin(text: str, edit: Edit, gesture: object) -> None:
            del text, gesture
            if self._documents.may_leave():
                self._session.open(edit(plain), None)

        sketch.wish.connect(begin)
        self._opened.choose(sketch)

    # waves

    def draw_wave(self) -> None:
        """Draw a wave and choose the nearest that can be worked."""
        from app.sketch_dialog import SketchDialog

        self._documents.finish_typing()
        self._choose(SketchDialog(self._session.design, self._theme, self._window))

    def compare_variants(self) -> None:
        """Compare variants of the wave side by side."""
        from app.compare_dialog import CompareDialog
        from core.sketch.ways import runs_of

        self._documents.finish_typing()
        design = self._session.design
        shape = runs_of(design.wave)
        if shape is None:
            self.said.emit(
                "These rows have no single wave to vary. Choose a family, or draw a wave."
            )
            return
        dialog = CompareDialog(design, shape, self._theme, self._window)
        dialog.aside_wished.connect(self.aside_wished)
        self._choose(dialog)

    def read_rows(self) -> None:
        """Read written rows and make a new design of them; the open one keeps its file."""
        from app.reading_dialog import ReadingDialog

        self._documents.finish_typing()
        dialog = ReadingDialog(self._session.design, self._theme, self._window)

        def begin(design: Design) -> None:
            if self._documents.may_leave():
                dialog.accept()
                self._session.open(design, None, unsaved=True)
                self.said.emit("A new design from written rows. It has no file until it is saved.")

        dialog.made.connect(begin)
        self._opened.choose(dialog)

    # stripes

    def plan_stripes(self) -> None:
        """Have a stripe order found by rules."""
        from app.plan_dialog import PlanDialog

        results = self._newest()
        if results is not None:
            self._choose(PlanDialog(results, self._theme, self._window))

    def second_colourway(self) -> None:
        """Change the yarns of the stripes about."""
        from app.twin_dialog import TwinDialog

        results = self._newest()
        if results is not None:
            self._choose(TwinDialog(results, self._theme, self._window))

    def plan_stash(self) -> None:
        """See what blanket the yarn owned is enough for, and take it."""
        from app.stash_dialog import StashDialog

        results = self._newest()
        if results is not None:
            dialog = StashDialog(results, self._theme, self._window)
            self.stash_opened.emit(dialog)
            self._choose(dialog)

    # what follows the design

    def show_curves(self) -> None:
        """Show figures as curves."""
        from app.curves_dialog import CurvesDialog

        results = self._newest()
        if results is None or self._opened.forward(CurvesDialog):
            return
        dialog = CurvesDialog(self._theme, self._window)
        dialog.show_results(results)
        self._opened.follow(dialog)

    def open_booklet(self) -> None:
        """Open the booklet."""
        from app.booklet_dialog import BookletDialog

        self._open_pages(BookletDialog)

    def open_paper(self) -> None:
        """Open shopping list, yarn card, stripe ruler and stripe list."""
        from app.paper_dialog import PaperDialog

        self._open_pages(PaperDialog)

    def print_seen(self, chart: "ChartView", fabric: "FabricView") -> None:
        """Print what is seen of chart and fabric."""
        from app.seen_dialog import SeenDialog, seen_now

        self._documents.finish_typing()
        seen = seen_now(chart, fabric, self._session.design.title)
        if seen is None:
            return
        folder, stem = self._documents.out_folder, self._documents.stem
        dialog = SeenDialog(seen, folder, stem, self._window)
        self._hear(dialog)
        self._opened.choose(dialog)

    def _open_pages(self, kind: "type[BookletDialog] | type[PaperDialog]") -> None:
        results = self._newest()
        if results is None or self._opened.forward(kind):
            return
        folder, stem = self._documents.out_folder, self._documents.stem
        dialog = kind(results, folder, stem, self._theme, self._window)
        self._hear(dialog)
        self._opened.follow(dialog)

    def _hear(self, dialog: "PagesDialog | SeenDialog") -> None:
        dialog.written.connect(self._documents.note_written)
        dialog.said.connect(self.said)

    def _newest(self) -> Results | None:
        self._documents.finish_typing()
        return self._live.results

    def _choose(self, dialog: Any) -> None:
        dialog.wish.connect(self.wish)
        self._opened.choose(dialog)
