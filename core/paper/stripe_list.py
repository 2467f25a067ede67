"""The colours stripe by stripe: rows, what is done by then, and where the tails fall."""

from typing import Literal

from core.booklet.stripes import stripes_of
from core.craft.units import MM_PER_IN
from core.design.spreadsheet import table_bytes
from core.paper.colours import PaperColour, paper_colours, printable
from core.paper.ruler import row_tops_mm
from core.pipeline import Results
from core.records import Struct
from core.yarn.tails import runs_left

Side = Literal["left", "right"]
Edge = Side | Literal[""]


class StripeLine(Struct, frozen=True, kw_only=True):
    """One stripe to tick off.

    Attributes:
        number: Its number, from 1.
        colour: Its colour.
        first: Its first row.
        last: Its last row, and so the rows done by then.
        height_mm: Height of the work by then, as it comes off the hook.
        starts: Edge where the tail of its start hangs; empty if there is none.
        stops: Edge where the tail of its stop hangs; empty if there is none.
        ends: Edge where its last row ends, and so where the next stripe is begun.
        same_before: Whether the stripe below is in the same yarn, which just goes on.
        same_after: Whether the stripe above is.
        label: What the designer calls it.
    """

    number: int
    colour: PaperColour
    first: int
    last: int
    height_mm: float
    starts: Edge
    stops: Edge
    ends: Side
    same_before: bool
    same_after: bool
    label: str

    @property
    def rows(self) -> int:
        """Rows of the stripe."""
        return self.last - self.first + 1

    @property
    def span(self) -> str:
        """Its rows by number."""
        return f"{self.first}" if self.first == self.last else f"{self.first}–{self.last}"

    @property
    def first_tail(self) -> str:
        """Where its first tail hangs, or why there is none."""
        return self.starts or ("goes on" if self.same_before else "carried")

    @property
    def last_tail(self) -> str:
        """Where its last tail hangs, or why there is none."""
        return self.stops or ("goes on" if self.same_after else "carried on")

    @property
    def tails(self) -> str:
        """Where its tails fall, in words."""
        start, stop = self.first_tail, self.last_tail
        if start != stop:
            return f"{start}, {stop}"
        return f"both {start}" if self.starts else start


def stripe_lines(results: Results) -> tuple[StripeLine, ...]:
    """Return the stripes from the foundation up, as the booklet numbers them.

    A stripe's first tail hangs where its first row starts and its last where its last row stops,
    each edge seen from the right side (`core.yarn.tails`).
    """
    tails, tops = results.yarn_ends, row_tops_mm(results)
    colours = {colour.yarn: colour for colour in paper_colours(results)}
    starts: dict[int, Side] = {}
    stops: dict[int, Side] = {}
    for end in tails.ends():
        if end.is_start:
            starts[end.row + 1] = _edge(end.at_left)
        else:
            stops[end.row] = _edge(end.at_left)
    begun = set(tails.first.tolist())
    return tuple(
        StripeLine(
            number=number,
            colour=colours[stripe.yarn],
            first=stripe.first,
            last=stripe.last,
            height_mm=float(tops[stripe.last]),
            starts=starts.get(stripe.first, ""),
            stops=stops.get(stripe.last, ""),
            ends=_edge(runs_left(stripe.last, tails.hand)),
            same_before=stripe.first not in begun,
            same_after=stripe.last < results.rows.drawn_rows and stripe.last + 1 not in begun,
            label=printable(stripe.label) if stripe.label else "",
        )
        for number, stripe in enumerate(stripes_of(results), 1)
    )


def _edge(at_left: bool) -> Side:
    return "left" if at_left else "right"


def stripe_table(results: Results) -> bytes:
    """Return the stripes as a table for spreadsheets."""
    inches = results.design.units == "in"
    head = [
        *("Done", "Stripe", "Letter", "Colour", "First row", "Last row", "Rows", "Rows so far"),
        *(f"Height so far, as worked ({'in' if inches else 'cm'})", "First tail", "Last tail"),
        "Name",
    ]
    lines = [
        [
            *(None, line.number, line.colour.letter, line.colour.name),
            *(line.first, line.last, line.rows, line.last),
            round(line.height_mm / (MM_PER_IN if inches else 10), 1),
            *(line.first_tail, line.last_tail, line.label),
        ]
        for line in stripe_lines(results)
    ]
    return table_bytes(head, lines)
