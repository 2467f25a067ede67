"""What a screen reader is told of the running program, over AT-SPI, as far as that can be had.

Runs the real program under Xvfb with a message bus of its own, and reads it with the system's
Python, as readers on the desktop do. Needs Debian's at-spi2-core, python3-pyatspi, dbus, xvfb and
xdotool.
"""

import json
import os
import shutil
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SYSTEM_PYTHON = "/usr/bin/python3"
NEEDED = ("Xvfb", "xdotool", "dbus-run-session")


def missing():
    """Return why the program can't be read here; empty if it can."""
    lacking = [name for name in NEEDED if shutil.which(name) is None]
    if lacking:
        return f"{', '.join(lacking)} not installed"
    asked = subprocess.run(
        [SYSTEM_PYTHON, "-c", "import pyatspi"], capture_output=True, check=False, timeout=30
    )
    return "" if asked.returncode == 0 else "python3-pyatspi not installed"


@pytest.fixture(scope="module")
def heard(tmp_path_factory):
    """Return what is told while Tab goes through the window, then the tree's painted views."""
    why = missing()
    if why:
        pytest.skip(f"no AT-SPI here: {why}")
    home = tmp_path_factory.mktemp("home")
    out = home / "heard.json"
    env = dict(
        os.environ,
        HOME=str(home),
        XDG_CONFIG_HOME=str(home / "config"),
        XDG_DATA_HOME=str(home / "data"),
        QT_QPA_PLATFORM="xcb",
        QT_LINUX_ACCESSIBILITY_ALWAYS_ON="1",
        PROGRAM_PYTHON=sys.executable,
        PROGRAM_FOLDER=str(HERE.parent.parent),
        HEARD=str(out),
    )
    done = subprocess.run(
        ["dbus-run-session", "--", SYSTEM_PYTHON, str(HERE / "at_spi_reader.py")],
        env=env,
        capture_output=True,
        text=True,
        check=False,
        timeout=150,
    )
    assert out.exists(), done.stderr[-2000:]
    return json.loads(out.read_text())


def test_everything_tab_stops_at_is_told_by_name(heard):
    said = heard["tabbed"]
    assert len(said) >= 20
    for step in said:
        assert step["name"].strip(" ….?"), step


def test_focus_goes_from_the_sentence_to_the_wave_and_its_marks(heard):
    names = [step["name"] for step in heard["tabbed"]]
    roles = [step["role"] for step in heard["tabbed"]]
    marked = next(n for n, name in enumerate(names) if "mark 1 of" in name)
    order = ["Step 1, open: Shape the wave", "Chart", "Fabric", "Light"]
    places = [names.index(name) for name in order]
    assert places == sorted(places) and places[-1] < marked
    assert roles[marked] == "list item"


def test_boxes_to_choose_from_are_told_with_what_they_choose(heard):
    # On Linux Qt tells a box's present choice as its name: the rest has to be said after it.
    boxes = [step for step in heard["tabbed"] if step["role"] == "combo box"]
    assert boxes
    for step in boxes:
        assert step["about"], step


def test_no_two_stops_after_each_other_sound_alike(heard):
    said = [(step["role"], step["name"], step["about"]) for step in heard["tabbed"]]
    assert all(one != other for one, other in pairwise(said))


def test_painted_views_are_told_with_role_and_parts(heard):
    painted = [view for view in heard["views"] if view["role"] in ("list", "canvas", "dial")]
    views = {view["name"]: view for view in painted}  # a page's tab is called Stripes, too
    assert views["Stripes"]["role"] == "list"
    assert views["Stripes"]["parts"][0].startswith("Stripe 1 of ")
    assert "rows of" in views["Stripes"]["parts"][0]
    assert views["Wave"]["role"] == "list"
    assert any("mark 1 of" in part for part in views["Wave"]["parts"])
    assert views["Chart"]["role"] == "canvas"
    assert views["Fabric"]["role"] == "canvas" and "wide" in views["Fabric"]["about"]


def test_an_arrow_in_the_strip_tells_the_next_stripe(heard):
    assert [told for told in heard["arrow"] if told.startswith("Stripe ")], heard["arrow"]
