"""Reads the running program as screen readers do; run by the system's Python, see test_at_spi."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pyatspi
from gi.repository import GLib

DISPLAY = f":{90 + os.getpid() % 400}"
STEPS = 45
VIEWS = {"Chart", "Fabric", "Stripes", "Wave", "Light"}
told = []


def hear(event):
    """Keep what gets the focus."""
    if event.detail1 and event.source is not None:
        told.append(event.source)


def until(met, seconds):
    """Let events come in until something is so; return whether it came to be in time."""
    end = time.monotonic() + seconds
    while not met():
        if time.monotonic() > end:
            return False
        GLib.MainContext.default().iteration(False)
        time.sleep(0.005)
    return True


def key(name):
    """Press a key."""
    subprocess.run(["xdotool", "key", name], check=True)


def walk(node, depth=0):
    """Yield what is in a tree."""
    yield node
    if depth < 14 and node.getRoleName() not in ("table", "menu bar"):
        for place in range(min(node.childCount, 60)):
            child = node.getChildAtIndex(place)
            if child is not None:
                yield from walk(child, depth + 1)


def where(node):
    """Return left, top, width, height on the screen."""
    box = node.queryComponent().getExtents(pyatspi.DESKTOP_COORDS)
    return [box.x, box.y, box.width, box.height]


def program():
    """Return the program's window, as soon as it is there."""
    found = []

    def is_there():
        desktop = pyatspi.Registry.getDesktop(0)
        for place in range(desktop.childCount):
            app = desktop.getChildAtIndex(place)
            if app is not None and app.childCount and "ipslope" in (app[0].name or ""):
                found.append(app[0])
        return bool(found)

    if not until(is_there, 60):
        sys.exit("the program didn't appear on the bus")
    return found[0]


def read():
    """Tab through the window, then look at the painted views."""
    window = program()
    if not until(lambda: {node.name for node in walk(window)} >= VIEWS, 60):
        sys.exit("the window's views didn't appear")
    listener = ("object:state-changed:focused",)
    pyatspi.Registry.registerEventListener(hear, *listener)
    subprocess.run(["xdotool", "search", "--name", "Dipslope", "windowfocus"], check=False)
    until(lambda: told, 2)
    tabbed = []
    for _ in range(STEPS):
        told.clear()
        key("Tab")
        until(lambda: told, 1)
        if told:
            node = told[-1]
            step = {"role": node.getRoleName(), "name": node.name or "", "at": where(node)}
            tabbed.append({**step, "about": node.description or ""})
    views = []
    strip = None
    for node in walk(window):
        if node.name in VIEWS:
            parts = [node[place].name for place in range(min(node.childCount, 5))]
            role, about = node.getRoleName(), node.description
            views.append({"name": node.name, "role": role, "about": about, "parts": parts})
            if node.name == "Stripes" and role == "list":
                strip = node
    told.clear()
    if strip is not None:
        strip.queryComponent().grabFocus()
        until(lambda: told, 2)
        for _ in range(2):
            before = len(told)
            key("Up")
            until(lambda n=before: len(told) > n, 2)
    arrow = [f"{node.name}" for node in told]
    return {"tabbed": tabbed, "views": views, "arrow": arrow}


def main():
    """Start a screen and the program, and write down what is told."""
    quiet = subprocess.DEVNULL
    screen = subprocess.Popen(
        ["Xvfb", DISPLAY, "-screen", "0", "1366x768x24"], stdout=quiet, stderr=quiet
    )
    socket = Path("/tmp/.X11-unix") / f"X{DISPLAY[1:]}"
    if not until(socket.exists, 20):
        sys.exit("Xvfb doesn't start")
    os.environ["DISPLAY"] = DISPLAY
    command = [os.environ["PROGRAM_PYTHON"], "-m", "app"]
    running = subprocess.Popen(command, cwd=os.environ["PROGRAM_FOLDER"], stdout=quiet)
    try:
        heard = read()
        Path(os.environ["HEARD"]).write_text(json.dumps(heard, indent=1), encoding="utf-8")
    finally:
        running.terminate()
        running.wait(20)
        screen.terminate()
        screen.wait(10)


if __name__ == "__main__":
    main()
