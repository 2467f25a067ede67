"""What is seen, printed: the same part, its scale true to a ruler."""

import re
import shutil
import subprocess

import numpy as np
import pytest
from PySide6.QtGui import QImage

from app.assets import chart_font
from app.painting.fabric import Manner
from app.paper.seen import Seen, SeenChart, SeenFabric, scale_on, scale_words, seen_sheets
from app.paper.sheets import MARGIN
from core.booklet.options import PAGES_MM


@pytest.fixture
def seen(qapp, results):
    left, bottom, right, top = results.fabric.bounds_mm()
    part = (left, bottom, 0.5 * (left + right), 0.5 * (bottom + top))
    chart = SeenChart(results.fabric, part)
    cloth = SeenFabric((left - 5, bottom - 5, right + 5, top + 5), Manner())
    return Seen(results=results, title="A ripple", chart=chart, fabric=cloth)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_each_is_a_page_and_fits_between_the_margins(seen, paper):
    sheets = seen_sheets(seen, paper, chart_font(), 60)
    assert [page.kind for page in sheets.pages] == ["Chart as seen", "Fabric as seen"]
    left, bottom, right, top = seen.fabric.bounds_mm
    scale = scale_on(seen.fabric.bounds_mm, paper)
    wide, high = PAGES_MM[paper]
    assert scale * (right - left) <= wide - 2 * MARGIN + 1e-6
    assert scale * (top - bottom) <= high - 2 * MARGIN


def bar_on_paper_mm(seen):
    """Return the length of the bar, measured in the picture of the page."""
    px_per_mm = 4.0
    sheets = seen_sheets(seen, "a4", chart_font(), 60)
    picture = sheets.image(1, round(210 * px_per_mm)).convertToFormat(QImage.Format.Format_RGB32)
    flat = np.frombuffer(picture.constBits(), np.uint8)
    grey = flat.reshape(picture.height(), -1)[:, 0 : 4 * picture.width() : 4]
    _left, bottom, _right, top = seen.fabric.bounds_mm
    scale = scale_on(seen.fabric.bounds_mm, "a4")
    y = round((MARGIN + 16 + scale * (top - bottom) + 5) * px_per_mm)
    row = grey[y, round((MARGIN - 2) * px_per_mm) :]
    dark = np.flatnonzero(row < 120)
    run = dark[: np.flatnonzero(np.diff(np.append(dark, 10**6)) > 1)[0] + 1]
    return len(run) / px_per_mm


def told_by(program, seen, tmp_path, *words):
    path = tmp_path / "seen.pdf"
    path.write_bytes(seen_sheets(seen, "a4", chart_font(), 60).pdf())
    told = subprocess.run([program, path, *words], check=True, capture_output=True, text=True)
    return told.stdout


@pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="poppler isn't installed")
def test_it_is_a_pdf_with_its_title(seen, tmp_path):
    told = told_by("pdfinfo", seen, tmp_path)
    assert re.search(r"^Title:\s+A ripple$", told, re.MULTILINE)
    assert re.search(r"^Pages:\s+2$", told, re.MULTILINE)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler isn't installed")
def test_the_scale_that_is_told_is_that_of_the_bar(seen, tmp_path):
    """The bar says how much of the fabric it is; at the told scale that is its length on paper."""
    page = told_by("pdftotext", seen, tmp_path, "-").split("\f")[1]
    fabric_mm = 10 * float(re.search(r"([\d.]+) cm of fabric", page)[1])
    whole, part = re.search(r"Fabric, ([\d.]+) : ([\d.]+) before washing", page).groups()
    on_paper_mm = fabric_mm * float(whole) / float(part)
    assert bar_on_paper_mm(seen) == pytest.approx(on_paper_mm, rel=0.05)


def test_scales_are_said_as_on_maps():
    assert scale_words(0.25) == "1 : 4.0"
    assert scale_words(1 / 12) == "1 : 12"
    assert scale_words(2.0) == "2.0 : 1"
