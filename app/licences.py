"""What the program is made of, and under which licences.

From a checkout they are read from the installed packages; the installed program carries them
collected, as its packages' own notes aren't there any more.
"""

import json
import sys
import sysconfig
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from typing import Final

from app.assets import FOLDER
from core.records import Struct

_PACKAGES: Final = ("PySide6-Essentials", "shiboken6", "numpy", "pyqtgraph", "msgspec", "coloraide")
_SYSTEM_TEXTS: Final = Path("/usr/share/common-licenses")
_GNU: Final = {"LGPL-3": "LGPL-3.0", "GPL-3": "GPL-3.0"}
_LICENCE_WORDS: Final = ("licen", "copying", "notice", "copyright")
_COLLECTED: Final = FOLDER.parent / "licences"
_MOST_BYTES: Final = 1_000_000


class Component(Struct, frozen=True):
    """A part of the program made by others.

    Attributes:
        name: Its name.
        version: Its version; empty if it has none.
        licence: The licence's short name, as the part states it.
        text: The licence in full; a sentence on where to find it if it isn't here.
    """

    name: str
    version: str
    licence: str
    text: str


def components() -> tuple[Component, ...]:
    """Return the parts that the running program is made of."""
    index = _COLLECTED / "index.json"
    return _collected(index) if index.is_file() else tuple(_installed())


def write_collected(folder: Path) -> list[str]:
    """Write all licences into a folder for the installed program; return names without a text."""
    found = _installed()
    lines = []
    for part in found:
        (folder / f"{part.name}.txt").write_text(part.text, encoding="utf-8")
        lines.append({"name": part.name, "version": part.version, "licence": part.licence})
    (folder / "index.json").write_text(json.dumps(lines, indent=1), encoding="utf-8")
    return [part.name for part in found if part.text.startswith(_NOT_HERE)]


_NOT_HERE: Final = "The full text isn't on this computer."


def _collected(index: Path) -> tuple[Component, ...]:
    lines = json.loads(index.read_text(encoding="utf-8"))
    return tuple(
        Component(**line, text=(index.parent / f"{line['name']}.txt").read_text(encoding="utf-8"))
        for line in lines
    )


def _installed() -> list[Component]:
    font = (FOLDER / "fonts" / "OFL.txt").read_text(encoding="utf-8")
    return [
        _python(),
        *(part for part in map(_package, _PACKAGES) if part is not None),
        Component("Cabin (chart font)", "", "OFL-1.1", font),
    ]


def _package(name: str) -> Component | None:
    try:
        found = distribution(name)
    except PackageNotFoundError:
        return None
    notes = found.metadata.json
    stated = str(notes.get("license_expression") or notes.get("license") or "")
    texts = _texts(found)
    if "LGPL" in stated:  # the wheels name their licences but don't carry them
        texts += [
            path.read_text(encoding="utf-8", errors="replace")
            for path in (_SYSTEM_TEXTS / short for short in _GNU)
            if path.is_file()
        ]
    text = "\n\n".join(texts) or f"{_NOT_HERE} It is under {stated}."
    return Component(found.name, found.version, stated.splitlines()[0] if stated else "", text)


def _texts(found: Distribution) -> list[str]:
    texts = []
    for file in found.files or ():
        in_notes = ".dist-info" in file.parts[0]
        if in_notes and any(word in file.name.lower() for word in _LICENCE_WORDS):
            path = Path(str(found.locate_file(file)))
            if path.is_file() and path.stat().st_size <= _MOST_BYTES:
                texts.append(path.read_text(encoding="utf-8", errors="replace"))
    return texts


def _python() -> Component:
    version = ".".join(str(part) for part in sys.version_info[:3])
    places = [
        Path(sysconfig.get_path("stdlib")) / "LICENSE.txt",
        Path(sys.base_prefix) / "LICENSE.txt",
        Path("/usr/share/doc") / f"python3.{sys.version_info[1]}" / "copyright",
    ]
    path = next((place for place in places if place.is_file()), None)
    text = path.read_text(encoding="utf-8", errors="replace") if path else sys.copyright
    return Component("Python", version, "PSF-2.0", text)
