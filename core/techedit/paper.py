"""The chart on paper: is its smallest symbol large enough, are its stripes told apart."""

from typing import Final

from core.chart.clearance import LEAST_MM, smallest_symbol
from core.chart.piece import STANDARD, chart_of_part
from core.chart.sheet import make_sheet
from core.checks.findings import Finding
from core.craft.stitches import CATALOGUE
from core.palette.neighbours import meetings, merging
from core.stripes.colour import difference, ground_of
from core.stripes.sequence import worked_stripes
from core.techedit.draft import Draft

PRINT_MM: Final = 180.0
"""Width in print at which the chart is looked at, as exports make it if nothing else is chosen."""
_PAPER: Final = "#ffffff"
_ALIKE: Final = 5.0  # CIEDE2000 of two tints side by side in print: our own choice
_MOST: Final = 6


def check_paper(draft: Draft) -> list[Finding]:
    """Return what can't be read on the chart's standard extract in print."""
    results, terms = draft.results, draft.pattern.terms
    design = results.design
    if not results.rows.drawn_rows:
        return []
    chart = chart_of_part(
        design, results.rows, results.fabric, STANDARD, straight=False, hand=design.hand
    )
    sheet = make_sheet(chart, terms=terms, print_mm=PRINT_MM)
    mm, name, row = smallest_symbol(sheet)
    found = []
    if mm < LEAST_MM:
        short = CATALOGUE[name].name(terms).short if name in CATALOGUE else name
        found.append(
            Finding(
                "warning",
                "chart",
                f"Printed {PRINT_MM:.0f} mm wide, the chart's smallest symbol ({short} in row "
                f"{row}) is {mm:.1f} mm: less than {LEAST_MM:g} mm is hard to read.",
                "Export it wider, or over several pages; the export sheet offers both.",
            )
        )
    return found + _tints(draft)


def _tints(draft: Draft) -> list[Finding]:
    """Return neighbours whose yarns are told apart but whose tints on the chart aren't.

    A tint has as much paper in it as ink needs to read on it (`core.stripes.colour.ground_of`),
    so dark colours come near each other.
    """
    design = draft.results.design
    worked = worked_stripes(design.stripes, draft.results.rows.drawn_rows)
    colours = [yarn.colour for yarn in design.yarns]
    known = {(m.meeting.one, m.meeting.other) for m in merging(colours, worked)}
    found = []
    for meeting in meetings(worked):
        one, other = design.yarns[meeting.one], design.yarns[meeting.other]
        tints = ground_of(one.colour, _PAPER), ground_of(other.colour, _PAPER)
        if (meeting.one, meeting.other) not in known and difference(*tints) < _ALIKE:
            found.append(
                Finding(
                    "note",
                    "colour",
                    f"On the chart {one.name} and {other.name} nearly match: dark colours are "
                    "paled so that symbols read on them.",
                    "The letters beside the row numbers tell them apart; keep the key in.",
                )
            )
    return found[:_MOST]
