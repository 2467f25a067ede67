"""Help where it is needed: first-row rescue, edge doctor, and how figures are known."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMenu, QWidget

from app.computing import LiveResults
from app.opened import OpenDialogs
from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.knowing import KEYS, KnowPopover, asked_widget, key_of


class Helping(QObject):
    """Opens the helpers beside the window; each follows the open design while it is open."""

    def __init__(
        self,
        live: LiveResults,
        chart: ChartView,
        theme: Theme,
        opened: OpenDialogs,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._live, self._chart, self._theme = live, chart, theme
        self._opened, self._window = opened, window
        self._yarn: Callable[[], int] = lambda: 0

    def add_to(self, menu: QMenu) -> None:
        """Put the helpers into a menu, first."""
        for text, keys, do in (
            ("First-&row rescue…", "Ctrl+F1", self.rescue),
            ("&Edge doctor…", "Ctrl+Shift+F1", self.doctor),
            ("&How do we know?", KEYS, self.know),
        ):
            action = menu.addAction(text)
            action.setShortcut(keys)
            action.triggered.connect(lambda _checked=False, do=do: do())
        menu.addSeparator()

    def rescue(self) -> None:
        """Open the first-row rescue, or bring it to the front."""
        from app.rescue_dialog import RescueDialog

        if self._opened.forward(RescueDialog) is None:
            self._show(RescueDialog(self._window))

    def doctor(self) -> None:
        """Open the edge doctor, or bring it to the front."""
        from app.doctor_dialog import DoctorDialog

        if self._opened.forward(DoctorDialog) is None:
            dialog = DoctorDialog(self._theme, self._window)
            self._show(dialog)
            dialog.marks_wished.connect(self._mark)

    def speak_of(self, yarn: Callable[[], int]) -> None:
        """Ask this for the yarn that figures of one yarn are about."""
        self._yarn = yarn

    def know(self, widget: QWidget | None = None) -> None:
        """Explain the figure asked about under it; without one, all figures in a dialog."""
        from core.explain.registry import explain

        results = self._live.results
        widget = widget or asked_widget()
        if results is None:
            return
        key = key_of(widget)
        found = explain(key, results, yarn=self._yarn()) if key else None
        if found is None or widget is None:
            self.know_all(key)
            return
        popover = KnowPopover(found, results.design.units, self._window)
        popover.all_wished.connect(self.know_all)
        popover.open_under(widget)

    def know_all(self, key: str = "") -> None:
        """Open the dialog of all figures, at one of them."""
        from app.know_dialog import KnowDialog

        dialog = self._opened.forward(KnowDialog)
        if dialog is None:
            dialog = KnowDialog(self._window)
            self._show(dialog)
        dialog.speak_of(self._yarn())
        dialog.choose(key or dialog.key)

    def _show(self, dialog: Any) -> None:
        if self._live.results is not None:
            dialog.show_results(self._live.results)
        self._opened.follow(dialog)

    def _mark(self, stitches: tuple[tuple[int, int], ...], row: int) -> None:
        self._chart.show_marks(stitches)
        if row:
            self._chart.show_row(row)
            self._chart.light(*stitches[0])
