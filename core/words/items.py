"""One item of a row, or a list of them, as a phrase."""

from collections.abc import Iterable

from core.design.document import Item
from core.words.parts import merged
from core.words.steps import Step, Where
from core.words.vocabulary import Vocabulary

_ORDER = {Where.FIRST: "first", Where.LAST: "last"}


def items_phrase(items: Iterable[Item], words: Vocabulary) -> str:
    """Return items as they are worked somewhere along a row."""
    return ", ".join(step_phrase(Step(item=item), words) for item in merged(items))


def step_phrase(step: Step, words: Vocabulary) -> str:
    """Return one step as a phrase."""
    item = step.item
    if item.stitch is None:
        return words.say("chains", n=item.chain) if item.chain else _passed(step, words)
    return _together(step, words) if item.over > 1 else _placed(step, words)


def work_phrase(item: Item, words: Vocabulary) -> str:
    """Return what goes into one place, or over several: 2 dc, (1 dc, ch 1, 1 dc), dc2tog."""
    stitch = item.stitch or ""
    if item.over > 1:
        return words.together(stitch, item.over)
    if not item.chain:
        return words.say("so many", n=item.make, stitch=words.short(stitch))
    one = words.say("so many", n=1, stitch=words.short(stitch))
    more = f"{words.say('chains', n=item.chain)}, {one}"
    if item.make <= 3:
        parts = ", ".join([one] + [more] * (item.make - 1))
    else:
        parts = f"{one}, {_group(more, item.make - 1, words)}"
    return words.say("in one", parts=parts)


def places_phrase(order: str, n: int, words: Vocabulary, *, chains: bool = False) -> str:
    """Return places of the row below: next st, last 3 sts, first 2 ch."""
    noun = words.say("ch" if chains else "st", n=n)
    return words.say("places", order=words.say(order), n=n, noun=noun)


def turning_phrase(ordinal: int, words: Vocabulary) -> str:
    """Return where the turning chain below is worked into; `ordinal` 0 is its top."""
    return words.say("nth", ordinal=words.ordinal(ordinal)) if ordinal else words.say("top")


def _group(phrase: str, times: int, words: Vocabulary) -> str:
    if times == 1:
        return phrase
    return words.say("group", phrase=phrase, times=words.times(times))


def _passed(step: Step, words: Vocabulary) -> str:
    n = step.item.uses
    if step.where is Where.TURNING:
        if n == 1:
            return words.say("leave turning")
        return words.say("leave with turning", places=places_phrase("last", n - 1, words))
    places = places_phrase(_ORDER.get(step.where, "next"), n, words, chains=step.into_chain)
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
    order = _ORDER.get(step.where, "next")
    places = places_phrase(order, n, words, chains=step.into_chain)
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
        order = _ORDER.get(step.where, "next")
        places = places_phrase(order, over, words, chains=step.into_chain)
    return _group(words.say("over", work=work, places=places), step.item.times, words)
