"""Which words of a written row speak of which stitches.

A row is written once more with a sign before and after each phrase; where the signs stand, once
they are taken out again, is where the phrase stands in the row's text. So words and their places
come from the same writer and can't part company.
"""

import re
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.design.document import Design
from core.records import Struct
from core.rows.build import Rows
from core.words.items import step_phrase
from core.words.rowtext import finished, row_body
from core.words.steps import RowSteps, Step
from core.words.telling import row_steps
from core.words.vocabulary import Vocabulary

_OPEN: Final = "\ue000"  # private signs that no text has
_CLOSE: Final = "\ue001"
_FIRST_NUMBER: Final = 0xE100
_SIGNS: Final = re.compile("[\ue000\ue001\ue100-\uf8ff]")
_OPENING: Final = 0  # number of the phrase for the turning chain; steps follow


class Phrase(Struct, frozen=True, eq=False):
    """Some words of a row.

    Attributes:
        start: Where they begin in the row's text.
        end: Where they end.
        stitches: Numbers of the stitches they make, from 0 in working order; those of every
            repeat if they stand between asterisks. Empty for what makes none.
        passed: Numbers of the places of the row below that they pass over, in the order this row
            comes to them. Empty for what is worked.
    """

    start: int
    end: int
    stitches: NDArray[np.intp]
    passed: NDArray[np.intp]


def row_phrases(design: Design, rows: Rows, row: int, words: Vocabulary) -> tuple[Phrase, ...]:
    """Return the phrases of a row that fits, by their places in `finished(rows, row, ...)`.

    Raises:
        IndexError: There is no such row, or it can't be worked.
    """
    last = rows.drawn_rows if rows.misfit is None else rows.misfit.row - 1
    if not 1 <= row <= last:
        raise IndexError(f"row {row} of {last} isn't written")
    told = row_steps(design, rows, row, mark_one=words.sized)
    steps = (*told.lead, *told.repeat, *told.tail)
    numbers = {id(step): number for number, step in enumerate(steps, start=1)}

    def signed(step: Step, words: Vocabulary) -> str:
        return _signed(step_phrase(step, words), numbers[id(step)])

    def opening(text: str) -> str:
        return _signed(text, _OPENING) if text else text

    body = row_body(design, rows, row, words, told=told, phrase=signed, opening=opening)
    text = finished(rows, row, body, words)
    made, passed = _stitches(told, rows.plan(row).makes, rows.plan(row).uses)
    return tuple(
        Phrase(start, end, made[number], passed[number]) for number, start, end in _places(text)
    )


def _signed(text: str, number: int) -> str:
    return f"{_OPEN}{chr(_FIRST_NUMBER + number)}{text}{_CLOSE}"


def _places(text: str) -> list[tuple[int, int, int]]:
    """Return number, start and end of each signed phrase, as the text reads without signs."""
    found, open_now = [], list[tuple[int, int]]()
    at = 0
    for sign in text:
        if sign == _CLOSE:
            number, start = open_now.pop()
            found.append((number, start, at))
        elif _SIGNS.match(sign):
            if sign != _OPEN:
                open_now.append((ord(sign) - _FIRST_NUMBER, at))
        else:
            at += 1
    return found


_Numbers = list[NDArray[np.intp]]


def _stitches(told: RowSteps, makes: int, uses: int) -> tuple[_Numbers, _Numbers]:
    """Return what each phrase makes and what it passes over; the turning chain's come first."""
    made, used = _ranges(told, "makes", makes), _ranges(told, "uses", uses)
    steps = (*told.lead, *told.repeat, *told.tail)
    if told.opening.stitch is not None and not len(made[_OPENING]) and makes:
        made[_OPENING] = np.array([0])  # the chain is a leg of the first stitch
    none = np.empty(0, dtype=np.intp)
    passed = [none] + [
        places if step.item.skip else none for step, places in zip(steps, used[1:], strict=True)
    ]
    return made, passed


def _ranges(told: RowSteps, what: str, total: int) -> _Numbers:
    """Return the numbers of each phrase's stitches, or places below, of `total` along the row.

    What the steps leave of the total belongs to the turning chain, which comes first.
    """
    lead, repeat, tail = (
        [int(getattr(step.item, what)) for step in steps]
        for steps in (told.lead, told.repeat, told.tail)
    )
    at = total - sum(lead) - told.times * sum(repeat) - sum(tail)
    found = [np.arange(max(at, 0))]
    for n in lead:
        found.append(np.arange(at, at + n))
        at += n
    once = sum(repeat)
    turns = np.arange(told.times)[:, np.newaxis] * once
    for n in repeat:
        found.append((turns + np.arange(at, at + n)).reshape(-1))
        at += n
    at += once * (told.times - 1) if told.times else 0
    for n in tail:
        found.append(np.arange(at, at + n))
        at += n
    return found
