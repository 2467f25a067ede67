"""Exports: real files of the right kind and size, checked by a second renderer."""

import os
import shutil
import struct
import subprocess
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
from PySide6.QtGui import QImage
from some import some

from app import exporting
from app.depicting import chart_sheet, written_pattern
from app.exporting import EXPORTS, NAMES, write_exports
from app.painting.choices import Choices
from app.painting.pictures import Work
from core.chart.piece import Part
from core.design.edits import set_values, set_yarn
from core.design.files import read_design
from core.errors import DesignError, Stopped
from core.pipeline import Pipeline

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def settled(demo_path):
    return Pipeline().settled_results(read_design(demo_path))


def pixels(image):
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    flat = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(
        image.height(), image.bytesPerLine()
    )
    return flat[:, : 4 * image.width()].reshape(image.height(), image.width(), 4)[..., :3].copy()


def test_every_export_is_written_and_named_after_the_design(settled, tmp_path, qapp):
    paths = write_exports(settled, tmp_path / "new", "throw", choices=Choices(dpi=72))
    assert [path.name for path in paths] == [f"throw{export.ending}" for export in EXPORTS]
    assert all(path.stat().st_size > 200 for path in paths)
    assert sorted(p.name for p in (tmp_path / "new").iterdir()) == sorted(p.name for p in paths)


def test_only_some_are_written_if_only_some_are_wanted(settled, tmp_path, qapp):
    paths = write_exports(settled, tmp_path, "throw", only=["rows-txt"])
    assert [path.name for path in paths] == ["throw-rows.txt"]


def test_an_unknown_export_is_named_and_nothing_is_written(settled, tmp_path, qapp):
    with pytest.raises(DesignError, match="'chart-bmp'"):
        write_exports(settled, tmp_path, "throw", only=["chart-bmp", "rows-txt"])
    assert not list(tmp_path.iterdir())


def test_the_picture_states_its_physical_size(settled, qapp):
    data = exporting.chart_png(settled, Choices(width_mm=100, dpi=254))
    image = QImage.fromData(data)
    assert image.width() == 1000
    assert image.dotsPerMeterX() == 10_000
    # The PNG specification's own chunk, read without Qt: pixels per unit and unit (1 = metre).
    start = data.index(b"pHYs") + 4
    across, down, unit = struct.unpack(">IIB", data[start : start + 9])
    assert (across, down, unit) == (10_000, 10_000, 1)
    body = data[start - 4 : start + 9]
    assert struct.unpack(">I", data[start + 9 : start + 13])[0] == zlib.crc32(body)
    assert b"sRGB" in data or b"iCCP" in data


def test_a_picture_can_be_asked_for_in_pixels(settled, qapp):
    image = QImage.fromData(exporting.chart_png(settled, Choices(width_px=640)))
    assert image.width() == 640


def test_a_picture_too_large_is_refused_in_a_sentence(settled, qapp):
    with pytest.raises(DesignError, match="too large"):
        exporting.chart_png(settled, Choices(width_mm=2000, dpi=1200))


def test_the_svg_uses_each_symbol_from_one_definition(settled, qapp):
    root = ET.fromstring(exporting.chart_svg(settled, Choices()))
    defined = {node.get("id") for node in root.iter(f"{SVG}symbol")}
    used = {node.get("href").removeprefix("#") for node in root.iter(f"{SVG}use")}
    assert used == defined
    assert "s-dc" in used
    assert "s-tr" not in used  # the demo has none: the key lists only what is used
    left_out = settled.design.size.repeats - 1  # the standard extract keeps one
    stitches = settled.rows.makes(0) - left_out * 12
    foundation = root.find(f"{SVG}g[@id='row-0']")
    assert len(foundation.findall(f"{SVG}use")) == stitches


def test_text_of_a_design_cannot_become_markup(settled, qapp):
    hostile = '</text><script>alert("x")</script>&<!--'
    results = Pipeline().settled_results(set_values(settled.design, title=hostile))
    root = ET.fromstring(exporting.chart_svg(results, Choices()))
    assert not list(root.iter(f"{SVG}script"))
    assert any(node.text == hostile for node in root.iter(f"{SVG}text"))


