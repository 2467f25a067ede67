"""Help where it is needed: first-row rescue, edge doctor, and how figures are known."""

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMenu, QWidget

from app.computing import LiveResults
from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.knowing import KEYS, KnowPopover, asked_widget, key_of


class Helping(QObject):
    """Opens the helpers beside the window; each follows the open design while it is open."""

    def __init__(self, live: LiveResults, chart: ChartView, theme: Theme, window: QWidget) -> None:
        super().__init__(window)
        self._live, self._chart, self._theme, self._window = live, chart, theme, window
        self._open: dict[str, Any] = {}
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

        self._show("rescue", lambda: RescueDialog(self._window))

    def doctor(self) -> None:
        """Open the edge doctor, or bring it to the front."""
        from app.doctor_dialog import DoctorDialog

        dialog = self._show("doctor", lambda: DoctorDialog(self._theme, self._window))
        if dialog is not None:
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

        self._show("know", lambda: KnowDialog(self._window))
        dialog = self._open["know"]
        dialog.speak_of(self._yarn())
        dialog.choose(key or dialog.key)

    def close(self) -> None:
        """Close every helper; call before the window closes."""
        for dialog in list(self._open.values()):
            dialog.reject()

    def _show(self, name: str, make: Callable[[], Any]) -> Any:
        """Return the dialog if it is new; one that is open already comes to the front."""
        if name in self._open:
            self._open[name].raise_()
            self._open[name].activateWindow()
            return None
        dialog = make()
        self._open[name] = dialog
        if self._live.results is not None:
            dialog.show_results(self._live.results)
        self._live.changed.connect(dialog.show_results)
        dialog.finished.connect(partial(self._forget, name))
        dialog.show()
        return dialog

    def _forget(self, name: str, result: int = 0) -> None:
        del result
        dialog = self._open.pop(name, None)
        if dialog is not None:
            self._live.changed.disconnect(dialog.show_results)
            dialog.deleteLater()

    def _mark(self, stitches: tuple[tuple[int, int], ...], row: int) -> None:
        self._chart.show_marks(stitches)
        if row:
            self._chart.show_row(row)
            self._chart.light(*stitches[0])
