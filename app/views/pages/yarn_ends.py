"""The part of the yarn's page about ends: how many, on which side, what carrying saves."""

from functools import partial
from typing import Any, Final

import numpy as np
from PySide6.QtCore import QLineF, QObject, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.spoken import Role, Told, tell
from app.theme import UNIT, Theme, small
from app.views.figures import counted, number
from app.views.pages.fields import NumberField, Tick, bounds_of
from app.views.pages.page import FormPage
from core.craft.tables import EVENING_HOURS
from core.design import edits
from core.design.document import Reckoning
from core.pipeline import Results
from core.yarn.tails import two_row_tails, usual_carry

_MINUTES: Final = 60.0


class EndsGroup(QObject):
    """Ends to weave in, with a picture of both edges."""

    marks_changed = Signal()

    def __init__(self, page: FormPage, theme: Theme) -> None:
        super().__init__(page)
        self._page = page
        self.fold = page.fold("Ends")
        self.picture = EndsPicture(theme)
        page.plain(self.picture)
        self.all = page.figure("Ends to weave in")
        self.left = page.figure("At the left edge")
        self.right = page.figure("At the right edge")
        self.takes = page.figure("Weaving them in takes")
        self.carry = NumberField(
            "Rows a yarn is carried past",
            bounds_of(Reckoning, "carry_rows"),
            unit="rows",
            absent="none",
            first=2.0,
        )
        self.carry.setToolTip("A yarn is carried up the side past at most so many rows of others")
        page.field("Carry past", self.carry)
        self.minutes = NumberField(
            "Minutes to weave in an end",
            bounds_of(Reckoning, "weave_minutes"),
            step=0.5,
            digits=1,
            unit="min",
        )
        page.field("An end takes", self.minutes)
        self.could = page.note()
        self.two_rows = page.note()
        self.on_fabric = Tick("Mark the ends on the fabric")
        page.whole(self.on_fabric)
        self.on_fabric.changed.connect(lambda _: self.marks_changed.emit())
        self.carry.changed.connect(
            lambda value, gesture: self._set("Carry yarns", "carry_rows", int(value or 0), gesture)
        )
        self.minutes.changed.connect(partial(self._set, "Change time for an end", "weave_minutes"))

    def show_results(self, results: Results) -> None:
        """Show the ends of these results."""
        design, tails = results.design, results.yarn_ends
        reckoning = design.reckoning or Reckoning()
        left, right = tails.sides()
        around = 2 * len(results.edging)
        minutes = (tails.n_ends + around) * reckoning.weave_minutes
        self.picture.show_results(results)
        edging = f" and {around} of the edging" if around else ""
        self.all.show_text(f"{tails.n_ends}{edging}")
        self.left.show_text(str(left))
        self.right.show_text(str(right))
        self.takes.show_text(time_words(minutes))
        self.carry.show_value(reckoning.carry_rows or None)
        self.minutes.show_value(reckoning.weave_minutes)
        self.could.say(_could_words(results))
        self.two_rows.say(_two_row_words(results, tails.n_ends, reckoning.weave_minutes))
        self.fold.sum_up(
            f"{counted(tails.n_ends + around, 'end')}: {left} left, {right} right; "
            f"{time_words(minutes)}",
            matters=False,
        )

    def _set(self, text: str, name: str, value: Any, gesture: object) -> None:
        self._page.ask(text, partial(edits.set_reckoning, **{name: value}), gesture)


