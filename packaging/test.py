"""Check everything: `python3 packaging/test.py [pytest arguments]`.

All steps run, whatever fails; pytest comes last, so that its own closing line ends the output
but for one line of summary.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import environment
from sentences import SetupError

SELF_TEST_SECONDS = 120


def main(arguments: list[str]) -> int:
    """Run every step and return 0 if all of them passed."""
    try:
        python = environment.ready_python("test")
        steps = _steps(python, arguments or ["-n", "auto"])
    except SetupError as error:
        environment.say(str(error))
        return 1
    environ = _environ(environment.clean_environ(os.environ), python.parent.parent / "caches")
    failed = [name for name, command in steps.items() if not _passes(name, command, environ)]
    print(summary(steps, failed), flush=True)
    return 1 if failed else 0


def summary(steps: Iterable[str], failed: list[str]) -> str:
    """Return the last line: which steps failed, or that none did."""
    if failed:
        return f"Failed: {', '.join(failed)}."
    return f"Nothing failed in {', '.join(steps)}."


def _steps(python: Path, pytest_arguments: list[str]) -> dict[str, list[str]]:
    here = Path(__file__).resolve().parent
    ruff = environment.tool(python, "ruff")
    return {
        "system libraries": [sys.executable, str(here / "system_libraries.py"), str(python)],
        "ruff check": [ruff, "check"],
        "ruff format": [ruff, "format", "--check"],
        "mypy": [environment.tool(python, "mypy")],
        "imports": [environment.tool(python, "lint-imports"), "--no-logo", "--no-cache"],
        "start without a screen": [str(python), "-m", "app", "--self-test"],
        "pytest": [str(python), "-m", "pytest", *pytest_arguments],
    }


def _environ(environ: dict[str, str], caches: Path) -> dict[str, str]:
    """Return the variables for the steps; what they remember goes beside the environment.

    So nothing is left in the checkout, and one that can't be written can be checked too.
    """
    return {
        **environ,
        "QT_QPA_PLATFORM": "offscreen",
        "RUFF_CACHE_DIR": str(caches / "ruff"),
        "MYPY_CACHE_DIR": str(caches / "mypy"),
        "HYPOTHESIS_STORAGE_DIRECTORY": str(caches / "hypothesis"),
        "PYTHONPYCACHEPREFIX": str(caches / "python"),
    }


def _passes(name: str, command: list[str], environ: dict[str, str]) -> bool:
    print(f"\n== {name} ==", flush=True)
    # Only the start may hang: it waits for a window.
    seconds = SELF_TEST_SECONDS if "--self-test" in command else None
    try:
        done = subprocess.run(command, cwd=environment.ROOT, env=environ, timeout=seconds)
    except subprocess.TimeoutExpired:
        print(f"It did not end within {seconds} seconds.", flush=True)
        return False
    if done.returncode:
        print(f"It ended with exit code {done.returncode}.", flush=True)
    return done.returncode == 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
