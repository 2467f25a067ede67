"""What a step of the history is called: the deed, and what it did to which figure.

A view names the deed ("Change run"); what changed is read off the two designs, so that the text in
the menu and in the status line is never vaguer than what was done. It is read at every move of a
drag, so stripes, of which there may be a thousand, are compared place by place and not aligned.
"""

from collections import Counter
from typing import Final

from core.design.differences import differences
from core.design.document import Design, Stripe
from core.records import replace

_MOST_SIGNS: Final = 100
_MOST_LINES: Final = 2
_ONE_STRIPE: Final = (Stripe(yarn=0, rows=1),)


def step_text(deed: str, before: Design, after: Design) -> str:
    """Return the deed with what it changed, in one short line.

    Lines that would make it too long are left out; without any, the deed stands alone.
    """
    lines = _stripe_lines(before, after)
    lines += differences(_without_stripes(before), _without_stripes(after), short=True)
    said: list[str] = []
    for line in lines[:_MOST_LINES]:
        if len(deed) + sum(map(len, said)) + len(line) <= _MOST_SIGNS:
            said.append(line)
    if not said:
        return deed
    more = len(lines) - len(said)
    text = "; ".join(said) + (f" and {more} more" if more else "")
    return f"{deed}: {text}"


def _without_stripes(design: Design) -> Design:
    """Return a design in one stripe of its first yarn, which is there whatever an edit did."""
    return replace(design, stripes=replace(design.stripes, sequence=_ONE_STRIPE))


def _stripe_lines(before: Design, after: Design) -> list[str]:
    """Return at most one line on the sequence of stripes."""
    was, now = before.stripes.sequence, after.stripes.sequence
    if was == now:
        return []
    rows = sum(stripe.rows for stripe in was), sum(stripe.rows for stripe in now)
    if len(was) != len(now):
        return [f"{len(was)} → {len(now)} stripes, {rows[0]} → {rows[1]} rows"]
    differ = [n for n, pair in enumerate(zip(was, now, strict=True)) if pair[0] != pair[1]]
    if len(differ) == 1:
        (n,) = differ
        return [f"stripe {n + 1}, {_stripe_change(was[n], now[n], before, after)}"]
    places = f"stripes {differ[0] + 1} to {differ[-1] + 1}"
    if Counter(was) == Counter(now):
        return [f"{places} in another order"]
    if rows[0] != rows[1]:
        return [f"{places}, {rows[0]} → {rows[1]} rows"]
    return [f"{len(differ)} of {places}"]


def _stripe_change(was: Stripe, now: Stripe, before: Design, after: Design) -> str:
    parts = []
    if was.rows != now.rows:
        parts.append(f"rows {was.rows} → {now.rows}")
    if was.yarn != now.yarn:
        names = (_yarn(before, was.yarn), _yarn(after, now.yarn))
        parts.append(f"{names[0]} → {names[1]}")
    if was.label != now.label:
        parts.append(f"name “{was.label}” → “{now.label}”")
    if was.locked != now.locked:
        parts.append("locked" if now.locked else "unlocked")
    return ", ".join(parts)


def _yarn(design: Design, number: int) -> str:
    return design.yarns[number].name if number < len(design.yarns) else f"yarn {number + 1}"
