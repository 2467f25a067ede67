"""What once failed never fails again, and a short search for what else might.

The files in tests/files/crashes are inputs that a fuzz run (`tests/fuzz/run.py`) found, put there
by hand; the long run is `tests/fuzz/nightly.sh`.
"""

import sys
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from fuzz.run import cases, run, shared_out
from fuzz.targets import CRASHES, LONGEST_S, TARGETS

NOT_QT = [name for name in TARGETS if name != "picture"]  # tests of core import no Qt
KEPT = sorted(CRASHES.glob("*.bin"))
assert KEPT, f"nothing is kept in {CRASHES}"


@pytest.mark.parametrize("path", KEPT, ids=[path.stem for path in KEPT])
def test_what_failed_once_is_taken_or_refused(path):
    target = path.name.split("-")[0]
    if target == "picture":
        pytest.importorskip("PySide6")
    start = time.process_time()
    TARGETS[target](path.read_bytes())
    assert time.process_time() - start < LONGEST_S


@pytest.mark.parametrize("target", NOT_QT)
def test_strange_bytes_are_taken_or_refused(target, capsys):
    n = {"blanket": 40, "text": 60, "version": 200}.get(target, 500)
    assert run(target, n, seed=3, seconds=3.0) == []


@given(data=st.binary(max_size=300))
def test_any_bytes_at_all(data):
    for target in NOT_QT:
        TARGETS[target](data)


@given(text=st.text(max_size=200))
def test_any_text_at_all(text):
    for target in ("text", "dates", "clipboard"):
        TARGETS[target](text.encode("utf-8", "surrogatepass"))


def test_a_run_finds_what_fails_and_says_where(monkeypatch, tmp_path):
    """The searcher itself: a reader with a fault deep inside is caught, once."""

    def faulty(data: bytes) -> None:
        if b"-1" in data:
            raise ZeroDivisionError("deep inside")

    monkeypatch.setitem(TARGETS, "dates", faulty)
    before = sorted(CRASHES.iterdir())
    (found,) = run("dates", 3000, seed=1, to=tmp_path)
    assert "ZeroDivisionError" in found and "test_crashes" in found
    (kept,) = tmp_path.iterdir()
    assert str(kept) in found and b"-1" in kept.read_bytes()
    assert len(run("dates", 3000, seed=1)) == 1
    assert sorted(CRASHES.iterdir()) == before  # nothing is written into the checkout


def test_the_same_seed_gives_the_same_cases_and_shares_add_up():
    one, other = (list(cases("design", 40, seed)) for seed in (5, 5))
    assert one == other != list(cases("design", 40, 6))
    assert sum(shared_out(1_000_000, list(TARGETS)).values()) >= 1_000_000
