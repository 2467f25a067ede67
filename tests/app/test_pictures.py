"""Pictures read within limits; what isn't one is refused in one sentence."""

import random
import struct
import zlib

import numpy as np
import pytest
from coloraide import Color
from PySide6.QtGui import QColor, QColorSpace, QImage

from app import pictures
from app.pictures import MOST_PIXELS, is_picture_name, read_picture
from core.errors import DesignError
from core.palette.cluster import colours_of
from core.stripes.colour import difference

pytestmark = [
    pytest.mark.usefixtures("qapp"),
    # Qt's own readers say on the log what is wrong with a file that was broken on purpose.
    pytest.mark.qt_log_ignore("."),
]


def image(width, height, colour="#336699"):
    picture = QImage(width, height, QImage.Format.Format_ARGB32)
    picture.fill(QColor(colour))
    return picture


def saved(tmp_path, picture, name="cups.png", kind=None):
    path = tmp_path / name
    assert picture.save(str(path), kind)
    return path


def refusal(path):
    with pytest.raises(DesignError) as caught:
        read_picture(path)
    text = str(caught.value)
    assert path.name in text and text.endswith(".") and "\n" not in text and len(text) < 160
    return text


@pytest.mark.parametrize("kind", ["png", "jpg", "bmp", "webp", "ppm"])
def test_usual_kinds_are_read(tmp_path, kind):
    found = read_picture(saved(tmp_path, image(900, 300), f"cups.{kind}"))
    assert (found.image.width(), found.image.height()) == (720, 240)
    assert found.pixels.shape == (85, 256, 4)
    assert difference(colours_of(found.pixels, 5)[0].colour, "#336699") < 1.5
    assert not found.moves and found.name == f"cups.{kind}"


def test_a_small_picture_is_not_blown_up(tmp_path):
    found = read_picture(saved(tmp_path, image(1, 1)))
    assert found.pixels.shape == (1, 1, 4)
    assert [one.colour for one in colours_of(found.pixels, 12)] == ["#336699"]


def test_very_long_pictures_keep_a_pixel_of_height(tmp_path):
    assert read_picture(saved(tmp_path, image(9000, 1))).pixels.shape[0] == 1


def test_the_content_counts_not_the_name(tmp_path):
    path = tmp_path / "cups.png"
    saved(tmp_path, image(8, 8), "cups.jpg").rename(path)
    assert read_picture(path).pixels.shape == (8, 8, 4)


def test_a_cameras_wider_colours_are_shown_as_the_screens(tmp_path):
    # The green of Display P3 lies outside sRGB; a mid colour keeps its look, not its numbers.
    wide = QColorSpace(QColorSpace.NamedColorSpace.DisplayP3)
    picture = image(8, 8, "#5a8050")
    picture.setColorSpace(wide)
    found = read_picture(saved(tmp_path, picture)).pixels[4, 4, :3] / 255
    wanted = Color("color(display-p3 0.353 0.502 0.314)").convert("srgb").coords()
    assert found == pytest.approx(wanted, abs=1.6 / 255)
    assert np.abs(found - [0.353, 0.502, 0.314]).max() > 0.02


def test_pictures_for_the_press_are_read(tmp_path):
    picture = image(8, 8, "#c04030").convertToFormat(QImage.Format.Format_CMYK8888)
    path = tmp_path / "cups.jpg"
    if not picture.save(str(path)):
        pytest.skip("this Qt writes no such file")
    found = read_picture(path).pixels[4, 4, :3].astype(int)
    assert found[0] > found[1] + 60 and found[0] > found[2] + 60


@pytest.mark.parametrize(
    "form", ["Format_Grayscale8", "Format_Mono", "Format_Indexed8", "Format_RGBA64"]
)
def test_every_depth_is_read(tmp_path, form):
    picture = image(8, 8, "#ffffff").convertToFormat(getattr(QImage.Format, form))
    assert read_picture(saved(tmp_path, picture)).pixels[4, 4].tolist() == [255] * 4


