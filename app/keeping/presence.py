"""One window for each design: who has a file open, and bringing that window to the front.

Windows of one user hear each other through a local socket named after the file. Users who share
a folder see each other through a small hidden file beside the design, which is removed when it
is closed and doesn't count once its program is gone.
"""

import contextlib
import errno
import getpass
import os
import socket
import tempfile
from hashlib import blake2b
from pathlib import Path
from typing import ClassVar, Final, Literal

from PySide6.QtCore import QLockFile, QObject, QSocketNotifier, QSysInfo, Signal

from app.keeping.places import key_of
from core.design import disk
from core.records import Struct

_ASK: Final = b"show yourself\n"
_ANSWER: Final = b"here\n"
_CONNECT_S: Final = 0.5
_ANSWER_S: Final = 3.0
_HEAR_S: Final = 0.2
_LONGEST_NAME: Final = 250  # bytes of a file name that every usual disk takes

Standing = Literal["ours", "raised", "silent", "elsewhere"]


class Hold(Struct, eq=False):
    """A file that this window has; `let_go` gives it up."""

    name: str
    server: "Listener | None"
    lock: QLockFile | None

    def let_go(self) -> None:
        """Give it up."""
        if self.server is not None:
            self.server.close()
            self.server.deleteLater()
        if self.lock is not None:
            self.lock.unlock()


class Claim(Struct, frozen=True, eq=False):
    """The answer to asking for a file.

    Attributes:
        standing: "ours" to have it; "raised" if another window has it and came to the front;
            "silent" if that window doesn't answer; "elsewhere" if another user has it.
        who: The computer that has it, where that is known.
        hold: What was got, to be kept (`Presence.keep`) or let go.
    """

    standing: Standing
    who: str = ""
    hold: Hold | None = None

    def sentence(self, path: Path) -> str:
        """Return who has the file, as a sentence."""
        if self.standing == "raised":
            return f"{path.name} is open in another window; it is in front now."
        if self.standing == "silent":
            return f"{path.name} is open in another window, which doesn't answer."
        where = f"on the computer {self.who}" if self.who else "elsewhere on this computer"
        return f"{path.name} is open {where}."


