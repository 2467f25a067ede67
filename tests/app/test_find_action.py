"""The slip that finds actions, the sheet of all keys, and that nothing is left out of either."""

import re
from pathlib import Path

import pytest
from desk import Key, Mods, wait_until_settled, window_in
from PySide6.QtGui import QGuiApplication, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QMenu

from app import menus
from app.actions import entries_of
from app.finder_slip import FinderSlip, spoken
from app.finding import Sought, apart, found, is_slip
from app.keys_dialog import KeysDialog, groups_of, keys_text
from app.views.keys_listed import VIEW_KEYS
from core.craft.synonyms import MEANINGS

APP = Path(menus.__file__).parent


@pytest.fixture(scope="module")
def one_window(qapp, ripple, tmp_path_factory):
    window = window_in(tmp_path_factory.mktemp("find"), ripple)
    window.resize(1366, 768)
    window.show()
    wait_until_settled(window)
    yield window
    window.session.undo_stack.setClean()
    window.close()


@pytest.fixture
def slip(one_window, qapp):
    menus.find_action(one_window)
    slip = one_window.findChild(FinderSlip)
    yield slip
    if one_window.findChild(FinderSlip) is slip:
        slip.close()
    qapp.processEvents()
    QApplication.sendPostedEvents()


def names(slip, query):
    slip.line.setText(query)
    return slip.names


# Words: gauge in the US is tension in the UK, to frog is to rip back; edges that lean out or flare,
# ruffles (common practice). The rest are names of our own actions, or slips of them.
@pytest.mark.parametrize(
    "query, first",
    [
        ("frog", "Undo"),
        ("tension", "Swatch"),
        ("gauge", "Swatch"),
        ("guage", "Swatch"),  # a slip of the finger
        ("booklt", "Booklet…"),
        ("print", "Print what is seen…"),
        ("border", "Edging"),
        ("crash", "Recover unsaved designs…"),
        ("shuffle", "Plan stripes…"),
        ("dark", "Dark"),
        ("zoom", "Zoom to what is selected"),
        ("measure", "Measure on chart and fabric"),
        ("exprot", "Export…"),
        ("flare", "Edge doctor…"),
        ("my edges lean out", "Edge doctor…"),
        ("ruffle", "Edge doctor…"),
        ("sharper", "Shape the wave"),
        ("shape the wave", "Shape the wave"),
        ("width", "Set the size"),
        ("shopping", "On paper…"),
    ],
)
def test_words_of_the_trade_and_slips_find_their_action(slip, query, first):
    assert names(slip, query)[0] == first


def test_treble_leads_to_the_terms(slip):
    # A UK treble is a US double crochet: tests/core/published_names.py, with its sources.
    assert set(names(slip, "treble")[:2]) == {"US terms", "UK terms"}


def test_several_words_have_to_be_met_all(slip):
    assert names(slip, "stripe plan")[0] == "Plan stripes…"
    assert names(slip, "stripe xylophone") == []
    assert "No action is called that" in slip.note.text()


def test_keys_alone_find_and_do_an_action(one_window, qapp):
    one_window.activateWindow()
    QTest.keyClick(one_window, Key.Key_A, Mods.ControlModifier | Mods.ShiftModifier)
    slip = one_window.findChild(FinderSlip)
    assert slip is not None and slip.isVisible() and slip.line.hasFocus()
    QTest.keyClicks(slip.line, "straight grid")
    QTest.keyClick(slip.line, Key.Key_Return)
    qapp.processEvents()
    assert one_window.chart.is_straight
    one_window.show_straight(False)
    QApplication.processEvents()
    assert one_window.findChild(FinderSlip) is None


def test_a_voice_hears_what_the_letters_found(slip):
    slip.line.setText("stripe")
    count = slip.list.count()
    assert slip.line.accessibleDescription() == f"{slip.list.item(0).text()}, 1 of {count}"
    slip.line.setText("zzqx")
    assert slip.line.accessibleDescription().startswith("No action is called that")


