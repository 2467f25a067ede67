"""What a step of the history is called: the deed, and what it did to which figure.

A view names the deed ("Change run"); what changed is read off the two designs, so that the text in
the menu and in the status line is never vaguer than what was done.
"""

from typing import Final

from core.design.differences import differences
from core.design.document import Design

_MOST_SIGNS: Final = 100
_MOST_LINES: Final = 2


def step_text(deed: str, before: Design, after: Design) -> str:
    """Return the deed with what it changed, in one short line.

    Lines that would make it too long are left out; without any, the deed stands alone.
    """
    said: list[str] = []
    lines = differences(before, after, short=True)
    for line in lines[:_MOST_LINES]:
        if len(deed) + sum(map(len, said)) + len(line) <= _MOST_SIGNS:
            said.append(line)
    if not said:
        return deed
    more = len(lines) - len(said)
    text = "; ".join(said) + (f" and {more} more" if more else "")
    return f"{deed}: {text}"
