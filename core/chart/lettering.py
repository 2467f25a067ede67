"""How wide words come out before anybody sets them, and where they have to be broken.

The widths are those of a wide sans-serif (shares of the type size, from memory), so that words
stay within their room whichever font a viewer has.
"""

from typing import Final

_NARROW: Final = "fijlrtI .,:;'!|()[]/-·"
_WIDE: Final = "mwMW@%—&"
_EM: Final = {"narrow": 0.40, "wide": 0.98, "capital": 0.70, "other": 0.62}


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide `text` is in type of `size`, in the unit of `size`."""
    ems = sum(_ems(letter) for letter in text)
    return ems * size * (1.1 if bold else 1.0)


def _ems(letter: str) -> float:
    if letter in _NARROW:
        return _EM["narrow"]
    if letter in _WIDE:
        return _EM["wide"]
    if ord(letter) > 0x2E80:  # scripts whose letters fill a square
        return 1.0
    return _EM["capital"] if letter.isupper() else _EM["other"]


def broken(text: str, size: float, room: float, *, bold: bool = False) -> list[str]:
    """Return `text` in lines that fit into `room`; a word that is longer is broken itself."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if width_of(longer, size, bold=bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        while width_of(word, size, bold=bold) > room and len(word) > 1:
            cut = len(word) - 1
            while cut > 1 and width_of(word[:cut], size, bold=bold) > room:
                cut -= 1
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    return [*lines, line] if line else lines
