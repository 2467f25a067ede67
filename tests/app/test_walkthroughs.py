"""The three things a designer comes for, by hand in the real window, to files that are checked.

Sketching wave proportions by eye; seeing the stripe order before yarn is bought; exporting a
chart for a pattern. Every act is a mouse or key event; what comes out is read by other means.
"""

import math
import re
import shutil
import struct
import subprocess
import xml.etree.ElementTree as ET

import pytest
from desk import LEFT, SOON, Key, Mods, drag_held
from PySide6.QtCore import QPoint, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QLineEdit

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def window(open_window):
    return open_window(active=True)


def in_dialog(kind, do):
    """Do something in the next dialog of a kind, which holds up everything behind it."""
    done = []

    def look():
        dialog = QApplication.activeModalWidget()
        if type(dialog).__name__ != kind:
            QTimer.singleShot(20, look)
            return
        do(dialog)
        done.append(dialog)

    QTimer.singleShot(0, look)
    return done


# --- sketching wave proportions by eye ------------------------------------------------------------


def test_a_wave_is_pulled_then_drawn_and_each_row_still_closes(window, qtbot):
    before, first = window.session.design, window.live.results
    run = next(m for m in window.wave._marks() if m.kind == "run")
    at = window.wave._at(run, window.wave._placing()).toPoint()
    drag_held(window.wave, at, at - QPoint(0, 15), at - QPoint(0, 40))
    pulled = window.live.results
    assert pulled.rows.foundation.multiple > first.rows.foundation.multiple
    assert str(pulled.rows.foundation.chains) in window.sentence.text()

    def draw(dialog):
        surface = dialog.surface
        qtbot.waitUntil(lambda: surface.has_wave, timeout=SOON)
        placing = surface.placing()
        wide, tall = 90 * 2 * placing.scale, 0.5 * 26 * placing.scale
        turns = 2 * 2 * math.pi / wide  # two waves
        xs = range(0, round(wide), 5)
        heights = [round(placing.y + tall * math.cos(turns * x)) for x in xs]
        drag_held(
            surface,
            *(QPoint(round(placing.x + 12 + x), y) for x, y in zip(xs, heights, strict=True)),
        )
        qtbot.waitUntil(lambda: dialog.cards[0].offer is not None, timeout=SOON)
        qtbot.waitUntil(lambda: not dialog._finder.is_busy, timeout=SOON)
        QTest.mouseClick(dialog.cards[0].button, LEFT)

    done = in_dialog("SketchDialog", draw)
    QTest.keyClick(window, Key.Key_F7)
    qtbot.waitUntil(lambda: bool(done), timeout=SOON)
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=SOON)
    drawn = window.live.results
    assert drawn.rows.misfit is None
    assert drawn.wave.repeat_width_mm == pytest.approx(90, rel=0.2)
    # Ripples of one height close when a repeat makes as many stitches as it uses.
    rows = drawn.rows
    for number in range(2, window.session.design.size.rows + 1):
        used = {int(foot) for _, foot in rows.plan(number).links}
        assert max(used) < rows.makes(number - 1)
    window.activateWindow()  # a desktop gives it back to the window behind a dialog
    qtbot.waitUntil(window.isActiveWindow)
    assert window.session.undo_stack.count() == 2
    QTest.keyClick(window, Key.Key_Z, Mods.ControlModifier)
    QTest.keyClick(window, Key.Key_Z, Mods.ControlModifier)
    assert window.session.design is before


# --- the stripe order before yarn is bought -------------------------------------------------------


