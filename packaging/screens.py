"""Saves pictures of every screen, to be looked at: window, pages, dialogs, at several sizes.

    python3 packaging/environment.py python packaging/screens.py --to /tmp/screens
    ... screens.py --to /tmp/screens plain new export --look dark --size 2560 --design giant

Without names, all screens are made (`--list` names them). `--size` 1366, 1920 or 2560; `--design`
demo, giant (33 repeats, 300 rows, 18 colours) or baby (a new baby blanket); `--terms` US or UK;
`--scale 2` for a screen of twice the density. Pictures are called SCREEN-DESIGN-SIZE-LOOK.png. A
dialog is grabbed by itself, at the size it opens at. A dialog larger than the screen is named.
"""

import argparse
import json
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
SIZES = {"1366": (1366, 768), "1920": (1920, 1080), "2560": (2560, 1440)}
PAGES = ("swatch", "yarn", "words", "checks", "edging", "colour", "stripes", "versions")
ROWS_TO_READ = """Chain 39.
Row 1: dc in 4th ch from hook, *dc in next 3 ch, (dc2tog) twice, dc in next 3 ch, 2 dc in each of
next 2 ch; rep from * across. (36 sts)
Row 2: Ch 3, dc in same st, *dc in next 3 sts, (dc2tog) twice, dc in next 3 sts, 2 dc in each of
next 2 sts; rep from * across. (36 sts)"""
sys.path.insert(0, str(ROOT))


def main() -> None:
    """Make the pictures that are asked for."""
    words = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    words.add_argument("names", nargs="*", help="screens; all if none is named")
    words.add_argument("--to", type=Path, default=Path(tempfile.gettempdir()) / "screens")
    words.add_argument("--look", choices=("light", "dark"), default="light")
    words.add_argument("--size", choices=tuple(SIZES), default="1366")
    words.add_argument("--design", choices=("demo", "giant", "baby"), default="demo")
    words.add_argument("--terms", choices=("US", "UK"))
    words.add_argument("--scale", choices=("1", "2"), default="1")
    words.add_argument("--list", action="store_true", help="name the screens and stop")
    asked = words.parse_args()
    if asked.list:
        print("\n".join(SCREENS))
        return
    unknown = ", ".join(name for name in asked.names if name not in SCREENS)
    if unknown:
        words.error(f"there is no screen called {unknown}: --list names them")
    asked.to.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        _set_screen(Path(folder), *SIZES[asked.size], float(asked.scale))
        _shoot_all(asked, Path(folder))


def _set_screen(folder: Path, width: int, height: int, scale: float) -> None:
    """Give Qt's offscreen platform a screen of this size, before anything loads Qt."""
    room = {"x": 0, "y": 0, "width": round(width * scale), "height": round(height * scale)}
    screen = {"name": "paper", **room, "logicalDpi": 96, "logicalBaseDpi": 96, "dpr": 1}
    kept = folder / "screens.json"
    kept.write_text(json.dumps({"screens": [screen]}))
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={kept}"
    os.environ["QT_SCALE_FACTOR"] = str(scale)


def _shoot_all(asked: argparse.Namespace, folder: Path) -> None:
    from PySide6.QtCore import QSettings
    from PySide6.QtWidgets import QApplication

    from app.session import Session
    from app.theme import Theme
    from app.window import Window

    application = QApplication.instance() or QApplication([])
    theme = Theme()
    theme.set_look(asked.look)
    design = _design(asked.design, asked.terms)
    for number, name in enumerate(asked.names or SCREENS):
        place = folder / str(number)
        settings = QSettings(str(place / "settings.ini"), QSettings.Format.IniFormat)
        settings.setValue("first/closed", name != "first")
        window = Window(Session(design), theme, settings)
        window.resize(*SIZES[asked.size])
        window.show()
        _wait(9000 if asked.design == "giant" else 2200)
        picture = f"{name}-{asked.design}-{asked.size}-{asked.look}.png"
        _shoot(window, SCREENS[name], asked.to / picture)
        window.documents.may_leave = lambda: True  # type: ignore[method-assign]  # ask nothing
        window.close()
        window.deleteLater()
    del application


def _shoot(window: Any, show: Callable[[Any], object], path: Path) -> None:
    """Open a screen, wait until it is drawn, and grab what is in front."""
    from PySide6.QtCore import QEventLoop, QPoint, Qt, QTimer
    from PySide6.QtGui import QPainter
    from PySide6.QtWidgets import QApplication, QDialog

    loop = QEventLoop()

    def grab() -> None:
        fronts = [w for w in QApplication.topLevelWidgets() if w.isVisible() and w is not window]
        dialogs = [w for w in fronts if isinstance(w, QDialog)]
        seen = (dialogs or [None])[-1]
        target = seen if seen is not None else window
        picture = target.grab()
        with QPainter(picture) as painter:
            for front in fronts:
                if front.windowType() in (Qt.WindowType.Popup, Qt.WindowType.ToolTip):
                    at = front.mapToGlobal(QPoint()) - target.mapToGlobal(QPoint())
                    painter.drawPixmap(at, front.grab())
        picture.save(str(path))
        room = window.screen().availableSize()
        if target.width() > room.width() or target.height() > room.height():
            print(f"{path.name}: {target.width()} x {target.height()} is larger than the screen")
        print(f"{path.name}: {target.width()} x {target.height()}")
        for front in fronts:
            front.close()
        loop.quit()

    QTimer.singleShot(0, lambda: show(window))
    QTimer.singleShot(3500, grab)
    loop.exec()


