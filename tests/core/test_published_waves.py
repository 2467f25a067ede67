"""The fabric model against published pieces that state a wave's size.

Three pieces are few. The bounds are wide on purpose: they catch a model that goes wrong, and
say how far it is off today.
"""

import pytest

from core.design.document import Gauge, Turning
from core.fabric.measure import measure_wave
from core.fabric.sheet import sketch_fabric
from core.rows.build import build_rows

IN = 25.4


def measures(design):
    fabric = sketch_fabric(design, build_rows(design))
    return measure_wave(fabric.steady)


def test_an_18_stitch_double_ripple_rises_as_published(design_of, row_of):
    # losdale: joann.com 392115075P39, dc, 5 in a ripple, 64 rows in 51 in; swatch proportion of dc
    # 1.6, the median of published gauges.
    row = row_of("I3", "5 D3x2 5 I3x2", "5 D3x2 5 I3")
    wave = measures(design_of(row, gauge=Gauge(stitch="dc", stitches=16, rows=10)))
    predicted = wave.rise_mm / (wave.repeat_width_mm / 18)
    assert predicted == pytest.approx((51 / 64) / (5 / 18), rel=0.04)


def test_a_17_stitch_hdc_ripple_is_nearly_as_narrow_as_published(design_of, row_of):
    # pram5158: freevintagecrochet.com spool178/5158, hdc in back loops, 4 hdc x 2 rows = 1 in,
    # 3.5 in between points. Back loops draw in a little more than the model does.
    row = row_of("K1 7", "I3 7 K2 7", "I3 6 K1 1", "hdc")
    gauge = Gauge(stitch="hdc", stitches=16, rows=8, over_mm=4 * IN)
    wave = measures(design_of(row, gauge=gauge, turning=Turning(2, False)))
    assert wave.repeat_width_mm / IN == pytest.approx(3.5, rel=0.12)
    assert wave.repeat_width_mm / IN < 17 / 4  # narrower than flat


def test_a_22_stitch_sc_ridge_ripple_is_nearly_as_narrow_as_published(design_of, row_of):
    # ridge22: Ripple Ridge Afghan, sc 16 x 16 to 4 in, 22 sts = 3.75 in. Its rows weren't shown:
    # a 3-in-1 with 3 together is our assumption.
    row = row_of("I2", "9 D3 9 I3", "9 D3 9 I2", "sc")
    gauge = Gauge(stitch="sc", stitches=16, rows=16, over_mm=4 * IN)
    wave = measures(design_of(row, stitch="sc", gauge=gauge))
    assert wave.repeat_width_mm / IN == pytest.approx(3.75, rel=0.08)
