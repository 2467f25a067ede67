"""Several sizes in one text: figures in a fixed order, and a table of the sizes.

The pattern is written once for each size; texts that differ only in their figures become one,
"39 (51, 63) ch", and what only some sizes have says which.
"""

import re
from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from typing import TypeVar

from core.design.document import Design
from core.records import Struct, replace
from core.rows.build import Rows
from core.words.facts import Facts
from core.words.measures import fine_length, length, metres
from core.words.names import yarn_name
from core.words.pattern import Block, Paragraph, Pattern, Section, Table
from core.words.stripes import stripe_keys, told_stripes
from core.words.vocabulary import Vocabulary

_Key = tuple[str, str, int]
_Entry = TypeVar("_Entry", bound=Hashable)


class Sized(Struct, frozen=True, eq=False, kw_only=True):
    """One size of a design.

    Attributes:
        name: What it is called; empty for the design's own size if it has no name.
        design: The design in that size.
        rows: Its rows.
        yarns: Number of each row's yarn.
        facts: What is known of it.
    """

    name: str
    design: Design
    rows: Rows
    yarns: Sequence[int]
    facts: Facts


def size_name(name: str, words: Vocabulary) -> str:
    """Return a size's name; usual names are said in the pattern's own language."""
    if not name:
        return words.say("own size")
    return words.phrases.get(f"size {name.casefold()}", name)


def in_figures(figures: Sequence[str], words: Vocabulary) -> str:
    """Return figures of several sizes: 39 (51, 63), or one if it holds for all."""
    if len(set(figures)) == 1:
        return figures[0]
    others = words.phrases["figures part"].join(figures[1:])
    return words.say("figures", first=figures[0], others=others)


def in_one_text(patterns: Sequence[Pattern], sizes: Sequence[Sized], words: Vocabulary) -> Pattern:
    """Return patterns of one design in several sizes as one, with a table of the sizes."""
    names = [size_name(size.name, words) for size in sizes]
    sections = []
    for name in _in_order([[section.name for section in pattern.sections] for pattern in patterns]):
        found = [pattern.section(name) for pattern in patterns]
        heading = next(section.heading for section in found if section)
        blocks = _merged([section.blocks if section else () for section in found], names, words)
        sections.append(Section(name, heading, blocks))
        if name == "head":
            sections.append(_sizes_section(sizes, names, words))
    return Pattern(words.terms, tuple(sections))


def _in_order(lists: Iterable[Iterable[_Entry]]) -> list[_Entry]:
    """Return every entry once, each list's order kept."""
    order: list[_Entry] = []
    for entries in lists:
        at = 0
        for entry in entries:
            if entry in order:
                at = order.index(entry) + 1
            else:
                order.insert(at, entry)
                at += 1
    return order


def _merged(
    lists: Sequence[Sequence[Block]], names: Sequence[str], words: Vocabulary
) -> tuple[Block, ...]:
    keyed = [_keyed(blocks) for blocks in lists]
    return tuple(_one_block(key, keyed, names, words) for key in _in_order(keyed))


def _keyed(blocks: Sequence[Block]) -> dict[_Key, Block]:
    """Return blocks by what they say apart from figures, and the how manieth it is that says so."""
    met: Counter[tuple[str, str]] = Counter()
    found = {}
    for block in blocks:
        paragraph = isinstance(block, Paragraph)
        label = _bare(block.label) if isinstance(block, Paragraph) else "table"
        text = _bare(block.text) if isinstance(block, Paragraph) else block.plain
        if paragraph and isinstance(block, Paragraph) and block.row is not None:
            label = f"{label} {text}"  # rows side by side by their words
        met[label, text] += 1
        found[label, text, met[label, text]] = block
    return found


def _one_block(
    key: _Key, keyed: Sequence[dict[_Key, Block]], names: Sequence[str], words: Vocabulary
) -> Block:
    numbers = [number for number, found in enumerate(keyed) if key in found]
    mine = [keyed[number][key] for number in numbers]
    first = mine[0]
    if not isinstance(first, Paragraph):
        return first
    paragraphs = [block for block in mine if isinstance(block, Paragraph)]
    text = _with_figures([block.text for block in paragraphs], words)
    label = _with_figures([block.label for block in paragraphs], words)
    if len(mine) == len(names):
        return replace(first, text=text, label=label)
    only = words.joined([names[number] for number in numbers])
    if label:
        label = words.say("for size", label=label, size=only)
    else:
        text = words.say("size only", text=text, size=only)
    return replace(first, text=text, label=label, only=tuple(numbers))


_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


def _bare(text: str) -> str:
    return _NUMBER.sub("#", text)


def _with_figures(texts: Sequence[str], words: Vocabulary) -> str:
    """Return texts that differ only in figures as one."""
    between = _NUMBER.split(texts[0])
    columns = zip(*(_NUMBER.findall(text) for text in texts), strict=True)
    figures = [in_figures(column, words) for column in columns]
    return "".join(part for pair in zip(between, [*figures, ""], strict=True) for part in pair)


def _sizes_section(sizes: Sequence[Sized], names: Sequence[str], words: Vocabulary) -> Section:
    first, others = names[0], words.joined(list(names[1:]))
    order = words.say("one and others", first=first, others=others) if others else first
    blocks: list[Block] = [
        Paragraph(words.say("sizes order", sizes=order)),
        _table(sizes, names, words),
    ]
    rule = _width_rule(sizes, words)
    if rule:
        blocks.append(Paragraph(rule))
    return Section("sizes", words.say("heading sizes"), tuple(blocks))


def _width_rule(sizes: Sequence[Sized], words: Vocabulary) -> str:
    """Return how every width is made up, if there is a repeat to be measured."""
    facts, repeats = sizes[0].facts, sizes[0].design.size.repeats
    repeat = facts.finished_repeat_mm
    if repeat is None or facts.width_mm is None:
        return ""
    edges = facts.width_mm - repeats * repeat

    def said(mm: float) -> str:
        return fine_length(mm, sizes[0].design.units, words)

    key = "sizes width, border" if facts.wider_mm else "sizes width"
    return words.say(key, repeat=said(repeat), edges=said(edges), border=said(facts.wider_mm))


def _table(sizes: Sequence[Sized], names: Sequence[str], words: Vocabulary) -> Table:
    keys = ("size", "chains", "repeats", "rows", "stripes", "width", "length")
    head = [words.say(f"column {key}") for key in keys]
    design = sizes[0].design
    yarns = sorted(
        {number for size in sizes for number in size.facts.amounts if _used(size, number)}
    )
    head += [words.say("column yarn", yarn=yarn_name(design, number, words)) for number in yarns]
    rows = []
    for size, name in zip(sizes, names, strict=True):
        facts, units = size.facts, size.design.units
        measured = facts.width_mm is not None
        cells = [
            name,
            str(size.rows.foundation.chains),
            str(size.design.size.repeats),
            str(size.design.size.rows),
            str(len(told_stripes(stripe_keys(size.design, size.yarns)))),
            length(facts.full_width_mm, units, words) if measured else "–",
            length(facts.full_length_mm, units, words) if measured else "–",
        ]
        for number in yarns:
            amount = facts.amounts.get(number)
            cells.append(
                words.say("balls", n=amount.balls, metres=metres(amount.metres, units, words))
                if amount and _used(size, number)
                else "–"
            )
        rows.append(tuple(cells))
    return Table(tuple(head), tuple(rows))


def _used(size: Sized, number: int) -> bool:
    return size.facts.amounts[number].metres > 0 if number in size.facts.amounts else False
