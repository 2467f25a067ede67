"""Will it lie flat: rows that drift, rows that swing, turns that stretch or crowd.

The arithmetic and its sources are those of `core.fabric.flatness`; from which strain on holes
and puckers are spoken of is this program's own estimate.
"""

import math
from typing import Final

from core.checks.findings import Finding
from core.design.document import Design, Units, total_makes, total_uses
from core.fabric.flatness import (
    Drift,
    Swing,
    drifts,
    fan_deg,
    gain_of,
    hyperbolic_radius_mm,
    row_height_mm,
    swing,
    tendency,
)
from core.fabric.springs import proportions_of
from core.fabric.steady import Steady
from core.fabric.strain import HOLES_FROM, PUCKERS_FROM, WaveStrain, wave_strain
from core.rows.build import Rows
from core.words.measures import in_unit
from core.words.vocabulary import vocabulary

_SWING_FROM: Final = 0.10
_SOON: Final = 10  # rows, for "after 10 rows"
_MOST_TIMES: Final = 1000.0
_WORDS: Final = vocabulary("US")  # findings are in English


def check_flatness(design: Design, rows: Rows, steady: Steady | None) -> list[Finding]:
    """Return what keeps the fabric from lying flat.

    Args:
        design: The design.
        rows: Its rows.
        steady: Its steady state, if it has one.
    """
    if rows.misfit is not None:
        return _if_it_went_on(design, rows)
    found = _drifting(drifts(rows, proportions_of(design.gauge)), design.units)
    if not found:
        found = _swinging(swing(rows))
    if steady is not None and steady.converged:
        found += _strained(wave_strain(steady), design)
    return found


def _drifting(found: tuple[Drift, ...], units: Units) -> list[Finding]:
    """Return a finding for the first drift of each kind."""
    first: dict[str, Drift] = {}
    for drift in found:
        first.setdefault(drift.kind, drift)
    findings = []
    for drift in first.values():
        again = sum(other.kind == drift.kind for other in found) - 1
        more = f" It happens {_times(again)}." if again else ""
        message = _drift_sentence(drift, units) + more
        findings.append(Finding("warning", f"row {drift.first}", message))
    return findings


def _drift_sentence(drift: Drift, units: Units) -> str:
    """Return what becomes of rows that drift."""
    grows = drift.per_row > 0
    start = f"row {drift.first - 1}" if drift.first > 1 else "the foundation"
    head = (
        f"The counts {'grow' if grows else 'fall'} by {_about(abs(drift.per_row))} in every row "
        f"from {drift.first} to {drift.last}: the edge of row {drift.last} is "
        f"{abs(100 * drift.growth):.0f} % {'longer' if grows else 'shorter'} than {start}. "
    )
    if drift.kind in ("wings", "taper"):
        return head + (
            f"Only the ends of the rows {'gain' if grows else 'lose'}, so the fabric lies flat, "
            f"but each side slopes {'out' if grows else 'in'} by about {drift.fan_deg:.0f} degrees."
        )
    if drift.kind == "cup":
        return head + (
            "The upper rows draw the fabric together: kept straight it cups, and the rows below "
            f"stand in waves. Flat it would have to close like a fan, by up to "
            f"{drift.fan_deg:.0f} degrees. Add as many increases as decreases."
        )
    if drift.radius_mm < math.inf:
        return head + (
            "The gain grows with the row, so it can't lie flat: it will ruffle like lettuce, as "
            f"a hyperbolic plane of radius {_radius(drift.radius_mm, units)} does. Add as many "
            "decreases as increases."
        )
    if drift.fan_deg >= 360:
        return head + (
            f"Even a whole flat disc takes only about {drift.flat_increases:.0f} a row: it will "
            "ruffle like lettuce. Add as many decreases as increases."
        )
    return head + (
        f"Kept straight it will ruffle like lettuce; to lie flat it has to open like a fan, by up "
        f"to {drift.fan_deg:.0f} degrees. Add as many decreases as increases."
    )


