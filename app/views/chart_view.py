"""The chart on screen. It paints what it is given and reports which stitch is pointed at."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QPainter,
    QPen,
)
from PySide6.QtWidgets import QMenu, QWidget

from app.painting.atlas import SymbolAtlas
from app.painting.bands import paint_bands, paint_rim
from app.painting.chart import (
    Placing,
    paint_symbols,
    paint_text,
    symbol_pen,
)
from app.painting.scrolled import AHEAD_PX, Scrolled
from app.painting.strokes import draw_lines, polygon_of
from app.spoken import Role, Told, tell
from app.theme import Theme
from app.views.moving_hand import MovingHand
from app.views.name_plate import paint_plate
from app.views.row_numbers import RowNumbers, is_numbered, numbered_every
from app.views.stitch_canvas import StitchCanvas
from core.chart.bands import bands_of
from core.chart.labels import RowLabel, row_labels
from core.chart.layout import lay_out
from core.chart.setting import PER_ARROW
from core.chart.sheet import Look, Sheet, make_sheet, screen_mm
from core.fabric.extract import straight_grid
from core.fabric.sheet import Fabric
from core.palette.sight import PLAIN, Sight, seen
from core.pipeline import Results
from core.records import Struct, replace
from core.stripes.colour import INK, PAPER, ground_of
from core.stripes.loops import design_loops

_FIRST_PX: Final = 22.0  # stitch width at first, wide enough to read the symbols
_BLOCKS_PX: Final = 4.0  # stitch width below which only the bands are drawn
_DRAWN_PX: Final = 44.0  # from here on symbols are drawn one by one, below from sprites
_MANY: Final = 5000  # stitches: more than that are drawn when a hand rests
_SPARE: Final = 4.0  # stitches laid out beside the view: symbols reach over several
_BARE: Final = Look(with_key=False)


class _Laid(Struct, frozen=True):
    """Rows and the part of them that is laid out; `every` so many numbered if only numbers are."""

    first: int
    last: int
    between_mm: tuple[float, float]
    every: int = 0

    def holds(self, other: "_Laid", every: int) -> bool:
        rows = self.first <= other.first and other.last <= self.last
        (left, right), (low, high) = self.between_mm, other.between_mm
        return self.every == every and rows and (bool(every) or (left <= low and high <= right))

    def with_spare(self, n_rows: int) -> "_Laid":
        """Return a third more on every side."""
        rows = max(4, (self.last - self.first) // 3)
        left, right = self.between_mm
        wide = (right - left) / 3
        between = left - wide, right + wide
        return _Laid(max(self.first - rows, 1), min(self.last + rows, n_rows), between)


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
        self._sheet: Sheet | None = None  # of what is laid out; None if there are no symbols
        self._labels: tuple[RowLabel, ...] = ()
        self._shown = object()  # another one whenever other rows are drawn
        self._is_new = True  # whether nothing of them was laid out yet
        self._rows_picture = Scrolled()
        self._first_placing: tuple[tuple[Fabric | None, QSize], Placing] | None = None
        self._laid: _Laid | None = None  # what of it is in hand
        self.numbers = RowNumbers()
        self._marks: tuple[tuple[int, int], ...] = ()
        self._was_draft = False  # whether symbols were left out when it was last painted
        self._hand = MovingHand(self)
        self._hand.rests.connect(self._on_rest)
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
            self._laid = None
            self._shown = object()
            self._is_new = True
        if changed and before is not None:
            self._hand.moves()
        if self._hand.holds and before is not None:  # what the hand holds is painted first
            self.update_soon()
        else:
            self.update()
        if changed:
            self.find_again()
            self.placing_changed.emit()

    def _on_rest(self) -> None:
        """Draw the symbols that were left out while the wave was being shaped."""
        if self._was_draft:
            self.update()

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
        return (left - margin, bottom - 0.8 * margin, right + margin, top + 0.4 * margin)

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
        if self._results is None or self._fabric is None:
            painter.fillRect(self.rect(), QColor(tones.sheet))
            return
        placing = self.drawn_placing
        stitch_px = self._fabric.size.width_mm * placing.scale
        wanted = self._in_view(placing)
        is_fine = stitch_px >= _BLOCKS_PX
        self._was_draft = self._hand.is_moving and (not is_fine or self._are_many(wanted))
        is_fine &= not self._was_draft
        self._lay_rows(wanted, placing, bands_only=not is_fine)
        self._paint_rows(painter, placing, stitch_px, is_fine=is_fine)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_around(painter, placing)
        self._paint_marks(painter, placing)
        misfit = self._results.rows.misfit
        if misfit is not None:
            text = f"Drawn straight, up to row {misfit.row}, where it stops fitting"
            paint_plate(painter, text, self._theme)
        elif not self._sight.is_plain:
            paint_plate(painter, self._sight.name, self._theme)

    def _are_many(self, laid: "_Laid") -> bool:
        """Return whether so many stitches are in view that a moving hand would wait for them."""
        assert self._fabric is not None
        count = self._fabric.starts[laid.last + 1] - self._fabric.starts[laid.first]
        left, right = laid.between_mm
        whole = max(self._bounds_mm[2] - self._bounds_mm[0], right - left)
        return bool(count * (right - left) > _MANY * whole)

    def _lay_rows(self, wanted: "_Laid", placing: Placing, *, bands_only: bool) -> None:
        """Lay out what is in view, if it isn't in hand: symbols too, or row numbers alone."""
        assert self._results is not None and self._fabric is not None
        every = self._numbered_every(placing) if bands_only else 0
        if self._laid is not None and self._laid.holds(wanted, every):
            return
        results, fabric = self._results, self._fabric
        design, rows = results.design, results.rows
        if bands_only:
            numbered = [r for r in range(wanted.first, wanted.last + 1) if is_numbered(r, every)]
            self._laid = replace(wanted, every=every)
            self._labels, self._sheet = row_labels(design, rows, fabric, numbered), None
            return
        # What is laid to spare is for moving the chart; while it is shaped it costs too much.
        self._laid = wanted if self._is_new else wanted.with_spare(fabric.n_rows)
        self._is_new = False
        first, last, between = self._laid.first, self._laid.last, self._laid.between_mm
        middle = (0.5 * self.width() - placing.x) / placing.scale
        chart = lay_out(
            design, rows, fabric, first=first, last=last, between_mm=between, near_mm=middle
        )
        self._labels = chart.labels
        self._sheet = make_sheet(chart, terms=design.terms, look=_BARE)

    def _in_view(self, placing: Placing) -> "_Laid":
        assert self._fabric is not None
        ahead = AHEAD_PX  # the picture may be drawn so far beside the view
        first, last = self._rows_in_view(placing, self.rect().adjusted(0, -ahead, 0, ahead))
        beside = _SPARE * self._fabric.size.width_mm
        left = -(placing.x + ahead) / placing.scale - beside
        right = (self.width() + ahead - placing.x) / placing.scale + beside
        # Beyond the blanket there is nothing: what moves there is all in hand.
        low, high = self._bounds_mm[0] - beside, self._bounds_mm[2] + beside
        between = min(max(left, low), high), min(max(right, low), high)
        return _Laid(max(first - 1, 1), min(last + 1, self._fabric.n_rows), between)

    def _paint_rows(
        self,
        painter: QPainter,
        placing: Placing,
        stitch_px: float,
        *,
        is_fine: bool,
    ) -> None:
        """Paint grounds and symbols; when the chart is moved, only what comes into view."""
        assert self._results is not None
        colours, sheet = self._ground_colours(), self._sheet
        tones, yarn_of_row = self._theme.tones, self._results.yarn_of_row.tobytes()

        def draw(inner: QPainter, piece: QRect) -> None:
            inner.setRenderHint(QPainter.RenderHint.Antialiasing)
            if sheet is not None:
                self._paint_bands(inner, placing, piece, colours)
                self._paint_symbols(inner, sheet, placing, piece, drawn=drawn)
            else:
                self._paint_band_pixels(inner, placing, piece, colours)

        # Qt's thick smooth lines differ by a shade with their place, so few large symbols are
        # drawn anew whenever they move.
        drawn = stitch_px > _DRAWN_PX
        key = self._shown, is_fine, colours, yarn_of_row, tones, placing if drawn else None
        if self._was_draft:  # the next one will be another: not kept
            self._rows_picture.forget()
            draw(painter, self.rect())
            return
        self._rows_picture.paint(painter, self.size(), tones.sheet, key, placing, draw)

    def _ground_colours(self) -> tuple[str, ...]:
        assert self._results is not None
        yarns = self._results.design.yarns
        return tuple(seen(ground_of(yarn.colour, PAPER), self._sight) for yarn in yarns)

    def _paint_band_pixels(
        self, painter: QPainter, placing: Placing, piece: QRect, colours: tuple[str, ...]
    ) -> None:
        """Paint the stripes' grounds where stitches are too small to be drawn."""
        assert self._results is not None and self._fabric is not None
        fabric, yarns = self._fabric, self._results.yarn_of_row
        tones, draft = self._theme.tones, self._was_draft
        paint_bands(
            painter, fabric, yarns, colours, placing, piece, ground=tones.sheet, draft=draft
        )
        paint_rim(painter, fabric, placing, tones.hairline, draft=draft)

    def _paint_bands(
        self, painter: QPainter, placing: Placing, piece: QRect, colours: tuple[str, ...]
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

    def _paint_around(self, painter: QPainter, placing: Placing) -> None:
        """Paint row numbers, arrows and the repeat."""
        assert self._fabric is not None
        tones, every = self._theme.tones, self._numbered_every(placing)
        self.numbers.paint(
            painter,
            self._labels,
            placing,
            every,
            mm=screen_mm(self._fabric.size.width_mm),
            font=self.font(),
            size=self.size(),
            tones=tones,
        )
        if self._sheet is None:
            return
        painter.setPen(symbol_pen(1.0, tones.ink))
        bracket = self._sheet.lines_mm[PER_ARROW * len(self._labels) :]  # after the arrows
        draw_lines(painter, placing.points(bracket))
        own_px = self.fontMetrics().height()
        for text in self._sheet.texts:
            middle = placing.y - placing.scale * text.y_mm
            if not text.row and -4 * own_px <= middle <= self.height() + 4 * own_px:
                size = min(
                    max(text.size_mm, 0.72 * own_px / placing.scale), 1.1 * own_px / placing.scale
                )
                shown = replace(text, size_mm=size, bold=False)
                paint_text(painter, shown, placing, family=self.font().family(), ink=tones.ink)

    def _numbered_every(self, placing: Placing) -> int:
        return numbered_every(self._mean_rise_mm * placing.scale)

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
        row = self.numbers.row_at(point)
        if row:
            self.selecting.choose_row(row, extend=extend)
        else:
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
