"""Start the program: `python3 packaging/run.py [arguments passed on to the program]`.

Sets up the program's own environment at the first start, checks that the system has what Qt
needs, and hands over. Where there is no screen to open a window on, the example is exported
instead, so that there is something to see all the same.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import environment
import system_libraries
from sentences import SetupError

DEMO = "assets/harbour-steps.dipslope"
DEMO_FOLDER = "dipslope-demo-export"

# Whatever starts with one of these opens no window.
WINDOWLESS = ("report", "export", "-h", "--help", "--version", "--self-test")
_FOLDER_OPTIONS = ("--to",)
_SUFFIX = ".dipslope"


def main(arguments: list[str]) -> int:
    """Start the program and return its exit code."""
    try:
        python = environment.ready_python("run")
        if not wants_window(arguments):
            _check_libraries(python, with_window=False)
        elif system_libraries.display_available():
            _check_libraries(python, with_window=True)
        else:
            _check_libraries(python, with_window=False)
            return _export_demo(python, Path.cwd() / DEMO_FOLDER)
    except SetupError as error:
        environment.say(str(error))
        return 1
    return _hand_over(python, located(arguments, Path.cwd()))


def wants_window(arguments: list[str]) -> bool:
    """Return whether the program would open a window on a screen."""
    on_screen = (os.environ.get("QT_QPA_PLATFORM") or "xcb").startswith(("xcb", "wayland"))
    return on_screen and (not arguments or arguments[0] not in WINDOWLESS)


def located(arguments: list[str], folder: Path) -> list[str]:
    """Return the arguments with every file and folder named from the root of the disk.

    The program runs in the checkout, but the user named files as seen from `folder`. A file
    is what doesn't follow an option, whatever ends in .dipslope, and the value of --to.
    """
    result: list[str] = []
    before = ""
    for number, argument in enumerate(arguments):
        option, equals, value = argument.partition("=")
        if equals and option in _FOLDER_OPTIONS:
            result.append(f"{option}={folder / value}")
        elif _names_file(argument, before, first=number == 0):
            result.append(str(folder / argument))
        else:
            result.append(argument)
        before = argument
    return result


def _names_file(argument: str, before: str, *, first: bool) -> bool:
    if argument.startswith("-") or (first and argument in WINDOWLESS):
        return False
    if argument.lower().endswith(_SUFFIX) or before in _FOLDER_OPTIONS:
        return True
    return not before.startswith("-")


def _check_libraries(python: Path, *, with_window: bool) -> None:
    problem = system_libraries.problem(python, with_window=with_window)
    if problem:
        raise SetupError(problem)


def _hand_over(python: Path, arguments: list[str]) -> int:
    command = [str(python), "-m", "app", *arguments]
    environ = environment.clean_environ(os.environ)
    if os.name != "nt":  # there, the shell would not wait for who takes our place
        os.chdir(environment.ROOT)
        os.execve(command[0], command, environ)
    return subprocess.run(command, cwd=environment.ROOT, env=environ).returncode


def _export_demo(python: Path, folder: Path) -> int:
    environment.say(
        f"There is no screen here to open Dipslope's window on, so it exports its example design "
        f"to {folder} instead (`export FILE --to FOLDER` does so with one of yours)."
    )
    command = [str(python), "-m", "app", "export", DEMO, "--to", str(folder)]
    environ = {**environment.clean_environ(os.environ), "QT_QPA_PLATFORM": "offscreen"}
    return subprocess.run(command, cwd=environment.ROOT, env=environ).returncode


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