class EndsPicture(QWidget):
    """Both edges of the blanket with an end's stroke wherever one hangs, carried yarns beside."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Ends at both edges")
        tell(self, Told(role=Role.Graphic))
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room for two edges."""
        return QSize(240, 22 * UNIT)

    def show_results(self, results: Results) -> None:
        """Show the ends of these results."""
        self._results = results
        left, right = results.yarn_ends.sides()
        carried = int(results.yarn_ends.carried.sum())
        self.setAccessibleDescription(
            f"{left} ends at the left edge, {right} at the right, {carried} carried"
        )
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint stripes, strokes and carried yarns."""
        del event
        results = self._results
        if results is None or not len(results.yarn_of_row):
            return
        tones, n_rows = self._theme.tones, len(results.yarn_of_row)
        box = QRectF(self.rect()).adjusted(7 * UNIT, 3 * UNIT, -7 * UNIT, -UNIT)
        step = box.height() / n_rows
        with QPainter(self) as painter:
            painter.setFont(small(self.font()))
            painter.setPen(QColor(tones.muted))
            for words, side in (
                ("left", Qt.AlignmentFlag.AlignLeft),
                ("right", Qt.AlignmentFlag.AlignRight),
            ):
                painter.drawText(QRectF(self.rect()), side | Qt.AlignmentFlag.AlignTop, words)
            tails = results.yarn_ends
            for yarn, first, last in zip(
                tails.yarn.tolist(), tails.first.tolist(), tails.last.tolist(), strict=True
            ):
                top = box.bottom() - last * step
                colour = QColor(results.design.yarns[yarn].colour)
                painter.fillRect(
                    QRectF(box.left(), top, box.width(), (last - first + 1) * step + 0.5), colour
                )
            painter.setPen(QPen(QColor(tones.muted), 1))
            painter.drawRect(box)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_ends(painter, results, box, step)

    def _paint_ends(self, painter: QPainter, results: Results, box: QRectF, step: float) -> None:
        tones = self._theme.tones
        painter.setPen(QPen(QColor(tones.ink), 1.2 if step > 2 else 0.6))
        lines = []
        for end in results.yarn_ends.ends():
            edge, way = (box.left(), -1) if end.at_left else (box.right(), 1)
            y = box.bottom() - end.row * step + (-1.0 if end.is_start else 1.0)
            drop = 3.0 if end.is_start else 5.0
            lines.append(QLineF(edge, y, edge + way * 2 * UNIT, y + drop))
        painter.drawLines(lines)
        painter.setPen(QPen(QColor(tones.accent), 1.6))
        lanes: dict[bool, int] = {}
        for carry in results.yarn_ends.carries():
            lane = lanes[carry.at_left] = (lanes.get(carry.at_left, 0) + 1) % 3
            edge, way = (box.left(), -1) if carry.at_left else (box.right(), 1)
            x = edge + way * (3 + 3 * lane)
            low, high = (box.bottom() - row * step for row in (carry.from_row, carry.to_row - 1))
            painter.drawPolyline(
                [QPointF(edge, low), QPointF(x, low), QPointF(x, high), QPointF(edge, high)]
            )


def time_words(minutes: float) -> str:
    """Return a time in minutes or hours."""
    if minutes < 2 * _MINUTES:
        return f"{number(minutes)} min"
    return f"{number(minutes / _MINUTES, 1)} h"


def evenings_words(evenings: int) -> str:
    """Return a number of evenings of two hours."""
    return counted(evenings, "evening") + f" of {number(EVENING_HOURS)} h"


def _could_words(results: Results) -> str:
    design, tails = results.design, results.yarn_ends
    carried = tails.carries()
    if carried:
        names = _names(results, {carry.yarn for carry in carried})
        longest = max(carry.rows for carry in carried)
        return (
            f"Carried up the side: {names}, past {counted(longest, 'row')} at most. Catch it in "
            "the turning chain and leave it slack."
        )
    limit = usual_carry(design)
    could = tails.carries(most_rows=limit)
    if not could:
        return (
            "No yarn comes back to the edge it left within "
            f"{counted(limit, 'row')}: it does after an even number of rows in other yarns."
        )
    names = _names(results, {carry.yarn for carry in could})
    return f"{names} could be carried past {limit} rows: {2 * len(could)} ends fewer."


def _names(results: Results, yarns: set[int]) -> str:
    names = [results.design.yarns[number].name for number in sorted(yarns)]
    if len(names) > 4:
        return f"{', '.join(names[:3])} and {len(names) - 3} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _two_row_words(results: Results, now: int, minutes: float) -> str:
    tails = results.yarn_ends
    if not len(tails.yarn) or bool(np.all(tails.last - tails.first == 1)):
        return ""
    cut, carried = two_row_tails(results.design, len(results.yarn_of_row))
    saved = now - carried
    words = f"In two-row stripes there would be {cut} ends, {carried} with yarns carried"
    if saved > 0:
        words += f": up to {saved} fewer, {time_words(saved * minutes)}"
    return f"{words}."
