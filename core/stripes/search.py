"""Finds an order of colours that keeps all rules, or proves that there is none.

Stripes are settled from the foundation up, those with one colour left at once. After every
choice the colours that can't come any more are struck from the stripes around (forward
checking), and each colour's remaining places are counted against what it still needs. Which
colour is tried first is left to chance, weighted by what each still has to give; a try that
goes wrong too often is begun anew with other luck, the last one goes through every order.

Only the count of steps limits the search, never the clock, so a seed means one order for good.
"""

from collections.abc import Callable
from typing import Final

from core.errors import Stopped
from core.records import Struct
from core.stripes.board import Board
from core.stripes.chance import Chance
from core.stripes.rules import Rules

ShouldStop = Callable[[], bool]

MOST_STEPS: Final = 60_000
_ASK_EVERY: Final = 256


class Found(Struct, frozen=True):
    """What a search came to.

    Attributes:
        order: The colour of every stripe, from the foundation up; None if none was found.
        is_proved: Whether every order has been gone through: there is none.
        steps: Choices that were made.
    """

    order: tuple[int, ...] | None
    is_proved: bool
    steps: int


def _never() -> bool:
    return False


def find_order(
    rules: Rules,
    seed: int,
    *,
    most_steps: int = MOST_STEPS,
    give_up: int | None = None,
    should_stop: ShouldStop = _never,
) -> Found:
    """Return an order that keeps the rules.

    Args:
        rules: The rules.
        seed: Another seed, another order.
        most_steps: How many steps are shared out over the tries: part of what a seed means.
        give_up: Steps after which nothing more is tried; up to there all is as without it.
        should_stop: Asked again and again.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    chance = Chance(seed)
    board = Board(rules)
    if not board.is_open:
        return Found(None, True, 0)
    steps, limit = 0, 2 * board.size + 50
    end = most_steps if give_up is None else min(give_up, most_steps)
    while steps < end:
        is_last = limit > most_steps // 4 or steps > most_steps // 2
        room = most_steps - steps if is_last else limit
        order, is_proved, used = _try(board, chance, min(room, end - steps), should_stop)
        steps += max(used, 1)
        if order is not None or is_proved:
            return Found(order, is_proved, steps)
        limit *= 2
    return Found(None, False, steps)


def _try(
    board: Board, chance: Chance, room: int, should_stop: ShouldStop
) -> tuple[tuple[int, ...] | None, bool, int]:
    """Return an order, or that there is none, or neither within `room` steps."""
    board.begin(chance)
    choices: list[tuple[int, list[int], int]] = []  # orbit, colours left to try, trail's length
    steps = 0
    while True:
        orbit = board.next_open()
        if orbit < 0:
            return board.order(), False, steps
        choices.append((orbit, board.colours_to_try(orbit, chance), len(board.trail)))
        while True:
            if not choices:
                return None, True, steps
            orbit, colours, mark = choices[-1]
            board.undo(mark)
            if not colours:
                choices.pop()
                continue
            steps += 1
            if steps > room:
                board.undo(0)
                return None, False, steps
            if steps % _ASK_EVERY == 0 and should_stop():
                raise Stopped
            if board.settle(orbit, colours.pop()):
                break
