"""Where file dialogs start: the design's own folder, else one that people keep such things in."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QStandardPaths

_DOCUMENTS = QStandardPaths.StandardLocation.DocumentsLocation


def first_folder(path: Path | None, recent: Sequence[Path]) -> Path:
    """Return the folder of a design's file; without one that of the last design, or documents.

    Only folders that are there are returned, the home folder at last.
    """
    if path is not None:
        return path.parent
    documents = QStandardPaths.writableLocation(_DOCUMENTS)
    likely = [one.parent for one in recent[:1]] + ([Path(documents)] if documents else [])
    return next((folder for folder in likely if _is_there(folder)), Path.home())


def _is_there(folder: Path) -> bool:
    try:
        return folder.is_dir()
    except OSError:  # a drive that is gone
        return False
