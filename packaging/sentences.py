"""What is said when the program's environment can't be set up.

Every way to fail gets one sentence: what is wrong, then the way out. Python 3.8 must be able
to import this module, because one of the sentences is that Python is too old.
"""

from __future__ import annotations

OLDEST_PYTHON = (3, 11)

_NO_SPACE = ("No space left on device", "not enough space on the disk", "Disk quota exceeded")
_NO_NETWORK = (
    "Retrying (Retry(",
    "NewConnectionError",
    "NameResolutionError",
    "ConnectTimeout",
    "ReadTimeout",
    "Read timed out",
    "ProxyError",
    "SSLError",
    "Max retries exceeded",
)
_NOT_A_REASON = ("note:", "hint:", "[notice]", "warning:", "[end of output]")


class SetupError(Exception):
    """The program can't start on this machine as it is; the text says why and what to do."""


def too_old_python(version: tuple[int, ...], executable: str, newer: str | None = None) -> str:
    """Return the sentence for a Python before 3.11, naming a `newer` one if one was found."""
    needed = ".".join(str(part) for part in OLDEST_PYTHON)
    this = ".".join(str(part) for part in version[:3])
    way_out = (
        f"start it with {newer} instead of python3"
        if newer
        else f"install Python {needed} or newer"
    )
    return f"Dipslope needs Python {needed} or newer, but {executable} is {this}: {way_out}."


def no_venv(version: tuple[int, ...], executable: str) -> str:
    """Return the sentence for a Python without `venv` or `ensurepip`, as Debian ships it."""
    exact = f"python{version[0]}.{version[1]}-venv"
    return (
        f"{executable} can't make the isolated environment that Dipslope runs in, because its "
        f"venv or ensurepip module is missing: on Debian or Ubuntu, run "
        f"`sudo apt install python3-venv` (or {exact}) and start again."
    )


def no_space(folder: str, needed_mb: int, free_mb: int | None = None) -> str:
    """Return the sentence for a disk that can't hold the environment."""
    free = "the disk is full" if free_mb is None else f"only {free_mb} MB are free"
    return (
        f"Dipslope's environment needs about {needed_mb} MB in {folder}, but {free}: "
        f"make room there and start again."
    )


def no_folder(folders: list[str]) -> str:
    """Return the sentence for when no place for the environment can be written to."""
    return (
        f"Dipslope needs a place for its environment, but can't write to "
        f"{' or '.join(folders)}: make one of them writable and start again."
    )


def pip_failed(output: str, python: str, folder: str, needed_mb: int) -> str:
    """Return the sentence for what pip printed before it failed."""
    if _mentions(output, _NO_SPACE):
        return no_space(folder, needed_mb)
    reason = last_meaningful_line(output)
    if _mentions(output, _NO_NETWORK):
        return (
            f"The packages that Dipslope needs could not be fetched (pip says: {reason}): check "
            f"the network connection, and pip's proxy settings if you use any, and start again."
        )
    return (
        f"The packages that Dipslope needs could not be installed for {python} (pip says: "
        f"{reason}): start again, and if that doesn't help try another Python from "
        f"{OLDEST_PYTHON[0]}.{OLDEST_PYTHON[1]} on."
    )


def venv_failed(output: str, version: tuple[int, ...], executable: str, folder: str) -> str:
    """Return the sentence for what `python -m venv` printed before it failed."""
    if "ensurepip" in output:
        return no_venv(version, executable)
    return (
        f"{executable} could not make an isolated environment in {folder} "
        f"({last_meaningful_line(output)}): start again, and if that doesn't help start with "
        f"another Python."
    )


def last_meaningful_line(output: str) -> str:
    """Return the line that gives the reason: the last error, or else the last thing said."""
    lines = [line.strip() for line in output.splitlines() if line.strip()]
    lines = [line for line in lines if not line.lower().startswith(_NOT_A_REASON)]
    errors = [line for line in lines if line.lower().startswith("error:")]
    if errors:
        return errors[-1][len("error:") :].strip().rstrip(".")
    return lines[-1].rstrip(".") if lines else "nothing"


def _mentions(output: str, signs: tuple[str, ...]) -> bool:
    return any(sign in output for sign in signs)
