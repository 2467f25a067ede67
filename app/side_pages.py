"""The pages at the side: each made when it is first wanted, brought up to date when it is seen.

Eight pages with all their fields take longer to make than the rest of the window. Before one is
made only its title is known; a page that nobody sees isn't told of every change, but whoever asks
for it (`page`) gets it as the newest results say.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final, Generic, TypeVar

from PySide6.QtWidgets import QStackedWidget

from app.tab_order import follow_layout
from app.views.knowing import explain_figures, name_figures
from app.views.scrolled import keep_wide
from core.pipeline import Results
from core.records import Struct

if TYPE_CHECKING:  # the window has the pages
    from app.version_keeping import VersionKeeping
    from app.views.pages.page import Page
    from app.window import Window

_AnyPage = TypeVar("_AnyPage", bound="Page")


class WantedPage(Generic[_AnyPage]):
    """An attribute of the window: the page of that name, made when it is first asked for."""

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    def __get__(self, window: "Window", owner: type) -> _AnyPage:
        page: _AnyPage = window.pages.page(self._name)
        return page


class SidePages:
    """Makes the pages and keeps them."""

    def __init__(self, window: "Window", wide_px: int) -> None:
        self._window = window
        self._made: dict[str, Page] = {}  # by name
        self._results: Results | None = None
        self._stale: set[str] = set()
        self.keeping: VersionKeeping | None = None  # made with the page of versions
        window.keeper.troubled.connect(self._on_trouble)
        self.stack = QStackedWidget(window)
        keep_wide(self.stack, wide_px)
        self.stack.hide()

    @property
    def titles(self) -> tuple[str, ...]:
        """What the pages are called, in order."""
        return tuple(TITLES.values())

    def index(self, page: "Page | str") -> int:
        """Return the number of a page, or of the page of that name."""
        names = list(TITLES)
        if isinstance(page, str):
            return names.index(page)
        return next(names.index(name) for name, one in self._made.items() if one is page)

    def page(self, name: str) -> Any:
        """Return a page, made if need be, as the newest results say."""
        if name not in self._made:
            self._made[name] = self._make(name)
        page = self._made[name]
        if self._results is not None and name in self._stale:
            self._stale.discard(name)
            page.show_results(self._results)
        return page

    def is_made(self, name: str) -> bool:
        """Return whether a page has been wanted before."""
        return name in self._made

    def show(self, number: int) -> None:
        """Bring a page to the front."""
        self.stack.setCurrentWidget(self.page(list(TITLES)[number]))
        self.stack.show()

    def is_shown(self, number: int) -> bool:
        """Return whether a page is in front."""
        page = self._made.get(list(TITLES)[number])
        return page is not None and self.stack.isVisible() and self.stack.currentWidget() is page

    def show_results(self, results: Results) -> None:
        """Show these results on the page that is seen; the others wait until they are wanted."""
        self._results = results
        self._stale = set(TITLES)
        for name, page in list(self._made.items()):
            if page.isVisible():
                self._stale.discard(name)
                page.show_results(results)

    def close_workers(self) -> None:
        """Stop the threads of the pages that have some."""
        for page in self._made.values():
            close = getattr(page, "close_worker", None)
            if close is not None:
                close()

    @property
    def version_keeping(self) -> "VersionKeeping":
        """What joins the page of versions with what is kept."""
        self.page("versions")
        assert self.keeping is not None
        return self.keeping

    def _on_trouble(self, error: object) -> None:
        """Have it said that something couldn't be kept, if nobody was there yet to say it."""
        if self.keeping is None:
            self.version_keeping.say_trouble(error)

    def _make(self, name: str) -> "Page":
        window = self._window
        page = _PAGES[name].make(window)
        page.wish.connect(window.carry)
        name_figures(name, page)
        explain_figures(page, window.helping.know)
        self._stale.add(name)
        self.stack.addWidget(page)
        follow_layout(window)
        return page


# A page's module is loaded when the page is made, so each import stands in a function.


def _swatch(window: "Window") -> "Page":
    from app.views.pages.swatch import SwatchPage

    return SwatchPage(window.theme, window)


def _yarn(window: "Window") -> "Page":
    from app.views.pages.yarn import YarnPage

    page = YarnPage(window.theme, window)
    page.marks_changed.connect(window.fabric.mark_yarn)
    page.stash_wished.connect(window.choosers.plan_stash)
    page.shelf_wished.connect(window.shelving.open)
    return page


def _words(window: "Window") -> "Page":
    from app.depicting import written_pattern
    from app.views.pages.words import WordsPage

    page = WordsPage(window.theme, lambda results: written_pattern(results).plain, window)
    window.linking.join_words(page.links)
    window.tech_edit.errors.connect(page.show_errors)
    page.show_errors(window.tech_edit.open_errors)
    return page


def _checks(window: "Window") -> "Page":
    from app.views.pages.checks import ChecksPage

    page = ChecksPage(window.theme, window)
    page.jump.connect(window.show_place)
    page.findings_of = window.tech_edit.findings_of
    window.tech_edit.changed.connect(page.list_anew)
    return page


def _edging(window: "Window") -> "Page":
    from app.views.pages.edging import EdgingPage

    return EdgingPage(window.theme, window)


def _colour(window: "Window") -> "Page":
    from app.views.pages.colour import ColourPage

    page = ColourPage(window.theme, window)
    page.row_wished.connect(window.point_at)
    page.sight_wished.connect(window.fabric.colours.set_sight)
    page.picture_wished.connect(window.palettes.from_picture)
    page.harmony_wished.connect(window.palettes.from_colour)
    return page


def _stripes(window: "Window") -> "Page":
    from app.views.pages.stripes import StripesPage

    page = StripesPage(window.theme, window.strip.deeds, window)
    page.plan_wished.connect(window.choosers.plan_stripes)
    page.twin_wished.connect(window.choosers.second_colourway)
    return page


def _versions(window: "Window") -> "Page":
    from app.version_keeping import VersionKeeping
    from app.views.pages.versions import VersionsPage

    page = VersionsPage(window.theme, window)
    keeping = VersionKeeping(window.session, window.keeper, window.documents, page, window)
    keeping.said.connect(window.say)
    keeping.aside_wished.connect(window.variants.take)
    window.pages.keeping = keeping
    return page


class _Side(Struct, frozen=True):
    """A page before it is made: what stands on its tab, and how it is made."""

    title: str
    make: Callable[["Window"], "Page"]


_PAGES: Final = {
    "swatch": _Side("Swatch", _swatch),
    "yarn": _Side("Yarn", _yarn),
    "words": _Side("Words", _words),
    "checks": _Side("Checks", _checks),
    "edging": _Side("Edging", _edging),
    "colour": _Side("Colour", _colour),
    "stripes": _Side("Stripes", _stripes),
    "versions": _Side("Versions", _versions),
}
"""The pages by the names they have in the window, in the order of their tabs and of Ctrl+1 to 9."""
TITLES: Final = {name: side.title for name, side in _PAGES.items()}
