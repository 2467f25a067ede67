"""Where mutation starts: sound inputs of every kind, and the words each reader knows."""

import json
from pathlib import Path

from core.design import edits
from core.design.files import design_bytes, design_from_bytes, read_design
from core.design.journal import Record, pack
from core.rows.families import FAMILIES
from core.rows.starters import starter
from core.stripes.clipboard import text_of

ROOT = Path(__file__).resolve().parents[2]
NUMBERS = [b"0", b"-1", b"1e999", b"NaN", b"9" * 400, b"1e-320", b"0.1", b"4294967296", b"true"]
SIGNS = ["\u202e", "\u2028", "\x00", "\ufeff", "\ud800", "\U0001f9f6", "\x9b", "½", "٣", "Ⅷ"]


def _designs() -> list[bytes]:
    demo = read_design(ROOT / "assets" / "harbour-steps.dipslope")
    found = [demo, edits.set_edge_border(edits.set_end_fill(demo, "top"), rounds=2)]
    found += [starter(family) for family in FAMILIES]
    small = [design_bytes(edits.set_size(d, repeats=2, rows=6)) for d in found]
    return small + [path.read_bytes() for path in (ROOT / "tests/files/v1").glob("*.dipslope")]


def _texts() -> list[bytes]:
    found = [path.read_bytes() for path in (ROOT / "tests/golden").glob("words_*.txt")]
    return found + [
        b"Ch 147. Row 1: dc in 4th ch from hook, *dc in next 3 ch, [dc2tog] twice, dc in next 3 "
        b"ch, 3 dc in next ch; rep from * to end.\nRow 2: Ch 3, turn. Rep row 1.",
        b"Row 1 (RS): 2 sc in first st, *sc in next 10 sts, sk 2 sts; rep from * 4 times. (48 sts)",
        b"Multiple of 12 + 3. Rnd 1: (dc, ch 1, dc) in next st, sk 2. Rows 3-40: Rep Row 2.",
    ]


def _pictures() -> list[bytes]:
    from PySide6.QtCore import QBuffer, QByteArray, QIODevice
    from PySide6.QtGui import QColor, QImage, QImageWriter

    found = []
    image = QImage(9, 7, QImage.Format.Format_ARGB32)
    image.fill(QColor("#3a7ca5"))
    image.setPixelColor(3, 3, QColor(255, 0, 0, 90))
    known = {bytes(form.data()).decode() for form in QImageWriter.supportedImageFormats()}
    for kind in ("png", "jpg", "bmp", "ppm", "pgm", "webp", "gif"):
        data = QByteArray()
        buffer = QBuffer(data)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        if kind in known and image.save(buffer, kind):
            found.append(bytes(data.data()))
    gif = (
        b"GIF89a\x02\x00\x02\x00\x80\x00\x00\xff\x00\x00\x00\x00\xff!\xf9\x04\x00\x00\x00\x00\x00,"
        b"\x00\x00\x00\x00\x02\x00\x02\x00\x00\x02\x03D\x02\x05\x00;"
    )
    return [*found, gif, b"P3\n2 1\n255\n255 0 0 0 0 255\n", b"P6\n2 1\n65535\n" + bytes(12)]


def _clipboards() -> list[bytes]:
    demo = read_design(ROOT / "assets" / "harbour-steps.dipslope")
    return [text_of(demo, demo.stripes.sequence[:n]).encode() for n in (1, 3, 9)]


def _dates() -> list[bytes]:
    lines = (
        "2019-05-03",
        "3 May 2019",
        "May 3rd, 2019",
        "3.5.2019",
        "29 Feb 2020",
        "1, 1, 2, 3, 5",
    )
    return [line.encode() for line in lines] + ["\n".join(lines[:4]).encode(), b"5; 8 13,21"]


def _journals() -> list[bytes]:
    data = _designs()[0]
    about = {"path": "/home/a/b.dipslope", "title": "A", "when": 1.0}
    one, other = pack(Record(about, data)), pack(Record({}, b"{}"))
    return [one, one + other, other + other[:20] + one, other]


def _versions() -> list[bytes]:
    about = {"when": 5.0, "kind": "kept", "name": "A", "note": "B", "number": 3, "digest": "ab"}
    about["of"] = "/home/a/b.dipslope"  # type: ignore[assignment]
    design = _designs()[0]
    return [json.dumps(about).encode() + b"\n" + design, pack(Record(about, design))]


def _keys() -> list[bytes]:
    """Return every key and word of a design file."""
    found: set[bytes] = set()

    def walk(value: object) -> None:
        if isinstance(value, dict):
            for key, inner in value.items():
                found.add(json.dumps(key).encode() + b":")
                walk(inner)
        elif isinstance(value, list):
            for inner in value:
                walk(inner)
        elif isinstance(value, str) and len(value) < 20:
            found.add(json.dumps(value).encode())

    for data in _designs():
        assert design_from_bytes(data)
        walk(json.loads(data))
    more = [b'"setup":', b'"cycle":', b'"in_turn":', b'"skip":', b'"chain":', b"null", b"[]", b"{}"]
    return sorted(found) + more + NUMBERS


_ROW_WORDS = (
    "Row 1:", "Rows 2-9:", "Rnd 3:", "Rep row", "*", "; rep from *", "to end", "[", "]", "(", ")",
    "dc", "sc", "hdc", "tr", "dc2tog", "tr3tog", "ch 3", "ch 1", "sk 2", "turn", "twice", "times",
    "in next 3 sts", "in same st", "in 4th ch from hook", "blo", "flo", "multiple of", "plus",
    "Luftm", "Stb", "skip", "Colour A", "work even", "last", "each", "across", "99999999", "-", ",",
)  # fmt: skip
_DATE_WORDS = ("29", "Feb", "2019", "-", ".", "st", "May", ";", "\n", "0000", "9999", "13", "٣")

SEEDS = {
    "design": _designs,
    "blanket": _designs,
    "text": _texts,
    "picture": _pictures,
    "clipboard": _clipboards,
    "dates": _dates,
    "journal": _journals,
    "version": _versions,
}


def words_of(target: str) -> list[bytes]:
    """Return pieces that a target's reader knows."""
    signs = [sign.encode("utf-8", "surrogatepass") for sign in SIGNS]
    if target in ("design", "blanket"):
        return _keys() + signs
    if target == "text":
        return [word.encode() for word in _ROW_WORDS] + signs
    if target == "dates":
        return [word.encode() for word in _DATE_WORDS] + signs
    if target == "clipboard":
        return [b'"yarn":', b'"colour":', b'"rows":', b'"label":', b'"#3a7ca5"', *NUMBERS, *signs]
    return [b"\x00dipslope\xffjournal\x01", b"\xff\xff\xff\xff", b"\x00\x00\x00\x00", *NUMBERS]
