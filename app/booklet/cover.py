"""The blanket's picture beside the blanket in short."""

from PySide6.QtGui import QPainter

from app.booklet.lists import FactsPiece
from app.booklet.pieces import Piece
from core.records import Struct


class CoverPiece(Struct, frozen=True, kw_only=True):
    """Measures at the left, the picture at the right, their tops level."""

    picture: Piece | None
    facts: FactsPiece
    side: float
    before: float = 0.0
    keep: bool = False

    @property
    def height(self) -> float:
        """Its height, in units."""
        return max(self.picture.height if self.picture else 0.0, self.facts.height)

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        return self.height

    def split(self, left: float, room: float) -> None:
        """Return a part no higher than what is left, and the rest, if it can be cut."""

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        self.facts.draw(painter, x, y)
        if self.picture:
            self.picture.draw(painter, x + self.side, y)
