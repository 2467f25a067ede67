"""Sheets on paper: true to size by a second renderer, whole in print, chosen in their window."""

import re
import shutil
import subprocess

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QWidget

from app import paper_dialog
from app.exporting import paper_ending
from app.painting.choices import Choices
from app.paper.making import SHEETS
from app.paper.ruler import bar_place, room_mm, strip_places
from app.paper_dialog import PaperDialog
from app.paper_work import Job, Wish, do
from app.papers import paper_pdf, paper_sheets
from core.booklet.options import PAGES_MM
from core.design.document import Border, Edging, EndFill, Size, Stripe, Stripes, Yarn
from core.design.edits import set_gauge, set_stitch, set_values
from core.fabric.relax import never
from core.paper.ruler import ruler_of
from core.paper.shopping import shopping_list, shopping_text
from core.paper.stripe_list import stripe_lines, stripe_table
from core.pipeline import Pipeline
from core.reading.own import set_own_words
from core.rows.build import build_rows
from core.words.write import written_rows

SOON = 20_000
DPI = 600
needs_poppler = pytest.mark.skipif(not shutil.which("pdftoppm"), reason="needs pdftoppm")


@pytest.fixture(scope="module")
def results(demo):
    return Pipeline().results(demo)


def grey(path, page, dpi):
    """Return a page as a second renderer paints it, 0 black to 255, shape (height, width)."""
    out = path.with_suffix("")
    subprocess.run(
        ["pdftoppm", "-r", str(dpi), "-gray", "-f", str(page), "-l", str(page), "-singlefile",
         str(path), str(out)],
        check=True,
    )  # fmt: skip
    image = QImage(str(out.with_suffix(".pgm"))).convertToFormat(QImage.Format.Format_Grayscale8)
    flat = np.frombuffer(image.constBits(), dtype=np.uint8)
    return flat.reshape(image.height(), image.bytesPerLine())[:, : image.width()].copy()


def mm(pixels):
    return pixels / DPI * 25.4


