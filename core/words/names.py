"""What the designer named, as a pattern names it."""

from core.design.document import Design
from core.words.vocabulary import Vocabulary


def yarn_name(design: Design, number: int, words: Vocabulary) -> str:
    """Return a yarn's name, with its number if another yarn has the same one."""
    names = [yarn.name for yarn in design.yarns]
    name = names[number]
    if names.count(name) == 1:
        return name
    return words.say("numbered yarn", name=name, number=number + 1)