def test_up_and_down_choose_and_a_voice_hears_it(slip):
    slip.line.setText("stripe")
    QTest.keyClick(slip.line, Key.Key_Down)
    assert slip.list.currentRow() == 1
    count = slip.list.count()
    assert slip.line.accessibleDescription() == f"{slip.list.item(1).text()}, 2 of {count}"
    QTest.keyClick(slip.line, Key.Key_Up)
    assert slip.list.currentRow() == 0


def test_what_cannot_be_done_now_says_so(slip, one_window):
    assert not one_window.session.undo_stack.canUndo()
    slip.line.setText("undo")
    entry = next(e for e in entries_of(one_window.menuBar()) if e.name == "Undo")
    assert spoken(entry).endswith("not now") and "Ctrl+Z" in spoken(entry)
    QTest.keyClick(slip.line, Key.Key_Return)
    assert slip.isVisible() and "can't be done now" in slip.note.text()


def test_every_action_with_keys_is_in_a_menu(one_window):
    """Walks every action, button and shortcut of the window."""
    listed = {key for e in entries_of(one_window.menuBar()) for key in e.keys.split(", ")}
    listed |= {key for view in VIEW_KEYS for keys, _ in view.keys for key in each_of(keys)}
    in_menus = {id(e.action) for e in entries_of(one_window.menuBar())}
    actions = [a for menu in one_window.findChildren(QMenu) for a in menu.actions()]
    actions += one_window.actions()
    missing = [a.text() for a in actions if a.shortcuts() and id(a) not in in_menus]
    buttons = [b.shortcut().toString() for b in one_window.findChildren(QAbstractButton)]
    keys = [key for key in buttons if key and not key.startswith("Alt+")]
    keys += [shortcut.key().toString() for shortcut in one_window.findChildren(QShortcut)]
    missing += [key for key in keys if key not in listed]
    assert missing == [], "app/menus.py: give each of these a place in a menu, or list its key"


def test_pages_and_switches_are_among_the_actions(one_window):
    named = {entry.name for entry in entries_of(one_window.menuBar())}
    assert set(one_window.pages.titles) <= named
    switches = one_window.fabric.switches
    for switch in (switches.side, switches.far, switches.ridges, switches.strain, switches.lean):
        entry = next(
            e
            for e in entries_of(one_window.menuBar())
            if e.place == "View, On the fabric" and switch.text().lower() in e.name.lower()
        )
        before = switch.isChecked()
        entry.action.trigger()
        assert switch.isChecked() is not before
        switch.setChecked(before)
        assert entry.action.isChecked() is before


# What a keyboard sends for a key that is told by another sign of it: plus without Shift, Shift and
# 1 or 2 on a US, UK or German keyboard (common practice).
_SAME = {"Return": "Enter", "Equal": "Plus", "Exclam": "1", "At": "2", "QuoteDbl": "2"}
_ARROWS = ("Left", "Right", "Up", "Down")


def each_of(keys):
    """Return every key that a line of the list tells, a range of them spelled out."""
    found = set()
    for key in re.split(r", | on | and ", keys):
        held, _, last = key.rpartition("+")
        held = f"{held}+" if held else ""
        if " to " in last:
            first, _, final = last.partition(" to ")
            found |= {f"{held}{number}" for number in range(int(first), int(final) + 1)}
        elif last.lower() == "arrows":
            found |= {held + arrow for arrow in _ARROWS}
        else:
            found.add(key)
    return found


def test_keys_are_told_apart():
    assert each_of("1 to 3, Shift+Up") == {"1", "2", "3", "Shift+Up"}
    assert each_of("Shift+arrows") == {f"Shift+{arrow}" for arrow in _ARROWS}
    assert each_of("Enter on a phrase") == {"Enter", "a phrase"}