def test_the_fabric_picture_shows_the_yarns_colours(settled, qapp):
    colour = "#ff00ff"
    results = Pipeline().settled_results(set_yarn(settled.design, 0, colour=colour))
    shot = pixels(QImage.fromData(exporting.fabric_png(results, Choices(width_px=400))))
    magenta = (shot[..., 0] > 120) & (shot[..., 1] < 90) & (shot[..., 2] > 120)
    share = magenta.sum() / (shot != 255).any(axis=2).sum()
    rows = (results.yarn_of_row == 0).mean()
    assert share == pytest.approx(rows, abs=0.06)


def test_the_fabric_picture_has_the_blankets_proportion(settled, qapp):
    image = QImage.fromData(exporting.fabric_png(settled, Choices(width_px=500)))
    tops = settled.fabric.tops_mm
    wide, high = np.ptp(tops, axis=0) + settled.fabric.size.width_mm
    assert image.height() / image.width() == pytest.approx(high / wide, rel=0.01)


LOOKS = {
    "colour": Choices(width_px=900),
    "grey": Choices(width_px=900, grey=True),
    "white": Choices(width_px=900, coloured=False),
    "grid": Choices(width_px=900, straight=True, apart="lines"),
    "left": Choices(width_px=900, hand="left"),
    "part": Choices(
        width_px=900,
        part=Part(shown="part", first_row=4, last_row=6, first_repeat=3, last_repeat=4),
    ),
}


def alike(ours, theirs):
    """Return whether two pictures show the same: no block of 15 pixels is lighter or darker."""
    assert abs(theirs.height() - ours.height()) <= 1
    height = min(ours.height(), theirs.height()) // 15 * 15
    blocks = []
    for image in (ours, theirs):
        dark = 255.0 - pixels(image)[:height].mean(axis=2)
        blocks.append(dark.reshape(height // 15, 15, 60, 15).mean(axis=(1, 3)))
    away = np.abs(blocks[0] - blocks[1])
    return bool(away.max() < 25 and away.mean() < 1.5)


@pytest.fixture
def chart_fonts(tmp_path):
    """Environment in which another program finds the chart's font."""
    from app.assets import FOLDER

    (tmp_path / "fonts.conf").write_text(
        f"<fontconfig><dir>{FOLDER / 'fonts'}</dir><cachedir>{tmp_path / 'cache'}</cachedir>"
        "<include ignore_missing='yes'>/etc/fonts/fonts.conf</include></fontconfig>"
    )
    return os.environ | {"FONTCONFIG_FILE": str(tmp_path / "fonts.conf")}


@pytest.mark.skipif(not shutil.which("rsvg-convert"), reason="librsvg isn't installed")
@pytest.mark.parametrize("look", LOOKS)
def test_a_second_renderer_draws_the_same_chart_from_the_svg(
    settled, tmp_path, chart_fonts, look, qapp
):
    choices = LOOKS[look]
    ours = QImage.fromData(exporting.chart_png(settled, choices))
    (tmp_path / "chart.svg").write_bytes(exporting.chart_svg(settled, choices))
    subprocess.run(
        ["rsvg-convert", "-w", "900", str(tmp_path / "chart.svg"), "-o", str(tmp_path / "b.png")],
        check=True,
        env=chart_fonts,
    )
    assert alike(ours, QImage(str(tmp_path / "b.png")))


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="poppler isn't installed")
@pytest.mark.parametrize("look", LOOKS)
def test_a_second_renderer_draws_the_same_chart_from_the_pdf(settled, tmp_path, look, qapp):
    choices = LOOKS[look]
    ours = QImage.fromData(exporting.chart_png(settled, choices))
    (tmp_path / "chart.pdf").write_bytes(exporting.chart_pdf(settled, choices))
    subprocess.run(
        [
            *("pdftoppm", "-png", "-scale-to-x", "900", "-scale-to-y", str(ours.height())),
            *(str(tmp_path / "chart.pdf"), str(tmp_path / "b")),
        ],
        check=True,
    )
    (page,) = tmp_path.glob("b*.png")
    assert alike(ours, QImage(str(page)))


def test_pictures_that_differ_are_told_apart(settled, qapp):
    right = QImage.fromData(exporting.chart_png(settled, LOOKS["colour"]))
    left = QImage.fromData(exporting.chart_png(settled, LOOKS["left"]))
    assert alike(right, right.copy())
    assert not alike(right, left)


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="poppler isn't installed")
def test_the_pdf_has_the_printed_width_vectors_and_real_text(settled, tmp_path, qapp):
    (tmp_path / "chart.pdf").write_bytes(exporting.chart_pdf(settled, Choices(width_mm=180)))
    info = read_with("pdfinfo", tmp_path / "chart.pdf")
    size = next(line for line in info.splitlines() if line.startswith("Page size"))
    assert float(size.split()[2]) / 72 * 25.4 == pytest.approx(180, abs=0.5)
    text = read_with("pdftotext", tmp_path / "chart.pdf", "-")
    assert "repeat: 12 sts" in text
    for row, side in ((1, "RS"), (2, "WS"), (3, "RS")):
        assert str(row) in text.split()
        assert side in text.split()
    for words in ("ch = chain", "tr = treble", "tr2tog = ", "into the back loop"):
        assert words in text
    for yarn in np.unique(settled.yarn_of_row[:3]):
        assert f"= {settled.design.yarns[yarn].name}" in text
    images = read_with("pdfimages", "-list", tmp_path / "chart.pdf")
    assert len(images.splitlines()) <= 2  # the table's head alone: no picture in it


