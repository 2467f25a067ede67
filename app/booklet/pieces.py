"""What is flowed over pages: pieces that know their height, and where they may be cut."""

from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from app.booklet.figures import Figure
from app.booklet.manner import SHORT
from app.booklet.setting import SetText
from core.records import Struct, field, replace


class Piece(Protocol):
    """A piece of a page; all measures in units."""

    @property
    def before(self) -> float:
        """Space above it, unless it begins a column."""
        ...

    @property
    def keep(self) -> bool:
        """Whether the next piece has to begin in the same column."""
        ...

    @property
    def height(self) -> float:
        """Its height, in units."""
        ...

    def least(self, room: float) -> float:
        """Return the height of the smallest first part, in a column `room` high."""
        ...

    def split(self, left: float, room: float) -> "tuple[Piece, Piece] | None":
        """Return a part not higher than `left` and the rest; None if it can't be cut there."""
        ...

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        ...


class TextPiece(Struct, frozen=True, kw_only=True):
    """Lines of text.

    Attributes:
        text: The text, set.
        x: Indent of all of it.
        whole: Whether it stays in one column if a column can hold it.
        first: First line that is shown.
        last: The line after the last one.
        rule: Colour of a hairline above it; empty for none.
    """

    text: SetText
    x: float = 0.0
    before: float = 0.0
    keep: bool = False
    whole: bool = False
    first: int = 0
    last: int = -1
    rule: str = ""
    rule_width: float = 0.0

    @property
    def _end(self) -> int:
        return self.text.n_lines if self.last < 0 else self.last

    @property
    def height(self) -> float:
        """Its height, in units."""
        return (self._end - self.first) * self.text.pitch

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        n = self._end - self.first
        stays = (self.whole and self.height <= room) or n <= 3
        return self.height if stays else 2 * self.text.pitch

    def split(self, left: float, room: float) -> "tuple[TextPiece, TextPiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        if (self.whole and self.height <= room) or self._end - self.first <= 3:
            return None  # two lines at least stay on either side
        n = min(int(left / self.text.pitch + 1e-6), self._end - self.first - 2)
        if n < 2:
            return None
        cut = self.first + n
        rest = replace(self, first=cut, last=self._end, before=0.0, rule="")
        return replace(self, last=cut, keep=False), rest

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        if self.rule:
            painter.setPen(QPen(QColor(self.rule), 5))
            up = y - 0.35 * self.before
            painter.drawLine(QLineF(x, up, x + self.rule_width, up))
        self.text.draw(painter, x + self.x, y, self.first, self._end)


class FigurePiece(Struct, frozen=True, kw_only=True):
    """A figure with what stands under it."""

    figure: Figure
    width: float
    figure_height: float
    caption: SetText | None = None
    x: float = 0.0
    before: float = 0.0
    keep: bool = False

    @property
    def height(self) -> float:
        """Its height, in units."""
        return self.figure_height + (self.caption.height + 40 if self.caption else 0.0)

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        return self.height

    def split(self, left: float, room: float) -> None:
        """A figure is never cut."""

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        self.figure.paint(painter, QRectF(x + self.x, y, self.width, self.figure_height))
        if self.caption:
            self.caption.draw(painter, x + self.x, y + self.figure_height + 40)


class Cell(Struct, frozen=True):
    """A cell's text and where it stands in its row."""

    text: SetText
    x: float


