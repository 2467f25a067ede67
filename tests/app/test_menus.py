"""Alt and a letter: on every screen and in every menu, for one thing only."""

import re
from collections import Counter

import pytest
from PySide6.QtWidgets import QAbstractButton, QLabel, QMenu, QMenuBar, QWidget
from screens import SCREENS, close

from app.views.stripes.menu import stripe_menu


def menus_in(menu, path=""):
    """Return a menu and those in it, each with the way there."""
    yield path or "menu bar", menu
    for action in menu.actions():
        if isinstance(action.menu(), QMenu):
            yield from menus_in(action.menu(), f"{path} > {action.text()}")


def letter(text):
    """Return the letter that is underlined, or None."""
    found = re.search("&(.)", text.partition("\t")[0].replace("&&", ""))
    return found[1].casefold() if found else None


def twice(texts):
    letters = Counter(filter(None, map(letter, texts)))
    return {key: [t for t in texts if letter(t) == key] for key, n in letters.items() if n > 1}


def test_no_letter_is_underlined_twice_in_a_menu(window):
    found = {
        path: twice([action.text() for action in menu.actions() if not action.isSeparator()])
        for path, menu in menus_in(window.menuBar())
    }
    assert len(found) >= 10
    assert not {path: clash for path, clash in found.items() if clash}


def test_every_entry_of_a_menu_has_a_letter_or_keys(window):
    left = [
        f"{path} > {action.text()}"
        for path, menu in menus_in(window.menuBar())
        for action in menu.actions()
        if not action.isSeparator()
        and letter(action.text()) is None
        and action.shortcut().isEmpty()
        and "\t" not in action.text()
    ]
    assert left == [
        f" > &Stripe > {words}"  # there aren't letters enough
        for words in ("Cut", "Copy", "Choose all", "Choose all of its yarn")
    ]


def test_the_menu_of_the_strip_itself_is_as_clear(window):
    menu = stripe_menu(window.strip.deeds, window)
    assert menu.actions()[0].menu() is not None
    assert not twice([action.text() for action in menu.actions()])


def lettered(screen):
    """Return the texts on a screen whose letters answer to Alt."""
    for one in screen.findChildren(QWidget):
        if not one.isVisible() or one.window() is not screen:
            continue
        if isinstance(one, QAbstractButton) or (isinstance(one, QLabel) and one.buddy()):
            yield one.text()
        elif isinstance(one, QMenuBar):
            yield from (action.text() for action in one.actions())


def test_no_letter_stands_for_two_things_on_a_screen(window):
    window.show()
    checked, clashes = 0, {}
    for name, show in SCREENS.items():
        screen = show(window)
        texts = list(lettered(screen))
        checked += len(list(filter(None, map(letter, texts))))
        clashes |= {f"{name}: {key}": found for key, found in twice(texts).items()}
        close(window, screen)
    assert checked > 200
    assert not clashes


@pytest.mark.parametrize("terms", ["US", "UK"])
def test_the_terms_in_force_are_marked(window, terms):
    window.set_terms(terms)
    menu = next(menu for path, menu in menus_in(window.menuBar()) if path.endswith("Ter&ms"))
    menu.aboutToShow.emit()
    marked = [action.text().replace("&", "") for action in menu.actions() if action.isChecked()]
    assert marked == [f"{terms} terms"]
