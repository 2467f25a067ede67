"""What is done by hand to many stripes at once, as functions from design to design.

`chosen` are numbers of stripes in the sequence, from 0, in any order. A locked stripe keeps its
number and its rows in every reordering: the others flow round it. Of several chosen stripes the
locked ones are passed over; where nothing is left to do, the edit is refused with a sentence.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from core.design.document import MOST_STRIPES, Design, Stripe
from core.design.edits import set_sequence
from core.design.plan import Plan
from core.errors import DesignError
from core.records import replace

Chosen = Iterable[int]
Sequences = tuple[Stripe, ...]


def picked(sequence: Sequences, chosen: Chosen) -> list[int]:
    """Return the chosen numbers that there are, in the order of the sequence."""
    return sorted({number for number in chosen if 0 <= number < len(sequence)})


def _free(sequence: Sequences, chosen: Chosen) -> list[int]:
    """Return the chosen stripes that aren't locked.

    Raises:
        DesignError: All of them are.
    """
    numbers = picked(sequence, chosen)
    found = [number for number in numbers if not sequence[number].locked]
    if numbers and not found:
        one = len(numbers) == 1
        which = f"stripe {numbers[0] + 1} is" if one else f"all {len(numbers)} stripes chosen are"
        raise DesignError(f"{which} locked; unlock {'it' if one else 'them'} first")
    return found


# --- rows, yarn, name, lock --------------------------------------------------------------


def set_each(design: Design, chosen: Chosen, **values: object) -> Design:
    """Return the design with the yarn or rows of every chosen stripe replaced.

    Raises:
        DesignError: All of them are locked.
    """
    sequence = list(design.stripes.sequence)
    for number in _free(design.stripes.sequence, chosen):
        sequence[number] = replace(sequence[number], **values)
    return set_sequence(design, tuple(sequence))


def change_rows(design: Design, chosen: Chosen, by: int) -> Design:
    """Return the design with every chosen stripe `by` rows longer; one row at least stays."""
    sequence = list(design.stripes.sequence)
    for number in _free(design.stripes.sequence, chosen):
        stripe = sequence[number]
        sequence[number] = replace(stripe, rows=max(stripe.rows + by, 1))
    return set_sequence(design, tuple(sequence))


def set_locked(design: Design, chosen: Chosen, locked: bool) -> Design:
    """Return the design with the chosen stripes locked or unlocked."""
    sequence = list(design.stripes.sequence)
    for number in picked(design.stripes.sequence, chosen):
        sequence[number] = replace(sequence[number], locked=locked)
    return set_sequence(design, tuple(sequence))


def set_label(design: Design, chosen: Chosen, label: str) -> Design:
    """Return the design with the chosen stripes called something; nothing takes the name away."""
    sequence = list(design.stripes.sequence)
    for number in picked(design.stripes.sequence, chosen):
        sequence[number] = replace(sequence[number], label=label)
    return set_sequence(design, tuple(sequence))


# --- more and fewer ----------------------------------------------------------------------


def insert(design: Design, at: int, stripes: Sequences) -> Design:
    """Return the design with stripes put in so that the first becomes number `at`.

    Raises:
        DesignError: They are more than a sequence holds.
    """
    sequence = design.stripes.sequence
    return _within(design, (*sequence[:at], *stripes, *sequence[at:]))


def _within(design: Design, sequence: Sequences) -> Design:
    if len(sequence) > MOST_STRIPES:
        raise DesignError(
            f"a sequence holds {MOST_STRIPES:,} stripes, and this would make {len(sequence):,}"
        )
    return set_sequence(design, sequence)


def remove(design: Design, chosen: Chosen) -> Design:
    """Return the design without the chosen stripes; one stripe stays.

    Raises:
        DesignError: All of them are locked, or there is only one stripe.
    """
    sequence = design.stripes.sequence
    if len(sequence) == 1:
        raise DesignError("a blanket has one stripe at least; give it another yarn instead")
    gone = set(_free(sequence, chosen))
    left = tuple(stripe for number, stripe in enumerate(sequence) if number not in gone)
    return set_sequence(design, left or sequence[:1])


def copies(sequence: Sequences, chosen: Chosen) -> Sequences:
    """Return the chosen stripes as they are put in elsewhere: unlocked."""
    return tuple(replace(sequence[number], locked=False) for number in picked(sequence, chosen))


def repeat(design: Design, chosen: Chosen, times: int = 1) -> Design:
    """Return the design with the chosen stripes worked `times` times more after the last."""
    sequence = design.stripes.sequence
    numbers = picked(sequence, chosen)
    if not numbers:
        return design
    return insert(design, numbers[-1] + 1, copies(sequence, numbers) * times)


def mirror(design: Design, chosen: Chosen) -> Design:
    """Return the design with the way back put after the chosen stripes: A B C B A.

    The last one is the middle and stands once.
    """
    sequence = design.stripes.sequence
    numbers = picked(sequence, chosen)
    if len(numbers) < 2:
        return design
    return insert(design, numbers[-1] + 1, copies(sequence, numbers)[-2::-1])


def split(design: Design, chosen: Chosen) -> Design:
    """Return the design with every chosen stripe cut in halves, the lower the shorter one.

    Raises:
        DesignError: All of them are locked, none has two rows, or there would be too many.
    """
    sequence = design.stripes.sequence
    cut = {number for number in _free(sequence, chosen) if sequence[number].rows > 1}
    if not cut:
        raise DesignError("a single row can't be split")
    found: list[Stripe] = []
    for number, stripe in enumerate(sequence):
        half = stripe.rows // 2
        if number in cut:
            found.append(replace(stripe, rows=half))
            stripe = replace(stripe, rows=stripe.rows - half)
        found.append(stripe)
    return _within(design, tuple(found))


def join(design: Design, chosen: Chosen) -> Design:
    """Return the design with chosen stripes that follow each other made one, in the lowest's yarn.

    A single one is joined with the stripe above it, or below it at the sequence's end.

    Raises:
        DesignError: One of them is locked, or no two follow each other.
    """
    sequence = design.stripes.sequence
    numbers = picked(sequence, chosen)
    if len(numbers) == 1 and len(sequence) > 1:
        first = min(numbers[0], len(sequence) - 2)
        numbers = [first, first + 1]
    locked = [number for number in numbers if sequence[number].locked]
    if locked:
        raise DesignError(f"stripe {locked[0] + 1} is locked; unlock it first")
    taken = {upper for lower, upper in pairwise(numbers) if upper == lower + 1}
    if not taken:
        raise DesignError("the chosen stripes don't follow each other")
    found: list[Stripe] = []
    for number, stripe in enumerate(sequence):
        if number in taken:
            found[-1] = replace(found[-1], rows=found[-1].rows + stripe.rows)
        else:
            found.append(stripe)
    return set_sequence(design, tuple(found))


# --- another order -----------------------------------------------------------------------


def round_locked(sequence: Sequences, order: Sequence[int]) -> tuple[int, ...]:
    """Return `order`, a permutation of the stripes' numbers, with locked ones in their places."""
    free = iter([number for number in order if not sequence[number].locked])
    return tuple(n if stripe.locked else next(free) for n, stripe in enumerate(sequence))


