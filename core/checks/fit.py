"""Do the rows fit one another: counts, named to the item, with the way out."""

from core.checks.findings import Finding
from core.design.document import Design, total_makes, total_uses
from core.rows.build import Misfit, Rows


def check_fit(design: Design, rows: Rows) -> list[Finding]:
    """Return the first misfit, and the repeats or edges that can't stay constant."""
    findings = []
    if rows.misfit is not None:
        findings.append(Finding("error", f"row {rows.misfit.row}", _misfit(rows.misfit)))
        findings += _unbalanced(design)
    return findings


def _misfit(misfit: Misfit) -> str:
    place = f"item {misfit.item + 1} of the {misfit.section}"
    below = "the foundation" if misfit.row == 1 else f"row {misfit.row - 1}"
    if misfit.uses > misfit.available:
        short = misfit.uses - misfit.available
        return (
            f"Row {misfit.row} needs {misfit.uses} stitches, but {below} has "
            f"{misfit.available}: {_stitches(short)} too few, run out at {place}. "
            f"The rows are drawn up to there."
        )
    over = misfit.available - misfit.uses
    return (
        f"Row {misfit.row} uses {misfit.uses} of the {misfit.available} stitches of {below}: "
        f"{_stitches(over)} left over after {place}. The rows are drawn up to there."
    )


def _unbalanced(design: Design) -> list[Finding]:
    """Return which part of a single repeating row gains or loses stitches."""
    if design.wave.setup or design.wave.cycle:
        return []
    row, findings = design.wave.row, []
    gain = total_makes(row.repeat) - total_uses(row.repeat)
    if gain:
        way = "add that many to the dips" if gain > 0 else "add that many to the peaks"
        findings.append(
            Finding(
                "error",
                "wave",
                f"Each repeat {_gains(gain)} a row, so the count can't stay the same: "
                f"{way}, or take them from the {'peaks' if gain > 0 else 'dips'}. Setting the "
                "gain at a peak beside the wave makes the dips match it.",
            )
        )
    edges = total_makes(row.start + row.end) - total_uses(row.start + row.end)
    if edges:
        findings.append(
            Finding(
                "error",
                "wave",
                f"The two edges together {_gain(edges)} a row: half a peak on both sides "
                "belongs with a whole dip between, or the other way round. Choosing half a peak "
                "or half a dip for both edges beside the wave makes them fit.",
            )
        )
    return findings


def _gains(gain: int) -> str:
    return f"{'gains' if gain > 0 else 'loses'} {_stitches(abs(gain))}"


def _gain(gain: int) -> str:
    return f"{'gain' if gain > 0 else 'lose'} {_stitches(abs(gain))}"


def _stitches(number: int) -> str:
    return f"{number} stitch{'' if number == 1 else 'es'}"
