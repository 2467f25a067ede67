"""No text of a design becomes markup, a formula, a path or a key, wherever it is shown or written.

The strings and who published them are in tests/injections.py. What is written is parsed by
readers of the standard library; what is shown is looked for in every label, tooltip and menu.
"""

import json
import re
import sys
import xml.etree.ElementTree as ET
import zlib
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest
from PySide6 import QtGui
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QApplication, QDialog, QMessageBox, QWidget

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from desk import SOON
from hostile import every_window, hostile, shown_rich
from injections import ALL, FORMULAS, MARKUP, PATHS, REFUSED
from msgspec.structs import replace

from app.asking import plain_entry, plain_tip, plain_title
from app.documents import Documents
from app.exporting import make_files
from app.headless import report_object, report_text
from app.painting.choices import DEFAULT
from app.session import Session
from app.theme import Theme
from core.design import edits
from core.design.document import Stripe
from core.design.validation import checked
from core.errors import DesignError
from core.pipeline import Pipeline

TEXTS = [text for text, _ in ALL]


@pytest.fixture(scope="module")
def all_at_once(ripple):
    """A design with a yarn, and a stripe, for every string, and all of them in its notes."""
    like = ripple.yarns[0]
    yarns = tuple(replace(like, name=text[:80]) for text in TEXTS)
    sequence = tuple(Stripe(yarn=n, rows=1, label=text[:40]) for n, text in enumerate(TEXTS))
    design = edits.set_values(
        edits.set_size(ripple, repeats=2, rows=len(TEXTS)),
        yarns=yarns,
        title=TEXTS[0],
        designer="]]><b>" + TEXTS[2],
        notes="\n".join(TEXTS),
    )
    return checked(edits.set_sequence(design, sequence))


@pytest.fixture(scope="module")
def results(all_at_once):
    return Pipeline().settled_results(all_at_once)


@pytest.fixture(scope="module")
def written(results, qapp):
    names = ["chart-svg", "chart-pdf", "rows-txt", "booklet-pdf", "booklet-html"]
    return make_files(results, names, DEFAULT)


def ending(written, end):
    (found,) = [data for name, data in written.items() if name.endswith(end)]
    return found


def test_the_svg_draws_and_does_nothing_else(written):
    data = ending(written, ".svg")
    root = ET.fromstring(data)
    for element in root.iter():
        kind = element.tag.rpartition("}")[2]
        assert element.tag.startswith("{http://www.w3.org/2000/svg}"), element.tag
        assert kind not in ("script", "foreignObject", "image", "a", "animate", "set", "iframe")
        for name, value in element.attrib.items():
            plain = name.rpartition("}")[2].lower()
            assert not plain.startswith("on"), name
            assert plain != "href" or value.startswith("#"), value
            assert "javascript:" not in value.lower()
            assert "url(" not in value or "url(#" in value
    assert b"<!DOCTYPE" not in data and b"<!ENTITY" not in data
    assert TEXTS[0] in "".join(root.itertext())


class _Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.tags, self.attributes, self.text, self.odd = set(), [], [], []
        self._in = []

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.attributes += [(tag, name, value or "") for name, value in attributes]
        self._in.append(tag)

    def handle_endtag(self, tag):
        while self._in and self._in.pop() != tag:
            pass

    def handle_data(self, data):
        if "style" not in self._in:
            self.text.append(data)

    def handle_comment(self, data):
        self.odd.append(data)

    def unknown_decl(self, data):
        self.odd.append(data)

    handle_pi = handle_comment


def test_the_page_for_screen_readers_runs_and_loads_nothing(written):
    page = _Page()
    page.feed(ending(written, ".html").decode())
    page.close()
    assert (
        page.tags & {"script", "iframe", "object", "embed", "form", "foreignobject", "xss"} == set()
    )
    assert page.odd == []
    for tag, name, value in page.attributes:
        assert not name.startswith("on"), (tag, name)
        if name in ("href", "xlink:href"):
            assert value.startswith("#"), value
        if name == "src":
            assert value.startswith("data:image/"), value[:60]
        assert "javascript:" not in value.lower() or name in ("alt", "title", "aria-label"), name
    said = "".join(page.text)
    flat = re.sub(r"\s+", " ", said)
    for text in TEXTS:
        assert re.sub(r"\s+", " ", text[:80]).strip() in flat, text


