"""Published pieces that state how much yarn they take, and what the program reckons for them.

Lengths, sizes and gauges come from the trade facts (`tests/files/published_ripples.json` and the
pages named); most are of yarn bought, so they are upper bounds. Nothing is tuned piece by piece.
Left out: pieces that state grams without the metres of a ball.

`python tests/core/published_yarn.py` prints the table.
"""

import statistics
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).parent)]

from msgspec.structs import replace
from published_widths import PIECES as SHAPED
from test_published_ripples import row_of

from core.craft.tables import YARN_BAND
from core.design.document import Design, Wave
from core.design.edits import set_gauge
from core.fabric.measure import measure_wave
from core.fabric.steady import steady_of
from core.rows.build import build_rows
from core.yarn.plain import published_m_per_m2, yarn_m_per_m2
from core.yarn.rows import row_yarn

IN_M2: Final = 0.0254**2
YARD: Final = 0.9144


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A published piece.

    Attributes:
        name: Its short name in the files of figures.
        stated_m: Yarn it states.
        area_m2: Its area.
        stitch_mm: Width of a stitch by its gauge.
        shape: Its wave; None if it is plain or keeps its width (stitch heights only).
        in_wave: Whether the gauge was counted in the wave, which draws stitches in.
        bought: Whether that is yarn bought rather than used.
        note: What was assumed.
        is_open: Whether it is lace, with holes that no rule for closed cloth knows of.
    """

    name: str
    stated_m: float
    area_m2: float
    stitch_mm: float
    shape: Design | None = None
    in_wave: bool = False
    bought: bool = True
    note: str = ""
    is_open: bool = False

    @property
    def reckoned_m(self) -> float:
        """What the program reckons."""
        drawn_in, cover = (1.0, 1.0) if self.shape is None else _wave(self.shape)
        stitch_mm = self.stitch_mm / (drawn_in if self.in_wave else 1.0)
        return self.area_m2 * cover * published_m_per_m2(stitch_mm)

    @property
    def off(self) -> float:
        """By what share that differs from what is stated."""
        return self.reckoned_m / self.stated_m - 1.0


@cache
def _wave(design: Design) -> tuple[float, float]:
    """Return the width of a wave over that of its stitches, and the plain cloth in its area.

    Neither changes with the size of the stitches.
    """
    rows = build_rows(design)
    wave = measure_wave(steady_of(design))
    flat = rows.foundation.multiple * design.gauge.stitch_width_mm
    plain = row_yarn(design, rows).repeat_m.mean() / yarn_m_per_m2(design) * 1e6
    return wave.repeat_width_mm / flat, plain / (wave.repeat_width_mm * wave.rise_mm)


_KNOWN: Final = {piece.name: piece.design() for piece in SHAPED}
_DC: Final = set_gauge(_KNOWN["losdale"], stitches=13.0, rows=13 / 1.65, over_mm=100.0)
_ROW: Final = row_of(["I2", "3 D2 D2 3 I2 I2", "3 D2 D2 3 I2"], "dc")
_TWELVE: Final = replace(_DC, wave=Wave(_ROW.start, _ROW.repeat, _ROW.end))

PIECES: Final = (
    Piece(
        name="12-stitch swatch",
        stated_m=35 * YARD,
        area_m2=35 / 0.83 * IN_M2,
        stitch_mm=100 / 13,
        shape=_TWELVE,
        bought=False,
        note="35 yd, 0.83 yd a square inch, chain left out; gauge not stated: 13 over 10 cm",
    ),
    Piece(
        name="ridge22",
        stated_m=1.25 * YARD,
        area_m2=22 * 0.25 * 0.25 * IN_M2,
        stitch_mm=6.35,
        bought=False,
        note="1.25 yd in 22 sc of 16 x 16 over 4 in, plain area",
    ),
    Piece(
        name="rainbow_wave",
        stated_m=1278,
        area_m2=40 * 44 * IN_M2,
        stitch_mm=101.6 / 11,
        shape=_KNOWN["rainbow_wave"],
        in_wave=True,
        note="bulky; 11 sts over 4 in in the wave",
    ),
    Piece(
        name="wavy_crochetme",
        stated_m=1152,
        area_m2=42 * 35 * IN_M2,
        stitch_mm=100 / 13,
        note="worsted, 5.5 mm hook; gauge not stated: 13 over 10 cm",
    ),
    Piece(
        name="babs",
        stated_m=600,
        area_m2=18 * 23 * IN_M2,
        stitch_mm=100 / 22,
        shape=_TWELVE,
        in_wave=True,
        note="fine; 22 sts over 10 cm in the wave; shape not stated: 12-stitch ripple",
    ),
    Piece(
        name="softwave",
        stated_m=1125,
        area_m2=0.64 * 0.90,
        stitch_mm=100 / 17,
        shape=_TWELVE,
        note="DK, 4 mm hook; gauge from memory: 17 over 10 cm; taken as 12-stitch ripple",
    ),
    Piece(
        name="losdale",
        stated_m=10 * 156,
        area_m2=45 * 51 * IN_M2,
        stitch_mm=5 * 25.4 / 18,
        shape=_KNOWN["losdale"],
        in_wave=True,
        note="10 balls of 156 m (from memory); 18 sts in 5 in",
    ),
    Piece(
        name="lacy_ripples",
        stated_m=1341,
        area_m2=48 * 51.5 * IN_M2,
        stitch_mm=101.6 / 14,
        note="lace with shells and chain spaces",
        is_open=True,
    ),
)


def table() -> list[str]:
    """Return the table's lines."""
    lines = [
        "| piece | stated, m | reckoned, m | off | range | note |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for piece in PIECES:
        low, high = (round(share * piece.reckoned_m) for share in YARN_BAND)
        stated = f"{piece.stated_m:.4g}{' bought' if piece.bought else ''}"
        lines.append(
            f"| {piece.name} | {stated} | {piece.reckoned_m:.4g} | {100 * piece.off:+.0f} % | "
            f"{low}-{high} | {piece.note} |"
        )
    closed = [piece.off for piece in PIECES if not piece.is_open]
    lines.append(
        f"| middle of the closed ones | | | {100 * statistics.median(closed):+.0f} % | | |"
    )
    return lines


if __name__ == "__main__":
    print("\n".join(table()))
