"""Strain over the fabric: the posts that are stretched or pushed together."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.painting.chart import Placing
from app.painting.strokes import draw_lines
from app.theme import UNIT, Tones
from core.fabric.sheet import Fabric
from core.fabric.strain import PostStrain, post_strain
from core.pipeline import Results

_STRAINS: Final = (0.01, 0.03, 0.06, 0.12)  # from each of these a post is drawn thicker


class StrainOverlay:
    """Paints strain; keeps what it last worked out."""

    def __init__(self) -> None:
        self._known: tuple[Fabric, PostStrain] | None = None

    def paint(
        self,
        painter: QPainter,
        results: Results,
        placing: Placing,
        fabric_px: QRectF,
        canvas: QSize,
        tones: Tones,
    ) -> None:
        """Paint the strained posts over a faded fabric: the thicker, the more they are strained."""
        veil = QColor(tones.sheet)
        veil.setAlpha(190)
        painter.fillRect(fabric_px, veil)
        found = self._strain(results)
        lines = placing.points(found.posts_mm)
        seen = (lines[..., 0] > 0) & (lines[..., 0] < canvas.width())
        seen &= (lines[..., 1] > 0) & (lines[..., 1] < canvas.height())
        stitch_px = results.fabric.size.width_mm * placing.scale
        for colour, sign in ((tones.trouble, 1.0), (tones.accent, -1.0)):
            for step, least in enumerate(_STRAINS):
                most = _STRAINS[step + 1] if step + 1 < len(_STRAINS) else np.inf
                amount = sign * found.strain
                here = seen.any(axis=1) & (amount >= least) & (amount < most)
                width = max(stitch_px * 0.12 * (step + 1), 0.6 + 0.4 * step)
                painter.setPen(QPen(QColor(colour), width))
                draw_lines(painter, lines[here])
        _say(painter, found.strain, canvas, tones)

    def _strain(self, results: Results) -> PostStrain:
        if self._known is None or self._known[0] is not results.fabric:
            self._known = results.fabric, post_strain(results.fabric, results.rows)
        return self._known[1]


def _say(painter: QPainter, strain: NDArray[np.float64], canvas: QSize, tones: Tones) -> None:
    stretched, pushed = max(strain.max(initial=0.0), 0.0), max(-strain.min(initial=0.0), 0.0)
    text = (
        f"stretched by up to {100 * stretched:.0f} % (warm lines), "
        f"pushed together by up to {100 * pushed:.0f} % (cool lines)"
    )
    painter.setPen(QColor(tones.ink))
    box = QRectF(UNIT, 0, canvas.width() - 2 * UNIT, canvas.height() - UNIT // 2)
    where = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom
    painter.drawText(box, int(where), text)
