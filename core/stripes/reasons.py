"""Why no order keeps the rules: counting first, then the smallest set of rules at odds.

Counting needs no search and gives the clearest sentence: a colour that is wanted more often than
there are places for it. Where counting finds nothing, rules are dropped half by half until only
those are left that can't be kept together (Junker 2004, "QuickXplain").
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from core.errors import Stopped
from core.stripes.rules import Rules
from core.stripes.search import ShouldStop, find_order

Kind = Literal["apart", "around", "barred", "least", "most", "pinned", "shape"]

_STEPS_A_TRY: Final = 1500
_MOST_NAMED: Final = 6


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: of which kind, and about what (a colour, a pair of them, a stripe)."""

    kind: Kind
    about: tuple[int, ...] = ()


def never() -> bool:
    """Return no: nobody asks to stop."""
    return False


def why_not(rules: Rules, *, steps: int = 0, should_stop: ShouldStop = never) -> str:
    """Return a sentence that says which rules can't be kept together.

    Args:
        rules: Rules that were proved to be at odds.
        steps: What the search took to prove it.
        should_stop: Asked again and again.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    return counted_reason(rules) or _at_odds_sentence(rules, steps, should_stop)


# --- counting ------------------------------------------------------------------------------


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
    stripes = _stripes(rules.count)
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
        between = _between(rules.apart)
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
                f"{rules.names[colour]} has to be used {least} times in {_stripes(rules.count)}, "
                f"but {_asked(rules.apart)}{locked}: at most {places}."
            )
    able = [min(most, places) for most, places in zip(rules.most, room, strict=True)]
    if sum(able) < rules.count:
        listed = ", ".join(f"{name} {n}" for name, n in zip(rules.names, able, strict=True) if n)
        return (
            f"There are {_stripes(rules.count)}, but the yarns fill only {sum(able)} of them "
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


def _stripes(count: int) -> str:
    return "1 stripe" if count == 1 else f"{count} stripes"


def _asked(apart: int) -> str:
    """Return the rule of distance as a part of a sentence."""
    if not apart:
        return "a stripe holds one yarn"
    return "no two may touch" if apart == 1 else f"{apart} stripes lie between two of one yarn"


def _between(apart: int) -> str:
    return "no yarn beside itself" if apart == 1 else f"{apart} stripes between two of one yarn"


# --- the smallest set of rules at odds -------------------------------------------------------


def rules_at_odds(
    rules: Rules, *, should_stop: ShouldStop = never, steps: int = _STEPS_A_TRY
) -> tuple[Rule, ...]:
    """Return rules of which none can be left out and that can't be kept together.

    A set counts as impossible only where counting or a search through every order has shown
    it; so with few `steps` the answer may hold more than need be, never rules that get on.
    """

    def impossible(kept: Sequence[Rule]) -> bool:
        if should_stop():
            raise Stopped
        only = _only(rules, kept)
        if counted_reason(only):
            return True
        return find_order(only, 1, most_steps=steps, should_stop=should_stop).is_proved

    every = rules_in(rules)
    if not impossible(every):
        return tuple(every)
    if impossible(()):
        return ()
    return tuple(_explain([], False, every, impossible))


def _explain(
    kept: list[Rule],
    is_new: bool,
    rest: list[Rule],
    impossible: Callable[[Sequence[Rule]], bool],
) -> list[Rule]:
    """Return which of `rest` are needed, beside `kept`, to be at odds."""
    if is_new and impossible(kept):
        return []
    if len(rest) == 1:
        return rest
    half = len(rest) // 2
    first, second = rest[:half], rest[half:]
    late = _explain([*kept, *first], True, second, impossible)
    early = _explain([*kept, *late], bool(late), first, impossible)
    return [*early, *late]


def rules_in(rules: Rules) -> list[Rule]:
    """Return every single rule, those that are least readily given up first."""
    found = [Rule("pinned", (stripe, colour)) for stripe, colour in sorted(rules.pinned.items())]
    if rules.shape != "free":
        found.append(Rule("shape"))
    if rules.apart:
        found.append(Rule("apart"))
    if rules.around:
        found.append(Rule("around"))
    found += [Rule("most", (n,)) for n, most in enumerate(rules.most) if most < rules.count]
    found += [Rule("barred", pair) for pair in sorted(rules.barred)]
    found += [Rule("least", (n,)) for n, least in enumerate(rules.least) if least]
    return found


def _only(rules: Rules, kept: Sequence[Rule]) -> Rules:
    kinds = {rule.kind for rule in kept}
    about = {(rule.kind, rule.about) for rule in kept}
    return replace(
        rules,
        least=tuple(n if ("least", (c,)) in about else 0 for c, n in enumerate(rules.least)),
        most=tuple(n if ("most", (c,)) in about else rules.count for c, n in enumerate(rules.most)),
        barred=frozenset(pair for pair in rules.barred if ("barred", pair) in about),
        apart=rules.apart if "apart" in kinds else 0,
        around="around" in kinds,
        pinned={s: c for s, c in rules.pinned.items() if ("pinned", (s, c)) in about},
        shape=rules.shape if "shape" in kinds else "free",
    )


def _at_odds_sentence(rules: Rules, steps: int, should_stop: ShouldStop) -> str:
    room = max(_STEPS_A_TRY, 2 * steps)
    found = rules_at_odds(rules, should_stop=should_stop, steps=room)
    said = [said_rule(rules, rule) for rule in found[:_MOST_NAMED]]
    more = f"; and {len(found) - _MOST_NAMED} more" if len(found) > _MOST_NAMED else ""
    return (
        f"In {_stripes(rules.count)} these can't all be kept: {'; '.join(said)}{more}. "
        "Loosen or drop one of them."
    )


def said_rule(rules: Rules, rule: Rule) -> str:
    """Return a rule as a part of a sentence."""
    names = [rules.names[n] for n in rule.about] if rule.kind != "pinned" else []
    match rule.kind:
        case "apart":
            return _between(rules.apart)
        case "around":
            return "the last stripe lies beside the first again"
        case "barred" if names[0] == names[-1]:
            return f"{names[0]} not beside itself"
        case "barred":
            return f"{names[0]} and {names[1]} not side by side"
        case "least":
            return f"{names[0]} {rules.least[rule.about[0]]} times at least"
        case "most":
            return f"{names[0]} {rules.most[rule.about[0]]} times at most"
        case "pinned":
            stripe, colour = rule.about
            return f"stripe {stripe + 1} locked in {rules.names[colour]}"
        case _:
            return "a mirrored order" if rules.shape == "mirror" else "blocks turned by one"
