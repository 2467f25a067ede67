"""What keys do on the strip: choose stripes, and do things to those chosen."""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

from app.views.stripes.deeds import StripeDeeds

_Mods = Qt.KeyboardModifier
_Key = Qt.Key
YARN_KEYS: Final = (_Key.Key_Return, _Key.Key_Enter, _Key.Key_Space)
"""Keys that offer the yarns."""


def choose_by_key(deeds: StripeDeeds, event: QKeyEvent) -> bool:
    """Choose by keys; return whether the key was for that."""
    mods = event.modifiers()
    last = len(deeds.sequence) - 1
    steps: dict[int, int] = {
        _Key.Key_Up: deeds.choice.current + 1,
        _Key.Key_Down: deeds.choice.current - 1,
        _Key.Key_Home: 0,
        _Key.Key_End: last,
    }
    to = steps.get(event.key())
    if to is not None and not mods & _Mods.AltModifier:
        if mods & _Mods.ShiftModifier:
            deeds.reach(to)
        elif mods & _Mods.ControlModifier:
            deeds.point(to)
        else:
            deeds.only(to)
        return True
    if event.key() == _Key.Key_Space and mods & _Mods.ControlModifier:
        deeds.toggle(deeds.choice.current)
    elif event.matches(QKeySequence.StandardKey.SelectAll):
        deeds.all_of_them()
    elif event.key() == _Key.Key_Y and not mods:
        deeds.all_of_its_yarn()
    else:
        return False
    return True


def do_by_key(deeds: StripeDeeds, event: QKeyEvent) -> bool:
    """Do something to what is chosen; return whether the key was for that."""
    key, mods = event.key(), event.modifiers()
    standard = (
        (QKeySequence.StandardKey.Copy, deeds.copy),
        (QKeySequence.StandardKey.Cut, deeds.cut),
        (QKeySequence.StandardKey.Paste, deeds.paste),
    )
    for keys, deed in standard:
        if event.matches(keys):
            deed()
            return True
    plain: dict[int, Callable[[], object]] = {
        _Key.Key_Insert: deeds.add,
        _Key.Key_Delete: deeds.remove,
        _Key.Key_Backspace: deeds.remove,
        _Key.Key_F2: deeds.name_wished.emit,
        _Key.Key_L: deeds.toggle_lock,
        _Key.Key_M: deeds.mirror,
        _Key.Key_R: deeds.reverse,
        _Key.Key_S: deeds.split,
        _Key.Key_J: deeds.join,
        _Key.Key_X: deeds.exchange_chosen,
    }
    rows: dict[int, int] = {_Key.Key_Exclam: 1, _Key.Key_At: 2, _Key.Key_QuoteDbl: 2}
    if mods & _Mods.AltModifier and key in (_Key.Key_Up, _Key.Key_Down):
        deeds.nudge(1 if key == _Key.Key_Up else -1)
    elif mods & _Mods.ControlModifier:
        if key != _Key.Key_D:
            return False
        deeds.repeat()
    elif key in (_Key.Key_Plus, _Key.Key_Equal, _Key.Key_Minus):
        deeds.change_rows(-1 if key == _Key.Key_Minus else 1)
    elif mods & _Mods.ShiftModifier and (key in rows or key in (_Key.Key_1, _Key.Key_2)):
        deeds.set_rows(rows.get(key) or key - _Key.Key_0)
    elif _Key.Key_1 <= key <= _Key.Key_9:
        deeds.set_yarn(key - _Key.Key_1)
    elif key in plain:
        plain[key]()
    else:
        return False
    return True
