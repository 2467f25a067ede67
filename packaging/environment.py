"""The program's own Python environment: made once, reused at every start after that.

There is one to run in (`run-py311`), one to test in and one to bundle in. They lie in the
checkout's `.venv`, or in the user's cache folder where the checkout can't be written. What to
install is read from `pyproject.toml`. A stamp says what an environment was made from; it is
written last, so that one whose making was interrupted is made afresh.

Standard library only, and Python 3.8 must be able to import it (see `sentences`). As a script
it runs a tool of the test environment: `python3 packaging/environment.py ruff check`.
"""

from __future__ import annotations

import errno
import hashlib
import importlib.util
import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePath, PurePosixPath, PureWindowsPath
from typing import TypeVar

import sentences
from sentences import SetupError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

ROOT = Path(__file__).resolve().parent.parent
NEEDED_MB = {"run": 400, "test": 800, "bundle": 600}

_STAMP = "stamp.txt"
# These would send our environment to somebody else's packages. Where pip fetches from (index,
# proxy, certificates) stays the user's choice; where it puts things is ours.
_DISTURBING = {
    "PYTHONHOME",
    "PYTHONPATH",
    "PYTHONPLATLIBDIR",
    "PYTHONSAFEPATH",
    "VIRTUAL_ENV",
    "__PYVENV_LAUNCHER__",
    "PIP_PREFIX",
    "PIP_PYTHON",
    "PIP_ROOT",
    "PIP_TARGET",
    "PIP_USER",
}

AnyPath = TypeVar("AnyPath", bound=PurePath)


def ready_python(purpose: str) -> Path:
    """Return the Python of the environment to "run", "test" or "bundle" in; make it if need be.

    Raises:
        SetupError: It can't be made; the text tells the user why and what to do.
    """
    check_python()
    wanted = requirements(ROOT / "pyproject.toml", purpose)
    folders = _possible_folders(purpose)
    for folder in folders:
        if _is_ready(folder, wanted):
            return python_in(folder)
    folder = _first_writable(folders)
    try:
        with _only_one(folder):
            if not _is_ready(folder, wanted):
                _make(folder, wanted, NEEDED_MB[purpose])
    except OSError as error:
        raise SetupError(_os_error_sentence(error, folder, NEEDED_MB[purpose])) from error
    return python_in(folder)


def check_python() -> None:
    """Refuse a Python that is too old for the program."""
    if sys.version_info[:2] < sentences.OLDEST_PYTHON:
        raise SetupError(
            sentences.too_old_python(tuple(sys.version_info[:3]), sys.executable, _newer_python())
        )


def requirements(pyproject: Path, purpose: str) -> list[str]:
    """Return what the project file wants installed to "run", "test" or "bundle" the program."""
    import tomllib  # not there before Python 3.11

    project = tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]
    wanted: list[str] = list(project["dependencies"])
    if purpose != "run":
        wanted += project["optional-dependencies"][purpose]
    return wanted


def stamp(wanted: list[str], python_version: str, machine: str, folder: str) -> str:
    """Return a text that changes whenever the environment has to be made anew.

    The folder counts because the tools in an environment don't survive being moved.
    """
    made_from = json.dumps([wanted, python_version, machine, folder])
    return hashlib.sha256(made_from.encode()).hexdigest() + "\n"


def python_in(folder: AnyPath, *, windows: bool = sys.platform == "win32") -> AnyPath:
    """Return the path of the Python in the environment `folder`."""
    return folder / "Scripts" / "python.exe" if windows else folder / "bin" / "python"


def tool(python: Path, name: str) -> str:
    """Return the path of a program that was installed beside `python`."""
    found = shutil.which(name, path=str(python.parent))
    if found is None:
        raise SetupError(f"There is no tool called {name} in {python.parent}.")
    return found


def user_cache_folder(system: str, environ: Mapping[str, str], home: str) -> PurePath:
    """Return where programs keep what they can make again, on `system` as in `sys.platform`."""
    if system == "win32":
        local = environ.get("LOCALAPPDATA")
        return PureWindowsPath(local) if local else PureWindowsPath(home, "AppData", "Local")
    if system == "darwin":
        return PurePosixPath(home, "Library", "Caches")
    cache = PurePosixPath(environ.get("XDG_CACHE_HOME", ""))
    return cache if cache.is_absolute() else PurePosixPath(home, ".cache")


