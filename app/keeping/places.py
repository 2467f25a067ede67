"""Where things are kept: folders under the program's own, named after the designs' files."""

from hashlib import blake2b
from pathlib import Path

from PySide6.QtCore import QStandardPaths

from core.design import disk
from core.records import Struct


def usual_folder() -> Path:
    """Return the folder where this user's programs keep such things."""
    name = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    return Path(name) / "kept" if name else Path.home() / ".dipslope"


def key_of(path: Path) -> str:
    """Return a short name for a file; links to one file have the same one."""
    try:
        path = disk.followed(path.absolute())
    except OSError:
        path = path.absolute()
    return blake2b(str(path).encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()


class Places(Struct, frozen=True):
    """The folders; none of them needs to be there."""

    root: Path

    @property
    def journals(self) -> Path:
        """Journals of open designs, and who holds them."""
        return self.root / "open"

    @property
    def pictures(self) -> Path:
        """Small pictures of the designs used last."""
        return self.root / "pictures"

    @property
    def all_versions(self) -> Path:
        """A folder of versions for every design."""
        return self.root / "versions"

    @property
    def shelf(self) -> Path:
        """The shelf of yarns, its backups, and files of it that couldn't be read."""
        return self.root / "shelf"

    def versions(self, key: str) -> Path:
        """Return the folder of one design's versions."""
        return self.all_versions / key
