"""One window for each design: who has a file open, and bringing that window to the front.

Windows of one user hear each other through a local socket named after the file. Users who share
a folder see each other through a small hidden file beside the design, which is removed when it
is closed and doesn't count once its program is gone.
"""

import getpass
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path
from typing import ClassVar, Final, Literal

from PySide6.QtCore import QLockFile, QObject, QSysInfo, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

from app.keeping.places import key_of
from core.design import disk

_ASK: Final = b"show yourself\n"
_ANSWER: Final = b"here\n"
_CONNECT_MS: Final = 500
_ANSWER_MS: Final = 3_000
_LONGEST_NAME: Final = 250  # bytes of a file name that every usual disk takes

Standing = Literal["ours", "raised", "silent", "elsewhere"]


@dataclass(slots=True, eq=False)
class Hold:
    """A file that this window has; `let_go` gives it up."""

    name: str
    server: QLocalServer | None
    lock: QLockFile | None

    def let_go(self) -> None:
        """Give it up."""
        if self.server is not None:
            self.server.close()
            self.server.deleteLater()
        if self.lock is not None:
            self.lock.unlock()


@dataclass(frozen=True, slots=True, eq=False)
class Claim:
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

    def _listen(self, name: str) -> QLocalServer | None:
        server = QLocalServer(self)
        server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        if not server.listen(name):
            QLocalServer.removeServer(name)  # nobody answered there: a crash left it
            if not server.listen(name):
                server.deleteLater()
                return None
        server.newConnection.connect(lambda: self._hear(server))
        return server

    def _hear(self, server: QLocalServer) -> None:
        while server.hasPendingConnections():
            socket = server.nextPendingConnection()
            socket.readyRead.connect(lambda socket=socket: self._answer(socket))
            socket.disconnected.connect(socket.deleteLater)
            if socket.bytesAvailable():
                self._answer(socket)

    def _answer(self, socket: QLocalSocket) -> None:
        if bytes(socket.readLine(64).data()) == _ASK:
            socket.write(_ANSWER)
            socket.flush()
            self.raise_wished.emit()


def ask_to_show(root: Path, path: Path) -> Literal["raised", "silent"] | None:
    """Ask the window that has a file to come to the front; None if no window has it."""
    socket = QLocalSocket()
    socket.connectToServer(_server_name(root, path))
    if not socket.waitForConnected(_CONNECT_MS):
        return None
    socket.write(_ASK)
    socket.flush()
    answered = socket.waitForReadyRead(_ANSWER_MS) and bytes(socket.readAll().data()) == _ANSWER
    socket.abort()
    return "raised" if answered else "silent"


def _server_name(root: Path, path: Path) -> str:
    whose = f"{getpass.getuser()}\n{root}\n{key_of(path)}"
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