@pytest.mark.parametrize("end", ["-chart.pdf", "-booklet.pdf"])
def test_a_pdf_has_no_deeds(written, end):
    """ISO 32000-1, 12.6.4: what a file could do is named by these keys, strings left out."""
    data = ending(written, end)
    outside = re.sub(rb"stream\r?\n.*?endstream", b"", data, flags=re.DOTALL)
    strings = re.compile(rb"\((?:\\.|[^\\()])*\)|<[0-9A-Fa-f\s]*>", re.DOTALL)
    keys = strings.sub(b"", outside)
    for key in (
        b"/JavaScript",
        b"/JS",
        b"/OpenAction",
        b"/Launch",
        b"/AA",
        b"/URI",
        b"/EmbeddedFile",
    ):
        assert not re.search(re.escape(key) + rb"\b", keys), key
    for packed in re.findall(rb"stream\r?\n(.*?)endstream", data, flags=re.DOTALL):
        try:
            plain = zlib.decompress(packed.strip(b"\r\n"))
        except zlib.error:
            continue
        assert b"/JavaScript" not in strings.sub(b"", plain)


def test_rows_and_reports_are_text_as_it_was_typed(written, results):
    text = ending(written, "-rows.txt").decode()
    assert TEXTS[0] in text
    said = report_text(results)
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", said + text)
    told = json.loads(json.dumps(report_object(results)))
    assert {yarn["name"] for yarn in told["yarn"]} >= {text[:80] for text in TEXTS[:40]}


@pytest.mark.parametrize(("text", "source"), FORMULAS, ids=lambda value: value[:20])
def test_a_table_for_a_spreadsheet_begins_no_cell_with_a_formula(text, source, ripple, qtbot):
    """Tables leave the program as tabs and lines; their cells are numbers and our own words."""
    from app.curves_dialog import CurvesDialog

    dialog = CurvesDialog(Theme())
    qtbot.addWidget(dialog)
    dialog.show_results(
        Pipeline().results(hostile(edits.set_size(ripple, repeats=2, rows=6), text))
    )
    dialog._redo()
    assert any(len(plot.table()) > 100 for plot in dialog._plots)
    for plot in dialog._plots:
        for line in plot.table().splitlines():
            for cell in line.split("\t"):
                assert not re.match(r"[=+@\r]|-(?![\d.])", cell), cell


@pytest.mark.parametrize(("text", "source"), REFUSED, ids=lambda value: ascii(value)[:20])
def test_signs_that_turn_or_break_the_text_are_refused(text, source, ripple):
    for field in ("title", "designer", "notes"):
        with pytest.raises(DesignError, match=rf"^{field}: .*signs"):
            checked(edits.set_values(ripple, **{field: text}))
    with pytest.raises(DesignError, match=r"^yarns\[0\]\.name: "):
        checked(edits.set_yarn(ripple, 0, name=text))


@pytest.mark.parametrize(("text", "source"), REFUSED, ids=lambda value: ascii(value)[:20])
def test_what_is_pasted_into_title_and_notes_is_brought_down_to_plain_text(
    text, source, ripple, qtbot
):
    from app.details_dialog import DetailsDialog

    dialog = DetailsDialog(ripple, None)
    qtbot.addWidget(dialog)
    dialog._title.setText(text)
    dialog._notes.setPlainText(text)
    design = checked(dialog.edit()(ripple))
    assert design.title.isprintable()
    assert len(design.title) <= len(text)


@pytest.mark.parametrize(("text", "source"), MARKUP, ids=lambda value: value[:20])
def test_tips_titles_and_entries_show_just_what_they_are_given(text, source):
    tip = plain_tip(f"Whether {text} takes part")
    if QtGui.Qt.mightBeRichText(tip):
        document = QtGui.QTextDocument()
        document.setHtml(tip)
        assert document.toPlainText().strip() == f"Whether {text} takes part"
    assert plain_title(text).replace("[*][*]", "") == text.replace("[*]", "")
    assert "&" not in plain_entry(text).replace("&&", "")


