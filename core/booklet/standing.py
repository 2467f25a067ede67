"""What every blanket calls for: cautions beyond those that its own design brings.

Common practice unless a caution names its source (`core.checks.cautions`).
"""

from core.checks.cautions import ENDS, INFANT, check_cautions
from core.pipeline import Results


def own_cautions(results: Results) -> tuple[str, ...]:
    """Return the cautions that the design calls for, as the written pattern says them."""
    found = check_cautions(results.design, results.size, results.fabric.steady)
    return tuple(one.message for one in found)


def cautions(results: Results) -> tuple[str, ...]:
    """Return the cautions: those the design calls for, then those every blanket does."""
    own = list(own_cautions(results))
    if INFANT not in own:
        own.append(
            "This blanket is not sized for an infant. Guidance on sleep differs from country to "
            "country, and most of it wants no loose blanket in a cot: if it is used near one, "
            "follow your local safe-sleep guidance."
        )
    if ENDS not in own:
        own.append(
            "Loose loops, fringes and long ends catch fingers and toes and can be pulled off and "
            "swallowed. Leave them off for small children and for animals, and weave ends in "
            "firmly."
        )
    return (
        *own,
        "Fibres differ in how they burn, melt and wash. Follow the ball band, and keep the "
        "blanket away from flames and heaters. If you sell or give away what you make, your local "
        "product rules on fire, fibres and labels apply.",
    )
