"""The drawing of one end on the edging page: choose a stitch of the fill, make it taller."""

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from app.painting.end import EndPicture, end_picture, height_for, label_px, paint_end, placed
from app.spoken import Role, Told, tell
from app.theme import UNIT, Theme, small
from app.views.figures import small_length
from core.craft.stitches import CATALOGUE
from core.edging.edits import place_in
from core.edging.outline import EndName
from core.edging.plan import wish_for
from core.pipeline import Results

_LEAST_PX: Final = 56
_MOST_PX: Final = 200
_MARGIN: Final = 6.0

Chosen = tuple[int, int]


class EndDrawing(QWidget):
    """Shows one end before and after its fill rows."""

    stepped = Signal(int, int, int, object)  # fill row, stitch, steps taller; the gesture
    chosen_changed = Signal()

    def __init__(self, theme: Theme, end: EndName, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._end = end
        self._results: Results | None = None
        self._picture: EndPicture | None = None
        self._chosen: Chosen | None = None
        self._gesture: object = object()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"{end.capitalize()} end, to scale")
        tell(self, Told(role=Role.Canvas, value=self.chosen_text))
        self.setToolTip(
            "Click a stitch of the fill, or use Left and Right; Up and Down make it taller or lower"
        )
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room for the drawing at the page's width."""
        width = max(self.width(), 200)
        if self._picture is None:
            return QSize(width, _LEAST_PX)
        height = height_for(self._picture, width - 2 * _MARGIN, self._label_px())
        height += 2 * _MARGIN + UNIT
        return QSize(width, round(min(max(height, _LEAST_PX), _MOST_PX)))

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(160, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height that goes with the width, and no more."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show an end of these results."""
        self._results = results
        self._picture = end_picture(results, self._end)
        self._keep_chosen()
        self.updateGeometry()
        self.update()
        self.setAccessibleDescription(self.chosen_text())

    @property
    def chosen(self) -> Chosen | None:
        """The fill row and stitch that is chosen, if there is a fill."""
        picture = self._picture
        return self._chosen if picture is not None and picture.cells_mm else None

    @property
    def gesture(self) -> object:
        """What joins the steps at one stitch to one undo step."""
        return self._gesture

    def chosen_text(self) -> str:
        """Return what the chosen stitch is."""
        picture, results = self._picture, self._results
        chosen = self.chosen
        if picture is None or results is None or chosen is None:
            return "no fill row"
        row, place = chosen
        outline = picture.outline
        part, at = place_in(outline, place)
        where, of = {
            "left": ("left corner", outline.left),
            "repeat": ("repeat", outline.width),
            "right": ("right corner", outline.right),
        }[part]
        name = CATALOGUE[picture.stitches[row][place - picture.first]].name(results.design.terms)
        rows = f"Fill row {row + 1}, stitch" if len(picture.cells_mm) > 1 else "Stitch"
        return f"{rows} {at + 1} of {of} in the {where}: {name.short}"

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the end."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setFont(small(QApplication.font()))
            results, picture, tones = self._results, self._picture, self._theme.tones
            if results is None or picture is None:
                return
            wish, fill = wish_for(results.design, self._end), picture.fill
            paint_end(
                painter,
                picture,
                results,
                placed(picture, self._room(), self._label_px()),
                tones,
                fill_yarn=wish.yarn if wish and fill else None,
                chosen=self.chosen,
                strong=self.hasFocus(),
                bump_text=self._bump_text(),
            )
            if self.hasFocus():
                painter.setPen(QPen(QColor(tones.accent), 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(self.rect().adjusted(1, 1, -2, -2))

    def _bump_text(self) -> str:
        """Return how far the end still goes up and down."""
        picture, results = self._picture, self._results
        if picture is None or results is None:
            return ""
        fill = picture.fill
        gap = fill.bump_mm if fill else picture.outline.gaps_mm()[picture.outline.middle].max()
        return small_length(gap, results.design.units)

    def _label_px(self) -> float:
        return label_px(QFontMetricsF(small(QApplication.font())), self._bump_text())

    def _room(self) -> QRectF:
        return QRectF(self.rect()).adjusted(_MARGIN, _MARGIN, -_MARGIN, -_MARGIN)

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the stitch under the cursor."""
        picture = self._picture
        if picture is None:
            return
        now = placed(picture, self._room(), self._label_px())
        at = event.position()
        found = picture.cell_at((at.x() - now.x) / now.scale, (now.y - at.y()) / now.scale)
        if found is not None:
            self._choose(*found)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose with Left and Right, change with Up and Down, other fill row with Page keys."""
        picture, chosen = self._picture, self.chosen
        if picture is None or chosen is None:
            super().keyPressEvent(event)
            return
        row, place = chosen
        match event.key():
            case Qt.Key.Key_Left:
                self._choose(row, place - 1)
            case Qt.Key.Key_Right:
                self._choose(row, place + 1)
            case Qt.Key.Key_Home:
                self._choose(row, picture.first)
            case Qt.Key.Key_End:
                self._choose(row, picture.first + picture.n - 1)
            case Qt.Key.Key_PageUp:
                self._choose(row + (1 if self._end == "top" else -1), place)
            case Qt.Key.Key_PageDown:
                self._choose(row - (1 if self._end == "top" else -1), place)
            case Qt.Key.Key_Up:
                self.step(1)
            case Qt.Key.Key_Down:
                self.step(-1)
            case _:
                super().keyPressEvent(event)

    def step(self, taller: int) -> None:
        """Ask for the chosen stitch to be made taller."""
        chosen = self.chosen
        if chosen is not None:
            self.stepped.emit(*chosen, taller, self._gesture)

    def _choose(self, row: int, place: int) -> None:
        self._chosen = (row, place)
        self._gesture = object()
        self._keep_chosen()
        self.setAccessibleDescription(self.chosen_text())
        self.chosen_changed.emit()
        self.update()

    def _keep_chosen(self) -> None:
        picture = self._picture
        if picture is None or not picture.cells_mm:
            return
        if self._chosen is None:  # begin where most is to be filled
            gaps = picture.outline.gaps_mm()[picture.first : picture.first + picture.n]
            self._chosen = (0, picture.first + int(gaps.argmax()))
        row, place = self._chosen
        row = min(max(row, 0), len(picture.cells_mm) - 1)
        self._chosen = (row, min(max(place, picture.first), picture.first + picture.n - 1))
