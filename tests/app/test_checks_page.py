"""The page of findings: what is shown, and where it leads."""

import pytest
from desk import broken, fits, text_of
from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtGui import (
    QImage,
    QPainter,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLabel,
)
from some import some

from app.views.pages.checks import ALL_WELL, ChecksPage, paint_level
from app.views.pages.words import WordsPage
from app.views.pages.yarn import YarnPage
from core.checks.findings import Finding
from core.design import edits
from core.records import replace as with_parts

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def yarn(desk):
    return desk(YarnPage)


def with_findings(results, *findings):
    return with_parts(results, findings=findings)


def test_findings_stand_errors_first_with_word_and_place(desk, ripple):
    page = desk(ChecksPage, edits.set_wave(ripple, broken(ripple))).page
    texts = [card.text() for card in page.list.cards()]
    assert texts[0].startswith("To mend · row 2: ")
    names = ["To mend", "To look at", "To know"]
    assert [text.split(" ·")[0] for text in texts] == sorted(
        (text.split(" ·")[0] for text in texts), key=names.index
    )
    heads = [page.list.item(n).text() for n in range(page.list.count())]
    heads = [text for text in heads if " ·" not in text]
    assert heads == [f"{n} ({sum(t.startswith(n) for t in texts)})" for n in names if
                     any(t.startswith(n) for t in texts)]  # fmt: skip


def test_the_summary_counts(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    assert page.summary == "nothing to mend"
    error, caution = Finding("error", "row 2", "Too few."), Finding("warning", "wave", "Holes.")
    note = Finding("note", "yarn 1", "Not used.")
    other = Finding("error", "row 3", "Too few.")
    page.show_results(with_findings(results, error, other, note))
    assert page.summary == "2 to mend, 1 to know"
    page.show_results(with_findings(results, error, caution, note, note))  # said once
    assert page.summary == "1 to mend, 1 to look at, 1 to know"
    page.show_results(with_findings(results))
    assert page.summary == "nothing to mend"


def test_a_design_without_findings_is_told_so(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.show()
    page.show_results(with_findings(results))
    assert page.head.text() == ALL_WELL and not page.list.isVisible()
    page.show_results(with_findings(results, Finding("error", "row 2", "Too few.")))
    assert page.head.text() != ALL_WELL and page.list.isVisible()


def test_a_finding_leads_to_its_place_by_key_and_by_click(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.resize(300, 640)
    page.show()
    places = []
    page.jump.connect(places.append)
    findings = (Finding("error", "row 2", "Too few."), Finding("note", "yarn 1", "Not used."))
    page.show_results(with_findings(results, *findings))
    QTest.keyClick(page.list, Key.Key_Return)
    QTest.keyClick(page.list, Key.Key_Down)
    QTest.keyClick(page.list, Key.Key_Space)
    assert places == ["row 2", "yarn 1"]
    at = page.list.visualItemRect(page.list.cards()[0]).center()
    QTest.mouseClick(page.list.viewport(), LEFT, Mods.NoModifier, at)
    assert places == ["row 2", "yarn 1", "row 2"]
    assert page.list.cards()[1].text() == "To know · Sand: Not used."  # a yarn by its name


def test_the_chosen_finding_stays_chosen_while_it_lasts(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    one, two = Finding("error", "row 2", "Too few."), Finding("note", "wave", "Steep.")
    page.show_results(with_findings(results, one, two))
    page.list.setCurrentItem(page.list.cards()[1])
    page.show_results(with_findings(results, two))
    assert page.list.currentItem() is page.list.cards()[0]
    page.show_results(with_findings(results, one, two))
    assert page.list.currentItem() is page.list.cards()[1]


def test_long_findings_wrap_to_the_column(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.resize(300, 640)
    page.show()
    long = Finding("note", "wave", "A long sentence about the wave. " * 6)
    page.show_results(with_findings(results, long, Finding("note", "wave", "Short.")))
    QApplication.processEvents()
    tall, low = (page.list.visualItemRect(card).height() for card in page.list.cards())
    assert tall > 3 * page.fontMetrics().height() + low - page.fontMetrics().height()
    page.resize(600, 640)
    QApplication.processEvents()
    assert page.list.visualItemRect(page.list.cards()[0]).height() < tall
    assert page.list.visualItemRect(page.list.cards()[0]).width() <= page.list.viewport().width()


def test_levels_differ_in_shape_not_only_in_colour(theme):
    pictures = []
    for level in ("error", "warning", "note"):
        image = QImage(24, 24, QImage.Format.Format_Grayscale8)
        image.fill(255)
        with QPainter(image) as painter:
            paint_level(painter, QRectF(2, 2, 20, 20), level, theme.tones)
        pictures.append(bytes(image.constBits()))
    for n, one in enumerate(pictures):
        for other in pictures[:n]:
            apart = sum(abs(a - b) > 60 for a, b in zip(one, other, strict=True))
            assert apart > 40


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_words_and_checks_fit_a_slim_column_too(theme, results, qtbot, dressed, scale):
    dressed(scale)
    for page in (WordsPage(theme, text_of), ChecksPage(theme)):
        qtbot.addWidget(page)
        page.resize(300, 640)
        page.show_results(results)
        page.show()
        if isinstance(page, WordsPage):
            page.open_find()
        QApplication.processEvents()
        for child in some(page.findChildren(QAbstractButton) + page.findChildren(QLabel)):
            if child.isVisible() and child.text():
                assert page.rect().contains(QRect(child.mapTo(page, QPoint(0, 0)), child.size()))
                shown = fits(child) if isinstance(child, QLabel) else True
                assert shown and child.minimumSizeHint().width() <= child.width(), child.text()