def dark_runs(line, least=2):
    """Return where a line of pixels is dark: first and last pixel of each run."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], line < 100, [False]]).astype(int)))
    return [(a, b - 1) for a, b in edges.reshape(-1, 2).tolist() if b - a >= least]


# --- true size ------------------------------------------------------------------------------


@needs_poppler
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_ruler_prints_true(results, tmp_path, qapp, paper, hand):
    path = tmp_path / "ruler.pdf"
    choices = Choices(paper=paper, hand=hand)
    data = paper_pdf(results, ("ruler",), choices)
    path.write_bytes(data)
    wide, high = PAGES_MM[paper]
    for box in re.findall(rb"/MediaBox \[([^\]]*)\]", data):
        found = [float(part) / 72 * 25.4 for part in box.split()]
        assert found == pytest.approx([0, 0, wide, high], abs=0.2)
    page = grey(path, 1, DPI)
    assert page.shape == (
        pytest.approx(high / 25.4 * DPI, abs=3),
        pytest.approx(wide / 25.4 * DPI, abs=3),
    )
    # The bar: its end marks stand 2.2 mm over its middle, outside the black and white fields.
    x, y = bar_place(paper)
    line = page[round((y - 1.7) / 25.4 * DPI), : round((x + 106) / 25.4 * DPI)]
    marks = [mm((a + b) / 2) for a, b in dark_runs(line)]
    assert marks == pytest.approx([x, x + 100], abs=0.3)
    assert marks[1] - marks[0] == pytest.approx(100, abs=0.1)
    line = page[round((y + 7 - 1.7) / 25.4 * DPI), : round((x + 106) / 25.4 * DPI)]
    marks = [mm((a + b) / 2) for a, b in dark_runs(line)]
    assert marks[1] - marks[0] == pytest.approx(101.6, abs=0.1)
    # The upright bar: eleven marks 10 mm apart.
    column = page[:, round((wide - 12 - 1 - 1.5) / 25.4 * DPI)]
    marks = [mm((a + b) / 2) for a, b in dark_runs(column)]
    assert len(marks) >= 11
    assert np.diff(marks[:11]) == pytest.approx(np.full(10, 10.0), abs=0.1)
    # Rows: the lines across the numbers of the first strip lie at the settled heights.
    handed = Pipeline().results(set_values(results.design, hand=hand))
    ruler = ruler_of(handed, room_mm(paper))
    strip = ruler.strips[0]
    left, across, foot = strip_places(paper, first=True, number=0)
    edge = 11.5 if hand == "right" else across - 11.5
    column = page[:, round((left + edge) / 25.4 * DPI)]
    lines = [mm((a + b) / 2) for a, b in dark_runs(column) if mm(b - a) < 0.5]
    tops = ruler.tops_mm[ruler.tops_mm <= strip.top_mm + 1e-6]
    wanted = sorted(foot - tops)
    near = [min(lines, key=lambda at: abs(at - one)) for one in wanted]
    assert len(wanted) > 5 and near == pytest.approx(wanted, abs=0.3)


def test_the_strips_heights_are_the_models_for_other_stitches(demo, qapp):
    single = set_gauge(set_stitch(demo, "sc"), stitches=14, rows=16)
    low = ruler_of(Pipeline().results(single), 230).row_mm
    high = ruler_of(Pipeline().results(demo), 230).row_mm
    assert 100 / 16 < low < 0.7 * high  # runs that lean rise by more than a row's height


@needs_poppler
def test_stripes_are_told_apart_in_grey(demo, tmp_path, qapp):
    """Two yarns as light as each other: only pattern and letter are left."""
    yarns = (
        replace(demo.yarns[0], name="Slate", colour="#808080"),
        replace(demo.yarns[1], name="Ash", colour="#828282"),
    )
    stripes = Stripes((Stripe(0, 2), Stripe(1, 2)))
    design = replace(demo, yarns=yarns, stripes=stripes, edging=None)
    path = tmp_path / "ruler.pdf"
    path.write_bytes(paper_pdf(Pipeline().results(design), ("ruler",), Choices(paper="a4")))
    page = grey(path, 1, 300)
    left, _, foot = strip_places("a4", first=True, number=0)
    step = 300 / 25.4
    columns = slice(round((left + 1) * step), round((left + 10) * step))

    def spread(low):
        part = page[round((foot - low - 8) * step) : round((foot - low - 2) * step), columns]
        return float(np.abs(np.diff(part.astype(int), axis=1)).mean())

    tall = 2 * ruler_of(Pipeline().results(design), 230).row_mm
    plain, hatched = sorted([spread(0.0), spread(tall)])
    assert hatched > 3 * plain + 1


# --- what stands on the pages ---------------------------------------------------------------


def words_of(data, tmp_path):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(data)
    return subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], check=True, capture_output=True, text=True
    ).stdout


@needs_poppler
@pytest.mark.parametrize("name", SHEETS)
def test_every_sheet_names_every_colour_and_its_letter(results, tmp_path, qapp, name):
    text = words_of(paper_pdf(results, (name,), Choices(paper="a4")), tmp_path)
    for line in stripe_lines(results):
        assert line.colour.name in text
        assert re.search(rf"\b{line.colour.letter}\b", text)
    assert results.design.title in text


@needs_poppler
@pytest.mark.parametrize("name", SHEETS)
def test_every_page_of_a_draft_says_so_and_no_other(demo, results, tmp_path, qapp, name):
    line = next(ln for ln in written_rows(demo, build_rows(demo)) if ln.row == 2)
    wrong = set_own_words(demo, 2, line.text.replace(" sts)", "9 sts)"))
    for its, says in ((results, False), (Pipeline().results(wrong), True)):
        path = tmp_path / "sheet.pdf"
        path.write_bytes(paper_pdf(its, (name,), Choices(paper="a4")))
        shown = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, check=True)
        pages = shown.stdout.decode().split("\f")[:-1]
        assert pages and all(("DRAFT" in page) == says for page in pages)


@needs_poppler
def test_the_ruler_says_how_to_check_the_print(results, tmp_path, qapp):
    text = " ".join(words_of(paper_pdf(results, ("ruler",), Choices()), tmp_path).split())
    assert "Print at 100 %" in text and "isn't 100 mm" in text and "100 mm upright" in text


def hard(demo, names, stripes=300, yarns=18):
    made = tuple(
        Yarn(name=names.get(n, f"Yarn {n + 1}"), colour=f"#{(n * 977777) % 0xFFFFFF:06x}",
             ball_m=105, ball_g=50)
        for n in range(yarns)
    )  # fmt: skip
    order = Stripes(tuple(Stripe((n * 7) % yarns, 1 + n % 3) for n in range(stripes)), fill="stop")
    size = Size(repeats=4, rows=order.rows)
    return replace(demo, yarns=made, stripes=order, size=size, edging=None)


HOSTILE = {
    0: "=cmd|' /C calc'!A0",
    1: "Θάλασσα του χειμώνα",
    2: "深い海の色の糸",
    3: "\u202egnp.exe",
    4: "W" * 80,
    5: "<b>bold</b> & ( ) \\ %PDF",
    6: "\u200b",
    7: "a b" * 26,
}


@needs_poppler
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_hard_designs_keep_within_their_pages(demo, tmp_path, qapp, paper):
    results = Pipeline().results(hard(demo, HOSTILE, stripes=60))
    path = tmp_path / "all.pdf"
    path.write_bytes(paper_pdf(results, SHEETS, Choices(paper=paper)))
    pages = len(paper_sheets(results, SHEETS, Choices(paper=paper)).pages)
    white = round(9 / 25.4 * 60)
    for number in range(1, pages + 1):
        page = grey(path, number, 60)
        for rim in (page[:white], page[-white:], page[:, :white], page[:, -white:]):
            assert rim.min() > 200, number
    info = subprocess.run(["pdfinfo", str(path)], check=True, capture_output=True, text=True).stdout
    assert re.search(rf"Pages:\s+{pages}\b", info)


@needs_poppler
def test_three_hundred_stripes_are_all_listed(demo, tmp_path, qapp):
    results = Pipeline().results(hard(demo, {}))
    text = words_of(paper_pdf(results, ("stripes",), Choices(paper="a4")), tmp_path)
    found = {int(number) for number in re.findall(r"(?<![\d.–])(\d{1,3})(?![\d.–])", text)}
    assert found >= set(range(1, 301))


def test_paper_follows_the_units_and_the_other_hand_is_named(demo):
    assert paper_ending("-stripe-ruler.pdf", Choices(hand="left"), demo) == (
        "-stripe-ruler-left-handed.pdf"
    )
    assert paper_ending("-shopping.pdf", Choices(hand="left"), demo) == "-shopping.pdf"


def test_inches_print_on_letter(demo, qapp):
    results = Pipeline().results(set_values(demo, units="in"))
    assert paper_sheets(results, ("card",), Choices()).paper == "letter"


def test_a_design_without_rows_that_fit_still_prints(demo, qapp):
    wave = replace(demo.wave, end=demo.wave.end[:-1])
    results = Pipeline().results(replace(demo, wave=wave))
    assert paper_pdf(results, SHEETS, Choices()).startswith(b"%PDF")


# --- the window -----------------------------------------------------------------------------


@pytest.fixture
def dialog(qtbot, results, tmp_path, theme):
    parent = QWidget()
    qtbot.addWidget(parent)
    theme.set_look("light")
    found = PaperDialog(results, tmp_path, "throw", theme, parent)
    found.show()
    wait_for_page(qtbot, found)
    yield found
    found.reject()


def wait_for_page(qtbot, dialog):
    qtbot.waitUntil(lambda: dialog.pages.status.text().startswith("Page "), timeout=SOON)


def test_sheets_are_ticked_and_seen_in_true_proportion(qtbot, dialog):
    assert dialog.names == ("shopping",)
    QTest.keyClick(dialog.boxes["ruler"], Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Stripe ruler: " in dialog.facts.text(), timeout=SOON)
    assert dialog.pages.thumbs.count() == len(dialog.made.sheets.pages) == 4
    icon = dialog.pages.thumbs.iconSize()
    assert icon.height() / icon.width() == pytest.approx(297 / 210, abs=0.01)
    dialog.page.setCurrentIndex(1)
    dialog.page.activated.emit(1)
    qtbot.waitUntil(lambda: dialog.made.sheets.paper == "letter", timeout=SOON)


def test_nothing_ticked_says_so_and_can_be_neither_saved_nor_printed(qtbot, dialog):
    dialog.boxes["shopping"].click()
    assert dialog.pages.status.text().startswith("Nothing is ticked")
    assert not dialog.save_button.isEnabled() and not dialog.print_button.isEnabled()
    assert not dialog.table_button.isEnabled()
    dialog.boxes["card"].click()
    qtbot.waitUntil(lambda: dialog.save_button.isEnabled(), timeout=SOON)


def test_the_list_is_copied_as_text(qtbot, dialog):
    dialog.copy_button.click()
    qtbot.waitUntil(lambda: "clipboard" in dialog.pages.status.text(), timeout=SOON)
    text = QGuiApplication.clipboard().text()
    assert text.startswith("Shopping list: ") and "Dye lot" in text


def test_pages_and_tables_are_saved(qtbot, dialog, tmp_path, monkeypatch):
    asked = []

    def answer(_parent, _title, start, _kinds):
        asked.append(start)
        return start, ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", answer)
    dialog.save_button.click()
    qtbot.waitUntil(
        lambda: dialog.pages.status.text().startswith("Saved throw-shopping.pdf in "), timeout=SOON
    )
    assert (tmp_path / "throw-shopping.pdf").read_bytes().startswith(b"%PDF")
    dialog.table_button.click()
    qtbot.waitUntil(
        lambda: dialog.pages.status.text().startswith("Saved throw-shopping.csv in "), timeout=SOON
    )
    assert (tmp_path / "throw-shopping.csv").read_bytes().startswith(b"\xef\xbb\xbf")
    dialog.boxes["card"].click()
    wait_for_page(qtbot, dialog)
    dialog.save_button.click()
    qtbot.waitUntil(
        lambda: dialog.pages.status.text().startswith("Saved throw-paper.pdf in "), timeout=SOON
    )
    assert len(asked) == 3


def test_a_name_without_its_ending_asks_before_replacing(qtbot, dialog, tmp_path, monkeypatch):
    there = tmp_path / "list.pdf"
    there.write_text("mine")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "list"), ""))
    said = []
    monkeypatch.setattr("app.asking.may_replace", lambda _, path: said.append(path) or False)
    dialog.save_button.click()
    assert said == [there] and there.read_text() == "mine" and dialog.save_button.isEnabled()


def test_what_is_saved_has_settled_though_a_sketch_is_shown(qtbot, dialog, tmp_path, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (_[2], ""))
    assert "first sketch" in dialog.facts.text()
    dialog.boxes["shopping"].click()
    dialog.boxes["stripes"].click()
    wait_for_page(qtbot, dialog)
    dialog.table_button.click()
    qtbot.waitUntil(
        lambda: dialog.pages.status.text().startswith("Saved throw-stripes.csv in "), timeout=SOON
    )
    settled = Pipeline().settled_results(dialog._results.design)
    assert (tmp_path / "throw-stripes.csv").read_bytes() == stripe_table(settled)


def test_one_thing_is_done_at_a_time_and_none_breaks_off_another(
    qtbot, dialog, tmp_path, monkeypatch
):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (_[2], ""))
    buttons = (dialog.save_button, dialog.print_button, dialog.copy_button, dialog.table_button)
    dialog.table_button.click()
    assert not any(button.isEnabled() for button in buttons)
    dialog.copy()
    dialog.show_results(dialog._results)  # the design changes meanwhile
    assert not any(button.isEnabled() for button in buttons)
    qtbot.waitUntil(lambda: all(button.isEnabled() for button in buttons), timeout=SOON)
    assert (tmp_path / "throw-shopping.csv").exists()


def test_the_list_that_is_copied_has_settled_as_the_one_that_is_saved(demo, qapp):
    edged = set_values(demo, edging=Edging(bottom=EndFill(yarn=2), border=Border()))
    sketched, settled = Pipeline().results(edged), Pipeline().settled_results(edged)
    assert shopping_text(shopping_list(sketched)) != shopping_text(shopping_list(settled))
    wish = Wish(results=sketched, names=("shopping",), choices=Choices())
    assert do(Job("text", wish), never) == shopping_text(shopping_list(settled))


@needs_poppler
def test_printing_fills_a_printer_at_true_size(qtbot, dialog, tmp_path, monkeypatch):
    path = tmp_path / "printed.pdf"

    def chosen(parent, sheets):
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(path))
        printer.setFullPage(True)
        printer.setPageLayout(sheets.layout())
        return printer

    monkeypatch.setattr(paper_dialog, "asked_printer", chosen)
    dialog.boxes["shopping"].click()
    dialog.boxes["ruler"].click()
    wait_for_page(qtbot, dialog)
    QTest.keyClick(dialog, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: "sent to the printer" in dialog.pages.status.text(), timeout=SOON)
    page = grey(path, 1, DPI)
    x, y = bar_place("a4")
    line = page[round((y - 1.7) / 25.4 * DPI), : round((x + 106) / 25.4 * DPI)]
    marks = [mm((a + b) / 2) for a, b in dark_runs(line)]
    assert marks[1] - marks[0] == pytest.approx(100, abs=0.3)


def test_every_control_has_a_tip_and_no_two_share_a_letter(dialog):
    boxes = [*dialog.boxes.values()]
    buttons = [dialog.print_button, dialog.save_button, dialog.copy_button, dialog.table_button]
    assert all(widget.toolTip() for widget in (*boxes, *buttons, dialog.page, dialog.hand))
    texts = [w.text() for w in (*boxes, *buttons)] + ["&Paper", "&Hand", "C&lose", "&Zoom"]
    letters = [text[text.index("&") + 1].lower() for text in texts]
    assert len(set(letters)) == len(letters)


def test_the_window_opens_it_by_its_shortcut_and_it_follows_the_design(
    open_window, demo, qtbot, theme
):
    window = open_window(demo, theme=theme, size=None, settled=False, active=True)
    session = window.session
    qtbot.keyClick(window, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    (found,) = window.findChildren(PaperDialog)
    wait_for_page(qtbot, found)
    session.change("Rename", lambda design: set_values(design, title="Followed"))
    qtbot.waitUntil(lambda: found.made.sheets.title == "Followed", timeout=SOON)
    window.choosers.open_paper()
    assert len(window.findChildren(PaperDialog)) == 1
    session.undo_stack.setClean()
    session.undo_stack.clear()
    window.close()
    assert not window.isVisible()
