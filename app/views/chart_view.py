"""The chart on screen. It paints what it is given and reports which stitch is pointed at."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFont,
    QPainter,
    QPen,
)
from PySide6.QtWidgets import QMenu, QWidget

from app.painting.atlas import SymbolAtlas
from app.painting.chart import (
    Placing,
    paint_symbols,
    paint_text,
    symbol_pen,
    text_box,
)
from app.painting.scrolled import Scrolled
from app.painting.strokes import draw_lines, polygon_of
from app.spoken import Role, Told, tell
from app.theme import Theme
from app.views.name_plate import paint_plate
from app.views.stitch_canvas import StitchCanvas
from core.chart.bands import bands_of
from core.chart.labels import row_labels
from core.chart.layout import lay_out
from core.chart.sheet import Look, Sheet, make_sheet
from core.chart.words import Text
from core.fabric.extract import straight_grid
from core.fabric.sheet import Fabric
from core.palette.sight import PLAIN, Sight, seen
from core.pipeline import Results
from core.stripes.colour import INK, PAPER, ground_of
from core.stripes.loops import design_loops

_FIRST_PX: Final = 22.0  # stitch width at first, wide enough to read the symbols
_BLOCKS_PX: Final = 4.0  # stitch width below which only the bands are drawn
_DRAWN_PX: Final = 44.0  # from here on symbols are drawn one by one, below from sprites
_WITHIN_PX: Final = 0.25  # that a stripe's outline may be off
_LABEL_PX: Final = 13.0
_EDGE_PX: Final = 6.0  # between a number and the view's edge
_BARE: Final = Look(with_key=False)


class ChartView(StitchCanvas):
    """Shows one chart as the fabric lies or on a straight grid."""

    copy_wished = Signal()
    export_wished = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._results: Results | None = None
        self._fabric: Fabric | None = None
        self._bounds_mm = (0.0, 0.0, 1.0, 1.0)
        self._reach_mm = (np.zeros(1), np.zeros(1))  # lowest and highest place of every row
        self._mean_rise_mm = 1.0
        self._straight = False
        self._sight = PLAIN
        self._sheet: Sheet | None = None
        self._shown = object()  # another one whenever other rows are drawn
        self._is_new = True  # whether nothing of them was laid out yet
        self._rows_picture = Scrolled()
        self._first_placing: tuple[tuple[Fabric | None, QSize], Placing] | None = None
        self._span = (0, 0)
        self._number_boxes: list[tuple[int, QRectF]] = []  # where row numbers are drawn
        self._marks: tuple[tuple[int, int], ...] = ()
        self._atlases = (SymbolAtlas(), SymbolAtlas())  # rows, foundation: their inks differ
        self.setAccessibleName("Chart")
        tell(self, Told(role=Role.Canvas, value=self.selection_words))
        self.describe("Stitch symbols of the blanket; rows numbered where they start")
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a size that shows a repeat or two."""
        return QSize(520, 420)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the chart of these results instead of the one shown until now."""
        before = self._results
        self._results = results
        self.selecting.show_results(results)
        straight = self._straight and results.rows.misfit is None  # a misfit lies straight anyway
        changed = before is None or before.fabric is not results.fabric
        if changed:
            fabric = straight_grid(results.rows, results.fabric.size) if straight else None
            self._fabric = fabric or results.fabric
            self._bounds_mm = self._fabric.bounds_mm()
            y, starts = self._fabric.tops_mm[:, 1], self._fabric.starts[:-1]
            self._reach_mm = np.minimum.reduceat(y, starts), np.maximum.reduceat(y, starts)
            height_mm = float(self._reach_mm[1].max() - self._reach_mm[0].min())
            self._mean_rise_mm = max(height_mm / max(self._fabric.n_rows, 1), 1e-6)
        if changed or before is None or _drawn_part(before) != _drawn_part(results):
            self._sheet = None
            self._shown = object()
            self._is_new = True
        self.update()
        if changed:
            self.placing_changed.emit()

    def set_straight(self, straight: bool) -> None:
        """Lay the rows on a straight grid, or as the fabric lies."""
        if straight != self._straight:
            self._straight = straight
            self._own_view = False
            results, self._results = self._results, None
            if results is not None:
                self.show_results(results)

    def set_sight(self, sight: Sight) -> None:
        """Show the yarns' tints as they are seen this way; its name then stands on the chart."""
        self._sight = sight
        self.update()

    @property
    def is_straight(self) -> bool:
        """Whether rows are laid on a straight grid."""
        return self._straight

    def show_row(self, row: int) -> None:
        """Bring the start of a row into view, large enough to be read."""
        if self._fabric is None or self._results is None or not 0 < row <= self._fabric.n_rows:
            return
        runs_left = self._results.rows.runs_left(row)
        tops = self._fabric.row_tops_mm(row)
        x, y = tops[-1 if runs_left else 0].tolist()
        scale = max(self.placing.scale, _FIRST_PX / self._fabric.size.width_mm)
        middle = 0.5 * self._fabric.size.width_mm * self.width() / _FIRST_PX
        x += -0.7 * middle if runs_left else 0.7 * middle
        left, down = 0.5 * self.width() - scale * x, 0.5 * self.height() + scale * y
        self.set_placing(Placing(scale, left, down))
        self.light(row, len(tops) - 1 if runs_left else 0)

    def shown(self) -> tuple[Results, Fabric] | None:
        """Return the results, and the tops that symbols are laid on."""
        if self._results is None or self._fabric is None:
            return None
        return self._results, self._fabric

    def show_marks(self, stitches: Sequence[tuple[int, int]]) -> None:
        """Ring these stitches (rows, and stitches from the left edge) until others are given."""
        self._marks = tuple(stitches)
        self.update()

    @property
    def fabric(self) -> Fabric | None:
        """The tops that the chart is laid out on."""
        return self._fabric

    def content_mm(self) -> tuple[float, float, float, float]:
        """Return the bounds of the chart, its numbers included."""
        if self._fabric is None:
            return (0.0, 0.0, 1.0, 1.0)
        left, bottom, right, top = self._bounds_mm
        margin = 4.0 * self._fabric.size.width_mm
        return (left - margin, bottom - margin, right + margin, top + 0.4 * margin)

    def first_placing(self) -> Placing:
        """Return a placing that shows the corner where row 1 starts, symbols readable."""
        key = self._fabric, self.size()
        if self._first_placing is None or self._first_placing[0] != key:
            self._first_placing = key, self._find_first_placing()
        return self._first_placing[1]

    def _find_first_placing(self) -> Placing:
        whole = self.fitting()
        if self._fabric is None or self._results is None:
            return whole
        scale = max(whole.scale, _FIRST_PX / self._fabric.size.width_mm)
        left, bottom, right, top = self.content_mm()
        if scale * (top - bottom) <= self.height():
            y = whole.y
        else:
            y = self.height() + scale * bottom
            # Slanting waves wander sideways: only the rows that are seen matter.
            tops = self._fabric.tops_mm
            seen = tops[tops[:, 1] < bottom + self.height() / scale, 0]
            margin = 4.0 * self._fabric.size.width_mm
            left, right = float(seen.min()) - margin, float(seen.max()) + margin
        if scale * (right - left) <= self.width():
            x = 0.5 * (self.width() - scale * (left + right))
        elif self._results.rows.runs_left(1):
            x = self.width() - scale * right
        else:
            x = -scale * left
        return Placing(scale, x, y)

    # painting

    def paint_scene(self, painter: QPainter) -> None:
        """Paint what is in view."""
        tones = self._theme.tones
        painter.fillRect(self.rect(), QColor(tones.sheet))
        if self._results is None or self._fabric is None:
            return
        placing = self.drawn_placing
        stitch_px = self._fabric.size.width_mm * placing.scale
        sheet = self._visible_sheet(placing, bands_only=stitch_px < _BLOCKS_PX)
        if sheet is None:
            return
        self._paint_rows(painter, sheet, placing, stitch_px)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_around(painter, sheet, placing)
        self._paint_marks(painter, placing)
        misfit = self._results.rows.misfit
        if misfit is not None:
            text = f"Drawn straight, up to row {misfit.row}, where it stops fitting"
            paint_plate(painter, text, self._theme)
        elif not self._sight.is_plain:
            paint_plate(painter, self._sight.name, self._theme)

    def _visible_sheet(self, placing: Placing, *, bands_only: bool) -> Sheet | None:
        """Return the sheet of the rows in view, laid out anew only if they aren't in hand."""
        assert self._results is not None and self._fabric is not None
        first, last = self._rows_in_view(placing)
        have = self._span
        if self._sheet is not None and have[0] <= first and last <= have[1] and not bands_only:
            return self._sheet
        results, fabric = self._results, self._fabric
        if bands_only:
            chart = lay_out(results.design, results.rows, fabric, first=2, last=1)
            wanted = [r for r in range(first, last + 1) if self._is_numbered(r, placing)]
            labels = row_labels(results.design, results.rows, fabric, wanted)
            chart = replace(chart, labels=labels, repeat=None)
            self._sheet = None
        else:
            # Rows to spare are for moving the chart; while it is being shaped they cost too much.
            spare = 1 if self._is_new else max(4, (last - first) // 3)
            self._is_new = False
            self._span = (max(first - spare, 1), min(last + spare, fabric.n_rows))
            chart = lay_out(
                results.design, results.rows, fabric, first=self._span[0], last=self._span[1]
            )
        sheet = make_sheet(chart, terms=results.design.terms, look=_BARE)
        self._sheet = None if bands_only else sheet
        return sheet

    def _paint_rows(
        self, painter: QPainter, sheet: Sheet, placing: Placing, stitch_px: float
    ) -> None:
        """Paint grounds and symbols; when the chart is moved, only what comes into view."""
        assert self._results is not None
        colours = self._ground_colours()
        tones, yarn_of_row = self._theme.tones, self._results.yarn_of_row.tobytes()
        is_fine = stitch_px >= _BLOCKS_PX

        def draw(inner: QPainter, piece: QRect) -> None:
            inner.setRenderHint(QPainter.RenderHint.Antialiasing, is_fine)
            self._paint_bands(inner, placing, piece, colours, is_fine=is_fine)
            inner.setRenderHint(QPainter.RenderHint.Antialiasing)
            if is_fine:
                self._paint_symbols(inner, sheet, placing, piece, drawn=drawn)

        # Qt's thick smooth lines differ by a shade with their place, so few large symbols are
        # drawn anew whenever they move.
        drawn = stitch_px > _DRAWN_PX
        key = self._shown, colours, yarn_of_row, tones, placing if drawn else None
        self._rows_picture.paint(painter, self.size(), tones.sheet, key, placing, draw)

    def _ground_colours(self) -> tuple[str, ...]:
        assert self._results is not None
        yarns = self._results.design.yarns
        return tuple(seen(ground_of(yarn.colour, PAPER), self._sight) for yarn in yarns)

    def _paint_bands(
        self,
        painter: QPainter,
        placing: Placing,
        piece: QRect,
        colours: tuple[str, ...],
        *,
        is_fine: bool,
    ) -> None:
        """Paint the stripes' grounds, only the rows and the part of them in a piece."""
        assert self._results is not None and self._fabric is not None
        first, last = self._rows_in_view(placing, piece)
        left, right = (
            (piece.left() - 20 - placing.x) / placing.scale,
            (piece.right() + 21 - placing.x) / placing.scale,
        )
        bands = bands_of(
            self._fabric,
            self._results.yarn_of_row,
            first=first,
            last=last,
            between_mm=(left, right),
            within_mm=0.0 if is_fine else _WITHIN_PX / placing.scale,
        )
        outlines = [placing.points(band.outline_mm) for band in bands]
        # Smooth fills cost ten times as much as plain ones; the smooth hairline covers the edge.
        is_smooth = painter.testRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        for band, outline in zip(bands, outlines, strict=True):
            painter.setBrush(QColor(colours[band.yarn]))
            painter.drawPolygon(polygon_of(outline))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, is_smooth)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        # A hairline keeps the palest yarns apart from the paper; neighbours share one.
        painter.setPen(QPen(QColor(self._theme.tones.hairline), 1))
        for number, (band, outline) in enumerate(zip(bands, outlines, strict=True)):
            right, above, left = band.corners
            painter.drawPolyline(polygon_of(outline[:right]))
            painter.drawPolyline(polygon_of(outline[max(right - 1, 0) : above + 1]))
            side = np.concatenate([outline[max(left - 1, 0) :], outline[:1]])
            painter.drawPolyline(polygon_of(side))
            if number == len(bands) - 1:
                painter.drawPolyline(polygon_of(outline[above:left]))

    def _rows_in_view(self, placing: Placing, piece: QRect | None = None) -> tuple[int, int]:
        """Return the first and the last row that show in the view, or in a piece of it."""
        piece = self.rect() if piece is None else piece.adjusted(0, -2, 0, 2)
        lowest = placing.y - placing.scale * self._reach_mm[0]
        highest = placing.y - placing.scale * self._reach_mm[1]
        below = piece.y() + piece.height()
        seen = np.flatnonzero((lowest[:-1] >= piece.y()) & (highest[1:] <= below))
        return (int(seen[0]) + 1, int(seen[-1]) + 1) if len(seen) else (1, 1)

    def _paint_symbols(
        self, painter: QPainter, sheet: Sheet, placing: Placing, piece: QRect, *, drawn: bool
    ) -> None:
        chart = sheet.chart
        x = placing.x + placing.scale * chart.top_mm[:, 0]
        y = placing.y - placing.scale * chart.top_mm[:, 1]
        around = 3.0 * chart.width_mm * placing.scale
        seen = (x > piece.x() - around) & (x < piece.x() + piece.width() + around)
        seen &= (y > piece.y() - around) & (y < piece.y() + piece.height() + around)
        width = max(sheet.stroke_mm * placing.scale, 1.0)
        # The way is free of where the chart lies, so that moved symbols keep their sprites.
        foot, top, symbol = chart.foot_mm[seen], chart.top_mm[seen], chart.symbol[seen]
        way = (top - foot) * (placing.scale, -placing.scale)
        is_foundation = chart.row[seen] == 0
        inks = (False, INK), (True, self._theme.tones.ink)
        for (foundation, ink), atlas in zip(inks, self._atlases, strict=True):
            here = is_foundation == foundation
            pen = symbol_pen(width, ink)
            if drawn:
                paint_symbols(painter, symbol[here], foot[here], top[here], placing, pen)
            else:
                foot_px = placing.points(foot[here])
                atlas.draw(painter, symbol[here], foot_px, way[here], pen)

    def _paint_around(self, painter: QPainter, sheet: Sheet, placing: Placing) -> None:
        """Paint row numbers, arrows and the repeat; numbers only as densely as they can be read."""
        ink = self._theme.tones.ink
        lines, texts = sheet.lines_mm, sheet.texts
        if self._numbered_rows(placing) > 1:  # arrows stand with the numbers that are shown
            arrows = np.repeat(
                [self._is_numbered(label.row, placing) for label in sheet.chart.labels], 3
            )
            lines = np.concatenate([lines[: len(arrows)][arrows], lines[len(arrows) :]])
        painter.setPen(symbol_pen(1.0, ink))
        draw_lines(painter, placing.points(lines))
        family = QFont(self.font()).family()
        high, every = self.fontMetrics().height(), self._numbered_rows(placing)
        self._number_boxes = []
        for text in texts:
            if text.row and not (every and (text.row == 1 or text.row % every == 0)):
                continue
            middle = placing.y - placing.scale * text.y_mm
            if not -4 * high <= middle <= self.height() + 4 * high:
                continue
            size = min(max(text.size_mm, 0.72 * high / placing.scale), 1.1 * high / placing.scale)
            shown = replace(text, size_mm=size, bold=False)
            if text.row:
                held = self._held_in_view(painter, shown, placing, family)
                if held is None:
                    continue
                shown = held
                box = QRectF(*text_box(shown, placing, family)).adjusted(-3, -2, 3, 2)
                self._number_boxes.append((text.row, box))
            paint_text(painter, shown, placing, family=family, ink=ink)

    def _held_in_view(
        self, painter: QPainter, text: Text, placing: Placing, family: str
    ) -> Text | None:
        """Return a row's number moved into view, with paper under it if it left its place.

        None if the row's start isn't between the view's upper and lower edge.
        """
        left, top, wide, high = text_box(text, placing, family)
        middle = top + 0.5 * high
        if not 0 <= middle <= self.height():
            return None
        x = min(max(left, _EDGE_PX), self.width() - _EDGE_PX - wide)
        y = min(max(top, _EDGE_PX / 2), self.height() - _EDGE_PX / 2 - high)
        if abs(x - left) > 0.5:
            pad = 2.0
            paper = QRectF(x - pad, y - pad, wide + 2 * pad, high + 2 * pad)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self._theme.tones.sheet))
            painter.drawRoundedRect(paper, 3, 3)
            painter.setBrush(Qt.BrushStyle.NoBrush)
        right, down = (x - left) / placing.scale, (y - top) / placing.scale
        return replace(text, x_mm=text.x_mm + right, y_mm=text.y_mm - down)

    def _numbered_rows(self, placing: Placing) -> int:
        """Return every how many rows one is numbered, so that the numbers can be read."""
        rise_px = self._mean_rise_mm * placing.scale
        return next(n for n in (1, 2, 5, 10, 20, 50, 100, 1000) if n * rise_px >= _apart_px(n))

    def _is_numbered(self, row: int, placing: Placing) -> bool:
        return row == 1 or row % self._numbered_rows(placing) == 0

    def _paint_marks(self, painter: QPainter, placing: Placing) -> None:
        fabric, rim = self._fabric, QColor(self._theme.tones.sheet)
        if fabric is None or not self._marks:
            return
        radius = max(0.6 * fabric.size.width_mm * placing.scale, 4.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for row, stitch in self._marks:
            if (
                not 0 <= row <= fabric.n_rows
                or stitch >= fabric.starts[row + 1] - fabric.starts[row]
            ):
                continue
            at = QPointF(*placing.points(fabric.row_tops_mm(row)[stitch]).tolist())
            for colour, width in ((rim, 5.0), (QColor(self._theme.tones.accent), 2.5)):
                painter.setPen(QPen(colour, width))
                painter.drawEllipse(at, radius, radius)

    # pointing

    def click_at(self, point: QPointF, *, extend: bool) -> None:
        """Select the stitch at a point, or the whole row by its number."""
        for row, box in self._number_boxes:
            if box.contains(point):
                self.selecting.choose_row(row, extend=extend)
                return
        super().click_at(point, extend=extend)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the chart."""
        menu = QMenu(self)
        menu.addAction("&Copy the chart\tCtrl+Shift+C", self.copy_wished.emit)
        menu.addAction("&Export…\tCtrl+E", self.export_wished.emit)
        menu.addSeparator()
        menu.addAction("Show &all\t0", self.show_all)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(event.globalPos())


def _drawn_part(results: Results) -> tuple[object, ...]:
    """Return what the symbols are drawn from beside the fabric: all but the stripes' yarns."""
    design = results.design
    parts = design.gauge, design.wave, design.turning, design.size, design.hand, design.terms
    return *parts, design_loops(design), design.loops.last_stitch_both


def _apart_px(every: int) -> float:
    """Return how far apart numbers are at least; odd and even rows stand at different sides."""
    return (0.55 if every == 1 else 1.1) * _LABEL_PX
