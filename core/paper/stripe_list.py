"""The colours stripe by stripe: rows, what is done by then, and where the tails fall."""

from dataclasses import dataclass
from typing import Literal

from core.craft.units import MM_PER_IN
from core.paper.colours import PaperColour, paper_colours, printable
from core.paper.ruler import row_tops_mm
from core.paper.table import table_bytes
from core.pipeline import Results
from core.stripes.sequence import worked_stripes
from core.yarn.tails import runs_left

Edge = Literal["left", "right", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeLine:
    """One stripe to tick off.

    Attributes:
        number: Its number, from 1.
        colour: Its colour.
        first: Its first row.
        last: Its last row, and so the rows done by then.
        height_mm: Height of the work by then, as it comes off the hook.
        starts: Edge where the tail of its start hangs; empty if the yarn was carried there.
        stops: Edge where the tail of its stop hangs; empty if the yarn is carried on.
        label: What the designer calls it.
    """

    number: int
    colour: PaperColour
    first: int
    last: int
    height_mm: float
    starts: Edge
    stops: Edge
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
    def tails(self) -> str:
        """Where its tails fall, in words."""
        start = self.starts or "carried"
        stop = self.stops or "carried on"
        return f"both {start}" if start == stop else f"{start}, {stop}"


def stripe_lines(results: Results) -> tuple[StripeLine, ...]:
    """Return the stripes from the foundation up; neighbours in one yarn are one stripe.

    A stripe's first tail hangs where its first row starts and its last where its last row stops,
    each edge seen from the right side (`core.yarn.tails`).
    """
    design, tails = results.design, results.yarn_ends
    colours = {colour.yarn: colour for colour in paper_colours(results)}
    tops, goes_on = row_tops_mm(results), tails.goes_on
    labels: dict[int, str] = {}
    for worked in worked_stripes(design.stripes, results.rows.drawn_rows):
        label = design.stripes.sequence[worked.entry].label
        if label:
            labels[worked.first] = printable(label)
    found = []
    pieces = zip(tails.yarn.tolist(), tails.first.tolist(), tails.last.tolist(), strict=True)
    for number, (yarn, first, last) in enumerate(pieces):
        starts_left = runs_left(first, tails.hand) == (first == 1)
        named = [labels[row] for row in range(first, last + 1) if row in labels]
        found.append(
            StripeLine(
                number=number + 1,
                colour=colours[yarn],
                first=first,
                last=last,
                height_mm=float(tops[last]),
                starts="" if tails.carried[number] else _edge(starts_left),
                stops="" if goes_on[number] else _edge(runs_left(last, tails.hand)),
                label="; ".join(named),
            )
        )
    return tuple(found)


def _edge(at_left: bool) -> Edge:
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
            *(line.starts or "carried", line.stops or "carried on", line.label),
        ]
        for line in stripe_lines(results)
    ]
    return table_bytes(head, lines)
