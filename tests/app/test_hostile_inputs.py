"""What is pasted, dropped, or picked as a picture: refused or cut in a blink, in little memory."""

import json
import struct
import subprocess
import sys
import time
import zlib
from pathlib import Path

import pytest
from memory import most_mb
from PySide6.QtCore import QSettings, QUrl

from app import documents as documents_module
from app.documents import designs_in, recent_files
from core.errors import DesignError
from core.reading.reading import read_text
from core.stripes.clipboard import stripes_in
from core.stripes.dates import read_dates
from core.stripes.series import read_widths

ROOT = Path(__file__).resolve().parents[2]
SECONDS, MB = 2.0, 420
"""Pictures may unpack to 384 MB (Qt's own limit, set in app/pictures.py)."""

READ = """
import json, resource, sys, time
from pathlib import Path
from PySide6.QtGui import QGuiApplication
application = QGuiApplication([])
from app.pictures import read_picture
from core.errors import DesignError
before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
for name in sys.argv[1:]:
    try:
        said = str(read_picture(Path(name)).image.width())
    except DesignError as error:
        said = str(error)
    now = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(json.dumps([said, time.process_time() - start, (now - before) / 1024]), flush=True)
    start = time.process_time()
"""


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width, height, data=b""):
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(data)) + chunk(b"IEND", b"")


def pictures():
    """Return pictures that claim, or hold, more than they should."""
    rows = (b"\x00" + bytes(4 * 7_000)) * 7_000  # 49 million pixels of nothing, in 200 kB
    jpeg = (
        b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xc0\x00\x11\x08"
        b"\xff\xff\xff\xff\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00\xff\xd9"
    )
    gif = (
        b"GIF89a\xff\xff\xff\xff\x80\x00\x00" + bytes(6) + b",\x00\x00\x00\x00\xff\xff\xff\xff\x00;"
    )
    riff = struct.pack("<I", 10) + b"\x10\x00\x00\x00" + b"\xfe\xff\xff" * 2
    webp = b"RIFF" + struct.pack("<I", 22) + b"WEBPVP8X" + riff
    many = b"GIF89a\x01\x00\x01\x00\x80\x00\x00" + bytes(6) + (
        b",\x00\x00\x00\x00\x01\x00\x01\x00\x00\x02\x02D\x01\x00" * 400_000) + b";"  # fmt: skip
    return {
        "claims-2-milliards.png": png(2**31 - 1, 2**31 - 1),
        "claims-a-line.png": png(50_000_000, 1),
        "unpacks-to-196-MB.png": png(7_000, 7_000, rows),
        "unpacks-past-its-end.png": png(10, 10, bytes(300_000_000)),
        "claims-4-milliards.jpg": jpeg,
        "claims-4-milliards.gif": gif,
        "claims-much.webp": webp,
        "400000-frames.gif": many,
        "claims-much.ppm": b"P6\n2000000000 2000000000\n255\n",
        "claims-much.bmp": b"BM" + bytes(8) + struct.pack(
            "<IIiiHHIIiiII", 54, 40, 2**31 - 1, 2**31 - 1, 1, 24, 0, 0, 0, 0, 0, 0),
        "drawing.svg": b'<svg xmlns="http://www.w3.org/2000/svg" width="99999" height="99999"/>',
        "laughs.png": b"<!DOCTYPE l [<!ENTITY a 'lol'>]><svg>&a;</svg>",
    }  # fmt: skip


def test_no_picture_takes_long_or_much(tmp_path):
    made = pictures()
    for name, data in made.items():
        (tmp_path / name).write_bytes(data)
    done = subprocess.run(
        [sys.executable, "-c", READ, *[str(tmp_path / name) for name in made]],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(told) == len(made)
    for name, (said, seconds, mb) in zip(made, told, strict=True):
        print(f"{name}: {1000 * seconds:.0f} ms, {mb:.0f} MB so far: {said}")
        assert seconds < SECONDS, name
        assert mb < MB, name
        assert said.startswith(name) or name in (
            "unpacks-to-196-MB.png", "unpacks-past-its-end.png", "400000-frames.gif",
        ), said  # fmt: skip


@pytest.mark.parametrize("piece", ["x", "Row 1: ", "[", "* dc ", "1", "\n", "\U0001f9f6", "(dc, "])
def test_a_hundred_megabytes_pasted_are_cut(piece, ripple):
    text = piece * (100_000_000 // len(piece.encode()))
    start = time.process_time()
    with most_mb() as took:
        with pytest.raises(DesignError, match="clipboard"):
            stripes_in(text, ripple)
        with pytest.raises(DesignError) as told:
            read_widths(text)
        assert len(str(told.value)) < 120
        with pytest.raises(DesignError) as told:
            read_dates(text)
        assert len(str(told.value)) < 120
    assert time.process_time() - start < SECONDS
    assert took[0] < 200
    reading = read_text(text)
    assert any("longer than" in trouble.message for trouble in reading.troubles)
    assert time.process_time() - start < 5 * SECONDS


def test_what_is_taken_is_seen_after_something_larger():
    large = bytearray(120_000_000)
    del large
    with most_mb() as took:
        large = bytearray(b"x" * 60_000_000)
    assert 50 < took[0] < 200 and len(large)


def test_what_is_dropped_may_be_anything():
    urls = [
        QUrl("http://x.invalid/a.dipslope"),
        QUrl("file://elsewhere.invalid/share/a.dipslope"),
        QUrl("javascript:alert(1)//.dipslope"),
        QUrl("data:text/plain,.dipslope"),
        QUrl(""),
        QUrl("file:///a/b.exe"),
        QUrl.fromLocalFile("/a/b.DIPSLOPE"),
    ]
    assert [str(path) for path in designs_in(urls)][-1] == "/a/b.DIPSLOPE"
    assert len(designs_in(urls)) <= 2


def test_a_drop_of_a_thousand_designs_opens_a_handful(monkeypatch):
    opened, heard = [], []

    class Some:
        open_dropped = documents_module.Documents.open_dropped

        def __init__(self):
            self.said = self

        def emit(self, text):
            heard.append(text)

        def open_asking_first(self, path):
            return True

        def open_beside(self, path):
            opened.append(path)

    Some().open_dropped([Path(f"/a/{n}.dipslope") for n in range(1000)])
    assert len(opened) == 7
    assert heard == ["8 of 1,000 designs were opened; open others when some are closed"]


@pytest.mark.parametrize(
    "kept",
    [5, "x" * 100_000, ["\x00"], ["a" * 9_000] * 50, [{}], {"a": 1}, [None, 3.5], b"\xff" * 9],
)
def test_settings_may_hold_anything(kept, tmp_path):
    settings = QSettings(str(tmp_path / "s.ini"), QSettings.Format.IniFormat)
    settings.setValue("recent", kept)
    settings.sync()
    again = QSettings(str(tmp_path / "s.ini"), QSettings.Format.IniFormat)
    found = recent_files(again)
    assert len(found) <= 30
    for path in found:
        documents_module._is_file(path)
    assert documents_module.file_to_reopen(again) is None