def clean_environ(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the environment variables without those that lead Python or pip elsewhere."""
    return {name: value for name, value in environ.items() if name.upper() not in _DISTURBING}


def say(text: str) -> None:
    """Tell the user something, beside what the program itself prints."""
    print(text, file=sys.stderr, flush=True)


def _newer_python() -> str | None:
    names = (f"python3.{minor}" for minor in (14, 13, 12, 11))
    return next((name for name in names if _starts(name)), None)


def _starts(name: str) -> bool:
    """Return whether a program is there and works; version managers leave names that don't."""
    try:
        return subprocess.run([name, "-V"], capture_output=True, timeout=10).returncode == 0
    except (OSError, subprocess.SubprocessError):
        return False


def _possible_folders(purpose: str) -> list[Path]:
    name = f"{purpose}-py{sys.version_info[0]}{sys.version_info[1]}"
    folders = [ROOT / ".venv" / name]
    home = os.path.expanduser("~")  # noqa: PTH111  Path.home() raises where there is none
    if home != "~":
        checkout = hashlib.sha256(str(ROOT).encode()).hexdigest()[:8]
        cache = Path(user_cache_folder(sys.platform, os.environ, home))
        folders.append(cache / "dipslope" / checkout / name)
    return folders


def _stamp_for(folder: Path, wanted: list[str]) -> str:
    machine = f"{platform.system()} {platform.machine()} {sys.implementation.name}"
    return stamp(wanted, platform.python_version(), machine, str(folder))


def _is_ready(folder: Path, wanted: list[str]) -> bool:
    try:
        text = (folder / _STAMP).read_text(encoding="utf-8")
        # A Python that was since removed leaves a link to nothing, which doesn't exist.
        return text == _stamp_for(folder, wanted) and python_in(folder).exists()
    except (OSError, UnicodeDecodeError):
        return False


def _first_writable(folders: list[Path]) -> Path:
    for folder in folders:
        if _is_writable(folder.parent):
            return folder
    raise SetupError(sentences.no_folder([str(folder.parent) for folder in folders]))


def _is_writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _make(folder: Path, wanted: list[str], needed_mb: int) -> None:
    if not (importlib.util.find_spec("venv") and importlib.util.find_spec("ensurepip")):
        raise SetupError(sentences.no_venv(tuple(sys.version_info[:3]), sys.executable))
    (folder / _STAMP).unlink(missing_ok=True)
    shutil.rmtree(folder, ignore_errors=True)
    free_mb = shutil.disk_usage(folder.parent).free // 2**20
    if free_mb < needed_mb:
        raise SetupError(sentences.no_space(str(folder.parent), needed_mb, free_mb))

    say(f"Setting up Dipslope's own Python environment in {folder}; this is done only once ...")
    try:
        _make_venv(folder)
        _install(folder, wanted, needed_mb)
    except SetupError:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    (folder / _STAMP).write_text(_stamp_for(folder, wanted), encoding="utf-8")


def _make_venv(folder: Path) -> None:
    # -I keeps a file in the current folder from standing in for a module of the library.
    made = _run([sys.executable, "-I", "-m", "venv", "--clear", str(folder)])
    if made.returncode:
        output = made.stdout + made.stderr
        version = tuple(sys.version_info[:3])
        raise SetupError(sentences.venv_failed(output, version, sys.executable, str(folder)))


def _install(folder: Path, wanted: list[str], needed_mb: int) -> None:
    python = str(python_in(folder))
    command = [python, "-I", "-m", "pip", "install", "--disable-pip-version-check", "-q"]
    # --no-user: the user's pip settings may say otherwise, and an environment refuses that.
    installed = _run([*command, "--no-user", "--prefer-binary", *wanted])
    if installed.returncode:
        output = installed.stdout + installed.stderr
        raise SetupError(sentences.pip_failed(output, sys.executable, str(folder), needed_mb))


def _run(command: list[str]) -> subprocess.CompletedProcess[str]:
    environ = clean_environ(os.environ)
    return subprocess.run(command, env=environ, capture_output=True, text=True, errors="replace")


def _os_error_sentence(error: OSError, folder: Path, needed_mb: int) -> str:
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return sentences.no_space(str(folder), needed_mb)
    return (
        f"Dipslope's environment in {folder} can't be set up ({error}): close every window of "
        f"the program, remove that folder and start again."
    )


@contextmanager
def _only_one(folder: Path) -> Iterator[None]:
    """Wait until no other start is setting up the same environment.

    The system lets go of the lock when its holder ends, however it ends.
    """
    with folder.with_name(f"{folder.name}.lock").open("a") as lock:
        if sys.platform == "win32":
            _lock_on_windows(lock.fileno())
        else:
            with suppress(OSError):  # some network folders know no locks: go without
                fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def _lock_on_windows(file_number: int) -> None:
    if sys.platform == "win32":
        while True:
            with suppress(OSError):  # it gives up after ten seconds
                msvcrt.locking(file_number, msvcrt.LK_LOCK, 1)
                return


def main(arguments: list[str]) -> int:
    """Run a tool of the test environment on the checkout and return its exit code."""
    try:
        command = [tool(ready_python("test"), arguments[0]), *arguments[1:]]
    except SetupError as error:
        say(str(error))
        return 1
    return subprocess.run(command, cwd=ROOT, env=clean_environ(os.environ)).returncode


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("Say which tool of the test environment to run, for example: ruff check")
    sys.exit(main(sys.argv[1:]))
