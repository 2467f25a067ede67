"""What can be wrong with a shelf, each as one sentence with a way out."""

from typing import Final, Literal

from core.errors import DesignError

Trouble = Literal[
    "damaged", "newer", "gone", "locked", "read-only", "full", "away", "changed", "refused"
]

SENTENCES: Final[dict[Trouble, str]] = {
    "damaged": (
        "The shelf's file is damaged and was left as it is. Restore its last backup; the damaged "
        "file is kept aside."
    ),
    "newer": (
        "This shelf was written by a newer version of the program. Use that one; nothing was "
        "changed."
    ),
    "gone": (
        "The shelf's file is no longer where it was. Bring it back, restore a backup, or begin an "
        "empty shelf."
    ),
    "locked": "Another program is using the shelf. Nothing was changed: try again in a moment.",
    "read-only": (
        "The shelf can be read but not written. Nothing was changed: allow writing to its file "
        "and folder."
    ),
    "full": "The disk is full. Nothing was changed: make room and try again.",
    "away": (
        "The shelf's file can't be reached. Nothing was changed: see that its drive is connected."
    ),
    "changed": "Another window has changed this yarn meanwhile. Look at it again, then repeat it.",
    "refused": "That can't be put on the shelf.",
}


class ShelfError(DesignError):
    """The shelf can't be read or changed; `trouble` says which way, the message what to do."""

    def __init__(self, trouble: Trouble, sentence: str = "") -> None:
        super().__init__(sentence or SENTENCES[trouble])
        self.trouble: Trouble = trouble
