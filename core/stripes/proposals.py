"""What a plan comes to: a stripe sequence, or a sentence that says why there is none.

Every kind of plan uses the seed, so the next seed is the next proposal: another order of a
planned random or of shuffled widths, another colour to begin with in a fade or a series.
"""

from core.design.document import MOST_STRIPES, Design, Stripe
from core.design.edits import set_size
from core.design.plan import Plan
from core.design.stripe_edits import set_planned
from core.errors import DesignError
from core.records import Struct
from core.stripes.chance import Chance
from core.stripes.dates import widths_of
from core.stripes.evened import evened_order
from core.stripes.fades import depths_of, fade, nearest_order
from core.stripes.reasons import never, why_not
from core.stripes.rules import rules_of, yarns_of
from core.stripes.search import ShouldStop, find_order
from core.stripes.series import first_of, opposed

_WIDTHS_STREAM = 11
_STEPS_AGAIN = 1000


class Proposal(Struct, frozen=True):
    """What a plan comes to.

    Attributes:
        plan: The plan.
        sequence: The stripes, locked ones in their places; empty if there is no answer.
        why: A sentence that says why there is none.
    """

    plan: Plan
    sequence: tuple[Stripe, ...]
    why: str = ""


def propose(
    design: Design,
    plan: Plan,
    *,
    give_up: int | None = None,
    should_stop: ShouldStop = never,
) -> Proposal:
    """Return what a plan comes to for a design: its yarns, its locked stripes, its rows.

    Args:
        design: The design.
        plan: The plan.
        give_up: Steps after which a search is given up; None for what is usual.
        should_stop: Asked again and again.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    missing = [yarn for yarn in plan.yarns if yarn >= len(design.yarns)]
    if missing:
        return Proposal(plan, (), "The plan names a yarn that the design no longer has.")
    try:
        if plan.kind == "random":
            return _random(design, plan, give_up, should_stop)
        fades = plan.kind == "fade"
        sequence = _faded(design, plan) if fades else _series(design, plan, should_stop)
    except DesignError as error:
        text = str(error)
        return Proposal(plan, (), f"{text[:1].upper()}{text[1:]}.")
    if plan.shape == "mirror":
        sequence = sequence + sequence[-2::-1]
    # Locked stripes stand between the free ones, so those before a place help to reach it.
    late = [n for n in locked_of(design) if n >= len(sequence) + _before(design, n)]
    if late:
        return Proposal(plan, (), _too_late(late[-1], len(sequence)))
    sequence = round_locked_stripes(design, sequence)
    if len(sequence) > MOST_STRIPES:
        return Proposal(
            plan,
            (),
            f"That comes to {len(sequence):,} stripes; a design holds {MOST_STRIPES:,}: "
            "make it shallower or take fewer yarns.",
        )
    return Proposal(plan, sequence)


def take(design: Design, proposal: Proposal, *, fit_rows: bool = False) -> Design:
    """Return the design with a proposal's stripes and its plan; perhaps as long as they are."""
    if not proposal.sequence:
        return design
    planned = set_planned(design, proposal.sequence, proposal.plan)
    return set_size(planned, rows=planned.stripes.rows) if fit_rows else planned


def was_changed_by_hand(design: Design) -> bool | None:
    """Return whether the stripes are no longer what the plan comes to; None if it isn't known.

    The order is searched for again, but not for long.
    """
    plan, sequence = design.stripes.plan, design.stripes.sequence
    if plan is None:
        return None
    if plan.kind == "random" and len(sequence) != plan.count:
        return True
    again = propose(design, plan, give_up=_STEPS_AGAIN)
    if again.sequence:
        return again.sequence != sequence
    return None


def locked_of(design: Design) -> dict[int, Stripe]:
    """Return the locked stripes by their numbers in the sequence."""
    return {n: stripe for n, stripe in enumerate(design.stripes.sequence) if stripe.locked}


def round_locked_stripes(design: Design, found: tuple[Stripe, ...]) -> tuple[Stripe, ...]:
    """Return found stripes with the design's locked ones between them, at their numbers."""
    free, locked, sequence = list(found), locked_of(design), []
    for number in range(len(found) + len(locked)):
        if number in locked:
            sequence.append(locked.pop(number))
        elif free:
            sequence.append(free.pop(0))
    return (*sequence, *(locked[number] for number in sorted(locked)))