def moved(sequence: Sequences, chosen: Chosen, gap: int) -> tuple[int, ...]:
    """Return the order with the chosen stripes put before what was number `gap`."""
    numbers = picked(sequence, chosen)
    rest = [number for number in range(len(sequence)) if number not in set(numbers)]
    before = sum(number < gap for number in rest)
    return round_locked(sequence, [*rest[:before], *numbers, *rest[before:]])


def nudged(sequence: Sequences, chosen: Chosen, by: int) -> tuple[int, ...]:
    """Return the order with the chosen stripes one place among the free ones up (1) or down (-1).

    Stripes that are at the end already stay there.
    """
    free = [number for number, stripe in enumerate(sequence) if not stripe.locked]
    held = {number for number in picked(sequence, chosen) if not sequence[number].locked}
    places = range(len(free) - 2, -1, -1) if by > 0 else range(len(free) - 1)
    for place in places:
        lower, upper = free[place], free[place + 1]
        if (lower in held) != (upper in held) and (lower in held) == (by > 0):
            free[place], free[place + 1] = upper, lower
    return round_locked(sequence, free)


def reversed_order(sequence: Sequences, chosen: Chosen) -> tuple[int, ...]:
    """Return the order with the chosen stripes the other way round in the places they have."""
    numbers = [number for number in picked(sequence, chosen) if not sequence[number].locked]
    order = list(range(len(sequence)))
    for place, number in zip(numbers, reversed(numbers), strict=True):
        order[place] = number
    return tuple(order)


def reorder(design: Design, order: Sequence[int]) -> Design:
    """Return the design with its stripes in another order, told by their numbers until now."""
    sequence = design.stripes.sequence
    if sorted(order) != list(range(len(sequence))):  # another edit came between
        return design
    return set_sequence(design, tuple(sequence[number] for number in order))


def exchange(design: Design, one: int, other: int) -> Design:
    """Return the design with two stripes in each other's place.

    Raises:
        DesignError: One of them is locked.
    """
    sequence = list(design.stripes.sequence)
    for number in (one, other):
        if sequence[number].locked:
            raise DesignError(f"stripe {number + 1} is locked; unlock it first")
    sequence[one], sequence[other] = sequence[other], sequence[one]
    return set_sequence(design, tuple(sequence))


def set_planned(design: Design, sequence: Sequences, plan: Plan) -> Design:
    """Return the design with the stripes that a plan came to, and the plan."""
    return replace(design, stripes=replace(design.stripes, sequence=sequence, plan=plan))


def with_values(plan: Plan, **values: object) -> Plan:
    """Return a plan with some of its values replaced."""
    return replace(plan, **values)