def _wait(milliseconds: int) -> None:
    from PySide6.QtCore import QEventLoop, QTimer

    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


# designs


def _design(name: str, terms: str | None) -> Any:
    from app.assets import DEMO
    from core.design.document import Stripe, Yarn
    from core.design.edits import set_size, set_values
    from core.design.files import read_design
    from core.fabric.beginnings import Beginning, begin
    from core.rows.waves import FAMILIES

    design = read_design(DEMO)
    if name == "giant":
        tones = ("24455c", "7d9a6b", "efe6d2", "b5573c", "e0a83a", "6a4c7d", "c9a7b8", "3d7068",
                 "d9d0c0", "8a3b3b", "f0c9a0", "506080", "a0b0a0", "704830", "e8e0f0", "2a2a2a",
                 "c06060", "90b8d0")  # fmt: skip
        yarns = tuple(
            Yarn(name=f"Shade {n + 1}", colour=f"#{tone}", ball_m=120, ball_g=50, price=4.2)
            for n, tone in enumerate(tones)
        )
        order = tuple(Stripe(yarn=n * 7 % 18, rows=1 + n % 4) for n in range(36))
        stripes = set_values(design.stripes, sequence=order)
        design = set_size(set_values(design, yarns=yarns, stripes=stripes), repeats=33, rows=300)
    elif name == "baby":
        family = FAMILIES[0]
        design = begin(Beginning(family=family, stitch="sc", size="pram", terms="US", units="in"))
    return set_values(design, terms=terms) if terms else design


# screens


def _page(name: str) -> Callable[[Any], object]:
    return lambda window: window.show_page(PAGES.index(name))


def _nothing(window: Any) -> None:
    window.pages.stack.hide()
    for tab in window._tabs:
        tab.setChecked(False)


def _aside(window: Any) -> None:
    from core.design.edits import set_size

    window.variants.keep("As ordered", window.session.design)
    window.session.change("Make it wider", lambda design: set_size(design, repeats=8))
    window.show_page(PAGES.index("versions"))


def _flipped(window: Any) -> None:
    _aside(window)
    _wait(1200)
    window.variants.flip()


def _beside(window: Any) -> None:
    _aside(window)
    _wait(1000)
    window.variants.see_beside()


def _aside_name(window: Any) -> None:
    window.variants.ask_name()


def _broken(window: Any) -> None:
    from msgspec.structs import replace

    def cut(design: Any) -> Any:
        return replace(design, wave=replace(design.wave, end=design.wave.end[:-1]))

    window.session.change("Take an item out", cut)
    window.show_page(PAGES.index("checks"))


def _measure(window: Any) -> None:
    from PySide6.QtCore import QPoint, Qt
    from PySide6.QtTest import QTest

    window.linking.measure(True)
    for view in (window.chart, window.fabric):
        for share in (0.3, 0.7):
            at = QPoint(int(share * view.width()), int((1 - share) * view.height()))
            QTest.mouseClick(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)


def _selection(window: Any) -> None:
    window.linking.selecting.click((6, 20))
    window.linking.selecting.click((12, 44), extend=True)
    window.show_page(PAGES.index("words"))


def _switched(*names: str) -> Callable[[Any], object]:
    def show(window: Any) -> None:
        for name in names:
            getattr(window.fabric.switches, name).setChecked(True)

    return show


def _menu(title: str) -> Callable[[Any], object]:
    def show(window: Any) -> None:
        for action in window.menuBar().actions():
            if action.text().replace("&", "") == title:
                action.menu().popup(window.mapToGlobal(window.menuBar().pos()))

    return show


def _finder(window: Any) -> None:
    from app.menus import find_action

    find_action(window)


def _keys(window: Any) -> None:
    from app.menus import show_keys

    show_keys(window)


def _about(window: Any) -> None:
    from app.menus import _about as about

    about(window)


def _picture(window: Any) -> None:
    picture = Path(tempfile.gettempdir()) / "screens-of-dipslope.png"
    window.grab().save(str(picture))
    window.palettes.from_picture(picture)


def _rows(window: Any) -> None:
    window.choosers.read_rows()
    from PySide6.QtWidgets import QPlainTextEdit

    from app.reading_dialog import ReadingDialog

    dialog = window.findChildren(ReadingDialog)[-1]
    dialog.findChildren(QPlainTextEdit)[0].setPlainText(ROWS_TO_READ)


