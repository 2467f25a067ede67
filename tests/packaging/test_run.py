"""How the arguments reach the program, and when it wants a screen."""

from pathlib import Path

import pytest

HERE = Path("/home/a/designs")


@pytest.mark.parametrize(
    ("typed", "passed_on"),
    [
        ([], []),
        (["dunes.dipslope"], ["/home/a/designs/dunes.dipslope"]),
        (["/tmp/dunes.dipslope"], ["/tmp/dunes.dipslope"]),
        (["report", "dunes"], ["report", "/home/a/designs/dunes"]),
        (["report", "--json", "dunes.dipslope"], ["report", "--json", f"{HERE}/dunes.dipslope"]),
        (
            ["export", "../old/dunes.dipslope", "--to", "out"],
            ["export", "/home/a/designs/../old/dunes.dipslope", "--to", "/home/a/designs/out"],
        ),
        (
            ["export", "--to=out", "dunes.dipslope"],
            ["export", "--to=/home/a/designs/out", "/home/a/designs/dunes.dipslope"],
        ),
        (["export", "x.dipslope", "--as", "svg"], ["export", f"{HERE}/x.dipslope", "--as", "svg"]),
    ],
)
def test_files_are_meant_as_seen_from_the_users_folder(run, typed, passed_on):
    assert run.located(typed, HERE) == passed_on


@pytest.mark.parametrize(
    ("arguments", "wanted"),
    [([], True), (["x.dipslope"], True), (["report", "x"], False), (["export", "x"], False)],
)
def test_reports_and_exports_need_no_screen(run, monkeypatch, arguments, wanted):
    monkeypatch.setenv("QT_QPA_PLATFORM", "")
    assert run.wants_window(arguments) is wanted


def test_drawing_offscreen_needs_no_screen(run, monkeypatch):
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert not run.wants_window([])


def test_pytest_has_the_last_word_of_all_steps(everything, environment, monkeypatch):
    monkeypatch.setattr(everything.environment, "tool", lambda python, name: name)
    assert list(everything._steps(Path("/env/bin/python"), []))[-1] == "pytest"
