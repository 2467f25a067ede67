"""What the mouse can have in hand on the strip: a border, stripes, a rubber band."""

from functools import partial

from app.views.stripes.places import GRIP_PX, Places
from core.design.document import Design, Stripe
from core.design.edits import Edit, move_border, set_sequence
from core.records import Struct, field


class BorderHand(Struct, eq=False):
    """A border in hand: the sequence it was taken in, and how far it has come.

    It is its own gesture, so that a drag is one step.
    """

    stripe: int
    last_row: int
    sequence: tuple[Stripe, ...]
    moved: int = 0

    def edit_for(self, row: int) -> Edit | None:
        """Return the edit that puts the border at a row, if it isn't there."""
        moved = row - self.last_row
        if moved == self.moved:
            return None
        self.moved = moved
        return partial(_border_moved, sequence=self.sequence, number=self.stripe, rows=moved)

    def back(self) -> Edit:
        """Return the edit that puts it back."""
        return partial(_border_moved, sequence=self.sequence, number=self.stripe, rows=0)


def _border_moved(design: Design, sequence: tuple[Stripe, ...], number: int, rows: int) -> Design:
    """Return the design with the border as far from its start as the hand is."""
    return move_border(set_sequence(design, sequence), number, rows)


class StripesHand(Struct, eq=False):
    """Stripes in hand: where they were taken up, and where they would go."""

    stripe: int
    from_y: float
    gap: int = -1
    onto: int = -1
    only_on_release: bool = False  # a click that isn't a drag chooses this stripe alone

    @property
    def is_carried(self) -> bool:
        """Whether they have left their place."""
        return self.gap >= 0

    def carry(self, y: float, places: Places) -> None:
        """Move them to a height."""
        if self.is_carried or abs(y - self.from_y) >= 2 * GRIP_PX:
            self.gap = places.gap_at(y)
            under = places.stripe_at(y)
            self.onto = under.entry if under is not None else -1


class RubberHand(Struct, eq=False):
    """A band over stripes; `kept` were chosen before and stay so."""

    from_y: float
    to_y: float
    kept: frozenset[int] = field(default_factory=frozenset)

    def chosen(self, places: Places) -> frozenset[int]:
        """Return what is chosen with the band where it is."""
        return self.kept | frozenset(places.own_between(self.from_y, self.to_y))
