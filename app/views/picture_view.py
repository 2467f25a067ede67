"""A picture with numbered points on it that can be moved to other spots."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QImage, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.spoken import Part, Role, Told, tell, tell_current
from app.theme import UNIT, Theme, small

_RADIUS: Final = 11.0
_WAYS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_FAR: Final = 10  # steps at once with Shift

Spot = tuple[int, int]


class PictureView(QWidget):
    """Shows a picture; drag a point, or take it by its number and use the arrow keys."""

    moved = Signal(int, int, int)  # point, pixel from the left, from the top
    pointed = Signal(int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._image = QImage()
        self._steps = (1, 1)  # pixels that spots are counted in: across, down
        self._spots: tuple[Spot, ...] = ()
        self._colours: tuple[str, ...] = ()
        self._chosen = 0
        self._dragging = False
        self._text = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(240, 200)
        self.setAccessibleName("Picture")
        tell(
            self,
            Told(
                role=Role.Canvas,
                count=lambda: len(self._spots),
                part=self._part,
                current=lambda: self._chosen,
            ),
        )
        self.setToolTip(
            "Drag a point to take another spot's colour. Keys: 1 to 9 or Page Up and Down choose "
            "a point, arrows move it, with Shift farther."
        )
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room to see a picture."""
        return QSize(520, 440)

    @property
    def chosen(self) -> int:
        """The point in hand."""
        return self._chosen

    def show_text(self, text: str) -> None:
        """Show a sentence in place of a picture."""
        self._image, self._spots, self._text = QImage(), (), text
        self._describe()
        self.update()

    def show_picture(self, image: QImage, steps: tuple[int, int]) -> None:
        """Show a picture whose spots are counted in so many steps across and down."""
        self._image, self._steps, self._text = image, steps, ""
        self._spots, self._chosen = (), 0
        self.update()

    def show_spots(self, spots: Sequence[Spot], colours: Sequence[str]) -> None:
        """Show the points."""
        self._spots, self._colours = tuple(spots), tuple(colours)
        self._chosen = min(self._chosen, max(len(spots) - 1, 0))
        self._describe()
        self.update()

    def choose(self, point: int) -> None:
        """Take a point in hand."""
        if 0 <= point < len(self._spots) and point != self._chosen:
            self._chosen = point
            self._describe()
            self.update()

    def _describe(self) -> None:
        if self._text:
            self.setAccessibleDescription(self._text)
        elif self._spots:
            self.setAccessibleDescription(self._point_words(self._chosen))
            tell_current(self)

    def _point_words(self, point: int) -> str:
        (x, y), (across, down) = self._spots[point], self._steps
        return (
            f"Point {point + 1} of {len(self._spots)}, "
            f"{100 * x // across} % from the left, {100 * y // down} % from the top, "
            f"{self._colours[point]}"
        )

    def _part(self, point: int) -> Part:
        at, side = self._at(self._spots[point]).toPoint(), round(2 * _RADIUS)
        place = QRect(at.x() - side // 2, at.y() - side // 2, side, side)
        return Part(self._point_words(point), place, point == self._chosen)

    # painting

    def _frame(self) -> QRectF:
        """Return where the picture lies."""
        room = QRectF(self.rect()).adjusted(2, 2, -2, -2)
        if self._image.isNull():
            return room
        size = QSize(self._image.size()).toSizeF()
        size.scale(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
        frame = QRectF(QPointF(), size)
        frame.moveCenter(room.center())
        return frame

    def _at(self, spot: Spot) -> QPointF:
        frame, (across, down) = self._frame(), self._steps
        return QPointF(
            frame.left() + frame.width() * (spot[0] + 0.5) / across,
            frame.top() + frame.height() * (spot[1] + 0.5) / down,
        )

    def paintEvent(self, event: object) -> None:
        """Paint picture and points."""
        del event
        tones = self._theme.tones
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.fillRect(self.rect(), QColor(tones.sheet))
            if self._text:
                painter.setPen(QColor(tones.ink))
                box = self.rect().adjusted(4 * UNIT, UNIT, -4 * UNIT, -UNIT)
                where = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
                painter.drawText(box, where, self._text)
            elif not self._image.isNull():
                painter.drawImage(self._frame(), self._image)
                for point in sorted(range(len(self._spots)), key=lambda n: n == self._chosen):
                    self._paint_point(painter, point)
            focus = self.hasFocus()
            painter.setPen(
                QPen(QColor(tones.accent if focus else tones.hairline), 2 if focus else 1)
            )
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))

    def _paint_point(self, painter: QPainter, point: int) -> None:
        """Paint a ring filled with its colour, dark and light so that it is seen on anything."""
        at, chosen = self._at(self._spots[point]), point == self._chosen
        colour = QColor(self._colours[point])
        radius = _RADIUS + (3 if chosen else 0)
        painter.setBrush(colour)
        painter.setPen(QPen(QColor("#000000"), 4.0 if chosen else 3.0))
        painter.drawEllipse(at, radius, radius)
        painter.setPen(QPen(QColor("#ffffff"), 2.0 if chosen else 1.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(at, radius, radius)
        painter.setFont(small(self.font()))
        painter.setPen(QColor("#000000" if colour.lightnessF() > 0.5 else "#ffffff"))
        box = QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(point + 1))

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the nearest point in hand."""
        if event.button() != Qt.MouseButton.LeftButton or not self._spots:
            return
        place = event.position()

        def away(point: int) -> float:
            step = self._at(self._spots[point]) - place
            return float(step.x() ** 2 + step.y() ** 2)

        point = min(range(len(self._spots)), key=away)
        near = away(point) <= (2 * _RADIUS) ** 2
        if near:
            self._take(point)
        self._dragging = True
        if not near:  # no point there: the one in hand comes
            self._follow(place)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the point in hand."""
        if self._dragging:
            self._follow(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        del event
        self._dragging = False

    def _follow(self, place: QPointF) -> None:
        frame, (across, down) = self._frame(), self._steps
        x = int((place.x() - frame.left()) / max(frame.width(), 1) * across)
        y = int((place.y() - frame.top()) / max(frame.height(), 1) * down)
        self._move(x, y)

    def _move(self, x: int, y: int) -> None:
        across, down = self._steps
        x, y = min(max(x, 0), across - 1), min(max(y, 0), down - 1)
        if self._spots and (x, y) != self._spots[self._chosen]:
            self.moved.emit(self._chosen, x, y)

    def _take(self, point: int) -> None:
        self.choose(point)
        self.pointed.emit(point)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose a point by its number, move it with the arrows."""
        key = Qt.Key(event.key())
        if not self._spots:
            super().keyPressEvent(event)
        elif key in _WAYS:
            far = _FAR if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            right, down = _WAYS[key]
            x, y = self._spots[self._chosen]
            self._move(x + far * right, y + far * down)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            step = 1 if key == Qt.Key.Key_PageDown else -1
            self._take((self._chosen + step) % len(self._spots))
        elif event.text().isdigit() and 0 < int(event.text()) <= len(self._spots):
            self._take(int(event.text()) - 1)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show which point is in hand."""
        super().focusInEvent(event)
        if self._spots:
            self.pointed.emit(self._chosen)
