"""A short day in one window, and a few windows one after another: nothing grows, nothing is left.

The long form is tests/soak.py; it takes some twenty minutes.
"""

import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QMessageBox

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import soak


@pytest.fixture(autouse=True)
def no_questions(monkeypatch, qapp):
    monkeypatch.setattr(QMessageBox, "exec", soak._no_question)


def test_a_day_of_edits_leaves_nothing_behind(tmp_path):
    marks = soak.long_day(120, tmp_path, every=40)
    first, *_, last, closed = marks.lines
    assert marks.messages == []
    for what in ("threads", "handles", "widgets", "timers"):
        assert last[what] <= first[what] + 1, what
    assert last["qobjects"] <= first["qobjects"] * 1.15
    assert last["objects"] - first["objects"] < 20_000
    assert last["parts"] == closed["parts"] == 0
    assert closed["threads"] < last["threads"]
    assert not list(tmp_path.rglob("*.journal"))


def test_windows_that_are_closed_are_gone(tmp_path):
    marks = soak.many_days(9, tmp_path, every=3)
    first, *_, last = marks.lines
    assert marks.messages == []
    for what in ("threads", "handles", "widgets"):
        assert last[what] <= first[what], what
    assert last["objects"] - first["objects"] < 300  # a window has thousands
    assert last["rss_mb"] - first["rss_mb"] < 60  # six windows once kept 260 MB
