"""Throws bytes at everything that takes them from strangers.

    python3 packaging/environment.py python tests/fuzz/run.py --cases 20000
    python tests/fuzz/run.py --cases 1000000 --targets design,journal --seed 7

Own mutation of sound inputs (flips, cuts, copies, words the reader knows, two inputs spliced);
now and then one that was tried joins them. Where atheris can be imported, `--atheris` has it guide
the search instead, each target in a process of its own.

What fails is written into `--to`, a folder among the system's temporary ones unless told otherwise,
and the exit code is 1. Put it into tests/files/crashes by hand, where a test runs it for ever
(`tests/core/test_crashes.py`).
"""

import argparse
import copy
import hashlib
import json
import random
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
for place in (ROOT, ROOT / "tests"):
    if str(place) not in sys.path:
        sys.path.insert(0, str(place))

_MOST_POOL = 600
_MOST_BYTES = 200_000


def mutated(chance: random.Random, pool: list[bytes], words: list[bytes]) -> bytes:
    """Return one of the pool, changed in one to some places."""
    data = bytearray(chance.choice(pool))
    for _ in range(1 + int(chance.expovariate(0.6))):
        at = chance.randrange(len(data) + 1)
        length = min(int(chance.expovariate(0.05)), len(data) - at)
        what = chance.randrange(9)
        if what == 0 and data:
            data[at - 1] ^= 1 << chance.randrange(8)
        elif what == 1:
            data[at:at] = bytes([chance.randrange(256)])
        elif what == 2:
            del data[at : at + length]
        elif what == 3:
            data[at:at] = data[at : at + length] * chance.choice((1, 1, 2, 30))
        elif what in (4, 5) and words:
            data[at : at + chance.choice((0, length))] = chance.choice(words)
        elif what == 6:
            other = chance.choice(pool)
            start = chance.randrange(len(other) + 1)
            data[at : at + length] = other[start : start + 1 + int(chance.expovariate(0.02))]
        elif what == 7:
            _new_number(chance, data)
        elif data:
            data[at - 1] = chance.choice(b'\x00\xff\x7f\x80[]{}",:-.0\n ')
    return bytes(data[:_MOST_BYTES])


def _new_number(chance: random.Random, data: bytearray) -> None:
    """Put another number in the place of one."""
    places = [n for n, byte in enumerate(data) if 48 <= byte <= 57]
    if not places:
        return
    start = end = chance.choice(places)
    while end < len(data) and 48 <= data[end] <= 57:
        end += 1
    numbers = (b"0", b"1", b"2", b"3", b"12", b"200", b"5000", b"1000001", b"-1", b"1e5", b"0.5")
    data[start:end] = chance.choice(numbers)


def restructured(chance: random.Random, pool: list[bytes]) -> bytes:
    """Return a JSON text of the pool with values exchanged, dropped, doubled: still JSON."""
    try:
        whole = json.loads(chance.choice(pool))
    except (ValueError, RecursionError):
        return chance.choice(pool)
    for _ in range(1 + int(chance.expovariate(0.8))):
        places: list[tuple[Any, Any]] = []
        _walk(whole, places)
        if not places:
            break
        inside, key = chance.choice(places)
        other, its = chance.choice(places)
        what = chance.randrange(6)
        if what == 0:
            inside[key] = copy.deepcopy(other[its])
        elif what == 1:
            del inside[key]
        elif what == 2 and isinstance(inside, list):
            inside.insert(key, copy.deepcopy(inside[key]))
        elif what == 3 and isinstance(inside[key], bool | str):
            inside[key] = (
                not inside[key] if isinstance(inside[key], bool) else chance.choice(_WORDS)
            )
        else:
            was = inside[key]
            near = was if isinstance(was, int | float) and not isinstance(was, bool) else 1
            inside[key] = chance.choice(
                (near + 1, near - 1, near * 2, near / 2, 0, 1, 2, 12, 200, None)
            )
    return json.dumps(whole).encode()


_WORDS = ("sc", "hdc", "dc", "tr", "both", "back", "front", "repeat", "stop", "mirror", "US", "UK",
          "left", "in", "bed", "#000000", "", "\u202e",
          "random", "dates", "2020-02-30")  # fmt: skip


def _walk(value: Any, places: list[tuple[Any, Any]]) -> None:
    if isinstance(value, dict | list):
        for key in value if isinstance(value, dict) else range(len(value)):
            places.append((value, key))
            _walk(value[key], places)


def kept(to: Path | None, target: str, data: bytes) -> str:
    """Write what failed into a folder; return where it lies, or what it is without a folder."""
    if to is None:
        return repr(data[:200])
    to.mkdir(parents=True, exist_ok=True)
    path = to / f"{target}-{hashlib.blake2b(data, digest_size=6).hexdigest()}.bin"
    path.write_bytes(data)
    return str(path)


