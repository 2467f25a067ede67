"""Figures of the border."""

import math

from core.craft.stitches import height_ratio
from core.edging.border import BorderPlan
from core.edging.outline import EndName
from core.edging.plan import grown_mm
from core.explain.figures import Explanation, Given
from core.fabric.wash import wash_of
from core.pipeline import Results
from core.yarn.plain import yarn_m_per_m2


def side(results: Results, plan: BorderPlan) -> Explanation:
    """Explain the stitches along a side."""
    border = plan.border
    return Explanation(
        "border side",
        Given("Along each side", plan.side_total),
        "As many stitches as lie flat along the row ends at the plain stitch width, made up to the "
        "multiple of the border and what comes on top.",
        (
            Given("Stitches that lie flat", plan.side_wanted, "number"),
            Given("Multiple", border.multiple),
            Given("Plus", border.extra),
            Given("Stitch width", results.design.gauge.stitch_width_mm, "fine mm"),
        ),
        "model",
    )


def end(results: Results, plan: BorderPlan, name: str) -> Explanation:
    """Explain the stitches along the top or the bottom."""
    pick_up = plan.top if name == "top" else plan.bottom
    return Explanation(
        f"border {name}",
        Given(f"Along the {name}", pick_up.total),
        "As many stitches as lie flat along that end, made up to the border's multiple and what "
        "comes on top.",
        (
            Given("Stitches that lie flat", pick_up.wanted, "number"),
            Given("Multiple", plan.border.multiple),
            Given("Plus", plan.border.extra),
        ),
        "model",
    )


def rounds(results: Results, plan: BorderPlan) -> Explanation:
    """Explain the stitches of the first round."""
    del results
    return Explanation(
        "border round",
        Given("Round 1", plan.rounds[0]),
        "Both sides, top and bottom, and what goes into the four corners.",
        (
            Given("Along each side", plan.side_total),
            Given("Along the top", plan.top.total),
            Given("Along the bottom", plan.bottom.total),
            Given("In each corner", plan.border.corner),
        ),
        "counted",
    )


def corner(results: Results, plan: BorderPlan) -> Explanation:
    """Explain how many stitches more the last round has."""
    gauge = results.design.gauge
    tall = gauge.row_height_mm * height_ratio(plan.border.stitch, gauge.stitch)
    return Explanation(
        "border last round",
        Given("Last round", plan.rounds[-1]),
        "Every round has more than the one before by what goes into the corners. A rounded corner "
        "stays flat with a quarter of the flat-disc rule, 2 pi times height over width.",
        (
            Given("Rounds", len(plan.rounds)),
            Given("In each corner", plan.border.corner),
            Given("A flat rounded corner gains", plan.round_extra, "number"),
            Given(
                "A flat disc would gain a round",
                2 * math.pi * tall / gauge.stitch_width_mm,
                "number",
            ),
        ),
        "published",
        "6, 8, 12 and 16 a round, in published rules for flat discs.",
    )


def metres(results: Results, plan: BorderPlan) -> Explanation:
    """Explain the yarn in all rounds."""
    return Explanation(
        "border yarn",
        Given("Yarn in all rounds", plan.length_m, "m"),
        "Every stitch by its own area, times the yarn in a square metre.",
        (
            Given("Stitches in all rounds", sum(plan.rounds)),
            Given("Yarn in a square metre, metres", yarn_m_per_m2(results.design), "number"),
        ),
        "published",
        "Yarn by area: measured strips, unless you weighed a swatch.",
    )


def finished(results: Results) -> Explanation:
    """Explain the finished width with fill rows and border."""
    wider, longer = grown_mm(results.ends, results.border, wash_of(results.design.swatch))
    size = results.size
    return Explanation(
        "border finished",
        Given("Finished width", size.width_mm + wider, "mm"),
        "Finished width and length of the rows, and what fill rows and border add to each.",
        (
            Given("Width of the rows", size.width_mm, "mm"),
            Given("Wider by", wider, "mm"),
            Given("Length of the rows", size.length_mm, "mm"),
            Given("Longer by", longer, "mm"),
        ),
        "model",
    )


def bump(results: Results, name: EndName) -> Explanation | None:
    """Explain what a fill leaves of the wave at one end; None without a fill there."""
    outline, fill = results.ends.outlines.get(name), results.ends.fills.get(name)
    if outline is None or fill is None:
        return None
    return Explanation(
        f"fill {name}",
        Given(f"Bump left at the {name}", fill.bump_mm, "fine mm"),
        "Stitches of the fill are chosen by settling them on that end; what is left is measured "
        "from the lowest to the highest place between the corners. It depends on tension.",
        (
            Given("Dip to crest before", outline_gap_mm(results, name), "fine mm"),
            Given("Fill rows", len(fill.rows)),
        ),
        "model",
        "Held against two published 12-stitch fills it was a step off at most.",
    )


def outline_gap_mm(results: Results, name: EndName) -> float:
    """Return how far an end goes up and down without its fill."""
    outline = results.ends.outlines[name]
    return float(outline.gaps_mm()[outline.middle].max())
