"""How small and how close symbols are, against pixels counted one by one."""

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.spatial import cKDTree

from core.chart.clearance import clearance_of
from core.chart.ink import ink_of
from core.chart.layout import Chart
from core.chart.piece import Part, chart_of_part
from core.chart.sheet import Look, make_sheet
from core.chart.symbols import NAMES, NUMBER, SYMBOLS
from core.errors import Stopped
from core.fabric.sheet import sketch_fabric
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES

FINE = 0.02  # mm between the points that stand for a stroke


def dots(lines):
    """Return points along straight pieces, close together."""
    found = []
    for start, end in lines:
        n = max(int(np.linalg.norm(end - start) / FINE), 1) + 1
        found.append(start + np.linspace(0, 1, n)[:, np.newaxis] * (end - start))
    return np.concatenate(found)


def sheet_of(symbols, *, width=10.0):
    """Return a sheet of symbols placed by hand: name, foot, top, row, stitch, into."""
    base = chart_of_part(*_plain(), Part())
    names, feet, tops, rows, stitches, into = zip(*symbols, strict=True)
    chart = Chart(
        symbol=np.array([NUMBER[name] for name in names]),
        foot_mm=np.array(feet, dtype=float),
        top_mm=np.array(tops, dtype=float),
        row=np.array(rows),
        stitch=np.array(stitches),
        into=np.array(into),
        fabric=base.fabric,
        first=1,
        last=max(rows),
        quiet=-1,
        width_mm=width,
        labels=(),
        repeat=None,
    )
    return make_sheet(chart, terms="US", look=Look(with_key=False))


def _plain():
    design = starter(FAMILIES[0])
    rows = build_rows(design)
    return design, rows, sketch_fabric(design, rows)


def test_two_upright_stitches_are_as_far_apart_as_their_bars():
    # dc bars are 0.56 stitch widths wide (SYMBOLS) when the stem has its own length.
    high = SYMBOLS["dc"].nominal * 10
    sheet = sheet_of([("dc", (0, 0), (0, high), 1, 0, 0), ("dc", (9, 0), (9, high), 1, 1, 1)])
    reads = clearance_of(sheet)
    stroke = sheet.stroke_of(1).width_mm
    assert reads.closest_mm == pytest.approx((9 - 5.6 - stroke) * sheet.print_scale)
    assert reads.smallest_mm == pytest.approx(high * sheet.print_scale)
    assert reads.closest_rows == (1, 1)


def test_stems_that_cross_touch():
    sheet = sheet_of([("hdc", (0, 0), (9, 14), 1, 0, 0), ("hdc", (9, 0), (0, 14), 1, 1, 1)])
    assert clearance_of(sheet).closest_mm == 0


def test_stems_that_share_a_foot_are_meant_to_but_their_bars_are_not():
    apart = [("hdc", (0, 0), (-6, 14), 1, 0, 3), ("hdc", (0, 0), (6, 14), 1, 1, 3)]
    assert clearance_of(sheet_of(apart)).closest_mm > 1
    close = [("hdc", (0, 0), (-1, 14), 1, 0, 3), ("hdc", (0, 0), (1, 14), 1, 1, 3)]
    assert clearance_of(sheet_of(close)).closest_mm == 0
    # The same feet, but not in one stitch: then they do touch.
    strange = [("hdc", (0, 0), (-6, 14), 1, 0, 3), ("hdc", (0, 0), (6, 14), 1, 1, 4)]
    assert clearance_of(sheet_of(strange)).closest_mm == 0


def test_symbols_far_from_each_other_are_not_close():
    sheet = sheet_of([("sc", (0, 0), (0, 9), 1, 0, 0), ("sc", (90, 0), (90, 9), 1, 1, 1)])
    assert clearance_of(sheet).closest_mm is None


@pytest.mark.parametrize("key", ["gentle", "pointed", "slow", "heights", "double"])
@pytest.mark.parametrize("straight", [False, True])
def test_the_smallest_gap_is_that_of_all_pairs_measured_dot_by_dot(key, straight):
    family = next(family for family in FAMILIES if family.key == key)
    design = replace(starter(family), loops=replace(starter(family).loops, work_in="both"))
    rows = build_rows(design)
    part = Part(shown="part", last_row=2)
    chart = chart_of_part(design, rows, sketch_fabric(design, rows), part, straight=straight)
    sheet = make_sheet(chart, terms="US", look=Look(with_key=False), print_mm=180)
    ink = ink_of(chart.symbol, chart.foot_mm, chart.top_mm)
    half = [0.5 * sheet.stroke_of(int(row)).width_mm for row in chart.row]
    cloud = [dots(ink.lines[ink.symbol == n]) for n in range(len(chart.symbol))]
    trimmed = [ink.lines[(ink.symbol == n) & ~ink.stem] for n in range(len(chart.symbol))]
    best = np.inf
    for a in range(len(cloud)):
        for b in range(a + 1, len(cloud)):
            one, other = cloud[a], cloud[b]
            names = {NAMES[chart.symbol[a]], NAMES[chart.symbol[b]]}
            same_row = chart.row[a] == chart.row[b]
            same_stitch = same_row and chart.stitch[a] == chart.stitch[b]
            same_place = same_row and chart.into[a] == chart.into[b] >= 0
            if same_stitch and ("bar" in names or names == {"ch-stacked"}):
                continue
            if same_stitch or same_place:
                if not len(trimmed[a]) or not len(trimmed[b]):
                    continue
                one, other = dots(trimmed[a]), dots(trimmed[b])
            low = np.maximum(one.min(axis=0), other.min(axis=0))
            high = np.minimum(one.max(axis=0), other.max(axis=0))
            if (low - high).max() - half[a] - half[b] > best:
                continue
            gap = cKDTree(one).query(other)[0].min() - half[a] - half[b]
            best = min(best, max(gap, 0.0))
    reads = clearance_of(sheet)
    scale = sheet.print_scale
    assert reads.closest_mm == pytest.approx(best * scale, abs=1.5 * FINE * scale)


def test_the_smallest_symbol_is_the_one_whose_longer_side_is_shortest():
    design, rows, fabric = _plain()
    sheet = make_sheet(
        chart_of_part(design, rows, fabric, Part()), terms="US", look=Look(), print_mm=180
    )
    chart = sheet.chart
    sizes = {}
    for n in range(len(chart.symbol)):
        name = NAMES[chart.symbol[n]]
        one = slice(n, n + 1)
        ink = ink_of(chart.symbol[one], chart.foot_mm[one], chart.top_mm[one])
        points = ink.lines.reshape(-1, 2)
        sizes.setdefault(name, []).append(np.ptp(points, axis=0).max())
    marks = {name: min(sizes.pop(name)) for name in ("back loop", "front loop")}
    sizes.pop("bar")
    smallest = min(min(values) for values in sizes.values())
    reads = clearance_of(sheet)
    assert reads.smallest_mm == pytest.approx(smallest * sheet.print_scale)
    assert reads.mark_mm == pytest.approx(min(marks.values()) * sheet.print_scale)


def test_measuring_can_be_stopped():
    design, rows, fabric = _plain()
    sheet = make_sheet(chart_of_part(design, rows, fabric, Part()), terms="US")
    with pytest.raises(Stopped):
        clearance_of(sheet, should_stop=lambda: True)
