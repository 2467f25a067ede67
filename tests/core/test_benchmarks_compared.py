"""How benchmarks are held against kept ones; nothing here is timed."""

import json
from pathlib import Path

from tests.benchmarks.compare import KEPT, keep, machine, read_kept, worse
from tests.benchmarks.table import table

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def test_worse_by_more_than_half_is_told_worst_first():
    kept = {"open": 10.0, "save": 4.0, "paint": 2.0, "same": 7.0}
    now = {"open": 15.1, "save": 12.0, "paint": 3.0, "same": 6.0}
    assert worse(kept, now) == ["save", "open"]


def test_exactly_half_more_is_still_well():
    assert worse({"open": 10.0}, {"open": 15.0}) == []


def test_what_only_one_side_knows_is_left_out():
    assert worse({"gone": 1.0, "none": 0.0}, {"new": 900.0, "none": 5.0}) == []


def test_keeping_leaves_what_was_not_measured(tmp_path):
    path = tmp_path / "kept.json"
    assert read_kept(path) == ("", {})
    keep({"open": 1.239, "save": 2.0}, path)
    keep({"open": 3.0}, path)
    assert read_kept(path) == (machine(), {"open": 3.0, "save": 2.0})


def test_the_kept_table_can_be_read_and_names_its_machine():
    found = json.loads(KEPT.read_text(encoding="utf-8"))
    assert found["machine"]
    assert len(found["ratios"]) > 30
    assert all(ratio > 0 for ratio in found["ratios"].values())


def test_developers_shows_the_ratios_that_are_kept():
    """Printed anew by `python -m tests.benchmarks.table`."""
    kept_on, ratios = read_kept()
    text = DEVELOPERS.read_text(encoding="utf-8")
    assert table(ratios) in text
    assert kept_on in text
    other = {name: 2 * ratio for name, ratio in ratios.items()}
    assert table(other) not in text