def test_every_key_that_a_view_acts_on_is_listed():
    """Reads the modules of views and dialogs for the keys they name."""
    missing = []
    where = {module: view for view in VIEW_KEYS for module in view.modules}
    for path in sorted(APP.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        keys = set(re.findall(r"(?<!- _)Key\.Key_(\w+)", text))  # not what others count from
        module = path.relative_to(APP).as_posix()
        if not keys:
            continue
        if module not in where:
            missing.append((module, sorted(keys)))
            continue
        told = {key for line, _ in where[module].keys for key in each_of(line)}
        words = {key.rpartition("+")[2] for key in told}
        missing += [(module, key) for key in keys if not {key, _SAME.get(key, key)} & words]
    assert missing == [], "app/views/keys_listed.py: list these modules or keys, with what they do"


def test_the_sheet_of_keys_can_be_copied_and_printed(one_window, tmp_path, qtbot):
    entries = entries_of(one_window.menuBar())
    dialog = KeysDialog(entries, one_window)
    qtbot.addWidget(dialog)
    dialog.copy_button.click()
    text = QGuiApplication.clipboard().text()
    assert text == keys_text(groups_of(entries))
    for wanted in ("Ctrl+Shift+A", "F9", "Find an action…", "Menu File", "Chart and fabric"):
        assert wanted in text
    dialog.save_pdf(tmp_path / "keys.pdf")
    assert (tmp_path / "keys.pdf").read_bytes().startswith(b"%PDF")


def test_synonyms_lead_somewhere(one_window):
    """Each word of the trade finds an action, and so do the words it stands for."""
    sought = [Sought(e.name, e.place) for e in entries_of(one_window.menuBar())]
    lost = [word for word in MEANINGS if not found(word, sought)]
    assert lost == []


def test_slips_are_counted_as_they_are_made():
    # F. J. Damerau, Communications of the ACM 7 (1964), 171-176 (from memory): a letter wrong,
    # missing, too many, or two exchanged.
    assert [apart(*p) for p in (("gauge", "gouge"), ("gauge", "gage"), ("gauge", "gaugge"))] == [
        1,
        1,
        1,
    ]
    assert apart("guage", "gauge") == 1 and apart("yarn", "yarn") == 0
    assert apart("kitten", "sitting") == 3  # the textbooks' pair (from memory)
    assert is_slip("guage", "gauge") and not is_slip("gau", "gua")


def test_every_action_that_changes_the_design_says_what_it_did(one_window, qapp):
    """Triggers every action of the Stripe and Edit menus that needs no dialog, and undoes it."""
    stack, told = one_window.session.undo_stack, []
    one_window.strip.deeds.these([0, 1])
    for entry in entries_of(one_window.menuBar()):
        if not entry.place.startswith(("Stripe", "Edit")) or "…" in entry.name:
            continue
        if entry.name in ("Undo", "Redo", "Copy the chart") or not entry.action.isEnabled():
            continue
        one_window.strip.deeds.these([0, 1])
        before = stack.index()
        entry.action.trigger()
        qapp.processEvents()
        if stack.index() > before:
            text = stack.undoText()
            told.append(entry.name)
            deed, _, change = text.partition(": ")
            assert len(deed.split()) >= 2 and change, (entry.name, text)
            said = one_window.statusBar().currentMessage()
            assert said == f"{text} (Ctrl+Z undoes it)"
            stack.undo()
            assert one_window.statusBar().currentMessage() == f"Taken back: {text}"
    assert len(told) >= 8, told
    one_window.session.undo_stack.clear()


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_the_slip_is_whole_in_any_type(dressed, open_window, scale):
    dressed(scale)
    window = open_window(settled=False)
    menus.find_action(window)
    slip = window.findChild(FinderSlip)
    QApplication.processEvents()
    assert slip.list.geometry().bottom() < slip.note.geometry().top()
    assert slip.note.height() >= slip.note.heightForWidth(slip.note.width())
    assert slip.note.geometry().bottom() < slip.height() <= slip.screen().availableSize().height()
    slip.close()
