"""Figures of the yarn: what every line of it is reckoned from."""

from collections.abc import Callable

from core.craft.tables import SPARE_PART, TAIL_MM, YARN_MM_PER_CHAIN_MM, YARN_STITCH_MM
from core.design.document import Reckoning, Yarn
from core.explain.figures import Explanation, Given, Kind, Standing
from core.pipeline import Results
from core.yarn.shopping import balls_to_buy, yarn_totals
from core.yarn.use import YarnUse, yarn_m_per_m2

Inputs = tuple[Given, ...]

_STRIPS = "1,237 to 1,263 m a square metre in published, measured worsted strips."


def _per_area(results: Results) -> tuple[Given, Standing, str]:
    """Return the yarn in a square metre, how far to trust it and where it comes from."""
    design = results.design
    given = Given("Yarn in a square metre, metres", yarn_m_per_m2(design), "number")
    if design.swatch is not None and design.swatch.yarn_m_per_m2 is not None:
        return given, "yours", ""
    stitches = 100 / YARN_STITCH_MM
    source = (
        f"{_STRIPS} Taken for {stitches:.0f} stitches over 10 cm; narrower stitches take more "
        "in proportion."
    )
    return given, "published", source


def in_rows(results: Results, yarn: int) -> Explanation:
    """Explain the yarn in the rows."""
    use, gauge = results.yarn[yarn], results.design.gauge
    per_area, standing, source = _per_area(results)
    return Explanation(
        "yarn in rows",
        Given("In the rows", use.body_m, "m"),
        "Every stitch takes its own area, width times height, times the yarn in a square metre. "
        "Further legs of a decrease take a stitch's without its top; chains between stitches "
        "take yarn as chains do.",
        (
            Given("Stitches in it", use.stitches),
            Given("Stitch width", gauge.stitch_width_mm, "fine mm"),
            Given("Row height", gauge.row_height_mm, "fine mm"),
            per_area,
        ),
        standing,
        source,
    )


def foundation(results: Results, yarn: int) -> Explanation:
    """Explain the yarn in the foundation chain."""
    use, design = results.yarn[yarn], results.design
    return Explanation(
        "yarn in foundation",
        Given("Foundation chain", use.foundation_m, "m"),
        "Chains, times stitch width, times the yarn that a length of chain takes. It belongs to "
        "the yarn of row 1.",
        (
            Given("Chains", results.rows.foundation.chains if use.foundation_m else 0),
            Given("Stitch width", design.gauge.stitch_width_mm, "fine mm"),
            Given("Yarn to chain, length for length", YARN_MM_PER_CHAIN_MM, "number"),
        ),
        "published",
        "A published, measured strip.",
    )


def fill(results: Results, yarn: int) -> Explanation:
    """Explain the yarn in fill rows."""
    per_area, standing, source = _per_area(results)
    parts = [part for part in results.edging if part.yarn == yarn and part.part != "border"]
    return Explanation(
        "yarn in fill",
        Given("Fill rows", results.yarn[yarn].fill_m, "m"),
        "Every fill stitch by its own area, as in the rows.",
        (Given("Fill stitches", sum(part.stitches for part in parts)), per_area),
        standing,
        source,
    )


def border(results: Results, yarn: int) -> Explanation:
    """Explain the yarn in the border."""
    per_area, standing, source = _per_area(results)
    parts = [part for part in results.edging if part.yarn == yarn and part.part == "border"]
    return Explanation(
        "yarn in border",
        Given("Border", results.yarn[yarn].border_m, "m"),
        "Every border stitch by its own area, as in the rows.",
        (Given("Border stitches", sum(part.stitches for part in parts)), per_area),
        standing,
        source,
    )


def tails(results: Results, yarn: int) -> Explanation:
    """Explain the length of the tails."""
    use, reckoning = results.yarn[yarn], results.design.reckoning or Reckoning()
    is_usual = reckoning.tail_mm == TAIL_MM
    return Explanation(
        "yarn in tails",
        Given("Tails", use.tails_m, "m"),
        "Ends in this yarn, times the tail to leave.",
        (Given("Ends", use.ends), Given("A tail", reckoning.tail_mm, "mm")),
        "published" if is_usual else "yours",
        "6 in or 15 cm, as published advice has it; others leave 12 in." if is_usual else "",
    )


def spare(results: Results, yarn: int) -> Explanation:
    """Explain the spare."""
    use, reckoning = results.yarn[yarn], results.design.reckoning or Reckoning()
    is_usual = reckoning.spare == SPARE_PART
    return Explanation(
        "yarn to spare",
        Given("Spare", use.spare_m, "m"),
        "A share of all that is needed, for a hand that works looser.",
        (Given("Needed", use.needed_m, "m"), Given("Share", reckoning.spare, "share")),
        "memory" if is_usual else "yours",
        "10 % is commonly advised; pages say 10 to 20 %." if is_usual else "",
    )


