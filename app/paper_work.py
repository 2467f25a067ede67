"""What the window of paper has done off the GUI thread: pages, pictures of them, files, print."""

from typing import Any, Final, Literal

from PySide6.QtGui import QImage

from app.computing import ShouldStop
from app.exporting import settled
from app.painting.choices import Choices
from app.painting.pictures import Work
from app.paper.sheets import SheetName, Sheets
from app.papers import paper_sheets, paper_table, shopping_words
from app.stopping import STOPPED, Stop
from app.views.figures import counted
from core.design.disk import write_whole
from core.errors import Stopped
from core.pipeline import Results
from core.records import Struct, field

_THUMB_PX: Final = 112
_MOST_THUMBS: Final = 80

Deed = Literal["text", "table", "print", "pdf"]


class Wish(Struct, frozen=True, eq=False, kw_only=True):
    """Pages that are wanted, or that something is to be done with."""

    results: Results
    names: tuple[SheetName, ...]
    choices: Choices


class Made(Struct, frozen=True, eq=False, kw_only=True):
    """Pages and small pictures of the first of them."""

    wish: Wish
    sheets: Sheets
    thumbs: tuple[QImage, ...]


class Job(Struct, frozen=True, eq=False):
    """Something to be done with pages.

    Attributes:
        deed: What.
        wish: With which.
        target: A file, a printer, or nothing for a text.
    """

    deed: Deed
    wish: Wish
    target: Any = None
    stop: Stop = field(default_factory=Stop)


def make(wish: Any, should_stop: ShouldStop) -> Made:
    """Return pages with their small pictures."""
    sheets = paper_sheets(wish.results, wish.names, wish.choices, should_stop=should_stop)
    thumbs = []
    for number in range(min(len(sheets.pages), _MOST_THUMBS)):
        if should_stop():
            raise Stopped
        thumbs.append(sheets.image(number, _THUMB_PX))
    return Made(wish=wish, sheets=sheets, thumbs=tuple(thumbs))


def paint(request: Any, should_stop: ShouldStop) -> tuple[int, QImage]:
    """Return the number and the picture of a page."""
    del should_stop
    sheets, number, width_px = request
    return number, sheets.image(number, width_px)


def do(job: Any, should_stop: ShouldStop) -> str:
    """Write a file, fill a printer or make a text; return what is to be said or copied.

    Raises:
        OSError: The file couldn't be written; the one before is as it was.
    """
    del should_stop  # it is never asked for something else meanwhile, and has a stop of its own
    try:
        return _done(job, job.stop)
    except Stopped:
        return STOPPED


def _done(job: Any, should_stop: ShouldStop) -> str:
    wish, target = job.wish, job.target
    results = settled(wish.results, Work(should_stop))  # what is worked by is at rest
    match job.deed:
        case "text":
            return shopping_words(results, wish.choices, should_stop=should_stop)
        case "table":
            name = wish.names[0]
            write_whole(target, paper_table(results, name, wish.choices, should_stop=should_stop))
            return f"Saved {target.name}."
        case "print":
            sheets = paper_sheets(results, wish.names, wish.choices, should_stop=should_stop)
            if should_stop():
                raise Stopped
            sheets.paint_all(target, target.resolution())  # half a print is none
            return f"{counted(len(sheets.pages), 'page')} sent to the printer."
        case _:
            sheets = paper_sheets(results, wish.names, wish.choices, should_stop=should_stop)
            write_whole(target, sheets.pdf(should_stop=should_stop))
            return f"Saved {target.name}."
