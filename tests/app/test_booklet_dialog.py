"""The booklet window: pages follow choices and design, files are saved with a question."""

import threading

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QAbstractButton, QComboBox, QFileDialog, QMessageBox, QWidget
from some import some

from app import booklet_dialog
from app.booklet_dialog import BookletDialog
from core.booklet.options import EDITIONS
from core.design.document import NamedSize, Wave
from core.design.edits import set_values, set_wave
from core.pipeline import Pipeline
from core.words.pattern import Table

WAIT = 20_000


@pytest.fixture
def settled(ripple):
    return Pipeline().settled_results(ripple)


@pytest.fixture
def dialog(settled, theme, tmp_path, qtbot):
    made = BookletDialog(settled, tmp_path, "ripple", theme)
    qtbot.addWidget(made)
    made.show()
    ready(made, qtbot)
    yield made
    made.reject()


def ready(dialog, qtbot):
    qtbot.waitUntil(
        lambda: (
            dialog.made is not None
            and not dialog._maker.is_busy
            and dialog.made.data is not None
            and shown(dialog)
        ),
        timeout=WAIT,
    )


def shown(dialog):
    return not dialog._painter.is_busy and not dialog.pages.sheet.pixmap().isNull()


def test_the_first_page_of_the_colour_edition_is_shown(dialog):
    assert dialog.made.data.startswith(b"%PDF")
    assert dialog.pages.thumbs.count() == dialog.made.n_pages == len(dialog.made.laid.pages)
    assert dialog.pages.status.text().startswith("Page 1 of")
    image = dialog.pages.sheet.pixmap().toImage()
    assert image.height() / image.width() == pytest.approx(297 / 210, rel=0.01)
    spots = [(x, y) for x in range(0, image.width(), 4) for y in range(0, image.height(), 4)]
    colours = {image.pixelColor(*spot).name() for spot in spots}
    strong = {name for name in colours if QColor(name).hsvSaturation() > 90}
    assert len(strong) > 10  # the fabric's picture in its yarns


@pytest.mark.parametrize("edition", [edition.key for edition in EDITIONS])
def test_an_edition_shows_pages_size_ink_and_contents_before_it_is_saved(dialog, qtbot, edition):
    dialog.fields.choose_edition(edition)
    ready(dialog, qtbot)
    assert dialog.made.options.edition == edition
    facts = dialog.facts.text()
    assert f"{dialog.made.n_pages} " in facts
    size = len(dialog.made.data)
    assert (f"{size / 1000:.0f} kB" if size < 1e6 else f"{size / 1e6:.1f} MB") in facts
    assert ("Ink:" in facts) == (edition != "html")
    assert ("Abbreviations" in dialog.contents.text()) == (edition != "html")  # spelled out
    assert dialog.fields.for_eyes.isVisible() == (edition != "html")
    assert "Cautions" in dialog.contents.text()
    assert dialog.fields.about.text() == next(e.about for e in EDITIONS if e.key == edition)


def test_plain_print_takes_less_ink_than_colour(dialog, qtbot):
    colour = sum(dialog.made.ink)
    dialog.fields.choose_edition("plain")
    ready(dialog, qtbot)
    assert 0 < sum(dialog.made.ink) < 0.6 * colour
    assert max(dialog.made.ink) < 0.2


def test_paper_terms_hand_and_size_can_be_chosen(dialog, qtbot):
    choose(dialog.fields.page, "letter")
    choose(dialog.fields.terms, "UK")
    choose(dialog.fields.hand, "left")
    choose(dialog.fields.sizes, "other")
    qtbot.keyClick(dialog.fields.rows, Qt.Key.Key_Up)
    ready(dialog, qtbot)
    made = dialog.made
    assert made.options.page == "letter"
    assert made.options.rows == 21
    assert made.laid.source.results.design.hand == "left"
    assert "Written in UK terms" in made.laid.booklet.lines
    image = dialog.pages.sheet.pixmap().toImage()
    assert image.height() / image.width() == pytest.approx(11 / 8.5, rel=0.01)


def choose(field, key):
    field.setCurrentIndex(field.findData(key))
    field.activated.emit(field.currentIndex())


def test_the_language_is_that_of_everything_shown(dialog, qtbot):
    choose(dialog.fields.language, "de")
    ready(dialog, qtbot)
    assert "Vorsicht" in dialog.contents.text()
    assert dialog.made.laid.booklet.language == "de"
    assert not dialog.fields.terms.isEnabled()


def test_named_sizes_are_offered_and_all_of_them_in_one_text(dialog, qtbot, ripple):
    sizes = (NamedSize(name="pram", repeats=2, rows=12), NamedSize(name="lap", repeats=4, rows=30))
    named = set_values(ripple, sizes=sizes)
    dialog.show_results(Pipeline().settled_results(named))
    choose(dialog.fields.sizes, "0")
    ready(dialog, qtbot)
    assert dialog.made.laid.source.results.design.size.rows == 12
    assert "This copy is for one size: pram" in dialog.made.laid.booklet.lines
    assert dialog.fields.rows.value() == 12
    assert not dialog.fields.rows.isEnabled()
    choose(dialog.fields.sizes, "all")
    ready(dialog, qtbot)
    (table,) = [n for n in dialog.made.laid.booklet.part("sizes").nodes if isinstance(n, Table)]
    assert [row[0] for row in table.rows] == ["pram", "this size", "lap"]
    dialog.show_results(Pipeline().settled_results(ripple))  # the sizes were undone
    ready(dialog, qtbot)
    assert dialog.made.options.size == "own"


