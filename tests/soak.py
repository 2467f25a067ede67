"""A long day in one window, and many days one after another; tables, and what must stay flat.

    python3 packaging/environment.py python tests/soak.py --edits 20000 --windows 1000

`--edits`: random edits, undone and done again, saved, pages turned, in one window. `--windows`:
windows opened and closed. At marks on the way memory is swept (`gc`, `malloc_trim`) and read from
/proc; threads, timers, Qt objects, Python objects and files are counted. A short form of both is
among the tests (`tests/app/test_long_days.py`).
"""

import argparse
import ctypes
import gc
import os
import random
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from unittest.mock import patch

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from msgspec.structs import replace
from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QObject,
    QSettings,
    QTimer,
    qInstallMessageHandler,
)
from PySide6.QtWidgets import QApplication, QMessageBox

from app.assets import DEMO
from app.session import Session
from app.theme import Theme
from app.window import Window
from core.design import edits, stripe_edits
from core.design.document import Design
from core.design.files import read_design

_IGNORED = ("This plugin does not support", "propagateSizeHints")


@dataclass
class Marks:
    """What was counted, mark by mark, and every Qt message."""

    lines: list[dict[str, float]] = field(default_factory=list)
    messages: list[str] = field(default_factory=list)

    def add(self, **what: float) -> None:
        self.lines.append(what)
        print("  ".join(f"{key} {value:,.6g}" for key, value in what.items()), flush=True)


def swept() -> None:
    """Let go of everything that waits to be let go."""
    for _ in range(3):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        QApplication.processEvents()
        gc.collect()
    if sys.platform == "linux":
        ctypes.CDLL(None).malloc_trim(0)


def rss_mb() -> float:
    with Path("/proc/self/status").open() as status:
        return next(int(line.split()[1]) for line in status if line.startswith("VmRSS")) / 1024


def counts(root: QObject | None, folder: Path) -> dict[str, float]:
    """Count what may leak."""
    there = [path for path in folder.rglob("*") if path.is_file()]
    return {
        "rss_mb": round(rss_mb(), 1),
        "threads": len(list(Path("/proc/self/task").iterdir())),
        "handles": len(list(Path("/proc/self/fd").iterdir())),
        "widgets": len(QApplication.allWidgets()),
        "qobjects": len(root.findChildren(QObject)) if root is not None else 0,
        "timers": len(root.findChildren(QTimer)) if root is not None else 0,
        "objects": len(gc.get_objects()),
        "parts": sum(path.name.endswith(".part") for path in there),
        "files": len(there),
    }


# --- one long day ------------------------------------------------------------------------


def any_edit(chance: random.Random, design: Design) -> tuple[str, object]:
    """Return one of a person's edits; some are refused, as it happens to people."""
    n, pick = chance.randrange, chance.choice
    stripes, yarns = len(design.stripes.sequence), len(design.yarns)
    colour = f"#{n(1 << 24):06x}"
    few = [n(stripes) for _ in range(n(3) + 1)]
    set_yarn, set_stripe = edits.set_yarn, edits.set_stripe
    wide, high = pick((0, 0, 1, -1)), pick((0, 1, -1, 2))
    size = design.size
    kinds = (
        ("Rows", lambda d: edits.set_size(d, rows=max(4, min(40, size.rows + high)))),
        ("Width", lambda d: edits.set_size(d, repeats=max(2, min(6, size.repeats + wide)))),
        ("Colour", lambda d: set_yarn(d, n(yarns), colour=colour)),
        ("Name", lambda d: set_yarn(d, n(yarns), name=f"Yarn {n(10_000)}")),
        ("Ball", lambda d: set_yarn(d, n(yarns), ball_m=50.0 + n(200))),
        ("Weighed", lambda d: set_yarn(d, n(yarns), left_g=float(n(50)), left_after=n(20))),
        ("Stripe", lambda d: set_stripe(d, n(stripes), rows=1 + n(6), yarn=n(yarns))),
        ("Move", lambda d: edits.move_border(d, n(stripes), pick((1, -1)))),
        ("Mirror", lambda d: stripe_edits.mirror(d, few) if stripes < 30 else d),
        ("Remove", lambda d: stripe_edits.remove(d, few) if stripes > 6 else d),
        ("Split", lambda d: stripe_edits.split(d, few) if stripes < 30 else d),
        ("Lock", lambda d: stripe_edits.set_locked(d, few, bool(n(2)))),
        ("Label", lambda d: stripe_edits.set_label(d, few, f"Label {n(99)}")),
        ("Fill", lambda d: edits.set_fill(d, pick(("repeat", "stop", "mirror")))),
        ("Yarn", lambda d: edits.add_yarn(d, replace(d.yarns[0], name=f"New {n(99)}"))
            if yarns < 8 else edits.remove_yarn(d, n(yarns))),
        ("Loops", lambda d: edits.set_loops(d, work_in=pick(("both", "back", "front")))),
        ("Gauge", lambda d: edits.set_gauge(d, stitches=12.0 + n(30) / 10)),
        ("Title", lambda d: edits.set_values(d, title=f"Title {n(10_000)}")),
        ("Notes", lambda d: edits.set_values(d, notes=f"Line {n(99)}\n" * n(30))),
        ("Terms", lambda d: edits.set_values(d, terms=pick(("US", "UK")))),
        ("Units", lambda d: edits.set_values(d, units=pick(("cm", "in")))),
        ("Hand", lambda d: edits.set_values(d, hand=pick(("right", "left")))),
        ("Wanted", lambda d: edits.set_wanted(d, width_mm=500.0 + n(900))),
        ("Spare", lambda d: edits.set_reckoning(d, spare=n(30) / 100)),
        ("Washed", lambda d: edits.set_swatch(d, wash_width_mm=99.0, washed_width_mm=90.0 + n(20))),
        ("Border", lambda d: edits.set_edge_border(d, rounds=1 + n(4))
            if n(2) else edits.remove_edge_border(d)),
        ("Fill rows", lambda d: edits.set_end_fill(d, "top") if n(2)
            else edits.remove_end_fill(d, "top")),
    )  # fmt: skip
    return pick(kinds)


