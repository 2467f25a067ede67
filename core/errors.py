"""The two errors that cross module borders, and nothing else."""


class DesignError(Exception):
    """Something in a design that its owner can mend; the message says what and where."""


class Stopped(Exception):  # noqa: N818 - not a fault: the answer is no longer wanted
    """A long calculation was told that nobody waits for it any more."""
