"""Why no order keeps the rules: counting first, then the smallest set of rules at odds.

Counting needs no search and gives the clearest sentence: a colour that is wanted more often than
there are places for it. Where counting finds nothing, rules are dropped half by half until only
those are left that can't be kept together (Junker 2004, "QuickXplain").
"""

from collections.abc import Callable, Sequence
from typing import Final, Literal

from core.errors import Stopped
from core.records import Struct, replace
from core.stripes.counting import apart_said, counted_reason, stripes_said
from core.stripes.rules import Rules
from core.stripes.search import ShouldStop, find_order

Kind = Literal["apart", "around", "barred", "least", "most", "pinned", "shape"]

_STEPS_A_TRY: Final = 1500
_MOST_NAMED: Final = 6


class Rule(Struct, frozen=True):
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
        f"In {stripes_said(rules.count)} these can't all be kept: {'; '.join(said)}{more}. "
        "Loosen or drop one of them."
    )


def said_rule(rules: Rules, rule: Rule) -> str:
    """Return a rule as a part of a sentence."""
    names = [rules.names[n] for n in rule.about] if rule.kind != "pinned" else []
    match rule.kind:
        case "apart":
            return apart_said(rules.apart)
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
