"""One item of a row, or a list of them, as a phrase."""

from collections.abc import Iterable

from core.design.document import Item
from core.words.parts import merged
from core.words.steps import Step, Where
from core.words.vocabulary import Vocabulary

_ORDER = {Where.FIRST: "first", Where.LAST: "last"}


def items_phrase(items: Iterable[Item], words: Vocabulary) -> str:
    """Return items as they are worked somewhere along a row."""
    return words.joined([step_phrase(Step(item=item), words) for item in merged(items)])


def step_phrase(step: Step, words: Vocabulary) -> str:
    """Return one step as a phrase."""
    item = step.item
    if item.stitch is None:
        chains = item.chain or 0
        return words.say("chains", n=chains) if chains else _passed(step, words)
    if step.space:
        return _into_space(step, words)
    return _together(step, words) if item.over > 1 else _placed(step, words)


def work_phrase(item: Item, words: Vocabulary) -> str:
    """Return what goes into one place, or over several: 2 dc, (1 dc, ch 1, 1 dc), dc2tog."""
    stitch = item.stitch or ""
    if item.over > 1:
        return words.together(stitch, item.over)
    if not item.chain:
        return so_many(item.make, stitch, words)
    one, part = so_many(1, stitch, words), words.phrases["in one part"]
    more = f"{words.say('chains', n=item.chain)}{part}{one}"
    if item.make <= 3 or words.spelled:
        parts = part.join([one] + [more] * (item.make - 1))
    else:
        parts = f"{one}{part}{_group(more, item.make - 1, words)}"
    return words.say("in one", parts=parts)


def so_many(n: int, stitch: str, words: Vocabulary) -> str:
    """Return a number of stitches: 2 dc."""
    return words.say("so many", n=n, stitch=words.short(stitch, n))


def places_phrase(
    order: str, n: int, words: Vocabulary, *, chains: bool = False, each: bool = False
) -> str:
    """Return places of the row below: next st, last 3 sts, first 2 ch.

    `each` is for phrases that work into each of them, which some languages say differently.
    """
    noun = words.say("ch" if chains else "st", n=n)
    return words.say(f"{order}, each" if each else order, n=n, noun=noun)


def turning_phrase(ordinal: int, words: Vocabulary) -> str:
    """Return where the turning chain below is worked into; `ordinal` 0 is its top."""
    return words.say("nth", ordinal=words.ordinal(ordinal)) if ordinal else words.say("top")


def _group(phrase: str, times: int, words: Vocabulary) -> str:
    if times == 1:
        return phrase
    return words.say("group", phrase=phrase, times=words.times(times))


def _order(step: Step) -> str:
    return _ORDER.get(step.where, "next")


def _space(step: Step, words: Vocabulary) -> str:
    """Return the chain space that a step goes into or passes over."""
    return words.say(f"{_order(step)} space", chains=step.space)


def _into_space(step: Step, words: Vocabulary) -> str:
    """Return what is worked into a whole chain space, taken together."""
    item = step.item
    if item.chain:
        work = work_phrase(item, words)  # such a space has one chain
    else:
        work = so_many(item.make * step.space, item.stitch or "", words)
    return words.say("in", work=work, place=_space(step, words))


def _passed(step: Step, words: Vocabulary) -> str:
    n = step.item.uses
    if step.where is Where.TURNING:
        if n == 1:
            return words.say("leave turning")
        return words.say("leave with turning", places=places_phrase("last", n - 1, words))
    if step.space:
        places = _space(step, words)
    else:
        places = places_phrase(_order(step), n, words, chains=step.into_chain)
    return words.say("leave" if step.where is Where.LAST else "skip", places=places)


def _placed(step: Step, words: Vocabulary) -> str:
    work, n = work_phrase(step.item, words), step.item.times
    match step.where:
        case Where.SAME:
            return words.say("in", work=work, place=words.say("same"))
        case Where.FROM_HOOK:
            place = words.say("from hook", ordinal=words.ordinal(step.ordinal))
            return words.say("in", work=work, place=place)
        case Where.TURNING:
            return words.say("in", work=work, place=turning_phrase(step.ordinal, words))
        case Where.ALL if n > 1:
            noun = words.say("ch" if step.into_chain else "st", n=n)
            return words.say("in all", work=work, n=n, noun=noun)
    places = places_phrase(_order(step), n, words, chains=step.into_chain, each=n > 1)
    if n == 1:
        return words.say("in", work=work, place=places)
    return words.say("in each", work=work, places=places)


def _together(step: Step, words: Vocabulary) -> str:
    work, over = work_phrase(step.item, words), step.item.over
    if step.where is Where.FROM_HOOK:
        first, last = words.ordinal(step.ordinal), words.ordinal(step.ordinal + over - 1)
        key = "over two from hook" if over == 2 else "over some from hook"
        return words.say(key, work=work, first=first, last=last)
    if step.where is Where.TURNING:
        places = words.say(
            "and",
            first=places_phrase("next", over - 1, words),
            second=turning_phrase(step.ordinal, words),
        )
    else:
        places = places_phrase(_order(step), over, words, chains=step.into_chain)
    return _group(words.say("over", work=work, places=places), step.item.times, words)
