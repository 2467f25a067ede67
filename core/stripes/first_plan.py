"""Where a plan begins: from the design, evenly; and how deep a fade has to be to fill it."""

from collections import Counter
from collections.abc import Sequence

from core.design.document import MOST_STRIPES, Design
from core.design.plan import Plan, Share
from core.design.stripe_edits import with_values
from core.stripes.proposals import propose

_DEEPEST = 50

__DEEPEST = 50


def first_plan(design: Design) -> Plan:
    """Return the design's plan, or an even one: its yarns, its usual rows, its length."""
    if design.stripes.plan is not None:
        return design.stripes.plan
    sequence = design.stripes.sequence
    usual = Counter(stripe.rows for stripe in sequence).most_common(1)[0][0]
    locked = max((n + 1 for n, stripe in enumerate(sequence) if stripe.locked), default=1)
    count = min(max(design.size.rows // usual, locked), MOST_STRIPES)
    yarns = sorted({stripe.yarn for stripe in sequence})
    return Plan(count=count, shares=even_shares(yarns, count), widths=(usual,))


def even_shares(yarns: Sequence[int], count: int) -> tuple[Share, ...]:
    """Return shares so that every yarn comes about equally often: 18 in 44 stripes 2 to 3 times."""
    if not yarns:
        return ()
    low, rest = divmod(count, len(yarns))
    return tuple(Share(yarn, low, low + 1 if rest else low) for yarn in yarns)


def fitted_depth(design: Design, plan: Plan) -> int:
    """Return the depth at which a fade's rows come nearest to the blanket's."""

    def off(depth: int) -> int:
        sequence = propose(design, with_values(plan, kind="fade", depth=depth)).sequence
        rows = sum(stripe.rows for stripe in sequence)
        return abs(rows - design.size.rows) if sequence else 10**9

    return min(range(1, _DEEPEST + 1), key=off)
