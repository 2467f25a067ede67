"""Work that the user can stop, and that says whether it was done by then."""

from typing import Final

STOPPED: Final = "Stopped before it was done."
STOPPING: Final = "Stopping…"


class Stop:
    """A wish to stop, made in the window and asked for by the worker that writes or prints.

    Unlike a request that is dropped, work that is stopped answers whether it was done by then.
    """

    def __init__(self) -> None:
        self._is_wished = False

    def __call__(self) -> bool:
        """Return whether it was wished for."""
        return self._is_wished

    def wish(self) -> None:
        """Wish it."""
        self._is_wished = True
