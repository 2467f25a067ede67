"""Which of the system's shared libraries Qt lacks, and whether there is a screen to show on.

Qt's own message names libxcb-cursor0 whatever is missing, even where only the screen is, so
the libraries are looked up with `ldd` before Qt is loaded. Only Linux needs this: elsewhere
Qt's packages bring everything. Standard library only, and Python 3.8 must be able to import
it. As a script it checks the environment of the Python it is given.
"""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

# The packages of Debian and Ubuntu; their newer names ending in t64 answer to these as well.
DEBIAN_PACKAGES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libX11.so.6": "libx11-6",
    "libcups.so.2": "libcups2",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libgcc_s.so.1": "libgcc-s1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libstdc++.so.6": "libstdc++6",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxcb.so.1": "libxcb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libz.so.1": "zlib1g",
    "libzstd.so.1": "libzstd1",
}

_MISSING = re.compile(r"^\s*(\S+) => not found", re.MULTILINE)
_QT_ITSELF = re.compile(r"lib(Qt6|pyside6|shiboken6|icu)")
_MODULES = ("QtGui", "QtWidgets", "QtSvg")
_DISPLAY = re.compile(r"^(?P<host>.*):(?P<number>\d+)(\.\d+)?$")
_X_SOCKETS = "/tmp/.X11-unix"

if TYPE_CHECKING:
    Address = str | tuple[str, int]  # of a unix socket | of a host and port


def problem(python: Path, *, with_window: bool) -> str | None:
    """Return the sentence about libraries missing for the environment of `python`, or None."""
    if not sys.platform.startswith("linux"):
        return None
    qt = next(python.parent.parent.glob("lib*/python*/site-packages/PySide6"), None)
    if qt is None:
        return None
    missing = missing_libraries(_ldd(*(qt / f"{module}.abi3.so" for module in _MODULES)))
    if with_window:
        missing += _missing_for_window(qt / "Qt" / "plugins" / "platforms", os.environ)
    return sentence(missing, as_root=os.geteuid() == 0) if missing else None


def missing_libraries(ldd_text: str) -> list[str]:
    """Return the libraries that ldd's text calls not found, each once, in ldd's order.

    Parts of Qt itself are left out: no package of the system would bring them.
    """
    found = dict.fromkeys(_MISSING.findall(ldd_text))
    return [name for name in found if not _QT_ITSELF.match(name)]


def sentence(missing: Iterable[str], *, as_root: bool = False) -> str:
    """Return one sentence: what is missing, and the command that brings it."""
    names = sorted(set(missing))
    packages = sorted({DEBIAN_PACKAGES[name] for name in names if name in DEBIAN_PACKAGES})
    unknown = [name for name in names if name not in DEBIAN_PACKAGES]
    ways = []
    if packages:
        apt = "apt install" if as_root else "sudo apt install"
        ways.append(f"on Debian or Ubuntu run `{apt} {' '.join(packages)}`")
    if unknown:
        ways.append(f"install the package that contains {', '.join(unknown)}")
    return (
        f"Dipslope draws with Qt, which needs libraries that this system lacks "
        f"({', '.join(names)}): {' and '.join(ways)}, then start again."
    )


def window_plugins(environ: Mapping[str, str]) -> list[str]:
    """Return Qt's platform plug-ins that may open the window; one that works is enough."""
    chosen = environ.get("QT_QPA_PLATFORM", "")  # such as "wayland;xcb"
    plugins = []
    if "wayland" in chosen or (not chosen and environ.get("WAYLAND_DISPLAY")):
        plugins.append("libqwayland.so")
    if "xcb" in chosen or (not chosen and environ.get("DISPLAY")):
        plugins.append("libqxcb.so")
    return plugins


def display_available(
    environ: Mapping[str, str] = os.environ,
    system: str = sys.platform,
    answers: Callable[[Address], bool] | None = None,
) -> bool:
    """Return whether there is a screen to open a window on.

    A DISPLAY alone is no proof: it outlives the X server it names. `answers` tells whether
    somebody listens at an address.
    """
    if not system.startswith("linux") or environ.get("WAYLAND_DISPLAY"):
        return True
    return any(map(answers or _answers, x_addresses(environ.get("DISPLAY", ""))))


def x_addresses(display: str) -> list[Address]:
    """Return where the X server of `display` may listen; nowhere if it isn't a display."""
    parts = _DISPLAY.match(display)
    if parts is None:
        return []
    host, number = parts["host"].strip("[]"), int(parts["number"])
    if host in ("", "unix"):
        path = f"{_X_SOCKETS}/X{number}"
        return [path, f"\0{path}"]  # the second is Linux's name for it that is no file
    return [(host, 6000 + number)]


def _answers(address: Address) -> bool:
    try:
        if isinstance(address, tuple):
            with socket.create_connection(address, timeout=3):
                return True
        with socket.socket(socket.AF_UNIX) as unix:
            unix.settimeout(3)
            unix.connect(address)
            return True
    except (OSError, OverflowError):  # the latter: a port beyond 65535
        return False


def _missing_for_window(platforms: Path, environ: Mapping[str, str]) -> list[str]:
    missing: list[str] = []
    for plugin in window_plugins(environ):
        missing = missing_libraries(_ldd(platforms / plugin))
        if not missing:
            break
    return missing


def _ldd(*libraries: Path) -> str:
    """Return what ldd says of the `libraries`; nothing on a system that has no ldd."""
    there = [str(library) for library in libraries if library.exists()]
    try:
        environ = {**os.environ, "LC_ALL": "C"}
        return subprocess.run(["ldd", *there], env=environ, capture_output=True, text=True).stdout
    except OSError:
        return ""


def main(arguments: list[str]) -> int:
    """Check the environment of the Python named first, as far as no window is needed."""
    found = problem(Path(arguments[0]), with_window=False)
    print(found or "Nothing is missing.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