def test_another_page_is_chosen_by_the_keyboard(dialog, qtbot):
    dialog.pages.thumbs.setFocus()
    qtbot.keyClick(dialog.pages.thumbs, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: dialog.pages.status.text().startswith("Page 2 of"), timeout=WAIT)


def test_zoom_makes_the_page_larger(dialog, qtbot):
    small = dialog.pages.sheet.pixmap().width()
    dialog.pages.zoom.setCurrentIndex(dialog.pages.zoom.findData("200"))
    dialog.pages.zoom.activated.emit(dialog.pages.zoom.currentIndex())
    qtbot.waitUntil(lambda: dialog.pages.sheet.pixmap().width() > small, timeout=WAIT)
    assert dialog.pages.sheet.pixmap().width() == pytest.approx(2 * 210 / 25.4 * 96, abs=2)


def test_the_pages_follow_the_design(dialog, qtbot, ripple):
    dialog.show_results(Pipeline().settled_results(set_values(ripple, title="Renamed")))
    ready(dialog, qtbot)
    assert dialog.made.laid.booklet.title == "Renamed"


def test_a_sketch_is_shown_at_once_but_can_only_be_saved_at_rest(dialog, qtbot, ripple):
    dialog.show_results(Pipeline().results(set_values(ripple, title="Sketched")))
    qtbot.waitUntil(
        lambda: dialog.made.laid.booklet.title == "Sketched" and not dialog._maker.is_busy,
        timeout=WAIT,
    )
    assert not dialog.save_button.isEnabled()
    dialog.show_results(Pipeline().settled_results(set_values(ripple, title="Sketched")))
    qtbot.waitUntil(dialog.save_button.isEnabled, timeout=WAIT)


def test_a_design_that_cannot_be_worked_says_draft(dialog, qtbot, ripple):
    wave = ripple.wave
    odd = set_wave(ripple, Wave(wave.start, wave.repeat, wave.end[:-1]))
    dialog.show_results(Pipeline().settled_results(odd))
    qtbot.waitUntil(lambda: "DRAFT" in dialog.trouble.text(), timeout=WAIT)


def test_pages_are_laid_out_and_painted_off_the_window_s_thread(
    settled, theme, tmp_path, qtbot, monkeypatch
):
    threads = set()
    for name in ("laid_out", "booklet_source"):
        honest = getattr(__import__("app.booklet_preview").booklet_preview, name)

        def spying(*args, honest=honest, **named):
            threads.add(threading.get_ident())
            return honest(*args, **named)

        monkeypatch.setattr(f"app.booklet_preview.{name}", spying)
    made = BookletDialog(settled, tmp_path, "ripple", theme)
    qtbot.addWidget(made)
    made.show()
    ready(made, qtbot)
    made.reject()
    assert threads
    assert threading.get_ident() not in threads


# saving


def test_what_is_shown_is_what_is_saved(dialog, monkeypatch, tmp_path):
    asked = []

    def choose(parent, title, start, kind):
        asked.append(start)
        return start, kind

    monkeypatch.setattr(QFileDialog, "getSaveFileName", choose)
    dialog.save_button.click()
    assert asked == [str(tmp_path / "ripple-booklet.pdf")]
    assert (tmp_path / "ripple-booklet.pdf").read_bytes() == dialog.made.data
    assert "Saved ripple-booklet.pdf" in dialog.pages.status.text()


def test_a_file_that_is_there_is_replaced_only_after_a_yes(dialog, monkeypatch, tmp_path):
    there = tmp_path / "mine.pdf"
    there.write_text("precious")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "mine"), ""))
    asked = []

    def answer(box, with_):
        asked.append(box.text())
        return with_

    button = QMessageBox.StandardButton
    monkeypatch.setattr(QMessageBox, "exec", lambda box: answer(box, button.Cancel))
    dialog.save()
    assert there.read_text() == "precious"
    monkeypatch.setattr(QMessageBox, "exec", lambda box: answer(box, button.Yes))
    dialog.save()
    assert there.read_bytes() == dialog.made.data
    assert asked == ["mine.pdf is there already. Replace it?"] * 2


def test_a_failed_save_is_said_and_nothing_is_lost(dialog, monkeypatch, tmp_path):
    said = []
    monkeypatch.setattr(booklet_dialog, "complain", lambda parent, what, why: said.append(why))
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "no" / "where.pdf"), "")
    )
    dialog.save()
    assert len(said) == 1
    assert dialog.saved is None


# access


def test_every_control_has_a_name_and_a_tooltip(dialog):
    for kind in (QAbstractButton, QComboBox):
        for control in some(dialog.findChildren(kind)):
            if (
                control.parent() in (dialog.pages.view, dialog.pages.thumbs)
                or not control.isVisible()
            ):
                continue
            if control.objectName().startswith("qt_"):
                continue
            name = control.accessibleName() or getattr(control, "text", str)()
            assert name, control
            assert control.toolTip(), name


def test_the_window_opens_one_booklet_by_its_shortcut(open_window, ripple, theme, qtbot):
    window = open_window(ripple, theme=theme, size=None, settled=False, active=True)
    session = window.session
    qtbot.keyClick(window, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    (dialog,) = window.findChildren(BookletDialog)
    window.choosers.open_booklet()
    assert len(window.findChildren(BookletDialog)) == 1
    ready(dialog, qtbot)
    session.change("Rename", lambda design: set_values(design, title="Followed"))
    qtbot.waitUntil(lambda: dialog.made.laid.booklet.title == "Followed", timeout=WAIT)
    session.undo_stack.setClean()
    session.undo_stack.clear()
    window.close()
    assert not window.isVisible()
    assert isinstance(dialog, QWidget)
