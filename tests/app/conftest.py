"""What the tests of the window share: a small ripple, its results, the theme."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before anything imports Qt

import pytest
from desk import SOON, Desk, Key, Mods, window_in
from PySide6.QtCore import QSettings, QStandardPaths
from PySide6.QtGui import QFont, QPalette
from PySide6.QtTest import QTest
from shelf_hands import settle

from app.shelf_dialog import ShelfDialog
from app.theme import Theme
from core.design.document import (
    Design,
    Gauge,
    Item,
    Loops,
    Size,
    Stripe,
    Stripes,
    Turning,
    Wave,
    Yarn,
)
from core.design.files import read_design
from core.pipeline import Pipeline
from core.shelf.store import Store


@pytest.fixture(scope="session", autouse=True)
def settings_of_nobody(tmp_path_factory):
    """Keep every test away from what the user at this machine has set and kept."""
    folder = tmp_path_factory.mktemp("nobody")
    for form in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(form, QSettings.Scope.UserScope, str(folder))
    QStandardPaths.setTestModeEnabled(True)
    return folder


def _looks_kept(application):
    """Remember style sheet, font and palette, and put back those that were changed."""
    sheet, font = application.styleSheet(), QFont(application.font())
    palette = QPalette(application.palette())
    yield
    is_changed = False
    if application.styleSheet() != sheet:
        application.setStyleSheet(sheet)
        is_changed = True
    if application.font() != font:
        application.setFont(font)
        is_changed = True
    if application.palette() != palette:
        application.setPalette(palette)
        is_changed = True
    if is_changed:
        application.processEvents()  # it is told now, not to the next test's widgets


@pytest.fixture(scope="module", autouse=True)
def looks_of_the_module(qapp):
    """What a whole module's windows put on goes with the module."""
    yield from _looks_kept(qapp)


@pytest.fixture(autouse=True)
def looks(looks_of_the_module, qapp):
    """What a test puts on the application goes with the test."""
    yield from _looks_kept(qapp)


@pytest.fixture(scope="session")
def ripple():
    """The 12-stitch ripple with half peaks at both sides, in two colours."""
    plain = Item(stitch="dc", times=3)
    dip = Item(stitch="dc", over=2, times=2)
    half, peak = Item(stitch="dc", make=2), Item(stitch="dc", make=2, times=2)
    return Design(
        title="A ripple",
        gauge=Gauge(stitch="dc", stitches=13, rows=7.5),
        wave=Wave((half,), (plain, dip, plain, peak), (plain, dip, plain, half)),
        turning=Turning(chains=3, counts=True),
        loops=Loops(work_in="back"),
        size=Size(repeats=4, rows=20),
        yarns=(
            Yarn(name="Sea", colour="#2a6f97", ball_m=105, ball_g=50, owned_balls=0.5, price=4.5),
            Yarn(name="Sand", colour="#e9d8a6", ball_m=105, ball_g=50),
        ),
        stripes=Stripes((Stripe(yarn=0, rows=2), Stripe(yarn=1, rows=2))),
    )


@pytest.fixture
def results(ripple):
    return Pipeline().results(ripple)


@pytest.fixture
def theme(qapp):
    return Theme()


@pytest.fixture
def desk(theme, ripple, qtbot):
    """Put a page on a desk: `desk(SwatchPage)`, or with another design."""

    def make(kind, design=ripple, *rest):
        page = kind(theme, *rest)
        qtbot.addWidget(page)
        page.resize(300, 640)
        return Desk(design, page)

    return make


@pytest.fixture
def dressed(qapp):
    """Set the application's looks, in a text size: `dressed(2.0)`."""
    before = QFont(qapp.font())

    def dress(scale):
        font = QFont(before)
        font.setPointSizeF(before.pointSizeF() * scale)
        qapp.setFont(font)
        Theme().apply()

    return dress


@pytest.fixture
def open_window(demo_path, tmp_path, qtbot):
    """Open a window with the demo, or with another design: `open_window(ripple, size=None)`.

    It keeps its settings and things in the test's folder and closes without a question. Unless told
    otherwise it is returned when the fabric has settled; `active` waits until keys go to it.
    """

    def open_one(
        design=None, *, path=None, theme=None, size=(1366, 768), settled=True, active=False
    ):
        if design is None:
            design = read_design(demo_path)
        window = window_in(tmp_path, design, theme, path=path)
        qtbot.addWidget(window, before_close_func=lambda w: w.session.undo_stack.setClean())
        if size is not None:
            window.resize(*size)
        if active:
            with qtbot.waitActive(window):
                window.show()
                window.activateWindow()
        else:
            window.show()
        if settled:
            qtbot.waitUntil(lambda: window.live.is_settled, timeout=SOON)
        return window

    return open_one


@pytest.fixture
def window(open_window, ripple):
    """A window with the small ripple; most files open another one."""
    return open_window(ripple, settled=False)


@pytest.fixture
def store(tmp_path):
    """The store of the shelf that belongs to the windows of the test's folder."""
    return Store(tmp_path / "kept" / "shelf")


@pytest.fixture
def open_shelf(window, qtbot):
    """Open the window's shelf by its key and wait until it is shown."""

    def by_key():
        window.activateWindow()
        QTest.keyClick(window, Key.Key_Y, Mods.ControlModifier | Mods.ShiftModifier)
        dialog = window.opened.of(ShelfDialog)
        assert dialog is not None
        settle(dialog, qtbot)
        return dialog

    return by_key
