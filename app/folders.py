"""Folders: where file dialogs start, and how one is shown in the system's own window."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QStandardPaths, QUrl
from PySide6.QtGui import QDesktopServices

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


def show_folder(folder: Path) -> str:
    """Show a folder in the system's window for files; return why that can't be, if it can't."""
    if not _is_there(folder):
        return f"There is no folder {folder} any more."
    if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))):
        return f"No program to look into folders is found; the files are in {folder}."
    return ""


def _is_there(folder: Path) -> bool:
    try:
        return folder.is_dir()
    except OSError:  # a drive that is gone
        return False
