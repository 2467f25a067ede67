"""What the shelf's window shows, worked out off the GUI thread."""

from typing import Any

from app.computing import ShouldStop
from core.design.document import Design
from core.pipeline import Results
from core.records import Struct
from core.shelf.against import Have, what_there_is
from core.shelf.entry import Entry
from core.shelf.finding import Found, Search, find


class Request(Struct, frozen=True):
    """The shelf, what is looked for, and the open design."""

    entries: tuple[Entry, ...]
    search: Search
    results: Results


class Answer(Struct, frozen=True):
    """The yarns found, the nearest one too far in colour, and what there is for the design."""

    found: tuple[Found, ...]
    far: Found | None
    haves: tuple[Have, ...]
    design: Design
    length_m: float  # of all yarns found


def look_up(request: Any, should_stop: ShouldStop) -> Answer:
    """Find what is looked for and hold the shelf against the design."""
    del should_stop
    results: Results = request.results
    found, far = find(request.entries, request.search)
    haves = what_there_is(
        results.design,
        results.row_yarn,
        results.yarn_ends,
        results.yarn_of_row,
        results.yarn,
        request.entries,
    )
    length_m = sum(one.entry.length_m for one in found)
    return Answer(found, far, haves, results.design, length_m)
