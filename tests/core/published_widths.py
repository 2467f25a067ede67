"""Published pieces that state a gauge and a finished size, and what the model makes of them.

Rows come from `tests/files/published_ripples.json`, gauges and sizes from the same pages; the
widths in inches also stand in the trade facts' table "Width against plain gauge". Nothing is
tuned piece by piece: every piece is worked in the gauge it states.

`python tests/core/published_widths.py` prints the table for several firmnesses.
"""

import statistics
import sys
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Final

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).parent)]

from test_published_ripples import RIPPLES
from test_published_ripples import row_of as ripple_row

from core.design.document import (
    Design,
    Gauge,
    Loops,
    Row,
    Size,
    Stripe,
    Stripes,
    Turning,
    Wave,
    Yarn,
)
from core.fabric.measure import measure_size, measure_wave
from core.fabric.sheet import settle_fabric
from core.fabric.springs import DEFAULT_FIRMNESS
from core.fabric.steady import steady_of
from core.rows.build import build_rows

IN: Final = 25.4
WIDTH: Final = "width, in"
PEAKS: Final = "peak to peak, in"
FAN: Final = (
    "I2 I2 I2 K1 1 K1 1 K1 1 K1 1 K1 1 K1",
    "I2 I2 I2 I2 I2 I2 K1 1 K1 1 K1 1 K1 1 K1 1 K1",
    "I2 I2 I2",
)
LEVEL: Final = ("14", "17", "3")


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A published piece.

    Attributes:
        name: Its short name in the files of figures.
        source: Page it is printed on.
        loops: What its rows are worked into.
        gauge: Stitch, stitches and rows over 4 inches, as printed.
        rows: Rows worked in turn: their stitch and sections.
        repeats: Repeats between the edges.
        n_rows: Rows to settle; enough for the edges not to matter.
        stated: The figure printed, in inches or as a plain number.
        what: What it is.
        turning: Turning chain.
        note: What was assumed, or is odd.
    """

    name: str
    source: str
    loops: str
    gauge: tuple[str, float, float]
    rows: tuple[tuple[str, tuple[str, str, str]], ...]
    repeats: int
    stated: float
    what: str = WIDTH
    n_rows: int = 40
    turning: Turning = field(default_factory=lambda: Turning(3, True))
    note: str = ""

    def design(self, firmness: float | None = None) -> Design:
        """Return the piece as a design."""
        stitch, stitches, rows = self.gauge
        worked = [ripple_row(list(sections), kind) for kind, sections in self.rows]
        first = worked[0]
        return Design(
            title=self.name,
            gauge=Gauge(stitch, stitches, rows, 4 * IN, firmness=firmness),
            wave=Wave(first.start, first.repeat, first.end, cycle=_cycle(worked)),
            turning=self.turning,
            loops=Loops(),
            size=Size(self.repeats, self.n_rows),
            yarns=(Yarn("One", "#808080", 100, 50),),
            stripes=Stripes((Stripe(0, 1),)),
        )

    @cache  # noqa: B019 - the pieces live as long as the program
    def predicted(self, firmness: float | None) -> float:
        """Return what the model says of the figure printed."""
        design = self.design(firmness)
        rows = build_rows(design)
        assert rows.misfit is None, (self.name, rows.misfit)
        if self.what == WIDTH:
            return measure_size(settle_fabric(design, rows)).width_mm / IN
        wave = measure_wave(steady_of(design))
        if self.what == PEAKS:
            return wave.repeat_width_mm / IN
        return wave.rise_mm / (wave.repeat_width_mm / rows.foundation.multiple)

    def flat(self) -> float:
        """Return the width of a row's stitches side by side, in."""
        return build_rows(self.design()).makes(1) * 4 / self.gauge[1]

    def off(self, firmness: float | None = None) -> float:
        """Return by what share the model differs from the page."""
        return self.predicted(firmness) / self.stated - 1.0


def _cycle(rows: list[Row]) -> tuple[Row, ...] | None:
    return tuple(rows) if len(rows) > 1 else None


def _steady(name: str) -> tuple[tuple[str, tuple[str, str, str]], ...]:
    """Return the row of a ripple's own file, as it is repeated."""
    ripple = RIPPLES[name]
    start, repeat, end = ripple["steady"]
    return ((ripple["stitch"], (start, repeat, end)),)


