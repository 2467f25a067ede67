"""Why there is no order, told by counting alone.

A colour that is wanted more often than there are places for it, totals that don't add up, pins
at odds: counting needs no search and gives the clearest sentences.
"""

from core.records import replace
from core.stripes.rules import Rules


def counted_reason(rules: Rules) -> str:
    """Return why there is no order, if counting shows it; an empty string if it doesn't."""
    return (
        _no_colours(rules) or _totals(rules) or _symmetry(rules) or _pins(rules) or _places(rules)
    )


def _no_colours(rules: Rules) -> str:
    if not rules.names:
        return "The plan has no yarn: tick one at least."
    if not any(rules.most):
        return "Every yarn may be used 0 times: let one of them be used."
    return ""


def _totals(rules: Rules) -> str:
    least, most = sum(rules.least), sum(rules.most)
    stripes = stripes_said(rules.count)
    if least > rules.count:
        return (
            f"Together the yarns have to be used {least} times, but there are only {stripes}: "
            f"ask for {least - rules.count} fewer, or plan {least} stripes."
        )
    if most < rules.count:
        return (
            f"Together the yarns may be used {most} times at most, but there are {stripes}: "
            f"allow {rules.count - most} more, or plan {most} stripes."
        )
    used = sum(limit > 0 for limit in rules.most)
    if used <= rules.apart and rules.count > used:
        between = apart_said(rules.apart)
        return (
            f"{between[0].upper()}{between[1:]} takes {rules.apart + 1} yarns, but only {used} "
            f"{'is' if used == 1 else 'are'} used."
        )
    return ""


def _symmetry(rules: Rules) -> str:
    orbit, reach = rules.orbit_of_stripes(), range(1, rules.apart + 1)
    for one in range(rules.count):
        for step in reach:
            other = one + step
            if other >= rules.count and rules.around:
                other -= rules.count
            if not 0 <= other < rules.count or orbit[one] != orbit[other]:
                continue
            if not rules.too_near(one, other):
                continue
            return _symmetry_sentence(rules, one, other)
    return ""


def _symmetry_sentence(rules: Rules, one: int, other: int) -> str:
    low, high = sorted((one + 1, other + 1))
    if rules.shape == "mirror" and rules.count % 2 == 0 and high == low + 1:
        return (
            f"A mirrored order of {rules.count} stripes has two equal ones in the middle, {low} "
            f"and {high}: plan {rules.count - 1} or {rules.count + 1} stripes."
        )
    if rules.shape == "mirror":
        return (
            "A mirrored order begins and ends in one yarn, so it can't go round: stripes "
            f"{low} and {high} would touch. Let it end there, or mirror it as the blanket goes on."
        )
    return (
        f"Turned blocks of {rules.block} bring one yarn to stripes {low} and {high}: "
        f"take larger blocks, or ask for fewer stripes between."
    )


def _pins(rules: Rules) -> str:
    names = rules.names
    for colour, most in enumerate(rules.most):
        mine = [stripe for stripe, pinned in rules.pinned.items() if pinned == colour]
        if len(mine) > most:
            return (
                f"{names[colour]} may be used {most} times at most, but {len(mine)} stripes are "
                f"locked in it: allow {len(mine)}, or unlock one."
            )
    pins = sorted(rules.pinned.items())
    orbit = rules.orbit_of_stripes()
    for at, (one, colour) in enumerate(pins):
        for other, second in pins[at + 1 :]:
            where = f"Stripes {one + 1} and {other + 1} are locked in"
            pair = min(colour, second), max(colour, second)
            if orbit[one] == orbit[other] and colour != second:
                return (
                    f"{where} {names[colour]} and {names[second]}, but the symmetry makes them "
                    "one yarn: unlock one of them."
                )
            if colour == second and rules.too_near(one, other):
                return f"{where} {names[colour]}, too near each other: {_asked(rules.apart)}."
            if rules.steps_between(one, other) == 1 and pair in rules.barred:
                return (
                    f"{where} {names[colour]} and {names[second]}, which may not lie side by "
                    "side: unlock one, or let them touch."
                )
    return ""


def _places(rules: Rules) -> str:
    room = [most_places(rules, colour) for colour in range(len(rules.names))]
    for colour, (least, places) in enumerate(zip(rules.least, room, strict=True)):
        if least > places:
            locked = ", and the locked stripes stay" if rules.pinned else ""
            return (
                f"{rules.names[colour]} has to be used {least} times in "
                f"{stripes_said(rules.count)}, but {_asked(rules.apart)}{locked}: at most {places}."
            )
    able = [min(most, places) for most, places in zip(rules.most, room, strict=True)]
    if sum(able) < rules.count:
        listed = ", ".join(f"{name} {n}" for name, n in zip(rules.names, able, strict=True) if n)
        return (
            f"There are {stripes_said(rules.count)}, but the yarns fill only {sum(able)} of them "
            f"({listed}): {_asked(rules.apart)}. Add a yarn or plan fewer stripes."
        )
    return ""


def most_places(rules: Rules, colour: int) -> int:
    """Return how often a colour fits at most with its distance kept and pins respected.

    Each stripe as soon as it may: no other way gives more of them in a row. Round a circle
    that is an upper bound.
    """
    barred = {n for pair in rules.barred if colour in pair for n in pair} - {colour}
    if (colour, colour) in rules.barred and not rules.apart:
        rules = replace(rules, apart=1)
    gap = rules.apart + 1
    mine = sorted(stripe for stripe, pinned in rules.pinned.items() if pinned == colour)
    shut = {stripe for stripe, pinned in rules.pinned.items() if pinned != colour}
    for stripe, pinned in rules.pinned.items():
        if pinned in barred:
            shut |= {stripe - 1, stripe + 1}
            if rules.around:
                shut |= {(stripe - 1) % rules.count, (stripe + 1) % rules.count}
    count, free_from, pins = 0, 0, list(mine)
    for stripe in range(rules.count):
        if pins and stripe == pins[0]:
            pins.pop(0)
        elif stripe < free_from or stripe in shut or (pins and pins[0] - stripe < gap):
            continue
        count += 1
        free_from = stripe + gap
    if rules.around and rules.count >= gap:
        count = min(count, rules.count // gap)
    return count


def stripes_said(count: int) -> str:
    """Return a number of stripes in words."""
    return "1 stripe" if count == 1 else f"{count} stripes"


def _asked(apart: int) -> str:
    """Return the rule of distance as a part of a sentence."""
    if not apart:
        return "a stripe holds one yarn"
    return "no two may touch" if apart == 1 else f"{apart} stripes lie between two of one yarn"


def apart_said(apart: int) -> str:
    """Return the rule of distance as a rule in a list."""
    return "no yarn beside itself" if apart == 1 else f"{apart} stripes between two of one yarn"
