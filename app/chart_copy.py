"""The chart onto the clipboard, as a picture and as SVG, made off the window's thread."""

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QByteArray, QMimeData, QObject, Signal
from PySide6.QtGui import QGuiApplication, QImage

from app.assets import chart_font
from app.computing import LatestWins, ShouldStop
from core.pipeline import Results
from core.records import Struct

if TYPE_CHECKING:
    from app.painting.choices import Choices

SVG_TYPE: Final = "image/svg+xml"
_DPI: Final = 200


class Copied(Struct, frozen=True):
    """What goes onto the clipboard."""

    image: QImage
    svg: bytes


class ChartCopy(QObject):
    """Copies the standard extract of a design's chart."""

    said = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._work: LatestWins | None = None

    def copy(self, results: Results | None, *, straight: bool) -> None:
        """Copy the chart of these results, as soon as it is painted."""
        if results is None:
            return
        from app.painting.choices import Choices  # loaded when a chart is first copied

        chart_font()  # fonts are added on this thread
        if self._work is None:
            self._work = LatestWins(_paint, self)
            self._work.finished.connect(self._on_painted)
            self._work.failed.connect(lambda error: self.said.emit(f"Not copied: {error}."))
        self._work.submit((results, Choices(straight=straight, dpi=_DPI)))

    def _on_painted(self, copied: Copied) -> None:
        data = QMimeData()
        data.setImageData(copied.image)
        data.setData(SVG_TYPE, QByteArray(copied.svg))
        QGuiApplication.clipboard().setMimeData(data)
        self.said.emit("The chart is on the clipboard, as a picture and as SVG.")

    def close(self) -> None:
        """Stop the thread behind it."""
        if self._work is not None:
            self._work.close()


def _paint(request: "tuple[Results, Choices]", should_stop: ShouldStop) -> Copied:
    from app.depicting import chart_sheet  # loaded when a chart is first copied
    from app.painting.pictures import Work, chart_image
    from core.chart.svg import svg_text
    from core.techedit.edit import stamp_for

    results, choices = request
    sheet = chart_sheet(results, choices, stamp_for(results))
    width = choices.picture_width_px()
    image = chart_image(sheet, width, family=chart_font(), work=Work(should_stop))
    per_metre = round(1000 * width / choices.width_mm)
    image.setDotsPerMeterX(per_metre)
    image.setDotsPerMeterY(per_metre)
    return Copied(image, svg_text(sheet, width_mm=choices.width_mm).encode())
