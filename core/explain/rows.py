"""Figures that are counted: the chain, the stitches, the rows, stripes and ends."""

from core.craft.stitches import CATALOGUE
from core.explain.figures import Explanation, Given
from core.pipeline import Results
from core.words.loops import loops_name


def chain(results: Results) -> Explanation:
    """Explain the foundation chain."""
    foundation, turning = results.rows.foundation, results.design.turning
    shares = foundation.turn == turning.chains
    why = (
        "The turning chain counts and stands on its own foot, so one of its chains is among those."
        if not shares
        else "All of the turning chains come on top."
    )
    return Explanation(
        "chain",
        Given("Foundation chain", foundation.chains),
        f"Chains that row 1 is worked into, plus those that are only the turn. {why}",
        (
            Given("Chains that row 1 uses", foundation.base_stitches),
            Given("Chains for the turn", foundation.turn),
        ),
        "practice",
        "The three cases of a turning chain; two of them were checked against published patterns.",
    )


def multiple(results: Results) -> Explanation:
    """Explain the multiple and what the chain has beyond it."""
    foundation = results.rows.foundation
    return Explanation(
        "multiple",
        Given("Multiple", foundation.multiple),
        "What one repeat of row 1 uses. The chain divided by it leaves the rest.",
        (
            Given("Foundation chain", foundation.chains),
            Given("Left over, the \u201cplus\u201d", foundation.extra),
        ),
        "counted",
    )


def stitches(results: Results) -> Explanation:
    """Explain the stitches in a row."""
    design, rows = results.design, results.rows
    row = design.wave.first
    sums = [sum(item.makes for item in part) for part in (row.start, row.repeat, row.end)]
    return Explanation(
        "stitches",
        Given("Stitches in row 1", rows.makes(1)),
        "What the start edge makes, plus what the repeat makes as often as it is worked, plus what "
        "the end edge makes. Every row has to use what the one below made.",
        (
            Given("Start edge makes", sums[0]),
            Given("One repeat makes", sums[1]),
            Given("Repeats between the edges", design.size.repeats),
            Given("End edge makes", sums[2]),
        ),
        "counted",
    )


def rows(results: Results) -> Explanation:
    """Explain the number of rows."""
    return Explanation(
        "rows",
        Given("Rows", results.design.size.rows),
        "As you chose, or as a wished length was nearest to.",
        (Given("Rows that can be worked", results.rows.drawn_rows),),
        "yours",
    )


def stitch(results: Results) -> Explanation:
    """Explain the stitch that the gauge is in."""
    key = results.design.gauge.stitch
    facts = CATALOGUE[key]
    return Explanation(
        "stitch",
        Given("Stitch", facts.name(results.design.terms).long, "text"),
        "The stitch of the plain swatch. Other stitches keep their usual height beside it.",
        (
            Given("Usual height to width", facts.height_to_width, "number"),
            Given("Usual turning chains", facts.turning_chains),
        ),
        "memory" if key == "sl st" else "published",
        ""
        if key == "sl st"
        else "Height to width: middle of published swatches, one swatch each for hdc and tr, dtr "
        "by its turning chains. Turning chains: published tables.",
    )


def loops(results: Results) -> Explanation:
    """Explain the loops."""
    design = results.design
    return Explanation(
        "loops",
        Given("Worked in", loops_name(design.loops, design.terms), "text"),
        "As you chose. The loop left unworked stays on the side that faced the maker, so ridges "
        "show on the right side of every other row.",
        (Given("From row", design.loops.from_row),),
        "published",
        "Which face a ridge lies on: two published descriptions of the unworked loop.",
    )


def colours(results: Results) -> Explanation:
    """Explain the number of colours."""
    used = sorted({int(yarn) for yarn in results.yarn_of_row})
    return Explanation(
        "colours",
        Given("Colours", len(used)),
        "Yarns that rows are worked in; fill rows and border are not counted.",
        (Given("Yarns in the list", len(results.design.yarns)),),
        "counted",
    )


def tails(results: Results) -> Explanation:
    """Explain the ends to weave in."""
    ends = results.yarn_ends
    return Explanation(
        "tails",
        Given("Tails to weave in", results.tails),
        "Two for each piece of yarn, none where a yarn is carried up the side to its next stripe. "
        "Stripes that follow each other in one yarn are one piece.",
        (
            Given("Pieces of yarn", len(ends.yarn)),
            Given("Carried on", int(ends.carried.sum())),
        ),
        "counted",
    )
