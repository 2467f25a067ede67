"""Exports: real files of the right kind and size, checked by a second renderer."""

import shutil
import struct
import subprocess
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
from PySide6.QtGui import QImage

from app import exporting
from app.exporting import EXPORTS, NAMES, Choices, write_exports
from core.design.edits import set_values, set_yarn
from core.design.files import read_design
from core.errors import DesignError
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
    assert all(path.stat().st_size > 500 for path in paths)
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
    stitches = settled.rows.makes(0) - 9 * 12
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


@pytest.mark.skipif(not shutil.which("rsvg-convert"), reason="librsvg isn't installed")
def test_a_second_renderer_draws_the_same_chart_from_the_svg(settled, tmp_path, qapp):
    choices = Choices(width_px=900, with_key=False, coloured=False)
    ours = QImage.fromData(exporting.chart_png(settled, choices))
    (tmp_path / "chart.svg").write_bytes(exporting.chart_svg(settled, choices))
    subprocess.run(
        ["rsvg-convert", "-w", "900", str(tmp_path / "chart.svg"), "-o", str(tmp_path / "b.png")],
        check=True,
    )
    theirs = QImage(str(tmp_path / "b.png"))
    assert abs(theirs.height() - ours.height()) <= 1
    height = min(ours.height(), theirs.height())
    ink_a = 255 - pixels(ours)[:height].mean(axis=2)
    ink_b = 255 - pixels(theirs)[:height].mean(axis=2)
    assert ink_b.sum() == pytest.approx(ink_a.sum(), rel=0.05)
    # The same places: blocks of 30 pixels hold the same ink but for a small part of full ink.
    # The title above is set in another font where the bundled one isn't installed.
    cut = height // 30 * 30
    blocks = [ink[:cut].reshape(cut // 30, 30, 30, 30).mean(axis=(1, 3)) for ink in (ink_a, ink_b)]
    blocks = [block[4:] for block in blocks]
    assert np.abs(blocks[0] - blocks[1]).max() < 0.16 * 255  # row numbers differ in font too


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="poppler isn't installed")
def test_the_pdf_has_the_printed_width_vectors_and_real_text(settled, tmp_path, qapp):
    (tmp_path / "chart.pdf").write_bytes(exporting.chart_pdf(settled, Choices(width_mm=180)))
    info = subprocess.run(
        ["pdfinfo", str(tmp_path / "chart.pdf")], check=True, capture_output=True, text=True
    ).stdout
    size = next(line for line in info.splitlines() if line.startswith("Page size"))
    assert float(size.split()[2]) / 72 * 25.4 == pytest.approx(180, abs=0.5)
    text = subprocess.run(
        ["pdftotext", str(tmp_path / "chart.pdf"), "-"], check=True, capture_output=True, text=True
    ).stdout
    assert "repeat: 12 sts" in text
    images = subprocess.run(
        ["pdfimages", "-list", str(tmp_path / "chart.pdf")],
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    assert len(images.splitlines()) <= 2  # the table's head alone: no picture in it


def test_the_export_names_are_unique_and_stable():
    first = ("chart-svg", "chart-png", "chart-pdf", "fabric-png", "rows-txt")
    booklets = ("booklet-pdf", "booklet-plain-pdf", "booklet-large-pdf", "booklet-html")
    assert (*first, *booklets) == NAMES


def test_the_written_pattern_says_how_much_of_each_yarn(settled):
    text = exporting.written_pattern(settled).plain
    for use in settled.yarn:
        name = settled.design.yarns[use.yarn].name
        assert f"{name}: 120 m in a ball of 50 g: {use.balls} balls, about" in text
