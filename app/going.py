"""Ways to the places that findings and figures speak of."""

from typing import TYPE_CHECKING

from app.views.pages.page import Page

if TYPE_CHECKING:  # the window goes there
    from app.window import Window


def go_to(window: "Window", where: str) -> None:
    """Bring a place to the front: a word and perhaps what of it, as `Finding.where` has them.

    A place that isn't known leads to the finished size, where much follows from.
    """
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
        case "words":
            _open(window, window.words)
            window.words.edit_row(int(rest))
        case "swatch":
            _open(window, window.swatch)
            wanted = window.swatch.wanted
            wanted.fold.open()
            field = wanted.length if rest == "length" else wanted.width
            field.setFocus()
            field.selectAll()  # so that the figure that is typed takes its place
        case "edging":
            _open(window, window.edging)
        case "colour":
            _open(window, window.colour)
            window.colour.list.setFocus()
        case "stripes":
            window.strip.setFocus()
        case "wave":
            window.wave.setFocus()
        case "row" if rest.isdigit():
            window.chart.setFocus()
            window.chart.show_row(int(rest))
        case "yarn":
            _open(window, window.yarn)
            if rest.isdigit():
                window.yarn.choose(int(rest))
            window.yarn.table.setFocus()
        case _:
            window.sentence.width_figure.setFocus()


def _open(window: "Window", page: Page) -> None:
    window.show_page(window.pages.index(page))
