"""Items in the fewest words, for labels on drawings: "3", "2 in 1 ×2", "2tog ×2", "skip 2"."""

from core.craft.stitches import Terms
from core.design.document import Item, Items
from core.words.vocabulary import Language, Vocabulary, vocabulary


def short_label(items: Items, terms: Terms, language: Language = "en") -> str:
    """Return the items in working order, in the fewest words.

    Two items that go on alternating are written once: "(skip 1, 1) ×5, skip 1".
    """
    return _label(items, vocabulary(terms, language))


def height_label(items: Items, terms: Terms, language: Language = "en") -> str:
    """Return plain stitches of different heights in the fewest words: "2 hdc, 2 dc"."""
    words = vocabulary(terms, language)
    return words.joined(
        [
            words.say("label height", n=item.times, stitch=words.short(item.stitch))
            for item in items
            if item.stitch
        ]
    )


def _label(items: Items, words: Vocabulary) -> str:
    times = _alternations(items)
    if times < 3:
        return words.joined([_short(item, words) for item in items])
    pair = words.joined([_short(item, words) for item in items[:2]])
    alternating = words.say("label alternating", pair=pair, n=times)
    return words.joined([alternating, _label(items[2 * times :], words)])


def _alternations(items: Items) -> int:
    times = 0
    while len(items) >= 2 and items[2 * times : 2 * times + 2] == items[:2]:
        times += 1
    return times


def _short(item: Item, words: Vocabulary) -> str:
    if item.stitch is None:
        if item.skip is not None:
            return words.say("label skip", n=item.skip)
        return words.say("label chain", n=item.chain or 0)
    if item.make == item.over == 1:
        return str(item.times)
    if item.over > 1:
        label = words.say("label together", n=item.over)
    elif item.chain:
        label = words.say("label in one, chains", n=item.make, chains=item.chain)
    else:
        label = words.say("label in one", n=item.make)
    return label if item.times == 1 else words.say("label times", label=label, n=item.times)
