"""The few ratios that DEVELOPERS shows, as they are kept.

    python3 packaging/environment.py python -m tests.benchmarks.table

A test compares what is printed with DEVELOPERS (`tests/core/test_benchmarks_compared.py`).
"""

from tests.benchmarks.compare import read_kept

SIZES = {"baby": "baby 5 x 60", "bed": "bed 11 x 96", "giant": "giant 400 st x 300"}
ROWS = (  # what is said, what it is called, what was aimed at
    ("an edit of the wave, to both pictures", "edit a run to both pictures, whole", 80),
    ("a colour, to both pictures", "edit a colour to both pictures, whole", 80),
    ("a zoomed chart moved", "chart zoomed, moved", 4),
    ("whole chart laid out", "lay out whole chart", None),
)
GAPS = (
    ("a peak dragged: worst gap of the event loop", "event loop, worst gap of a drag", 150),
    ("a peak dragged: usual gap", "event loop, usual gap of a move", 150),
)


def table(ratios):
    """Return the lines: a table in blits for three sizes, and a sentence on the start."""
    lines = [f"| | {' | '.join(SIZES.values())} | aim |", "| --- | --- | --- | --- | --- |"]
    for said, name, aim in ROWS:
        cells = [f"{ratios[f'{name}, {size}']:.0f}" for size in SIZES]
        lines.append(f"| {said} | {' | '.join(cells)} | {aim or ''} |".replace("|  |", "| |"))
    for said, name, aim in GAPS:
        lines.append(f"| {said} | | | {ratios[f'{name}, giant']:.0f} | {aim} |")
    start, memory = ratios["start-up : bare window"], ratios["memory, painted : bare window"]
    lines += [
        "",
        f"Start-up against a bare window of PySide6: {start:.2f} : 1 (aim 1.5); memory once "
        f"painted {memory:.1f} : 1 (aim 2).",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table(read_kept()[1]))
