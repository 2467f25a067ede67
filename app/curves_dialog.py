"""Figures as curves: along one repeat, and row by row up the blanket."""

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QColor, QGuiApplication, QPen
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from core.craft.units import MM_PER_IN
from core.fabric.curves import repeat_curves, row_curves
from core.fabric.springs import Floats
from core.fabric.wash import wash_of
from core.pipeline import Results
from core.records import Struct

_DASHES: Final = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine)
_REST_MS: Final = 150
_MARKS: Final = ("o", "t1", "s")


class _Curve(Struct, frozen=True):
    """One line of a plot."""

    name: str
    values: Floats


class _Plot(Struct, frozen=True):
    """One plot: what runs along, what is measured, and what it says in a sentence."""

    title: str
    along: str
    up: str
    at: Floats
    curves: tuple[_Curve, ...]
    sentence: str
    digits: int

    def table(self) -> str:
        """The figures as text, a line for each place, parted by tabs."""
        head = "\t".join([self.along, *(curve.name for curve in self.curves)])
        lines = [
            "\t".join([f"{at:g}", *(f"{curve.values[n]:.{self.digits}f}" for curve in self.curves)])
            for n, at in enumerate(self.at)
        ]
        return "\n".join([head, *lines]) + "\n"


class CurvesDialog(QDialog):
    """Plots that follow the design while they are open."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Curves")
        self._theme = theme
        self._results: Results | None = None
        self._plots: list[_Plot] = []
        self._rest = QTimer(self, singleShot=True, interval=_REST_MS)
        self._rest.timeout.connect(self._redo)
        self.tabs = QTabWidget(self)
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setAccessibleName("Figures to plot")
        self.tabs.currentChanged.connect(self._fill)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        self.copy_button = buttons.addButton(
            "Copy the figures", QDialogButtonBox.ButtonRole.ActionRole
        )
        self.copy_button.setToolTip("Put this plot's figures on the clipboard as a table")
        self.copy_button.clicked.connect(self.copy)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.tabs, 1)
        column.addWidget(buttons)
        self.resize(760, 520)
        theme.changed.connect(self._draw)
        follow_layout(self)

    def show_results(self, results: Results) -> None:
        """Plot these results, at once the first time and else when the hand rests."""
        self._results = results
        if self._plots:
            self._rest.start()
        else:
            self._redo()

    def copy(self) -> None:
        """Put the figures of the plot that is seen on the clipboard."""
        if self._plots:
            QGuiApplication.clipboard().setText(self._plots[self.tabs.currentIndex()].table())

    def _redo(self) -> None:
        if self._results is not None:
            self._plots = plots_of(self._results)
            self._draw()

    def _draw(self) -> None:
        """Make the tabs anew; each is plotted when it is first seen."""
        kept = max(self.tabs.currentIndex(), 0)
        self.tabs.blockSignals(True)
        while self.tabs.count():
            old = self.tabs.widget(0)
            self.tabs.removeTab(0)
            if old is not None:
                old.deleteLater()
        for plot in self._plots:
            self.tabs.addTab(self._page(plot), plot.title)
        self.tabs.setCurrentIndex(min(kept, self.tabs.count() - 1))
        self.tabs.blockSignals(False)
        self._fill()
        follow_layout(self)

    def _fill(self) -> None:
        page = self.tabs.currentWidget()
        column = page.layout() if page is not None else None
        if isinstance(column, QVBoxLayout) and column.count() == 1:
            column.addWidget(self._drawn(self._plots[self.tabs.currentIndex()]), 1)

    def _page(self, plot: _Plot) -> QWidget:
        page = QWidget(self.tabs)
        words = QLabel(plot.sentence, page)
        words.setWordWrap(True)
        column = QVBoxLayout(page)
        column.setContentsMargins(0, UNIT, 0, 0)
        column.setSpacing(UNIT)
        column.addWidget(words)
        return page

    def _drawn(self, plot: _Plot) -> QWidget:
        import pyqtgraph  # half of the start-up: only where something is plotted

        tones = self._theme.tones
        widget = pyqtgraph.PlotWidget(background=tones.sheet)
        widget.setAccessibleName(plot.title)
        widget.setAccessibleDescription(plot.sentence)
        widget.setMenuEnabled(False)
        widget.hideButtons()
        item = widget.getPlotItem()
        for side, text in (("bottom", plot.along), ("left", plot.up)):
            item.setLabel(side, text, color=tones.ink)
            axis = item.getAxis(side)
            axis.setPen(tones.hairline)
            axis.setTextPen(tones.ink)
        item.showGrid(x=False, y=True, alpha=0.15)
        legend = item.addLegend(offset=(-8, 8), labelTextColor=tones.ink)
        for number, curve in enumerate(plot.curves):
            self._add(item, plot, curve, number)
        legend.setVisible(len(plot.curves) > 1)
        item.getViewBox().setMouseEnabled(x=True, y=False)
        return widget  # type: ignore[no-any-return]

    def _add(self, item: Any, plot: _Plot, curve: _Curve, number: int) -> None:
        tones = self._theme.tones
        colour = QColor((tones.accent, tones.trouble, tones.ink)[number % 3])
        pen = QPen(colour, 1.6)
        pen.setCosmetic(True)
        pen.setStyle(_DASHES[number % len(_DASHES)])
        few = len(plot.at) <= 60
        item.plot(
            plot.at,
            curve.values,
            name=curve.name,
            pen=pen,
            connect="finite",
            symbol=_MARKS[number % len(_MARKS)] if few else None,
            symbolSize=7,
            symbolBrush=colour,
            symbolPen=None,
            antialias=True,
        )


def plots_of(results: Results) -> list[_Plot]:
    """Return what can be plotted of these results."""
    plots = []
    steady = results.fabric.steady
    if steady is not None:
        curves = repeat_curves(steady)
        at = np.arange(1.0, len(curves.lean_deg) + 1)
        along = "Stitch of a right-side repeat, from the left"
        lean, lift = curves.lean_deg, 100 * curves.lift
        plots.append(
            _Plot(
                "Lean",
                along,
                "degrees, to the right positive",
                at,
                (_Curve("Lean", lean),),
                f"Stitches lean from {_range(lean, '°')}.",
                1,
            )
        )
        strain = (_Curve("Posts", 100 * curves.post), _Curve("Tops", 100 * curves.course))
        plots.append(
            _Plot(
                "Strain",
                along,
                "per cent over its length at rest",
                at,
                strain,
                f"Posts are stretched by {_range(strain[0].values, ' %')}, the tops between "
                f"stitches by {_range(strain[1].values, ' %')}. Where posts stretch, look for "
                "holes; where they are pushed together, for puckers.",
                1,
            )
        )
        plots.append(
            _Plot(
                "Lift",
                along,
                "per cent of the row's rise",
                at,
                (_Curve("Lift", lift),),
                f"A stitch lifts the fabric by {_range(lift, ' %')} of what the row rises.",
                0,
            )
        )
    if results.rows.misfit is None:
        plots.append(_by_row(results))
    return plots


def _by_row(results: Results) -> _Plot:
    wash = wash_of(results.design.swatch)
    rows = row_curves(results.fabric, wash)
    inches = results.design.units == "in"
    width = rows.width_mm / (MM_PER_IN if inches else 10.0)
    unit = "in" if inches else "cm"
    washed = "after washing" if wash.width_known else "as worked"
    narrow = int(np.argmin(width))
    where = "the foundation" if narrow == 0 else f"row {narrow}"
    return _Plot(
        "Width by row",
        "Row",
        f"{unit}, {washed}",
        np.arange(len(width), dtype=float),
        (_Curve("Width", width),),
        f"Edge to edge the rows measure {width.min():.1f} to {width.max():.1f} {unit}; narrowest "
        f"is {where}.",
        2,
    )


def _range(values: Sequence[float] | Floats, unit: str) -> str:
    found = np.asarray(values, dtype=float)
    found = found[np.isfinite(found)]
    if not len(found):
        return "nothing"
    low, high = float(found.min()), float(found.max())
    return f"{low:.0f}{unit} to {high:.0f}{unit}".replace("-", "−")
