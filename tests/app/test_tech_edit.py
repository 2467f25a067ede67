"""The tech edit in the window: drawn up off its thread, leading to places, stamping exports."""

import re
import shutil
import subprocess

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit

from app.details_dialog import DetailsDialog
from app.export_dialog import ExportDialog
from app.exporting import chart_pdf, chart_png, chart_svg, fabric_png, rows_txt
from app.painting.choices import Choices
from app.views.pages.checks import ChecksPage
from app.views.pages.yarn import YarnPage
from core.booklet.contents import booklet_of
from core.booklet.options import Options
from core.checks.findings import Finding
from core.design import edits
from core.design.edits import set_size, set_values
from core.design.files import read_design
from core.editions import Edition
from core.pipeline import Pipeline
from core.reading.own import set_own_words
from core.rows.build import build_rows
from core.techedit.draft import published
from core.techedit.edit import stamp_for, tech_edit
from core.words.write import written_rows

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier


def miscounted(design):
    """Return a design with one error: a wrong count in the own words of row 2."""
    line = next(ln for ln in written_rows(design, build_rows(design)) if ln.row == 2)
    return set_own_words(design, 2, re.sub(r"\((\d+) sts\)", "(7 sts)", line.text))


@pytest.fixture
def window(open_window, theme):
    window = open_window(theme=theme, size=None, settled=False)
    window.documents.may_leave = lambda: True
    return window


def edited(window, qtbot):
    qtbot.waitUntil(lambda: not window.tech_edit.is_busy, timeout=20_000)
    return window.checks.findings


# --- the list ----------------------------------------------------------------------------------


def test_the_window_lists_what_the_tech_edit_finds(window, qtbot):
    found = edited(window, qtbot)
    assert set(found) == set(tech_edit(window.live.results))
    assert window._summary.text() == window.checks.summary
    window.session.change("Own words", miscounted)
    assert [f.where for f in edited(window, qtbot) if f.level == "error"] == ["words 2"]
    assert window._summary.text().startswith("1 to mend, ")
    window.session.undo_stack.undo()
    assert all(f.level != "error" for f in edited(window, qtbot))


@pytest.mark.parametrize("by", ["mouse", "key"])
def test_the_sum_at_the_foot_opens_the_checks(window, qtbot, by):
    qtbot.waitUntil(lambda: window._summary.isVisible(), timeout=20_000)
    assert not window.pages.is_shown(window.pages.index(window.checks))
    if by == "mouse":
        QTest.mouseClick(window._summary, Qt.MouseButton.LeftButton)
    else:
        window._summary.setFocus(Qt.FocusReason.TabFocusReason)
        QTest.keyClick(window._summary, Qt.Key.Key_Space)
    assert window.pages.is_shown(window.pages.index(window.checks))


def test_what_was_drawn_up_before_stays_until_the_new_list_is_there(window, qtbot):
    edited(window, qtbot)
    before = window.checks.findings
    window.session.change("Rows", lambda design: set_size(design, rows=95))
    assert window.tech_edit.is_busy
    assert set(before) <= set(window.checks.findings)
    assert any("short" in f.message for f in window.checks.findings)  # seen at once


def test_nothing_is_said_of_the_design_that_was_open_before(window, qtbot, demo_path):
    window.session.change("Own words", miscounted)
    edited(window, qtbot)
    assert "1 to mend" in window._summary.text() and window.checks.findings[0].level == "error"
    window.session.open(read_design(demo_path), None)
    assert "to mend" not in window._summary.text().replace("nothing to mend", "")
    assert not any(finding.level == "error" for finding in window.checks.findings)
    assert window.tech_edit.open_errors == 0
    assert not any(f.level == "error" for f in edited(window, qtbot))


def test_a_variant_looked_at_has_its_own_findings_only(window, qtbot, demo_path):
    window.session.change("Own words", miscounted)
    edited(window, qtbot)
    assert window.checks.findings[0].level == "error"
    window.variants.take("As it was", read_design(demo_path))
    qtbot.waitUntil(lambda: window.variants.is_flipped, timeout=20_000)
    assert not any(finding.level == "error" for finding in window.checks.findings)
    window.variants.flip()
    assert window.checks.findings[0].level == "error"


