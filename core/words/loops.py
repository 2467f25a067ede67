"""The loops that rows are worked into, in a few words."""

from core.craft.stitches import Terms
from core.design.document import Loops
from core.stripes.loops import first_row_of, is_plain
from core.words.vocabulary import Language, vocabulary


def loops_name(
    loops: Loops, terms: Terms, language: Language = "en", *, spelled: bool = False
) -> str:
    """Return the loops as they stand after "worked in": the back loops; back, both in turn."""
    words = vocabulary(terms, language, spelled=spelled)
    if loops.in_turn is None:
        return words.say(f"short {loops.work_in}")
    turn = [words.say(f"loop {loop}") for loop in loops.in_turn]
    if not loops.each_colour:
        return words.say("short in turn", loops=words.joined(turn))
    key = "short each colour" if len(turn) > 1 else "short each colour, one"
    return words.say(key, first=words.joined(turn[:-1]), last=turn[-1])


def loops_sentence(
    loops: Loops, terms: Terms, language: Language = "en", *, spelled: bool = False
) -> str:
    """Return one sentence on the loops, empty where every row goes into both."""
    if is_plain(loops):
        return ""
    words = vocabulary(terms, language, spelled=spelled)
    name = loops_name(loops, terms, language, spelled=spelled)
    return words.say("worked in", loops=name, row=first_row_of(loops))
