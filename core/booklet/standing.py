"""What every pattern of a wavy blanket should say, whatever its rows are.

Finishing, what to do when it goes wrong, cautions: each stands only where the written pattern
hasn't said it already.

Common practice unless a caution names its source (`core.checks.cautions`).
"""

from core.checks.cautions import INFANT, check_cautions
from core.craft.stitches import Terms
from core.pipeline import Results


def finishing(results: Results) -> tuple[str, ...]:
    """Return how the blanket is finished."""
    design, swatch = results.design, results.design.swatch
    lines = [
        f"Weave in every end ({results.tails} if each stripe is cut) along rows of its own "
        "colour: a few centimetres one way, then back through other strands.",
        "Wash as the ball band says. Lay the blanket flat, pat the side edges straight and let "
        "peaks and dips fall where they want to; pin only if edges won't lie. Don't stretch it: "
        "that pulls the waves flat.",
    ]
    if swatch is not None and results.size.is_washed:
        lines.append("The measures above are those after washing.")
    if not (results.ends.has_fill or results.border) and design.edging is None:
        lines.append("The ends stay wavy; there is no border.")
    return tuple(lines)


def trouble(results: Results, terms: Terms) -> tuple[tuple[str, str], ...]:
    """Return faults that ripples are known for, each with what to look at."""
    turning = results.design.turning
    counts = (
        "the turning chain is the first stitch, so don't work into the stitch at its foot unless "
        "the row says so, and work the last stitch into the top of the chain below"
        if turning.counts
        else "the turning chain is not a stitch: work into the first stitch and the last"
    )
    wave = results.rows.plan(1).row if len(results.rows.which) else None
    steps = [
        (
            "The count is off",
            "Count the stitches of one repeat after another from the edge; the first repeat that "
            "differs has the fault. Undo to there.",
        ),
        ("The sides slant or grow wings", f"An edge stitch is missed or added: {counts}."),
        (
            "Peaks wander",
            "Each peak stands on the peak below. If it moved, a run before it has a stitch too "
            "many or too few.",
        ),
        (
            "It ripples like lettuce, or cups",
            "More increases than decreases make it ruffle, fewer make it cup: count both in one "
            "repeat.",
        ),
        (
            "It is too wide or too narrow",
            "Measure peak to peak over several repeats. Too wide: a smaller hook; too narrow: a "
            "larger one. The foundation chain is always longer than the finished width.",
        ),
    ]
    if wave is not None and any(item.skip for item in (*wave.start, *wave.repeat, *wave.end)):
        steps.append(
            ("Holes in the dips", "They belong to skipped stitches; pulling the yarn snugly "
             "across keeps them small.")
        )  # fmt: skip
    return tuple(steps)


def cautions(results: Results) -> tuple[str, ...]:
    """Return the cautions: those the design calls for, then those every blanket does."""
    own = [f.message for f in check_cautions(results.design, results.size)]
    if INFANT not in own:
        own.append(
            "This blanket is not sized for an infant. Guidance on sleep differs from country to "
            "country, and most of it wants no loose blanket in a cot: if it is used near one, "
            "follow your local safe-sleep guidance."
        )
    return (
        *own,
        "Loose loops, fringes and long ends catch fingers and toes and can be pulled off and "
        "swallowed. Leave them off for small children and for animals, and weave ends in firmly.",
        "Fibres differ in how they burn, melt and wash. Follow the ball band, and keep the "
        "blanket away from flames and heaters. If you sell or give away what you make, your local "
        "product rules on fire, fibres and labels apply.",
    )
