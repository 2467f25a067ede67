"""What one view points at, all views show: chart, fabric, stripes, wave, words, status line."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.selecting import Selecting
from app.views.pointing import selection_text
from core.design.document import Items
from core.pipeline import Results
from core.rows.selection import Selection

if TYPE_CHECKING:  # the window has its views linked
    from app.views.pages.words_linked import WordLinks
    from app.window import Window


class Linking(QObject):
    """Carries what is pointed at and selected from view to view."""

    def __init__(self, window: "Window") -> None:
        super().__init__(window)
        self._window = window
        self.selecting = Selecting(self)
        window.fabric.turns = window.wave.turns = window.chart.turns
        for view in (window.chart, window.fabric):
            view.share(self.selecting)
            view.stitch_hovered.connect(self.selecting.point)
            view.said.connect(self._say)
        window.strip.rows_hovered.connect(self.selecting.point_rows)
        self._words: WordLinks | None = None  # made with the page of words
        self.selecting.changed.connect(self._show)
        window.statusBar().messageChanged.connect(self._on_message)
        window.sentence.figure_pointed.connect(self._on_figure)
        for view in (window.chart, window.fabric):
            view.measuring_changed.connect(self.measure)

    def join_words(self, links: "WordLinks") -> None:
        """Let the page of words point and be pointed at, as soon as there is one."""
        self._words = links
        links.pointed.connect(self.selecting.point_at)
        links.chosen.connect(self._choose_words)
        links.show(self.selecting.pointed, self.selecting.chosen)

    def show_results(self, results: Results) -> None:
        """Keep what there still is in these results."""
        self.selecting.show_results(results)

    def choose_row(self) -> None:
        """Select the whole row of what is selected or pointed at."""
        now = self._now()
        if now is not None:
            self.selecting.choose_row(now.head[0])

    def choose_repeat(self) -> None:
        """Select the repeat of what is selected or pointed at."""
        now = self._now()
        if now is not None and not self.selecting.choose_repeat(now.head):
            self._window.statusBar().showMessage("This stitch belongs to an edge, not to a repeat")

    def choose_nothing(self) -> None:
        """Select nothing."""
        self.selecting.clear()

    def zoom_to_selection(self) -> None:
        """Show what is selected as large as there is room, in chart and fabric."""
        shown = [v.zoom_to_selection() for v in (self._window.chart, self._window.fabric)]
        if not any(shown):
            self._window.statusBar().showMessage(
                "Nothing is selected: click a stitch, or press Enter on chart or fabric"
            )

    def measure(self, on: bool) -> None:
        """Let clicks on chart and fabric measure, or select again."""
        for view in (self._window.chart, self._window.fabric):
            view.measure(on)

    def _choose_words(self, what: Selection | None) -> None:
        """Select what words speak of, and bring the start of it into view."""
        self.selecting.choose(what)
        if what is not None:
            for view in (self._window.chart, self._window.fabric):
                view.bring_in_any(what)

    def _on_figure(self, key: str) -> None:
        """Light what a figure of the sentence measures: a dimension, or rows."""
        self._window.fabric.show_figure(key)
        results = self.selecting.results
        if results is None or key not in ("chain", "stitches", "stitch", "loops", ""):
            return
        if not key:
            self.selecting.point_at(None)
        elif key == "chain":
            self.selecting.point_rows(0, 0)
        else:
            row = min(max(results.rows.drawn_rows // 2, 1), results.rows.drawn_rows)
            self.selecting.point_rows(row, row)

    def _now(self) -> Selection | None:
        now = self.selecting.chosen or self.selecting.pointed
        if now is None:
            self._window.statusBar().showMessage(
                "Point at a stitch first, or press Enter on chart or fabric"
            )
        return now

    def _say(self, text: str) -> None:
        if text:
            self._window.statusBar().showMessage(text)
        else:
            self._show_words()

    def _show(self) -> None:
        window, selecting = self._window, self.selecting
        pointed, chosen = selecting.pointed, selecting.chosen
        lit = [(*s.rows, s is chosen) for s in (chosen, pointed) if s is not None]
        window.strip.light(tuple(lit))
        self._light_wave(pointed or chosen)
        if self._words is not None:
            self._words.show(pointed, chosen)
        self._show_words()

    def _light_wave(self, lit: Selection | None) -> None:
        results = self.selecting.results
        item = -1
        repeat: Items = ()
        if results is not None and lit is not None and lit.rows[0] == lit.rows[1] > 0:
            plan = results.rows.plan(lit.rows[0])
            if lit.spans[0].last < plan.makes and len({s.size for s in lit.spans}) == 1:
                number = lit.spans[-1].last
                order = results.rows.in_fabric_order(lit.rows[0], plan.section)
                items = results.rows.in_fabric_order(lit.rows[0], plan.item)
                if order[number] >= 0 and lit.kind not in ("row", "repeat"):
                    item, repeat = int(items[number]), plan.row.repeat
        self._window.wave.light(repeat, item)

    def _on_message(self, text: str) -> None:
        """Say again what is selected once another message has gone."""
        if not text and (self.selecting.pointed or self.selecting.chosen):
            self._show_words()

    def _show_words(self) -> None:
        bar, results = self._window.statusBar(), self.selecting.results
        lit = self.selecting.pointed or self.selecting.chosen
        if results is None or lit is None:
            bar.clearMessage()
            return
        text = selection_text(results, lit)
        more = self._window.fabric.stitch_words(*lit.head) if lit.is_one else ""
        text = f"{text} – {more}" if more else text
        bar.showMessage(text if lit is self.selecting.pointed else f"Selected: {text}")