class Presence(QObject):
    """Holds the file that this window shows."""

    raise_wished = Signal()

    _in_this_program: ClassVar[dict[str, "Presence"]] = {}

    def __init__(self, root: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._root = root
        self._hold: Hold | None = None

    def ask(self, path: Path, *, anyway: bool = False) -> Claim:
        """Ask for a file; with `anyway`, another user's claim on it counts for nothing."""
        name = _server_name(self._root, path)
        if self._hold is not None and self._hold.name == name:
            return Claim("ours", hold=self._hold)
        other = self._in_this_program.get(name)
        if other is not None:
            other.raise_wished.emit()
            return Claim("raised")
        answer = ask_to_show(self._root, path)
        if answer is not None:
            return Claim(answer)
        lock, who = _locked(path, anyway=anyway)
        if who is not None:
            return Claim("elsewhere", who)
        return Claim("ours", hold=Hold(name, self._listen(name), lock))

    def keep(self, claim: Claim) -> None:
        """Have the file of a claim instead of the one had so far."""
        if claim.hold is not self._hold:
            self.let_go()
            self._hold = claim.hold
            if claim.hold is not None:
                self._in_this_program[claim.hold.name] = self

    def drop(self, claim: Claim) -> None:
        """Give up a claim that came to nothing."""
        if claim.hold is not None and claim.hold is not self._hold:
            claim.hold.let_go()

    def let_go(self) -> None:
        """Have no file any more."""
        if self._hold is not None:
            self._in_this_program.pop(self._hold.name, None)
            self._hold.let_go()
            self._hold = None

    def _listen(self, name: str) -> "Listener | None":
        try:
            listener = Listener(_address(name), self)
        except OSError:  # no such sockets here: the lock still tells
            return None
        listener.asked.connect(self.raise_wished)
        return listener


class Listener(QObject):
    """Hears whoever asks for a file, and answers.

    The system's own sockets: Qt's would need libraries of the network that a machine may lack.

    Raises:
        OSError: There are no such sockets here, or another window listens already.
    """

    asked = Signal()

    def __init__(self, address: Path, parent: QObject) -> None:
        super().__init__(parent)
        self._address = address
        self._socket = _socket()
        try:
            self._bind()
            self._socket.listen(4)
        except OSError:
            self._socket.close()
            raise
        self._notifier = QSocketNotifier(self._socket.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._hear)

    def close(self) -> None:
        """Listen no more."""
        self._notifier.setEnabled(False)
        with contextlib.suppress(OSError):
            self._address.unlink()
        self._socket.close()

    def _bind(self) -> None:
        try:
            self._socket.bind(str(self._address))
        except OSError as error:
            if error.errno != errno.EADDRINUSE or _connected(self._address) is not None:
                raise
            self._address.unlink()  # nobody listens there: a crash left it
            self._socket.bind(str(self._address))

    def _hear(self) -> None:
        try:
            caller, _ = self._socket.accept()
            with caller:
                caller.settimeout(_HEAR_S)
                if caller.recv(64) == _ASK:
                    caller.sendall(_ANSWER)
                    self.asked.emit()
        except OSError:
            return  # gone again, or silent


def ask_to_show(root: Path, path: Path) -> Literal["raised", "silent"] | None:
    """Ask the window that has a file to come to the front; None if no window has it."""
    caller = _connected(_address(_server_name(root, path)))
    if caller is None:
        return None
    with caller:
        try:
            caller.settimeout(_ANSWER_S)
            caller.sendall(_ASK)
            return "raised" if caller.recv(64) == _ANSWER else "silent"
        except OSError:
            return "silent"


def _connected(address: Path) -> socket.socket | None:
    try:
        caller = _socket()
    except OSError:
        return None
    try:
        caller.settimeout(_CONNECT_S)
        caller.connect(str(address))
    except OSError:
        caller.close()
        return None
    return caller


def _socket() -> socket.socket:
    if not hasattr(socket, "AF_UNIX"):
        raise OSError(errno.EAFNOSUPPORT, os.strerror(errno.EAFNOSUPPORT))
    return socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)


def _address(name: str) -> Path:
    """Return where a window listens: in this user's own folder for such things, if there is one."""
    own = os.environ.get("XDG_RUNTIME_DIR", "")
    folder = Path(own) if own and Path(own).is_dir() else Path(tempfile.gettempdir())
    return folder / name


def _server_name(root: Path, path: Path) -> str:
    user = os.getuid() if hasattr(os, "getuid") else getpass.getuser()
    whose = f"{user}\n{root}\n{key_of(path)}"
    return f"dipslope-{blake2b(whose.encode('utf-8', 'surrogatepass'), digest_size=12).hexdigest()}"


def _locked(path: Path, *, anyway: bool) -> tuple[QLockFile | None, str | None]:
    """Return the hold on a file's folder, and which computer has it instead.

    Where no file can be made beside the design, nobody could save there either: no hold then.
    """
    try:
        path = disk.followed(path.absolute())
    except OSError:
        return None, None
    beside = path.with_name(f".{path.name}.lock")
    if len(str(beside.name).encode("utf-8", "surrogatepass")) > _LONGEST_NAME:
        return None, None
    lock = QLockFile(str(beside))
    lock.setStaleLockTime(0)  # age says nothing; a process that is gone does
    if lock.tryLock(0):
        return lock, None
    if lock.error() != QLockFile.LockError.LockFailedError:
        return None, None
    if anyway:
        try:
            disk.remove(beside)
        except OSError:
            return None, None
        return (lock, None) if lock.tryLock(0) else (None, None)
    return None, _holder(lock)


def _holder(lock: QLockFile) -> str:
    """Return the computer that holds a lock; empty if it is this one, or isn't known."""
    told = lock.getLockInfo()
    host = str(told[1]) if isinstance(told, tuple) and len(told) > 1 else ""
    return "" if host == QSysInfo.machineHostName() else host