def cases(target: str, n: int, seed: int) -> Iterator[bytes]:
    """Return so many inputs; the same seed gives the same."""
    from fuzz.seeds import SEEDS, words_of

    chance, pool, words = random.Random(f"{target} {seed}"), SEEDS[target](), words_of(target)
    sound = len(pool)
    yield from pool[:n]
    for _ in range(n - sound):
        structured = target in ("design", "blanket", "clipboard") and chance.random() < 0.6
        data = restructured(chance, pool) if structured else mutated(chance, pool, words)
        yield data
        if chance.random() < 0.01:  # drift away from what is sound
            if len(pool) < _MOST_POOL:
                pool.append(data)
            else:
                pool[chance.randrange(sound, len(pool))] = data


def run(
    target: str, n: int, seed: int, *, seconds: float = 1e9, to: Path | None = None
) -> list[str]:
    """Try so many inputs on one target; return what failed, each kind of failure once.

    What failed is written into the folder `to`, if there is one.
    """
    from fuzz.targets import LONGEST_S, TARGETS

    one, failed, start, slowest = TARGETS[target], dict[str, str](), time.monotonic(), 0.0
    done = 0
    for data in cases(target, n, seed):
        before, clock = time.process_time(), time.monotonic()
        try:
            one(data)
        except Exception as error:
            place = traceback.extract_tb(error.__traceback__)[-1]
            name = f"{type(error).__name__} at {place.filename}:{place.lineno}: {str(error)[:200]}"
            where = f"{type(error).__name__} {place.filename}:{place.lineno}"
            if where not in failed:
                failed[where] = f"{target}: {name} ({kept(to, target, data)})"
                print(failed[where], flush=True)
        took = time.process_time() - before
        slowest, done = max(slowest, took), done + 1
        if took > LONGEST_S:
            failed[f"slow {len(failed)}"] = f"{target}: {took:.1f} s ({kept(to, target, data)})"
            print(list(failed.values())[-1], flush=True)
        if clock - start > seconds:
            break
    took = time.monotonic() - start
    print(f"{target}: {done:,} cases in {took:.1f} s ({done / max(took, 1e-9):,.0f} a second), "
          f"slowest {1000 * slowest:.0f} ms, {len(failed)} failures", flush=True)  # fmt: skip
    return list(failed.values())


def guided(target: str, n: int, seed: int, to: Path) -> int:
    """Have atheris search; it ends the process itself, with what failed in the folder `to`."""
    import atheris

    with atheris.instrument_imports(include=["core", "app"]):
        from fuzz.targets import TARGETS
    from fuzz.seeds import SEEDS

    corpus = to / f"corpus-{target}"
    corpus.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(SEEDS[target]()):
        (corpus / f"seed-{number}").write_bytes(data)
    arguments = [sys.argv[0], f"-runs={n}", f"-seed={seed}", "-max_len=20000", "-timeout=10",
                 f"-artifact_prefix={to}/{target}-", "-print_final_stats=1",
                 str(corpus)]  # fmt: skip
    atheris.Setup(arguments, TARGETS[target])
    atheris.Fuzz()
    return 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cases", type=int, default=2000, help="over all targets")
    parser.add_argument("--targets", help="some of them, with commas")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--atheris", action="store_true", help="coverage decides what goes on")
    here = Path(tempfile.gettempdir()) / "dipslope-crashes"
    parser.add_argument("--to", type=Path, default=here, help="folder for what fails")
    asked = parser.parse_args()
    if asked.atheris and asked.targets and "," not in asked.targets:
        return guided(asked.targets, asked.cases, asked.seed, asked.to)
    from fuzz.targets import TARGETS

    wanted = asked.targets.split(",") if asked.targets else list(TARGETS)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    failed: list[str] = []
    shares = shared_out(asked.cases, wanted)
    for target in wanted:
        if asked.atheris:
            again = [sys.executable, __file__, "--atheris", "--targets", target]
            again += ["--cases", str(shares[target]), "--seed", str(asked.seed)]
            again += ["--to", str(asked.to)]
            if subprocess.run(again, check=False).returncode:
                failed.append(target)
        else:
            failed += run(target, shares[target], asked.seed, to=asked.to)
    print(f"{sum(shares.values()):,} cases, {len(failed)} failures")
    return 1 if failed else 0


def shared_out(n: int, wanted: list[str]) -> dict[str, int]:
    """Return each target's share of the cases: the slow ones get few."""
    weights = {"blanket": 2, "text": 3, "version": 6, "design": 8, "picture": 10}
    total = sum(weights.get(name, 25) for name in wanted)
    return {name: -(-n * weights.get(name, 25) // total) for name in wanted}


if __name__ == "__main__":
    sys.exit(main())
