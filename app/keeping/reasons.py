"""Why a file can't be read or written, as a sentence with a way out."""

import errno
from pathlib import Path
from typing import Final

from core.errors import DesignError

_FULL: Final = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC), errno.EFBIG)
_PROTECTED: Final = (errno.EACCES, errno.EPERM, errno.EROFS)
_GONE: Final = (errno.ENOENT, errno.ENOTDIR)
_AWAY_NAMES: Final = ("EIO", "ESTALE", "EHOSTDOWN", "EHOSTUNREACH", "ENETDOWN", "ENETUNREACH") + (
    "ETIMEDOUT",
    "ENODEV",
    "ENXIO",
    "ENOTCONN",
    "ECONNRESET",
    "EREMOTEIO",
)
_AWAY: Final = tuple(getattr(errno, name) for name in _AWAY_NAMES if hasattr(errno, name))


def why_not_written(error: Exception, path: Path) -> str:
    """Return why a file couldn't be written, and what can be done."""
    if isinstance(error, DesignError):
        return f"{error}."
    code = error.errno if isinstance(error, OSError) else None
    folder = path.parent.name or str(path.parent)
    if code in _FULL:
        return "The disk is full. Make room on it, or save to another one."
    if code in _PROTECTED:
        return f"The folder {folder} can't be written to. Save to another folder."
    if code in _GONE:
        return f"The folder {folder} is no longer there. Save to another folder."
    if code in _AWAY:
        return "The drive doesn't answer. Connect it again, or save to another one."
    if code == errno.ENAMETOOLONG:
        return "The name is too long for this drive. Save under a shorter one."
    if code == errno.EISDIR:
        return f"{path.name} is a folder. Save under another name."
    if code in (errno.EINVAL, errno.EILSEQ):
        return "This drive can't hold a file of that name. Save under another one."
    return f"{_plain(error)}. Save under another name or to another folder."


def why_not_read(error: Exception, path: Path) -> str:
    """Return why a file couldn't be read."""
    if isinstance(error, DesignError):
        return str(error)
    code = error.errno if isinstance(error, OSError) else None
    if code in _GONE:
        return f"{path} is not there: it was moved, renamed or removed"
    if code in _PROTECTED:
        return f"{path.name} may not be read by you. Ask its owner to allow it"
    if code in _AWAY:
        return f"{path.name} is on a drive that doesn't answer. Connect it again"
    if code == errno.EISDIR:
        return f"{path.name} is a folder, not a design"
    return f"{path.name}: {_plain(error)}"


def _plain(error: Exception) -> str:
    if isinstance(error, OSError):
        return error.strerror or str(error)
    return str(error)