def _radius(radius_mm: float, units: Units) -> str:
    return in_unit(radius_mm, units, _WORDS, cm=0, inches=0)


def _if_it_went_on(design: Design, rows: Rows) -> list[Finding]:
    """Return what would become of a single row that doesn't keep its count, if it went on."""
    row, size = design.wave.row, proportions_of(design.gauge)
    makes, uses, kind = total_makes(row.repeat), total_uses(row.repeat), tendency(design.wave)
    height = row_height_mm(rows.plans[0], size)
    findings = []
    if uses and kind in ("ruffle", "cup"):
        growth = makes / uses
        radius = _radius(hyperbolic_radius_mm(growth, height), design.units)
        times = growth**_SOON if growth > 1 else growth**-_SOON
        many = f"{times:.1f} times" if times < _MOST_TIMES else "more than 1000 times"
        change = abs(100 * (growth - 1))
        if growth > 1:
            text = (
                f"Worked on over as many repeats as fit, every row would be {change:.0f} % longer "
                f"than the one below, {many} as long after {_SOON} rows: it would ruffle like "
                f"lettuce (a hyperbolic plane of radius {radius})."
            )
        else:
            text = (
                f"Worked on over as many repeats as fit, every row would be {change:.0f} % shorter "
                f"than the one below: the start would be {many} as long as the end after {_SOON} "
                "rows, and stand in ruffles."
            )
        findings.append(Finding("note", "wave", text))
    if kind in ("wings", "taper"):
        edges = gain_of(row.start + row.end)
        slope = math.degrees(math.atan(0.5 * abs(edges) * size.width_mm / height))
        way, shape = ("out", "wings") if edges > 0 else ("in", "a taper")
        text = (
            f"Only the ends of the rows change the count. Worked on it would lie flat, but with "
            f"{shape}: each side would slope {way} by about {slope:.0f} degrees."
        )
        findings.append(Finding("note", "wave", text))
    return findings


def _swinging(found: Swing | None) -> list[Finding]:
    if found is None or found.excess < _SWING_FROM:
        return []
    text = (
        f"Row {found.longest} has {found.most} stitches, row {found.shortest} only "
        f"{found.fewest}: {100 * found.excess:.0f} % more in the same width. The long rows will "
        "gather, the short ones draw in; stitches of another width can make up for it."
    )
    return [Finding("note", f"row {found.longest}", text)]


def _strained(strain: WaveStrain, design: Design) -> list[Finding]:
    findings = []
    if strain.post_most >= HOLES_FROM:
        text = (
            f"Posts at the turns are stretched by up to {100 * strain.post_most:.0f} %, which "
            "may leave holes. Fewer stitches gained in one place, or a taller stitch, stretch "
            "less; Strain on the fabric shows where. The limit is this program's estimate."
        )
        findings.append(Finding("note", "wave", text))
    if strain.course_least <= PUCKERS_FROM:
        text = (
            f"Rows are squeezed by up to {-100 * strain.course_least:.0f} % at the turns and may "
            f"pucker.{_fan(design)} Spread the increases over more stitches, or gain fewer. "
            "The limit is this program's estimate."
        )
        findings.append(Finding("note", "wave", text))
    return findings


def _fan(design: Design) -> str:
    """Return how wide the largest increase wants to fan, by the flat-disc rule."""
    rows = design.wave.rows_in_turn
    most = max((item.make for row in rows for item in row.repeat), default=1)
    if most < 3:
        return ""
    angle = fan_deg(most - 1, design.gauge.stitch_width_mm, design.gauge.row_height_mm)
    return f" {most} stitches in one place want to fan by {angle:.0f} degrees."


def _times(again: int) -> str:
    return "once more" if again == 1 else f"{again} more times"


def _about(number: float) -> str:
    whole = round(number)
    about = "" if abs(number - whole) < 0.005 else "about "
    return f"{about}{whole if not about else f'{number:.1f}'}"