def test_covers_are_read_too(tmp_path):
    clear = image(10, 10)
    clear.fill(QColor(0, 0, 0, 0))
    found = read_picture(saved(tmp_path, clear))
    with pytest.raises(DesignError, match="clear all over"):
        colours_of(found.pixels, 3)


@pytest.mark.parametrize(
    "content",
    [b"hello", b"\x89PNG\r\n\x1a\n", b"GIF89a", b"BM", b"\xff\xd8\xff", b"<svg/>", b"\0" * 999],
)
def test_what_is_no_picture_is_refused(tmp_path, content):
    path = tmp_path / "cups.png"
    path.write_bytes(content)
    refusal(path)


def test_drawings_in_lines_are_refused(tmp_path):
    path = tmp_path / "cups.png"
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>')
    assert "isn't a picture" in refusal(path)


def test_nothing_missing_and_folders_are_refused(tmp_path):
    empty = tmp_path / "empty.png"
    empty.write_bytes(b"")
    assert "is empty" in refusal(empty)
    assert "can't be read" in refusal(tmp_path / "gone.png")
    assert "is a folder" in refusal(tmp_path)


def chunk(kind, data):
    body = kind + data
    return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))


def test_a_giant_is_refused_before_it_is_unpacked(tmp_path):
    # A hundred bytes that say they are 3.6 thousand million pixels.
    path = tmp_path / "giant.png"
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0"))
        + chunk(b"IEND", b"")
    )
    assert f"{MOST_PIXELS // 1_000_000} million" in refusal(path)


def test_a_heavy_file_is_refused_unread(tmp_path, monkeypatch):
    monkeypatch.setattr(pictures, "MOST_BYTES", 1024 * 1024)
    path = tmp_path / "heavy.png"
    path.write_bytes(b"\0" * (1024 * 1024 + 1))
    assert "larger than 1 MB" in refusal(path)


# Two frames of 2 by 1 pixels, written by hand from the format's published layout (GIF89a).
_FRAME = b"\x21\xf9\x04\x00\x0a\x00\x00\x00" + b"\x2c" + struct.pack("<HHHHB", 0, 0, 2, 1, 0)
GIF = (
    b"GIF89a"
    + struct.pack("<HHBBB", 2, 1, 0x80, 0, 0)
    + b"\xff\x00\x00\x00\x00\xff"
    + 2 * (_FRAME + b"\x02\x02\x44\x0a\x00")
    + b"\x3b"
)


def test_a_moving_picture_gives_its_first(tmp_path):
    path = tmp_path / "moves.gif"
    path.write_bytes(GIF)
    found = read_picture(path)
    assert found.moves and found.pixels.shape == (1, 2, 4)


@pytest.mark.parametrize("kind", ["png", "jpg", "webp", "bmp", "gif", "ppm"])
def test_broken_bytes_give_a_picture_or_a_sentence(tmp_path, kind):
    rng = np.random.default_rng(4)
    noise = rng.integers(0, 256, (40, 50, 3)).astype(np.uint8)
    path = tmp_path / f"cups.{kind}"
    if kind == "gif":
        path.write_bytes(GIF)
    else:
        QImage(noise.data, 50, 40, 150, QImage.Format.Format_RGB888).save(str(path))
    whole, dice = path.read_bytes(), random.Random(6)
    for _ in range(60):
        broken = bytearray(whole)
        for _ in range(dice.randint(1, 8)):
            broken[dice.randrange(len(broken))] = dice.randrange(256)
        if dice.random() < 0.4:
            del broken[dice.randrange(1, len(broken)) :]
        path.write_bytes(bytes(broken))
        try:
            found = read_picture(path)
        except DesignError as error:
            assert path.name in str(error)
        else:
            assert max(found.pixels.shape[:2]) <= 256
            if (found.pixels[..., 3] >= 128).any():
                assert colours_of(found.pixels, 6)


def test_names_of_pictures_are_known(tmp_path):
    assert is_picture_name(tmp_path / "Cups.JPG")
    assert not is_picture_name(tmp_path / "throw.dipslope")
