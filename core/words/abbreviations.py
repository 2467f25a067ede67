"""The abbreviations that a text uses, and how its special stitches are worked."""

import re
from collections.abc import Iterable

from core.craft.stitches import CATALOGUE, CHAIN
from core.design.document import Item
from core.records import Struct
from core.words.items import work_phrase
from core.words.vocabulary import Vocabulary, plain_words, sentence


class Abbreviation(Struct, frozen=True):
    """A short form and what it stands for."""

    short: str
    long: str


def abbreviations_in(text: str, words: Vocabulary) -> tuple[Abbreviation, ...]:
    """Return the abbreviations that stand in `text`, in alphabetical order."""
    if words.spelled:
        return ()
    found = [
        Abbreviation(words.together(key, over), _meaning(key, over, words))
        for key, over in decreases_in(text, words)
    ]
    shorts = _shorts(words)
    stood = set(_pattern(shorts).findall(text))
    met = [long for short, long in shorts.items() if {short, sentence(short)} & stood]
    found += [Abbreviation(long.short, long.long) for long in dict.fromkeys(met)]
    return tuple(sorted(found, key=lambda entry: entry.short.casefold()))


def decreases_in(text: str, words: Vocabulary) -> tuple[tuple[str, int], ...]:
    """Return the decreases named in `text` as (stitch, number of legs), in fixed order."""
    found = {
        (key, int(over))
        for key in CATALOGUE
        for short in {words.short(key), sentence(words.short(key))}
        for over in re.findall(_together_pattern(short, words), text)
    }
    order = list(CATALOGUE)
    return tuple(sorted(found, key=lambda entry: (order.index(entry[0]), entry[1])))


def _together_pattern(short: str, words: Vocabulary) -> str:
    """Return a pattern for decreases in one stitch; its group is the number of legs."""
    name = re.escape(words.say("together", stitch=short, over=0))
    return r"(?<!\w)" + name.replace("0", r"(\d+)") + r"(?!\w)"


def special_stitches(
    text: str, items: Iterable[Item], words: Vocabulary
) -> tuple[tuple[str, str], ...]:
    """Return the names of the decreases in `text` and the increases among `items`, with how.

    The text is one with abbreviations, whatever `words` are.
    """
    lines = [
        (words.together(key, over), _decrease(key, over, words))
        for key, over in decreases_in(text, plain_words(words))
    ]
    increases = dict.fromkeys(_one_increase(item) for item in items if item.make > 1)
    return (*lines, *(_increase(item, words) for item in increases))


def _shorts(words: Vocabulary) -> dict[str, Abbreviation]:
    """Return what every short form but the decreases stands for."""
    found = {name.short: Abbreviation(name.short, name.long) for name in words.names.values()}
    stitch = Abbreviation(words.say("stitch entry"), words.say("stitch long"))
    found |= {words.say("stitch short"): stitch, words.say("stitches short"): stitch}
    space = Abbreviation(words.say("space entry"), words.say("space long"))
    found |= {words.say("space short"): space, words.say("spaces short"): space}
    for side in ("RS", "WS"):
        found[words.say(side)] = Abbreviation(words.say(side), words.say(f"{side} long"))
    over = words.say("yarn over short")
    found[over] = Abbreviation(over, words.say("yarn over long"))
    return found


def _pattern(shorts: Iterable[str]) -> re.Pattern[str]:
    """Return a pattern for short forms as whole words, the longest first."""
    every = {form for short in shorts for form in (short, sentence(short))}
    longest_first = sorted(every, key=lambda form: (-len(form), form))
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")


def _meaning(key: str, over: int, words: Vocabulary) -> str:
    name = words.names[key]
    return words.say("meaning together", long=name.long, plural=name.plural, over=over)


def _decrease(key: str, over: int, words: Vocabulary) -> str:
    wraps = CATALOGUE[key].yarn_overs
    leg = [words.say("insert"), words.say("draw up")]
    if key == "sl st":
        closing = [words.say("insert"), words.say("close slip")]
        return words.joined([_so_often(words.joined(leg), over - 1, words), *closing])
    if wraps:
        leg.insert(0, _wrap(wraps, words))
    loops = over + 1
    if CATALOGUE[key].at_once:
        loops = 2 * over + 1
    elif wraps:
        leg.append(_pulls(wraps, words))
    closing = [words.say("close", n=loops)]
    return words.joined([_so_often(words.joined(leg), over, words), *closing])


def _so_often(phrase: str, times: int, words: Vocabulary) -> str:
    if times == 1:
        return phrase
    return words.say("steps", phrase=phrase, times=words.times(times))


def _wrap(n: int, words: Vocabulary) -> str:
    return words.say("wrap") if n == 1 else words.say("wraps", n=n, times=words.times(n))


def _pulls(n: int, words: Vocabulary) -> str:
    return words.say("pull") if n == 1 else words.say("pulls", times=words.times(n))


def _one_increase(item: Item) -> Item:
    return Item(stitch=item.stitch, make=item.make, chain=item.chain)


def _increase(item: Item, words: Vocabulary) -> tuple[str, str]:
    gain = item.makes - 1
    if not item.chain:
        stitch = words.short(item.stitch or CHAIN, item.make)
        name = words.say("several in one", n=item.make, stitch=stitch)
        return name, words.say("several how", n=gain, gain=gain)
    name = words.say("group in one", group=work_phrase(item, words))
    return name, words.say("group how", gain=gain)
