"""Ways to places that findings speak of beyond the window's own panels."""

from typing import TYPE_CHECKING

from app.views.pages.page import Page

if TYPE_CHECKING:  # the window goes there
    from app.window import Window


def go_to(window: "Window", where: str) -> bool:
    """Bring a place to the front; return whether it is one of those known here."""
    word, _, rest = where.partition(" ")
    match word:
        case "details":
            window.edit_details(rest)
        case "chart":
            window.chart.setFocus()
            window.chart.show_all()
        case "turning":
            _open(window, window.swatch)
            window.swatch.chains.setFocus()
        case "gauge" if rest == "wave":
            _open(window, window.swatch)
            window.swatch.wave.fold.open()
            window.swatch.wave.width.setFocus()
        case "gauge":
            _open(window, window.swatch)
            window.swatch.stitches.setFocus()
        case "sizes":
            _open(window, window.words)
            window.words.sizes_button.setFocus()
        case "words" if not rest.isdigit():
            _open(window, window.words)
            window.words.setFocus()
        case "yarn":
            _open(window, window.yarn)
            if rest.isdigit():
                window.yarn.choose(int(rest))
            window.yarn.table.setFocus()
        case _:
            return False
    return True


def _open(window: "Window", page: Page) -> None:
    window.show_page(window.pages.index(page))
