"""Ratios against those that were kept: which have got worse."""

import json
from pathlib import Path

KEPT = Path(__file__).with_name("kept.json")
WORSE = 1.5
"""From this many times the kept ratio on, something has got worse; less is the machine's noise."""


def machine():
    """Return the processor's name and how many of them there are."""
    names = [
        line.partition(":")[2].strip()
        for line in Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
        if line.startswith("model name")
    ]
    return f"{len(names)} x {names[0]}" if names else "unknown"


def worse(kept, now, allowed=WORSE):
    """Return the names of ratios that have got worse than `allowed` times, worst first.

    Names known to one side only are left out: new measurements have nothing to be held against.
    """
    times = {name: now[name] / kept[name] for name in kept if name in now and kept[name] > 0}
    found = [name for name, factor in times.items() if factor > allowed]
    return sorted(found, key=lambda name: -times[name])


def read_kept(path=KEPT):
    """Return machine and ratios as they were kept; nothing if none were."""
    if not path.exists():
        return "", {}
    found = json.loads(path.read_text(encoding="utf-8"))
    return found["machine"], found["ratios"]


def keep(ratios, path=KEPT):
    """Keep these ratios, with those of before that weren't measured now."""
    _, before = read_kept(path)
    both = {**before, **{name: round(ratio, 2) for name, ratio in ratios.items()}}
    text = json.dumps({"machine": machine(), "ratios": both}, indent=1) + "\n"
    path.write_text(text, encoding="utf-8")