def together(results: Results, yarn: int) -> Explanation:
    """Explain the length of one yarn."""
    use = results.yarn[yarn]
    return Explanation(
        "yarn together",
        Given("Together", use.length_m, "m"),
        "All lines above it, added.",
        (
            Given("In the rows", use.body_m, "m"),
            Given("Foundation chain", use.foundation_m, "m"),
            Given("Fill rows", use.fill_m, "m"),
            Given("Border", use.border_m, "m"),
            Given("Tails", use.tails_m, "m"),
            Given("Carried up the side", use.carried_m, "m"),
            Given("Spare", use.spare_m, "m"),
        ),
        "computed",
    )


def weight(results: Results, yarn: int) -> Explanation:
    """Explain the weight of one yarn."""
    use, band = results.yarn[yarn], results.design.yarns[yarn]
    return Explanation(
        "yarn weight",
        Given("Weight", use.mass_g, "g"),
        "Length, over the length of a ball, times its weight: by the ball band.",
        (
            Given("Together", use.length_m, "m"),
            Given("A ball holds", band.ball_m, "m"),
            Given("It weighs", band.ball_g, "g"),
        ),
        "yours",
    )


def balls(results: Results, yarn: int) -> Explanation:
    """Explain the balls of one yarn."""
    use, band = results.yarn[yarn], results.design.yarns[yarn]
    return Explanation(
        "yarn balls",
        Given("Balls to have", use.balls),
        "Length over the length of a ball, rounded up to whole balls.",
        (Given("Together", use.length_m, "m"), Given("A ball holds", band.ball_m, "m")),
        "yours",
    )


def short_by(results: Results, yarn: int) -> Explanation:
    """Explain the balls of one yarn that are still to be bought."""
    use, band = results.yarn[yarn], results.design.yarns[yarn]
    return Explanation(
        "yarn short",
        Given("Short by", balls_to_buy(use, band)),
        "Balls that the length takes, less the balls you own, rounded up; none if you own more.",
        (
            Given("Together", use.length_m, "m"),
            Given("A ball holds", band.ball_m, "m"),
            Given("You own", band.owned_balls, "number"),
        ),
        "yours",
    )


def _of_every(results: Results, amount: Callable[[YarnUse, Yarn], float], kind: Kind) -> Inputs:
    """Return one figure of every yarn under the yarns' names."""
    pairs = zip(results.yarn, results.design.yarns, strict=True)
    return tuple(Given(band.name, amount(use, band), kind) for use, band in pairs)


def all_length(results: Results) -> Explanation:
    """Explain the length of all yarns."""
    total = yarn_totals(results.yarn, results.design.yarns)
    return Explanation(
        "all length",
        Given("Length of all yarns", total.length_m, "m"),
        "The yarns added, tails and spare included.",
        _of_every(results, lambda use, _: use.length_m, "m"),
        "computed",
    )


def all_weight(results: Results) -> Explanation:
    """Explain the weight of all yarns."""
    total = yarn_totals(results.yarn, results.design.yarns)
    return Explanation(
        "all weight",
        Given("Weight of all yarns", total.mass_g, "g"),
        "The yarns added, each by its own ball band.",
        _of_every(results, lambda use, _: use.mass_g, "g"),
        "computed",
    )


def all_balls(results: Results) -> Explanation:
    """Explain the balls of all yarns."""
    total = yarn_totals(results.yarn, results.design.yarns)
    return Explanation(
        "all balls",
        Given("Balls to have", total.balls),
        "Whole balls of every yarn, added.",
        _of_every(results, lambda use, _: use.balls, "count"),
        "computed",
    )


def all_to_buy(results: Results) -> Explanation:
    """Explain the balls to buy."""
    total = yarn_totals(results.yarn, results.design.yarns)
    return Explanation(
        "all to buy",
        Given("Balls to buy", total.to_buy),
        "Whole balls of every yarn beyond those you own, added.",
        _of_every(results, balls_to_buy, "count"),
        "computed",
    )


def cost(results: Results) -> Explanation | None:
    """Explain what the balls to buy cost, if a price is known."""
    design = results.design
    total = yarn_totals(results.yarn, design.yarns)
    if total.cost is None:
        return None
    given = [
        Given(f"{band.name}, {balls_to_buy(use, band)} at", band.price, "money")
        for band, use in zip(design.yarns, results.yarn, strict=True)
        if band.price is not None and balls_to_buy(use, band)
    ]
    return Explanation(
        "cost",
        Given("They cost", total.cost, "money"),
        "Balls to buy, times the price you gave for one; yarns without a price are left out.",
        tuple(given),
        "yours",
    )