def _draw(window: Any) -> None:
    import math

    window.choosers.draw_wave()
    from app.sketch_dialog import SketchDialog

    surface = window.findChildren(SketchDialog)[-1].surface
    _stroke(surface, [(x, 0.5 + 0.2 * math.sin(14 * x)) for x in (n / 100 for n in range(10, 91))])


def _stroke(surface: Any, shares: list[tuple[float, float]]) -> None:
    """Draw a line with the mouse."""
    from PySide6.QtCore import QPoint, Qt
    from PySide6.QtTest import QTest

    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    points = [QPoint(int(x * surface.width()), int(y * surface.height())) for x, y in shares]
    QTest.mousePress(surface, left, none, points[0])
    for point in points:
        QTest.mouseMove(surface, point)
    QTest.mouseRelease(surface, left, none, points[-1])


def _changes(window: Any) -> None:
    from app.changes_dialog import ChangesDialog
    from core.design.differences import differences
    from core.design.edits import set_size

    then = window.session.design
    now = set_size(then, repeats=8)
    lines = differences(then, now)
    ChangesDialog("Changes", "From “As ordered” to the design as it is now:", lines, window).open()


def _recovery(window: Any) -> None:
    from app.keeping.recovery import Left
    from app.recovery_dialog import RecoveryDialog
    from core.design.differences import differences
    from core.design.edits import set_size

    design = window.session.design
    place = Path(tempfile.gettempdir())
    saved, when = set_size(design, repeats=8), 1_764_007_500.0
    changes = differences(saved, design)
    lefts = [
        Left(place / "one.journal", design, None, None, when, ()),
        Left(place / "two.journal", design, place / "throw.dipslope", saved, when, changes),
    ]
    RecoveryDialog(lefts, window.keeper, window).open()


def _sizes(window: Any) -> None:
    from app.views.sizes_dialog import SizesDialog

    SizesDialog(window.live.results, window).open()


def _differences(window: Any) -> None:
    from app.shelf_lists import DifferencesDialog

    about = "What a list from elsewhere would change"
    DifferencesDialog("Differences", about, [], set(), window.theme, window).open()


def _backups(window: Any) -> None:
    from app.shelf_lists import BackupsDialog

    BackupsDialog([], "", window).open()


def _complaint(window: Any) -> None:
    from app.asking import complain

    complain(window, "This file isn't a Dipslope design", "It begins with something else.")


def _leave(window: Any) -> None:
    from core.design.edits import set_size

    window.session.change("Make it wider", lambda design: set_size(design, repeats=8))
    window.documents.may_leave()


def _know_one(window: Any) -> None:
    window.helping.know(window.sentence.width_figure)


def _figure_editor(window: Any) -> None:
    window.sentence.width_figure.click()


SCREENS: dict[str, Callable[[Any], object]] = {
    "plain": _nothing,
    **{name: _page(name) for name in PAGES},
    "first": _nothing,
    "aside": _aside,
    "aside-name": _aside_name,
    "flipped": _flipped,
    "beside": _beside,
    "broken": _broken,
    "measure": _measure,
    "selection": _selection,
    "straight": lambda window: window.show_straight(True),
    "strain": _switched("strain"),
    "far": _switched("far"),
    "side": _switched("side"),
    "lean": _switched("lean"),
    "figure": _figure_editor,
    "know-one": _know_one,
    "finder": _finder,
    "keys": _keys,
    "new": lambda window: window.choosers.new_design(),
    "draw": _draw,
    "compare": lambda window: window.choosers.compare_variants(),
    "curves": lambda window: window.choosers.show_curves(),
    "plan": lambda window: window.choosers.plan_stripes(),
    "twin": lambda window: window.choosers.second_colourway(),
    "stash": lambda window: window.choosers.plan_stash(),
    "shelf": lambda window: window.shelving.open(),
    "paper": lambda window: window.choosers.open_paper(),
    "export": lambda window: window.export(),
    "booklet": lambda window: window.choosers.open_booklet(),
    "rows": _rows,
    "rescue": lambda window: window.helping.rescue(),
    "doctor": lambda window: window.helping.doctor(),
    "know": lambda window: window.helping.know_all(),
    "details": lambda window: window.edit_details(),
    "about": _about,
    "changes": _changes,
    "recovery": _recovery,
    "seen": lambda window: window.choosers.print_seen(window.chart, window.fabric),
    "sizes": _sizes,
    "differences": _differences,
    "backups": _backups,
    "harmony": lambda window: window.palettes.from_colour(),
    "picture": _picture,
    "complaint": _complaint,
    "leave": _leave,
    "menu-file": _menu("File"),
    "menu-stripe": _menu("Stripe"),
    "menu-view": _menu("View"),
}

if __name__ == "__main__":
    main()