def colours_down(window, count):
    """Return the fabric's colours up its middle, one from each of `count` heights."""
    picture = window.fabric.grab().toImage()
    x = picture.width() // 2
    step = max(picture.height() // count, 1)
    return [picture.pixelColor(x, y).name() for y in range(0, picture.height(), step)]


def metres(window):
    return [use.body_m for use in window.live.results.yarn]


def test_a_stripe_order_is_tried_on_the_true_shape_and_its_yarn_follows(window, qtbot):
    window.show_page(window.pages.index(window.yarn))
    design, rows = window.session.design, window.session.design.size.rows
    before = metres(window)
    first = colours_down(window, 300)
    window.strip.setFocus()
    QTest.keyClick(window.strip, Key.Key_Home)
    QTest.keyClick(window.strip, Key.Key_2)  # the second yarn
    QTest.keyClick(window.strip, Key.Key_Plus)
    QTest.keyClick(window.strip, Key.Key_Up, Mods.AltModifier)
    changed = window.session.design
    assert changed.stripes != design.stripes
    assert changed.size.rows == rows  # an order is not a size
    after = metres(window)
    assert after != pytest.approx(before)
    # The same rows in other colours: what one yarn needs less the others need more.
    assert sum(after) == pytest.approx(sum(before))
    QApplication.processEvents()
    assert colours_down(window, 300) != first  # in the very next picture
    steps = window.session.undo_stack.count()
    assert steps == 3
    for _ in range(steps):
        QTest.keyClick(window, Key.Key_Z, Mods.ControlModifier)
    assert window.session.design is design
    assert metres(window) == before


# --- a chart for a pattern ------------------------------------------------------------------------


def ticked(dialog, *words):
    for box in dialog.findChildren(QCheckBox):
        if any(word in box.text() for word in words) and not box.isChecked():
            QTest.mouseClick(box, LEFT, pos=QPoint(8, box.height() // 2))


@pytest.fixture
def exported(window, tmp_path, qtbot):
    """Export by Ctrl+E into a folder that is typed."""
    folder = tmp_path / "for the pattern"

    def export(dialog):
        field = next(f for f in dialog.findChildren(QLineEdit) if f.accessibleName() == "Folder")
        field.selectAll()
        QTest.keyClicks(field, str(folder))
        ticked(dialog, "PDF")
        QTest.mouseClick(dialog.save, LEFT)
        qtbot.waitUntil(lambda: bool(dialog.written), timeout=SOON)

    done = in_dialog("ExportDialog", export)
    QTest.keyClick(window, Key.Key_E, Mods.ControlModifier)
    assert done
    return {path.suffix + path.stem.rsplit("-", 1)[-1]: path for path in folder.iterdir()}


def test_a_chart_is_exported_as_drawing_picture_and_page(exported, window):
    svg = ET.parse(exported[".svgchart"]).getroot()
    uses = [use.get("href") or use.get("{http://www.w3.org/1999/xlink}href")
            for use in svg.iter(f"{SVG}use")]  # fmt: skip
    assert len(uses) > 60
    symbols = {symbol.get("id") for symbol in svg.iter(f"{SVG}symbol")}
    assert {use.removeprefix("#") for use in uses} <= symbols
    png = exported[".pngchart"].read_bytes()
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    assert b"sRGB" in png[:200]
    across, up, unit = struct.unpack(">IIB", png[png.index(b"pHYs") + 4 :][:9])
    assert (across == up, unit) == (True, 1)  # PNG specification, 11.3.4.3: 1 is the metre
    width = struct.unpack(">I", png[16:20])[0]
    printed_mm = 1000 * width / across
    stated = float(re.match(r"[\d.]+", svg.get("width")).group())
    assert printed_mm == pytest.approx(stated, abs=0.5)
    rows = exported[".txtrows"].read_text()
    chains, multiple = (
        int(n) for n in re.search(r"[Cc]h(?:ain)? (\d+).*?multiple of (\d+)", rows, re.S).groups()
    )
    assert (chains, multiple) == (147, 12)  # as the sentence says; 12 x 12 + 3


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler isn't installed")
def test_the_pages_hold_real_text(exported):
    (pdf,) = [path for name, path in exported.items() if name == ".pdfchart"]
    text = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "treble" in text