def small_design() -> Design:
    """Return the demo's wave on a piece that settles quickly."""
    return edits.set_size(read_design(DEMO), repeats=4, rows=20)


def settle(window: Window, seconds: float = 20.0) -> None:
    """Wait until the window has nothing more to work out or to write."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QApplication.processEvents()
        if window.live.is_settled and not window.keeper.autosave.is_pending:
            return
        time.sleep(0.002)


def long_day(n_edits: int, folder: Path, *, seed: int = 1, every: int = 1000) -> Marks:
    """Work in one window; return what was counted."""
    marks, chance = Marks(), random.Random(seed)
    qInstallMessageHandler(lambda kind, where, text: marks.messages.append(text))
    settings = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
    session, path = Session(small_design()), folder / "day.dipslope"
    refused: list[str] = []
    session.refused.connect(refused.append)
    window = Window(session, Theme(), settings, folder / "kept")
    window.resize(1366, 768)
    window.show()
    window.documents.save_to(path)
    for number in range(len(window.pages.titles)):  # made once, when first wanted
        window.show_page(number)
    settle(window)
    start, done = time.monotonic(), {"edit": 0, "undo": 0, "redo": 0, "save": 0, "page": 0}
    while done["edit"] < n_edits:
        what = chance.random()
        if what < 0.72:
            text, edit = any_edit(chance, session.design)
            gesture = object() if chance.random() < 0.1 else None
            for _ in range(3 if gesture else 1):
                session.change(text, edit, gesture)
            done["edit"] += 1
        elif what < 0.84:
            session.undo_stack.undo()
            done["undo"] += 1
        elif what < 0.90:
            session.undo_stack.redo()
            done["redo"] += 1
        elif what < 0.91:
            window.documents.save_to(path)
            done["save"] += 1
        elif what < 0.97:
            window.toggle_page(chance.randrange(len(window.pages.titles)))
            done["page"] += 1
        else:
            row = 1 + chance.randrange(session.design.size.rows)
            chance.choice((
                window.flip, window.show_all, lambda: window.chart.zoom(1.1),
                lambda row=row: window.linking.selecting.point(row, 2),
                lambda: window.show_straight(bool(chance.randrange(2))),
                lambda: window.set_look(chance.choice(("light", "dark"))),
            ))()  # fmt: skip
        QApplication.processEvents()
        if done["edit"] % every == 0 and what < 0.72:
            settle(window)
            swept()
            marks.add(edits=done["edit"], seconds=round(time.monotonic() - start),
                      steps=session.undo_stack.count(), **counts(window, folder))  # fmt: skip
    settle(window)
    session.undo_stack.clear()
    settle(window)
    swept()
    marks.add(edits=done["edit"], seconds=round(time.monotonic() - start),
              steps=session.undo_stack.count(), **counts(window, folder))  # fmt: skip
    print(done, f"refused {len(refused)}", flush=True)
    session.undo_stack.setClean()
    window.close()
    window.deleteLater()
    swept()
    marks.add(closed=1, **counts(None, folder))
    qInstallMessageHandler(None)
    marks.messages[:] = [text for text in marks.messages if not text.startswith(_IGNORED)]
    return marks


# --- many days ---------------------------------------------------------------------------


def one_window(theme: Theme, folder: Path, *, shown: bool = True) -> None:
    """Open a window, change something, close it."""
    settings = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
    session = Session(small_design())
    window = Window(session, theme, settings, folder / "kept")
    window.resize(1366, 768)
    if shown:
        window.show()
    QApplication.processEvents()
    session.change("Title", lambda design: edits.set_values(design, title="Another"))
    QApplication.processEvents()
    session.undo_stack.setClean()
    window.close()
    window.deleteLater()


def many_days(n_windows: int, folder: Path, *, every: int = 50) -> Marks:
    """Open and close windows; return what was counted."""
    marks, theme = Marks(), Theme()
    qInstallMessageHandler(lambda kind, where, text: marks.messages.append(text))
    start = time.monotonic()
    for number in range(1, n_windows + 1):
        one_window(theme, folder)
        if number % every == 0:
            swept()
            marks.add(windows=number, seconds=round(time.monotonic() - start),
                      **counts(None, folder))  # fmt: skip
    qInstallMessageHandler(None)
    marks.messages[:] = [text for text in marks.messages if not text.startswith(_IGNORED)]
    return marks


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--edits", type=int, default=0)
    parser.add_argument("--windows", type=int, default=0)
    parser.add_argument("--every", type=int, default=0, help="edits or windows between two marks")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    application = QApplication.instance() or QApplication([])
    assert application is not None
    with tempfile.TemporaryDirectory() as name, patch.object(QMessageBox, "exec", _no_question):
        if asked.edits:
            marks = long_day(asked.edits, Path(name), seed=asked.seed, every=asked.every or 1000)
            print(f"Qt said: {marks.messages[:20]}")
        if asked.windows:
            marks = many_days(asked.windows, Path(name), every=asked.every or 50)
            print(f"Qt said: {marks.messages[:20]}")
    return 0


def _no_question(box: QMessageBox) -> int:
    raise AssertionError(f"a question was asked: {box.text()}")


if __name__ == "__main__":
    sys.exit(main())