def read_with(*command):
    words = [str(word) for word in command]
    return subprocess.run(words, check=True, capture_output=True, text=True).stdout


@pytest.mark.skipif(not shutil.which("pdfinfo"), reason="poppler isn't installed")
def test_a_wide_chart_goes_over_a4_pages_that_miss_nothing(settled, tmp_path, qapp):
    part = Part(shown="part", first_row=1, last_row=20, last_repeat=4)
    choices = Choices(part=part, width_mm=420, pages="A4")
    (tmp_path / "chart.pdf").write_bytes(exporting.chart_pdf(settled, choices))
    info = read_with("pdfinfo", tmp_path / "chart.pdf")
    assert "A4" in next(line for line in info.splitlines() if line.startswith("Page size"))
    # 420 mm do not fit a page of 297 less its margins: two side by side at least.
    pages = int(next(line for line in info.splitlines() if line.startswith("Pages")).split()[1])
    assert pages >= 2
    text = read_with("pdftotext", tmp_path / "chart.pdf", "-")
    words = text.split()
    assert all(str(row) in words for row in range(1, 21))
    assert f"Page {pages} of {pages}" in text


def test_a_chart_of_too_many_pages_is_refused(settled, qapp):
    with pytest.raises(DesignError, match=r"would take [\d,]+ pages; choose"):
        choices = Choices(part=Part(shown="whole"), width_mm=5000, pages="A4")
        exporting.chart_pdf(settled, choices)


# --- pictures ------------------------------------------------------------------------------