def _before(design: Design, number: int) -> int:
    """Return how many locked stripes stand before a stripe, or are that stripe."""
    return sum(other <= number for other in locked_of(design))


def _too_late(number: int, count: int) -> str:
    stripes = "1 stripe" if count == 1 else f"{count} stripes"
    return (
        f"Stripe {number + 1} is locked, but the plan has {stripes}: unlock it, "
        f"or plan {number + 1}."
    )


# --- planned random ------------------------------------------------------------------------


def _random(design: Design, plan: Plan, give_up: int | None, should_stop: ShouldStop) -> Proposal:
    locked = locked_of(design)
    late = [number for number in locked if number >= plan.count]
    if late:
        return Proposal(plan, (), _too_late(late[-1], plan.count))
    if not plan.shares:
        return Proposal(plan, (), "The plan has no yarn: tick one at least.")
    pinned = {number: stripe.yarn for number, stripe in locked.items()}
    names = {number: yarn.name for number, yarn in enumerate(design.yarns)}
    rules = rules_of(plan, names, pinned)
    found = find_order(rules, plan.seed, give_up=give_up, should_stop=should_stop)
    if found.order is None:
        if found.is_proved:
            why = why_not(rules, steps=found.steps, should_stop=should_stop)
            return Proposal(plan, (), why)
        return Proposal(
            plan,
            (),
            f"No order was found in {found.steps:,} tries, nor a proof that there is none: "
            "loosen a rule, or try the next.",
        )
    yarns = yarns_of(plan, pinned)
    orbit = rules.orbit_of_stripes()
    chance = Chance(plan.seed, stream=_WIDTHS_STREAM)
    rows = [chance.one_of(plan.widths) for _ in range(max(orbit) + 1)]
    sequence = tuple(
        locked.get(number) or Stripe(yarns[colour], rows[orbit[number]])
        for number, colour in enumerate(found.order)
    )
    return Proposal(plan, sequence)


# --- fades ---------------------------------------------------------------------------------


def _faded(design: Design, plan: Plan) -> tuple[Stripe, ...]:
    yarns = tuple(dict.fromkeys(share.yarn for share in plan.shares))
    if len(yarns) < 2:
        raise DesignError("a fade goes between two yarns at least: tick another")
    turn = plan.seed - 1 if plan.seed else 0
    colours = [design.yarns[yarn].colour for yarn in yarns]
    if plan.nearest:
        start = None if turn < 2 else (turn // 2 - 1) % len(yarns)
        yarns = tuple(yarns[at] for at in nearest_order(colours, start))
    else:
        begin = (turn // 2) % len(yarns)
        yarns = yarns[begin:] + yarns[:begin]
    if turn % 2:
        yarns = yarns[::-1]
    colours = [design.yarns[yarn].colour for yarn in yarns]
    depths = depths_of(colours, plan.depth, even=plan.nearest)
    return fade(yarns, depths, plan.between)


# --- series --------------------------------------------------------------------------------


def _series(design: Design, plan: Plan, should_stop: ShouldStop) -> tuple[Stripe, ...]:
    widths = _widths(design, plan)
    yarns = tuple(dict.fromkeys(share.yarn for share in plan.shares))
    if not yarns:
        raise DesignError("the plan has no yarn: tick one at least")
    if plan.order == "shuffled":
        rows = [rows for rows, _ in widths]
        order = evened_order(rows, len(yarns), plan.seed, should_stop=should_stop)
        return tuple(Stripe(yarns[c], rows[n], label=widths[n][1]) for c, n in order)
    if plan.order == "opposed":
        widths = opposed(widths)
    turn = max(plan.seed - 1, 0)
    begin = (turn // 2) % len(yarns)
    turned = yarns[begin:] + yarns[:begin]
    if turn % 2:
        widths = widths[::-1]
    return tuple(
        Stripe(turned[n % len(turned)], rows, label=label) for n, (rows, label) in enumerate(widths)
    )


def _widths(design: Design, plan: Plan) -> tuple[tuple[int, str], ...]:
    """Return the rows of every stripe of a series, each with what it stands for."""
    if plan.series == "dates":
        return widths_of(plan.dates, plan.dates_as, design.size.rows)
    if plan.series == "own":
        return tuple((rows, "") for rows in plan.widths)
    return tuple((rows, "") for rows in first_of(plan.series, plan.count))