@pytest.mark.parametrize(("text", "source"), ALL, ids=lambda value: value[:20])
def test_a_title_makes_a_file_name_that_stays_where_it_is(text, source, ripple, qtbot, tmp_path):
    class Keeps:
        pass

    session = Session(edits.set_values(ripple, title=text))
    window = QWidget()
    qtbot.addWidget(window)
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    documents = Documents(session, window, settings, Keeps())  # type: ignore[arg-type]
    for design_title in (text, text * 3, "\u6d77" * 200, ""):
        session.open(edits.set_values(ripple, title=design_title[:200]), None)
        name = documents.proposed_name()
        assert name and PurePosixPath(name).name == name == PureWindowsPath(name).name
        assert not name.startswith((".", "-", "~")) and not name.endswith((".", " "))
        assert not PureWindowsPath(name).is_reserved()
        assert not PureWindowsPath(name + "-chart.svg").is_reserved()
        assert len(name.encode()) <= 180  # of 255 that a disk takes, with what is added to it


@pytest.fixture
def window(open_window, ripple):
    design = hostile(edits.set_size(ripple, repeats=2, rows=6), HOSTILE)
    return open_window(design, size=(1500, 900))


HOSTILE = "A <b>bold</b> <img src='x'> [*] &c =1+1"
MARKS = ("<b>", "<img")


def test_the_window_shows_names_as_they_are(window, qtbot, tmp_path):
    path = tmp_path / "a <i>x &b [*].dipslope"
    assert window.documents.save_to(path)
    found = []
    for number in range(len(window.pages.titles)):
        window.show_page(number)
        QApplication.processEvents()
        found += shown_rich(window, MARKS)
    qtbot.waitUntil(lambda: not window.tech_edit.is_busy, timeout=SOON)
    window.show_page(window.pages.index(window.checks))
    assert window.checks.findings
    found += shown_rich(window, MARKS)
    window._fill_recent()
    window.session.change(f"Rename {HOSTILE}", lambda d: edits.set_yarn(d, 0, name=HOSTILE + "!"))
    found += shown_rich(window, (*MARKS, "<i>"))
    assert found == []
    assert window.windowTitle().startswith("A <b>bold</b> <img src='x'> [*][*] &c =1+1[*] (a <i>x")
    (entry,) = window._recent.actions()
    assert entry.text() == "a <i>x &&b [*].dipslope"


DIALOGS = ("open_booklet", "show_curves", "plan_stripes", "second_colourway", "plan_stash",
           "draw_wave", "compare_variants", "read_rows")  # fmt: skip


def test_every_sheet_shows_names_as_they_are(window, qtbot, monkeypatch):
    seen, found = [], []

    def looked_at(dialog):
        dialog.show()
        qtbot.waitUntil(dialog.isVisible, timeout=SOON)
        QApplication.processEvents()
        seen.append(type(dialog).__name__)
        found.extend(f"{seen[-1]}: {what}" for what in shown_rich(dialog, MARKS))
        dialog.close()
        return 0

    def others():
        return [top for top in every_window() if top is not window and isinstance(top, QDialog)]

    def box(asked):
        assert asked.textFormat() == Qt.TextFormat.PlainText
        return QMessageBox.StandardButton.Cancel

    monkeypatch.setattr(QDialog, "exec", looked_at)
    monkeypatch.setattr(QMessageBox, "exec", box)
    window.export()
    window.edit_details()
    for name in DIALOGS:
        before = len(seen)
        getattr(window.choosers, name)()
        qtbot.waitUntil(lambda n=before: len(seen) > n or bool(others()), timeout=SOON)
        for top in others():
            looked_at(top)
        assert len(seen) > before, name
    assert found == []
    assert len(set(seen)) >= 8, seen


def test_the_walk_itself_finds_what_is_wrong(qtbot):
    """Seeded faults: a label and a tooltip that Qt would take for markup."""
    from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem

    root = QWidget()
    qtbot.addWidget(root)
    QLabel("see <b>x</b>", root)
    QWidget(root).setToolTip("<img src=x>")
    rows = QListWidget(root)
    QListWidgetItem("a", rows).setToolTip("<b>x")
    plain = QLabel("see <b>x</b>", root)
    plain.setTextFormat(Qt.TextFormat.PlainText)
    assert len(list(shown_rich(root, MARKS))) == 3


def test_paths_are_among_what_is_tried():
    assert len(PATHS) > 10 and len(MARKUP) > 20 and len(FORMULAS) > 5