class TablePiece(Struct, frozen=True, kw_only=True):
    """A table whose head is repeated in every column that it goes on in.

    Attributes:
        caption: What it shows; said again where it goes on.
        head: The head's cells.
        rows: Every row's cells.
        width: Of the rules.
        pad: Space above and below a row's text.
        hairline: Colour of the rules.
    """

    caption: SetText | None
    head: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]
    width: float
    pad: float
    hairline: str
    x: float = 0.0
    before: float = 0.0
    keep: bool = False

    @property
    def _top(self) -> float:
        caption = self.caption.height + self.pad if self.caption else 0.0
        return caption + self._row_height(self.head)

    def _row_height(self, row: Sequence[Cell]) -> float:
        return max((cell.text.height for cell in row), default=0.0) + 2 * self.pad

    @property
    def height(self) -> float:
        """Its height, in units."""
        return self._top + sum(map(self._row_height, self.rows))

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        if self.height <= SHORT * room:
            return self.height
        n = len(self.rows) if len(self.rows) <= 3 else 2
        return self._top + sum(map(self._row_height, self.rows[:n]))

    def split(self, left: float, room: float) -> "tuple[TablePiece, TablePiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        y, n = self._top, 0
        for row in self.rows:
            y += self._row_height(row)
            if y > left + 1e-6:
                break
            n += 1
        n = min(n, len(self.rows) - 2)
        if n < 2:
            return None
        return (
            replace(self, rows=self.rows[:n], keep=False),
            replace(self, rows=self.rows[n:], before=0.0),
        )

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        x += self.x
        if self.caption:
            self.caption.draw(painter, x, y)
            y += self.caption.height + self.pad
        for number, row in enumerate((self.head, *self.rows)):
            for cell in row:
                cell.text.draw(painter, x + cell.x, y + self.pad)
            y += self._row_height(row)
            painter.setPen(QPen(QColor(self.hairline), 8 if number == 0 else 4))
            painter.drawLine(QLineF(x, y, x + self.width, y))


class BesidePiece(Struct, frozen=True, kw_only=True):
    """A piece with a heading beside it; the heading stays with its first part."""

    inner: Piece
    heading: SetText
    x: float
    rule: str
    rule_width: float
    before: float = 0.0
    keep: bool = False

    @property
    def height(self) -> float:
        """Its height, in units."""
        return max(self.inner.height, self.heading.height)

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        return max(self.inner.least(room), self.heading.height)

    def split(self, left: float, room: float) -> "tuple[Piece, Piece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        parts = self.inner.split(left, room)
        if parts is None or left < self.heading.height:
            return None
        return replace(self, inner=parts[0]), _moved(parts[1], self.x)

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        if self.rule:
            painter.setPen(QPen(QColor(self.rule), 5))
            up = y - min(0.4 * self.before, 90)
            painter.drawLine(QLineF(x, up, x + self.rule_width, up))
        self.heading.draw(painter, x, y)
        self.inner.draw(painter, x + self.x, y)


class ShiftedPiece(Struct, frozen=True, kw_only=True):
    """A piece set off to the right."""

    inner: Piece
    x: float

    @property
    def before(self) -> float:
        """Space above it."""
        return self.inner.before

    @property
    def keep(self) -> bool:
        """Whether the next piece has to begin in the same column."""
        return self.inner.keep

    @property
    def height(self) -> float:
        """Its height, in units."""
        return self.inner.height

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        return self.inner.least(room)

    def split(self, left: float, room: float) -> "tuple[Piece, Piece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        parts = self.inner.split(left, room)
        return parts and (_moved(parts[0], self.x), _moved(parts[1], self.x))

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        self.inner.draw(painter, x + self.x, y)


def at_top(piece: Piece) -> Piece:
    """Return a piece as it stands at the top of a column, without a rule above it."""
    if isinstance(piece, TextPiece | BesidePiece):
        return replace(piece, rule="")
    return piece


def _moved(piece: Piece, x: float) -> Piece:
    return ShiftedPiece(inner=piece, x=x) if x else piece


class Placed(Struct, frozen=True):
    """A piece at its place on a page."""

    piece: Piece
    x: float
    y: float


class Page(Struct):
    """What stands on one page, and the parts that begin there."""

    placed: list[Placed] = field(default_factory=list)
    starts: list[str] = field(default_factory=list)

    def draw(self, painter: QPainter) -> None:
        """Draw all of it."""
        for item in self.placed:
            painter.setBrush(QColor("transparent"))
            item.piece.draw(painter, item.x, item.y)
