"""The mistakes that makers name, each as what it does to the rows of any design.

Looks and causes are the trade's own words (common practice); a design is only offered the
mistakes that can happen in its rows.
"""

from collections.abc import Callable
from functools import lru_cache, partial
from typing import Final, Literal

from core.design.document import Design, Item
from core.design.edits import set_values
from core.doctor import slips
from core.doctor.stretch import Spent
from core.doctor.worked import Slip, row_of, worked_right, worked_wrong
from core.records import Struct
from core.rows.build import build_rows
from core.rows.shape import Turn, WaveShape, units_of
from core.rows.waves import shape_of

Place = Literal["start", "end", "both", "dip", "peak"]

MOST_ROWS: Final = 10
LEAST_ROWS: Final = 5


class Look(Struct, frozen=True):
    """What an edge or a wave looks like when something went wrong."""

    key: str
    name: str
    about: str


LOOKS: Final = (
    Look("wings", "Wings", "the edges flare out, the top is wider than the bottom"),
    Look("slants", "Slants in", "the piece narrows towards a triangle"),
    Look("lean", "Lean", "both edges lean the same way, the count stays right"),
    Look("ladder", "Ladder", "holes or steps beside the turning chain"),
    Look("ruffle", "Ruffle", "the fabric gathers like lettuce"),
    Look("cup", "Cup", "the top draws together and the piece cups"),
    Look("off", "Off on a peak", "peaks no longer stand over peaks"),
    Look("rounded", "Rounded points", "peaks are round where they should be pointed"),
)


class Mistake(Struct, frozen=True):
    """One way to go wrong.

    Attributes:
        key: The program's name for it.
        look: Key of what it looks like.
        name: What a person calls it.
        place: Where in the row it happens.
        slip_of: What it does to a design's rows, None where it can't happen.
    """

    key: str
    look: str
    name: str
    place: Place
    slip_of: Callable[[Design], Slip | None]

    def rows_of(self, design: Design) -> int:
        """Return how many rows can be worked with it, at most `MOST_ROWS`; 0 if it can't happen."""
        return _rows_of(self, _bare(design))

    def applied(self, design: Design, n_rows: int | None = None) -> Design:
        """Return the first rows of a design, three repeats of them, worked with the mistake.

        Raises:
            Spent: It can't happen, or not for so many rows.
        """
        slip = self.slip_of(design)
        if slip is None:
            raise Spent
        return worked_wrong(design, slip, n_rows or self.rows_of(design))

    def right(self, design: Design, n_rows: int) -> Design:
        """Return the same rows without it."""
        slip = self.slip_of(design)
        return worked_right(design, n_rows, wide=slip is None or slip.repeat is None)


def mistakes_of(design: Design) -> tuple[Mistake, ...]:
    """Return the mistakes that can happen in a design; none in rows that don't fit anyway."""
    return _mistakes_of(_bare(design))


@lru_cache(maxsize=8)
def _mistakes_of(design: Design) -> tuple[Mistake, ...]:
    if build_rows(design, repeats=2, rows=MOST_ROWS).misfit is not None:
        return ()
    return tuple(mistake for mistake in MISTAKES if mistake.rows_of(design))


@lru_cache(maxsize=128)
def _rows_of(mistake: Mistake, design: Design) -> int:
    slip = mistake.slip_of(design)
    if slip is None:
        return 0
    for n_rows in range(MOST_ROWS, LEAST_ROWS - 1, -1):
        try:
            wrong = worked_wrong(design, slip, n_rows)
            right = worked_right(design, n_rows, wide=slip.repeat is None)
        except (Spent, ValueError):
            continue
        rows = build_rows(wrong)
        return n_rows if rows.misfit is None and wrong.wave != right.wave else 0
    return 0


def _bare(design: Design) -> Design:
    """Return the design with what its rows don't depend on made the same for all."""
    return set_values(
        design,
        title="",
        designer="",
        notes="",
        stripes=type(design.stripes)((type(design.stripes.sequence[0])(0, 1),)),
        edging=None,
        swatch=None,
        wanted=None,
        progress=None,
    )


# --- when each can happen ------------------------------------------------------------------


def _chain_counts(design: Design) -> bool:
    return design.turning.counts


def _chain_beside(design: Design) -> bool:
    return bool(design.turning.chains) and not design.turning.counts


