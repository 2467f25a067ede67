"""How the strip is painted: stripes, their echo, locks and names, what is chosen."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from app.theme import Tones
from app.views.stripes.choice import Choice
from app.views.stripes.places import Places
from core.design.document import Design, Stripe
from core.stripes.colour import ink_on

_LOCK_PX = 9.0


class StripPicture:
    """Paints the stripes in view."""

    def __init__(self, places: Places, font: QFont) -> None:
        self._places = places
        self._font = font
        self._metrics = QFontMetricsF(font)

    def paint(
        self, painter: QPainter, design: Design, tones: Tones, height: int, above: int = 0
    ) -> None:
        """Paint every stripe between `above` and `height`."""
        places = self._places
        painter.setFont(self._font)
        for number, worked in places.between(above, height):
            rect = places.rect(worked)
            if rect.bottom() < above or rect.top() > height:
                continue
            stripe = design.stripes.sequence[worked.entry]
            is_echo = places.is_echo(number)
            colour = design.yarns[worked.yarn].colour
            painter.fillRect(rect, QColor(colour))
            if is_echo:
                hatch = QColor(ink_on(colour))
                hatch.setAlpha(90)
                painter.fillRect(rect, QBrush(hatch, Qt.BrushStyle.BDiagPattern))
            painter.setPen(QPen(QColor(tones.hairline), 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect)
            if rect.height() >= self._metrics.height() * 0.8:
                ink = QColor(ink_on(colour))
                if is_echo:
                    text = f"{worked.entry + 1}: {worked.rows}"
                    self._paint_echo_text(painter, rect, text, colour, ink)
                else:
                    self._paint_text(painter, rect, str(worked.rows), stripe, ink)
            elif stripe.locked and not is_echo and rect.height() >= 4:
                painter.fillRect(
                    QRectF(rect.right() - 4, rect.top(), 4, rect.height()), QColor(tones.ink)
                )
        self._paint_end_of_own(painter, tones)

    def _paint_text(
        self, painter: QPainter, rect: QRectF, rows: str, stripe: Stripe, ink: QColor
    ) -> None:
        painter.setPen(ink)
        inner = rect.adjusted(4, 0, -4, 0)
        if stripe.locked:
            _paint_lock(painter, QPointF(inner.right() - _LOCK_PX, inner.center().y()), ink)
            inner.setRight(inner.right() - _LOCK_PX - 3)
        if not stripe.label:
            painter.drawText(inner, Qt.AlignmentFlag.AlignCenter, rows)
            return
        left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(inner, left, rows)
        inner.setLeft(inner.left() + self._metrics.horizontalAdvance(rows) + 4)
        name = self._metrics.elidedText(stripe.label, Qt.TextElideMode.ElideRight, inner.width())
        painter.drawText(inner, left, name)

    def _paint_echo_text(
        self, painter: QPainter, rect: QRectF, text: str, colour: str, ink: QColor
    ) -> None:
        """Paint which stripe an echo comes from, clear of the hatching."""
        room = self._metrics.horizontalAdvance(text) + 8
        plate = QRectF(rect.center().x() - room / 2, rect.top() + 1, room, rect.height() - 2)
        painter.fillRect(plate, QColor(colour))
        painter.setPen(ink)
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_end_of_own(self, painter: QPainter, tones: Tones) -> None:
        """Paint where the sequence ends and its echo begins."""
        places = self._places
        if places.own and places.own < len(places.worked):
            y = places.y(places.worked[places.own - 1].last)
            painter.setPen(QPen(QColor(tones.ink), 2, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(0, y), QPointF(places.width, y))

    def paint_chosen(
        self, painter: QPainter, choice: Choice, tones: Tones, *, has_focus: bool
    ) -> None:
        """Frame what is chosen, with a mark beside it; frame twice what keys point at."""
        places = self._places
        ink = QColor(tones.accent if has_focus else tones.ink)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for number in sorted(choice.numbers):
            if number < places.own:
                rect = places.rect(places.worked[number])
                bar = QRectF(4, rect.top() + 1, 5, max(rect.height() - 2, 2))
                painter.fillRect(bar, ink)
        if choice.current < places.own:
            rect = places.rect(places.worked[choice.current])
            width = 3 if has_focus else 2
            frame = rect.adjusted(1, 1, -1, -1)
            painter.setPen(QPen(QColor(tones.field), width + 2))
            painter.drawRect(frame)
            painter.setPen(QPen(ink, width))
            painter.drawRect(frame)
            if choice.current not in choice.numbers:  # pointed at only
                y = rect.center().y()
                arrow = [QPointF(3, y - 4), QPointF(10, y), QPointF(3, y + 4)]
                painter.drawPolyline(QPolygonF(arrow))

    def paint_lit(
        self, painter: QPainter, first: int, last: int, tones: Tones, *, selected: bool
    ) -> None:
        """Bracket rows that are pointed at or selected elsewhere, at the strip's right edge."""
        top, bottom = self._places.y(last), self._places.y(first - 1)
        if bottom - top < 5:
            middle = 0.5 * (top + bottom)
            top, bottom = middle - 2.5, middle + 2.5
        right = self._places.width - 2.0
        bracket = QPolygonF(
            [
                QPointF(right - 10, top),
                QPointF(right, top),
                QPointF(right, bottom),
                QPointF(right - 10, bottom),
            ]
        )
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in ((tones.field, 6.0), (tones.accent, 3.0 if selected else 2.0)):
            painter.setPen(QPen(QColor(colour), width))
            painter.drawPolyline(bracket)

    def paint_landing(self, painter: QPainter, gap: int, tones: Tones) -> None:
        """Show where what is carried would go."""
        y = self._places.gap_y(gap)
        painter.setPen(QPen(QColor(tones.accent), 3))
        painter.drawLine(QPointF(0, y), QPointF(self._places.width, y))

    def paint_target(self, painter: QPainter, number: int, tones: Tones) -> None:
        """Show which stripe would change places with what is carried."""
        if number < self._places.own:
            rect = self._places.rect(self._places.worked[number]).adjusted(-2, 0, 2, 0)
            painter.setPen(QPen(QColor(tones.accent), 3, Qt.PenStyle.DashLine))
            painter.drawRect(rect)

    def paint_rubber(self, painter: QPainter, from_y: float, to_y: float, tones: Tones) -> None:
        """Show the band that is drawn over stripes."""
        band = QColor(tones.accent)
        painter.setPen(QPen(band, 1))
        band.setAlpha(50)
        top, bottom = sorted((from_y, to_y))
        painter.setBrush(band)
        painter.drawRect(QRectF(2, top, self._places.width - 5, bottom - top))
        painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_lock(painter: QPainter, at: QPointF, ink: QColor) -> None:
    """Paint a small closed lock, its left middle at `at`."""
    body = QRectF(at.x(), at.y() - 1, 8, 6)
    painter.fillRect(body, ink)
    painter.setPen(QPen(ink, 1.4))
    painter.drawArc(QRectF(at.x() + 1.5, at.y() - 6, 5, 9), 0, 180 * 16)
