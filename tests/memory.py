"""How much memory something takes, in a process that has had more before."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def _status_mb(name: str) -> float:
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(f"{name}:")) / 1024


@contextmanager
def most_mb() -> Iterator[list[float]]:
    """Fill the list with the megabytes at the highest point over those held at the beginning.

    `ru_maxrss` never goes down, so after anything larger it sees no growth; the high-water mark of
    /proc can be set back (proc(5), clear_refs: 5).
    """
    found: list[float] = []
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    before = _status_mb("VmRSS")
    yield found
    found.append(_status_mb("VmHWM") - before)