def test_only_the_heaviest_are_shown_when_asked_for(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.show()
    found = (
        Finding("error", "words 2", "Wrong.", "Mend it."),
        Finding("warning", "details skill", "No level.", "Choose one."),
        Finding("note", "yarn 1", "Not used."),
    )
    page.findings_of = lambda results: found
    page.show_results(results)
    assert {f.where for f in page.findings} >= {f.where for f in found}
    QTest.keyClick(page.first_only, Qt.Key.Key_Space)
    assert [card.text() for card in page.list.cards()] == [
        "To mend · words of row 2: Wrong. Mend it."
    ]
    assert "1 to mend" in page.summary and "to look at" in page.summary  # nothing is forgotten
    page.findings_of = lambda results: found[1:]
    page.list_anew()
    assert all(card.text().startswith("To look at") for card in page.list.cards())


def test_the_names_of_the_weights_are_passed_over(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.resize(320, 640)
    page.show()
    places = []
    page.jump.connect(places.append)
    found = (Finding("error", "words 2", "A."), Finding("warning", "chart", "B."))
    page.findings_of = lambda results: found
    page.show_results(results)
    QTest.keyClick(page.list, Qt.Key.Key_Home)
    QTest.keyClick(page.list, Qt.Key.Key_Return)
    QTest.keyClick(page.list, Qt.Key.Key_Down)
    QTest.keyClick(page.list, Qt.Key.Key_Return)
    assert places == ["words 2", "chart"]
    at = page.list.visualItemRect(page.list.item(0)).center()
    QTest.mouseClick(page.list.viewport(), LEFT, NONE, at)
    assert places == ["words 2", "chart"]


def test_the_list_goes_onto_the_clipboard_with_its_places(window, qtbot):
    window.session.change("Own words", miscounted)
    edited(window, qtbot)
    window.show_page(3)
    window.checks.copy_button.click()
    text = QGuiApplication.clipboard().text()
    assert text.startswith("Tech edit: Harbour Steps throw\n1 to mend")
    assert "[ ] 1. words of row 2: " in text


# --- places ------------------------------------------------------------------------------------


def test_every_place_leads_somewhere(window, qtbot, monkeypatch):
    asked = []
    monkeypatch.setattr(window, "edit_details", asked.append)
    edited(window, qtbot)
    window.activateWindow()
    for where, there in {
        "words": lambda: window.words.isVisible(),
        "words 2": lambda: window.words.editor.isVisible(),
        "sizes": lambda: window.words.isVisible(),
        "turning": lambda: window.swatch.chains.hasFocus(),
        "gauge": lambda: window.swatch.stitches.hasFocus(),
        "gauge wave": lambda: window.swatch.wave.width.hasFocus(),
        "yarn 2": lambda: window.yarn.isVisible() and window.yarn.chosen_yarn == 2,
        "chart": lambda: window.chart.hasFocus(),
        "colour": lambda: window.colour.isVisible(),
    }.items():
        window.show_place(where)
        QApplication.processEvents()
        assert there(), where
    window.show_place("details skill")
    assert asked == ["skill"]


def test_details_begin_at_the_field_that_is_missing(window):
    bare = edits.set_values(window.session.design, contact="", skill="", licence="")
    dialog = DetailsDialog(bare, window, None, "contact")
    dialog.show()
    dialog.activateWindow()
    QApplication.processEvents()
    assert dialog.focusWidget() is dialog._contact
    QTest.keyClicks(dialog._contact, "mail@harbour.example")
    level = next(box for box in dialog.findChildren(QComboBox) if box.findData("easy") >= 0)
    level.setCurrentIndex(level.findData("easy"))
    QTest.keyClicks(dialog._licence, "Sell what you make.")
    window.session.change("Change title and notes", dialog.edit())
    design = window.session.design
    assert (design.contact, design.skill, design.licence) == (
        "mail@harbour.example", "easy", "Sell what you make.",
    )  # fmt: skip
    dialog.close()


def test_a_weight_class_is_chosen_and_stated(desk):
    page = desk(YarnPage)
    field = page.page.chosen.weight
    field.setFocus(Qt.FocusReason.TabFocusReason)
    for _ in range(5):
        QTest.keyClick(field, Qt.Key.Key_Down)
    assert page.design.yarns[0].weight == 4
    assert page.session.undo_stack.count() == 1  # one gesture
    QTest.keyClick(field, Qt.Key.Key_Home)
    assert page.design.yarns[0].weight is None


# --- the stamp ---------------------------------------------------------------------------------


@pytest.fixture
def wrong(ripple):
    return Pipeline().settled_results(miscounted(ripple))


def test_every_export_of_a_draft_is_stamped_and_no_other(wrong, ripple):
    sound = Pipeline().settled_results(ripple)
    choices = Choices(width_mm=120, dpi=72)
    assert stamp_for(wrong) == "DRAFT"
    assert b">DRAFT</text>" in chart_svg(wrong, choices)
    assert b"DRAFT" not in chart_svg(sound, choices)
    assert rows_txt(wrong, choices).decode().startswith("DRAFT: 1 error is open.\n\nA ripple\n")
    assert "DRAFT" not in rows_txt(sound, choices).decode()
    assert wrong.design.wave == sound.design.wave  # the same blanket, without its own words
    for make in (chart_png, fabric_png):
        plain = make(sound, choices)
        assert make(sound, choices) == plain, make.__name__  # a picture has no date in it
        assert make(wrong, choices) != plain, make.__name__
    german = Choices(edition=Edition(language="de"))
    assert b">ENTWURF</text>" in chart_svg(wrong, german)
    assert rows_txt(wrong, german).decode().startswith("ENTWURF: 1 Fehler ist offen.\n")


def test_a_file_is_stamped_for_what_only_its_own_edition_has_wrong(ripple):
    """A row that speaks of DStb, which the German list doesn't have, is a draft in German only."""
    line = next(ln for ln in written_rows(ripple, build_rows(ripple)) if ln.row == 2)
    typed = set_own_words(ripple, 2, f"{line.text} (no DStb here)")
    results = Pipeline().settled_results(typed)
    english, german = Choices(), Choices(edition=Edition(language="de"))
    assert "DRAFT" not in rows_txt(results, english).decode()
    assert rows_txt(results, german).decode().startswith("ENTWURF: 1 Fehler ist offen.\n")
    assert b"ENTWURF" in chart_svg(results, german)
    for language, reasons in (("en", 0), ("de", 1)):
        options = Options(language=language)
        pattern = published(results, options.written(typed))
        assert len(booklet_of(results, pattern, options).draft) == reasons


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler isn't installed")
def test_the_chart_of_a_draft_says_so_on_every_page(wrong, ripple, tmp_path):
    def pages(results):
        path = tmp_path / "chart.pdf"
        path.write_bytes(chart_pdf(results, Choices(width_mm=120, dpi=72)))
        told = subprocess.run(["pdftotext", path, "-"], check=True, capture_output=True, text=True)
        return told.stdout.split("\f")[:-1]

    stamped, plain = pages(wrong), pages(Pipeline().settled_results(ripple))
    assert stamped and all("DRAFT" in page for page in stamped)
    assert plain and not any("DRAFT" in page for page in plain)


def test_the_export_sheet_says_why_files_are_stamped(wrong, results, tmp_path, window, qtbot):
    for its, says in ((wrong, "1 error open: stamped DRAFT."), (results, "")):
        dialog = ExportDialog(its, tmp_path, "x", window)
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitUntil(lambda d=dialog: d._reads is not None, timeout=20_000)
        assert dialog.draft.text() == says
        assert dialog.draft.isVisible() == bool(says)
        dialog.reject()


def test_a_booklet_says_what_keeps_it_a_draft(wrong):
    booklet = booklet_of(wrong, published(wrong), Options())
    assert len(booklet.draft) == 1
    assert "7 stitches" in booklet.draft[0]


def test_a_line_of_the_details_is_bounded(window):
    dialog = DetailsDialog(window.session.design, window)
    lines = {line.maxLength() for line in dialog.findChildren(QLineEdit)}
    assert lines == {200, 500}
    dialog.deleteLater()


def test_own_words_are_written_off_the_windows_thread(window, qtbot):
    window.show_page(2)
    window.session.change("Own words", lambda d: set_values(miscounted(d), notes="x"))
    qtbot.waitUntil(lambda: "(7 sts)" in window.words.text.toPlainText(), timeout=20_000)
    assert window.words._worker is not None


def test_copied_words_of_a_draft_say_so(window, qtbot):
    window.show_page(2)
    edited(window, qtbot)
    window.words.copy()
    assert QGuiApplication.clipboard().text().startswith("Harbour Steps throw\n")
    window.session.change("Own words", miscounted)
    edited(window, qtbot)
    window.words.copy()
    text = QGuiApplication.clipboard().text()
    assert text.startswith("DRAFT: 1 error is open.\n\nHarbour Steps throw\n")