def _foot(design: Design) -> Slip | None:
    return Slip(start=slips.one_more_at_edge, first=2) if _chain_counts(design) else None


def _into_chain(design: Design) -> Slip | None:
    return Slip(end=slips.one_more_at_edge, first=2) if _chain_beside(design) else None


def _top_missed(design: Design) -> Slip | None:
    return Slip(end=slips.edge_left_out, first=2) if _chain_counts(design) else None


def _first_missed(design: Design) -> Slip | None:
    return Slip(start=slips.edge_left_out, first=2) if _chain_beside(design) else None


def _both(design: Design) -> Slip | None:
    if not _chain_counts(design):
        return None
    return Slip(start=slips.one_more_at_edge, end=slips.edge_left_out, first=2)


def _leaning(design: Design) -> Slip | None:
    if not design.turning.chains:
        return None
    return Slip(
        start=slips.one_more_at_edge, end=slips.edge_left_out, first=2, right_side_only=True
    )


def _tall_chain(design: Design) -> Slip | None:
    return Slip(start=slips.taller_edge, first=2) if _chain_counts(design) else None


def _edge_turn(design: Design) -> Turn | None:
    """Return the turn that both edges have half of, in rows that are all alike."""
    shape = shape_of(design.wave)
    if not isinstance(shape, WaveShape) or shape.edge != "half" or shape.far is not None:
        return None
    return shape.turns[-1]


def _whole(design: Design, *, peak: bool) -> Slip | None:
    turn = _edge_turn(design)
    if turn is None or (turn.gain > 0) != peak or not _has_turn(row_of(design, 1).start, peak):
        return None
    change = partial(_whole_where_half, turn=turn)
    return Slip(start=change, end=change)


def _whole_where_half(units: list[Item], turn: Turn) -> list[Item]:
    """Work the whole turn; a plain row of a rhythm has none to work."""
    if units[0].is_plain:
        return units
    return slips.whole_turn(units, turn)


def _has_turn(items: tuple[Item, ...], peak: bool) -> bool:
    units = units_of(items)
    gain = sum(unit.makes - unit.uses for unit in units)
    return gain > 0 if peak else gain < 0


def _in_repeat(
    find: Callable[[list[Item]], int | None], change: Callable[[list[Item], int], list[Item]]
) -> Callable[[Design], Slip | None]:
    def slip(design: Design) -> Slip | None:
        rows = design.wave.rows_in_turn
        if all(find(units_of(row.repeat)) is None for row in rows):
            return None
        return Slip(find=find, repeat=change)

    return slip


MISTAKES: Final = (
    Mistake("foot", "wings", "A stitch in the foot of the turning chain", "start", _foot),
    Mistake("into chain", "wings", "A stitch in the turning chain", "end", _into_chain),
    Mistake("whole peak", "wings", "A whole peak at the edge", "both", partial(_whole, peak=True)),
    Mistake("top missed", "slants", "The top of the turning chain missed", "end", _top_missed),
    Mistake("first missed", "slants", "The first stitch missed", "start", _first_missed),
    Mistake("whole dip", "slants", "A whole dip at the edge", "both", partial(_whole, peak=False)),
    Mistake("lean", "lean", "A stitch gained at one edge, lost at the other", "both", _leaning),
    Mistake("both", "ladder", "A stitch gained at the start, lost at the end", "both", _both),
    Mistake("tall chain", "ladder", "Turning chain taller than the stitch", "start", _tall_chain),
    Mistake(
        "dip missed",
        "ruffle",
        "A decrease missed in each repeat",
        "dip",
        _in_repeat(slips.first_decrease, slips.decrease_missed),
    ),
    Mistake(
        "peak too many",
        "ruffle",
        "An increase too many in each repeat",
        "peak",
        _in_repeat(slips.first_increase, slips.increase_too_many),
    ),
    Mistake(
        "peak missed",
        "cup",
        "An increase missed in each repeat",
        "peak",
        _in_repeat(slips.first_increase, slips.increase_missed),
    ),
    Mistake(
        "late peak",
        "off",
        "Peaks worked a stitch late",
        "peak",
        lambda design: Slip(peaks="late", first=3, right_side_only=True),
    ),
    Mistake(
        "spread peak",
        "rounded",
        "The increases of a peak set apart",
        "peak",
        lambda design: Slip(peaks="spread"),
    ),
)
BY_KEY: Final = {mistake.key: mistake for mistake in MISTAKES}
