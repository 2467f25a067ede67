"""What the tests of the window share: a small ripple, its results, the theme."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before anything imports Qt

import pytest
from desk import Desk
from PySide6.QtGui import QFont

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
from core.pipeline import Pipeline


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
    before = QFont(qapp.font()), qapp.palette()

    def dress(scale):
        font = QFont(before[0])
        font.setPointSizeF(before[0].pointSizeF() * scale)
        qapp.setFont(font)
        Theme().apply()

    yield dress
    qapp.setStyleSheet("")
    qapp.setFont(before[0])
    qapp.setPalette(before[1])
    qapp.processEvents()  # the change is told now, not to the next test's widgets
