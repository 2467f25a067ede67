"""The chart on paper: is its smallest symbol large enough, does ink read on the stripes."""

from typing import Final

from core.chart.clearance import LEAST_MM, smallest_symbol
from core.chart.piece import STANDARD, chart_of_part
from core.chart.sheet import make_sheet
from core.checks.findings import Finding
from core.craft.stitches import CATALOGUE
from core.stripes.colour import INK, contrast, ground_of
from core.techedit.draft import Draft

PRINT_MM: Final = 180.0
"""Width in print at which the chart is looked at, as exports make it if nothing else is chosen."""
_PAPER: Final = "#ffffff"
_READABLE: Final = 4.5  # WCAG 2.2, for text


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
    for number in sorted({int(yarn) for yarn in results.yarn_of_row.tolist()}):
        ratio = contrast(ground_of(design.yarns[number].colour, _PAPER), INK)
        if ratio < _READABLE:
            found.append(
                Finding(
                    "warning",
                    "colour",
                    f"Symbols don't read on {design.yarns[number].name} in the chart: their "
                    f"contrast is {ratio:.1f} : 1.",
                    "Choose a lighter colour, or export the chart without colours.",
                )
            )
    return found