PIECES: Final = (
    Piece(
        name="losdale",
        source=RIPPLES["losdale"]["url"],
        loops="both",
        gauge=("dc", 16, 10),
        rows=_steady("losdale"),
        repeats=8,
        stated=(51 / 64) / (5 / 18),
        what="rise over width of a stitch",
        n_rows=64,
        note="no plain gauge is printed: 5 in a ripple of 18, 64 rows in 51 in; dc of the median "
        "proportion, 1.6",
    ),
    Piece(
        name="pram5158",
        source=RIPPLES["pram5158"]["url"],
        loops="back",
        gauge=("hdc", 16, 8),
        rows=_steady("pram5158"),
        repeats=6,
        stated=3.5,
        what=PEAKS,
        turning=Turning(2, False),
        note="4 hdc and 2 rows to an inch; 25 in wide with 7 points agrees with 3.5 a point",
    ),
    Piece(
        name="ridge22",
        source="http://www.ravelry.com/patterns/library/ripple-ridge-afghan",
        loops="back (ridges)",
        gauge=("sc", 16, 16),
        rows=(("sc", ("I2", "9 D3 9 I3", "9 D3 9 I2")),),
        repeats=15,
        stated=3.75,
        what=PEAKS,
        turning=Turning(1, False),
        note="the rows aren't shown; 3 in one and 3 together are assumed (2 in each of 2 with two "
        "2-togethers: +9 %; skipping 2: +7 %)",
    ),
    Piece(
        name="mountain_peaks",
        source=RIPPLES["mountain_peaks"]["url"],
        loops="both",
        gauge=("dc", 8, 5),
        rows=_steady("mountain_peaks"),
        repeats=1,
        stated=7.5,
        n_rows=88,
        note="a scarf of 19 stitches, 5 in one and 5 together with runs of two",
    ),
    Piece(
        name="naptime",
        source=RIPPLES["naptime"]["url"],
        loops="tr rows both, dc rows front",
        gauge=("dc", 11, 6),
        rows=(("tr", FAN), ("dc", LEVEL)),
        repeats=5,
        stated=38,
        turning=Turning(4, True),
        note="fans, every other row plain; 102 stitches (the printed chain is one short for tr in "
        "the 5th, the rows themselves close)",
    ),
    Piece(
        name="rainbow_wave",
        source=RIPPLES["rainbow_wave"]["url"],
        loops="dc rows back, sc rows both",
        gauge=("dc", 11, 11 / 1.65),
        rows=(("dc", FAN), ("sc", LEVEL)),
        repeats=5,
        stated=40,
        note="fans, every other row plain; 11 stitches to 4 in are printed for the pattern, taken "
        "as plain; dc of the usual proportion",
    ),
)

LEFT_OUT: Final = {
    "rustic": "220 chains don't close (226 would), the width includes a border of unknown size, "
    "and the sc row isn't shown. Built from its dc row alone it would come out at 29 in of 56",
    "lacy_ripples": "its later rows aren't printed as figures and its gauge is that of the lace",
    "heartland_shawl": "only the wave's own gauge is stated; rows 2 and on aren't shown",
    "lunabird9": "9 stitches to 8 cm is the wave's own gauge; two stitches are left over",
    "rich_time": "plain gauge and size are stated, no row is shown",
    "bev, linus4, chatty, neat14 and the others": "no plain gauge is stated",
}


def spread(firmness: float | None = None) -> tuple[float, float, float]:
    """Return the median error, its median size and the worst, as shares."""
    errors = [piece.off(firmness) for piece in PIECES]
    sizes = [abs(error) for error in errors]
    return statistics.median(errors), statistics.median(sizes), max(errors, key=abs)


def table(firmnesses: tuple[float, ...] = (0.1, 0.3, 0.7, 1.0, 2.0)) -> str:
    """Return the pieces as a Markdown table, the default firmness first."""
    head = ["piece", "worked into", "stated", "predicted", f"off at {DEFAULT_FIRMNESS:g}"]
    head += [f"at {firmness:g}" for firmness in firmnesses]
    lines = [_line(head), _line(["---"] * len(head))]
    for piece in PIECES:
        figures = [f"{100 * piece.off(firmness):+.1f} %" for firmness in firmnesses]
        stated = f"{piece.stated:.3g} ({piece.what})"
        predicted, off = f"{piece.predicted(None):.3g}", f"{100 * piece.off():+.1f} %"
        lines.append(_line([piece.name, piece.loops, stated, predicted, off, *figures]))
    for word, number in (("middle", 0), ("middle, either way", 1), ("worst", 2)):
        all_of = [spread(None)[number], *(spread(firmness)[number] for firmness in firmnesses)]
        shares = [f"{100 * share:{'.1f' if number == 1 else '+.1f'}} %" for share in all_of]
        lines.append(_line([word, "", "", "", *shares]))
    return "\n".join(lines)


def _line(cells: list[str]) -> str:
    return "| " + " | ".join(cells) + " |"


if __name__ == "__main__":
    print(table())
    for name, reason in LEFT_OUT.items():
        print(f"- {name}: {reason}")
