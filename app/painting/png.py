"""Pixels as a PNG file that says how large it is in print and that its colours are sRGB.

Written here rather than by Qt for three reasons: strips can be encoded as they are painted, so
that a large picture needs little memory and can be stopped; the compressor lets the window's
thread run meanwhile; and the file states sRGB by the specification's own chunk.

Source: Portable Network Graphics (PNG) Specification (Third Edition), W3C: chunks IHDR, sRGB,
pHYs, IDAT, IEND; filter type 2 (Up).
"""

import struct
import zlib
from typing import Final

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]

_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"
_GREY, _RGB = 0, 2
_PERCEPTUAL: Final = 0
_METRE: Final = 1
_LEVEL: Final = 6
_UP: Final = 2


class PngWriter:
    """Takes a picture strip by strip from above and gives back its file."""

    def __init__(self, width: int, height: int, *, per_metre: int, grey: bool) -> None:
        self._channels = 1 if grey else 3
        self._before = np.zeros(width * self._channels, dtype=np.uint8)
        kind = _GREY if grey else _RGB
        self._parts = [
            _SIGNATURE,
            _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, kind, 0, 0, 0)),
            _chunk(b"sRGB", bytes([_PERCEPTUAL])),
            _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, _METRE)),
        ]
        self._compressor = zlib.compressobj(_LEVEL)

    def add(self, strip: Pixels) -> None:
        """Add rows of pixels.

        Args:
            strip: Shape (rows, width) in grey, (rows, width, 3) in colour.
        """
        rows = strip.reshape(len(strip), -1)
        above = np.concatenate([self._before[np.newaxis], rows[:-1]])
        filtered = np.empty((len(rows), rows.shape[1] + 1), dtype=np.uint8)
        filtered[:, 0] = _UP
        np.subtract(rows, above, out=filtered[:, 1:])
        self._before = rows[-1].copy()
        self._add_data(self._compressor.compress(filtered.tobytes()))

    def finish(self) -> bytes:
        """Return the whole file."""
        self._add_data(self._compressor.flush())
        return b"".join([*self._parts, _chunk(b"IEND", b"")])

    def _add_data(self, data: bytes) -> None:
        if data:
            self._parts.append(_chunk(b"IDAT", data))


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