def chunks(data):
    """Return a PNG file's chunks, read by the specification, every checksum checked."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    found, at = [], 8
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        name, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        (check,) = struct.unpack(">I", data[at + 8 + length : at + 12 + length])
        assert check == zlib.crc32(name + body)
        found.append((name, body))
        at += 12 + length
    return found


@pytest.mark.parametrize("grey", [False, True])
def test_a_picture_says_its_colours_are_srgb_and_is_grey_where_asked(settled, grey, qapp):
    data = exporting.chart_png(settled, Choices(width_px=500, grey=grey))
    found = dict(chunks(data))
    assert found[b"sRGB"] == b"\0"
    assert found[b"IHDR"][8:10] == bytes([8, 0 if grey else 2])  # 8 bits; 0 grey, 2 colour
    image = QImage.fromData(data)
    shot = pixels(image).astype(int)
    assert (np.ptp(shot, axis=2).max() == 0) == grey


def test_a_picture_made_of_many_strips_has_no_seams(settled, monkeypatch, qapp):
    from app.painting import pictures

    choices = Choices(width_px=700)
    whole = pixels(QImage.fromData(exporting.chart_png(settled, choices))).astype(int)
    monkeypatch.setattr(pictures, "_STRIP_PX", 700 * 16)
    strips = pixels(QImage.fromData(exporting.chart_png(settled, choices))).astype(int)
    away = np.abs(whole - strips).max(axis=2) > 32
    assert away.mean() < 0.002  # lines cut by a strip's edge are rounded a little otherwise
    assert away.mean(axis=1).max() < 0.05  # and no row of pixels stands out
    # The blanket's texture is laid by the pixel, so strips there agree as well.
    monkeypatch.setattr(pictures, "_STRIP_PX", 10**9)
    fabric = pixels(QImage.fromData(exporting.fabric_png(settled, Choices(width_px=400))))
    monkeypatch.setattr(pictures, "_STRIP_PX", 400 * 32)
    cut = pixels(QImage.fromData(exporting.fabric_png(settled, Choices(width_px=400))))
    assert (np.abs(fabric.astype(int) - cut.astype(int)).max(axis=2) > 24).mean() < 0.01


def test_a_picture_nobody_wants_any_more_is_left(settled, qapp):
    calls = []

    def should_stop():
        calls.append(1)
        return len(calls) > 3

    with pytest.raises(Stopped):
        exporting.chart_png(settled, Choices(width_px=4000), Work(should_stop))


def test_grey_prints_tell_rows_of_one_colour_apart(settled):
    sheet = exporting.chart_sheet(settled, Choices(grey=True))
    assert sheet.grounds[0].last - sheet.grounds[0].first == 1  # two rows in one yarn
    assert sheet.stroke_of(1).width_mm > 1.5 * sheet.stroke_of(2).width_mm
    for ground in sheet.grounds:
        red, green, blue = (ground.colour[n : n + 2] for n in (1, 3, 5))
        assert red == green == blue


def test_the_other_hand_comes_in_files_of_its_own(settled, tmp_path, qapp):
    choices = Choices(both_hands=True, dpi=72)
    paths = write_exports(
        settled, tmp_path, "throw", only=["chart-svg", "rows-txt"], choices=choices
    )
    assert [path.name for path in paths] == [
        "throw-chart.svg",
        "throw-chart-left-handed.svg",
        "throw-rows.txt",
    ]
    roots = [ET.fromstring(path.read_bytes()) for path in paths[:2]]
    one, other = (
        {node.text: float(node.get("x")) for node in root.iter(f"{SVG}text")} for root in roots
    )
    middle = float(roots[0].get("viewBox").split()[2]) / 2
    assert one["1"] > middle > one["2"]
    assert other["1"] < middle < other["2"]


def test_the_export_names_are_unique_and_stable():
    first = ("chart-svg", "chart-png", "chart-pdf", "fabric-png", "rows-txt")
    booklets = ("booklet-pdf", "booklet-plain-pdf", "booklet-large-pdf", "booklet-html")
    lists = ("shopping-pdf", "shopping-csv", "shopping-txt", "card-pdf", "ruler-pdf")
    stripes = ("stripes-pdf", "stripes-csv", "key-txt")
    assert (*first, *booklets, *lists, *stripes) == NAMES, (
        "people's scripts use these names (`--only`): name a new export here, rename none"
    )


def test_the_written_pattern_says_how_much_of_each_yarn(settled):
    text = written_pattern(settled).plain
    for use in some(settled.yarn):
        name = settled.design.yarns[use.yarn].name
        assert (
            f"{name}: 120 m in a ball of 50 g, weight class 3, light: {use.balls} balls, about"
            in text
        )


def test_a_whole_chart_is_handed_over_in_pieces_and_stops_between_them(settled, qapp):
    """Qt packs a page in one go that holds up the window, so no page has many symbols."""
    whole = Choices(part=Part(shown="whole"))
    shares = []
    exporting.chart_pdf(settled, whole, Work(progress=shares.append))
    n_symbols = len(chart_sheet(settled, whole).chart.row)
    assert len(shares) > n_symbols / 256
    assert shares == sorted(shares)
    asked = []

    def after_three():
        asked.append(1)
        return len(asked) > 3

    with pytest.raises(Stopped):
        exporting.chart_pdf(settled, whole, Work(after_three))
    assert len(asked) == 4
    with pytest.raises(Stopped):
        exporting.chart_svg(settled, whole, Work(lambda: True))
