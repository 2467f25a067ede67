"""How long the fabric takes, as ratios in one run; no check, a table.

Run from the checkout: `python3 packaging/environment.py python -m tests.benchmarks.fabric`.

All ways solve the same energy. L-BFGS-B (scipy's, with the slope handed to it) and our visible
fabric both begin with the steady state tiled over the sheet; Newton's method with a fresh sparse
factor from scipy in every step and our exact fabric both begin with the visible fabric. How far
strips lie from the whole sheet is printed too, in stitch widths.
"""

import os
import sys
import time

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # as in the program

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from app.assets import DEMO
from core.design import edits
from core.design.files import read_design
from core.fabric.case import case_of, whole_levels
from core.fabric.energy import Frame, energy, pull_and_stiffness, spring_vectors_mm, walls
from core.fabric.net import SpringBook, build_net
from core.fabric.sheet import settle_exactly, settle_fabric, sketch_fabric
from core.fabric.springs import proportions_of
from core.fabric.steady import steady_of
from core.rows.build import build_rows
from core.rows.waves import FAMILIES, family_wave


def design_of(family, stitch, repeats, n_rows, run=3):
    """Return a design of the demo's gauge with the wave of a family."""
    kind = next(one for one in FAMILIES if one.key == family)
    design = edits.set_wave(read_design(DEMO), family_wave(kind, stitch, run))
    rows = {"dc": 8, "sc": 14}[stitch]
    design = edits.set_gauge(design, stitch=stitch, stitches=13, rows=rows)
    return edits.set_size(design, repeats=repeats, rows=n_rows)


def seconds(do, times=3):
    """Return the best of a few times; machines only ever add to it."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        do()
        best = min(best, time.perf_counter() - start)
    return best


class Problem:
    """The energy of a whole sheet for scipy."""

    def __init__(self, design, rows):
        book = SpringBook(rows, proportions_of(design.gauge))
        self.net = build_net(book, whole_levels(rows), None, periodic=False)
        self._n = self.net.n_nodes

    def energy_and_slope(self, flat):
        """Return both for L-BFGS-B."""
        tops, net = flat.reshape(-1, 2), self.net
        pull, _ = pull_and_stiffness(net, spring_vectors_mm(net, tops, Frame()), exact=True)
        flattened = walls(net, tops, Frame())
        slope = np.zeros((self._n, 2))
        for axis in (0, 1):
            slope[:, axis] += np.bincount(net.ends[:, 1], pull[:, axis], self._n)
            slope[:, axis] -= np.bincount(net.ends[:, 0], pull[:, axis], self._n)
            corners = net.corners[flattened.which].ravel()
            slope[:, axis] += np.bincount(corners, flattened.pull[..., axis].ravel(), self._n)
        return energy(net, tops, Frame()), slope.ravel()

    def with_fresh_factors(self, tops):
        """Return the sheet settled by Newton's method with a sparse factor in every step."""
        net, now = self.net, energy(self.net, tops, Frame())
        for _ in range(60):
            _, slope = self.energy_and_slope(tops.ravel())
            vectors = spring_vectors_mm(net, tops, Frame())
            _, stiffness = pull_and_stiffness(net, vectors, exact=True)
            one, other = net.ends.T
            where, columns, values = [], [], []
            for a, b, sign in (
                (one, one, 1),
                (other, other, 1),
                (one, other, -1),
                (other, one, -1),
            ):
                for i in (0, 1):
                    for j in (0, 1):
                        where.append(2 * a + i)
                        columns.append(2 * b + j)
                        values.append(sign * stiffness[:, i, j])
            every = np.arange(2 * self._n)
            where, columns = np.concatenate([*where, every]), np.concatenate([*columns, every])
            matrix = coo_matrix(
                (np.concatenate([*values, np.full(2 * self._n, 1e-7)]), (where, columns))
            ).tocsc()
            move = splu(matrix).solve(-slope).reshape(-1, 2)
            part = 1.0
            while energy(net, tops + part * move, Frame()) > now and part > 1e-6:
                part *= 0.5
            tops = tops + part * move
            now = energy(net, tops, Frame())
            if np.abs(part * move).max() < 1e-7 * net.rest_mm.mean():
                break
        return tops


def compare(stitch):
    """Print how the ways compare on 180 x 110 stitches."""
    design = design_of("gentle", stitch, 15, 110)
    rows = build_rows(design)
    start = settle_fabric(design, rows)
    problem = Problem(design, rows)
    visible = seconds(lambda: settle_fabric(design, rows))
    exact = seconds(lambda: settle_exactly(design, rows, start=start))
    fresh = seconds(lambda: problem.with_fresh_factors(start.tops_mm.copy()), 1)
    began = time.perf_counter()
    plain = minimize(
        problem.energy_and_slope,
        sketch_fabric(design, rows).tops_mm.ravel(),
        jac=True,
        method="L-BFGS-B",
        options={"maxiter": 100_000, "maxfun": 200_000, "ftol": 1e-14, "gtol": 1e-7},
    )
    lbfgs = time.perf_counter() - began
    ours = energy(problem.net, settle_exactly(design, rows, start=start).tops_mm, Frame())
    steady = seconds(lambda: steady_of(design), 9)
    sketch = seconds(lambda: sketch_fabric(design, rows), 9)
    print(f"180 x 110 stitches of {stitch}: one second is {1 / visible:.0f} visible fabrics")
    print(f"  L-BFGS-B ({plain.nit} steps) : visible fabric    {lbfgs / visible:8.0f} : 1")
    print(f"  L-BFGS-B : sketch that a drag shows       {lbfgs / sketch:8.0f} : 1")
    print(f"  L-BFGS-B : steady state                   {lbfgs / steady:8.0f} : 1")
    print(f"  Newton, fresh factors : exact fabric      {fresh / exact:8.1f} : 1")
    print(f"  L-BFGS-B : exact fabric                   {lbfgs / exact:8.0f} : 1")
    print(f"  energy of L-BFGS-B above ours             {plain.fun / ours - 1:8.1e}")
    print(
        f"  seconds: visible {visible:.3f}, sketch {sketch:.4f}, steady {steady:.4f}, "
        f"exact {exact:.2f}, fresh factors {fresh:.2f}, L-BFGS-B {lbfgs:.1f}"
    )


def growth():
    """Print what a large blanket costs against a small one."""
    times = []
    for repeats, n_rows in ((33, 300), (10, 60)):
        design = design_of("gentle", "dc", repeats, n_rows)
        rows = build_rows(design)
        case = case_of(design)
        times.append(seconds(lambda d=design, r=rows, c=case: settle_fabric(d, r, case=c), 9))
    print(f"400 x 300 : 120 x 60 stitches, visible fabric {times[0] / times[1]:12.2f} : 1")


def laid_on(one, other):
    """Return `one` turned and moved as it comes nearest to `other`."""
    a, b = one - one.mean(axis=0), other - other.mean(axis=0)
    left, _, right = np.linalg.svd(a.T @ b)
    return a @ (left @ right) + other.mean(axis=0)


def errors():
    """Print how far strips lie from the whole sheet."""
    print("strips against the whole sheet, in stitch widths   inside   outermost")
    for family, stitch, repeats, n_rows, run in (
        ("gentle", "dc", 12, 84, 3),
        ("gentle", "sc", 12, 84, 3),
        ("pointed", "dc", 12, 84, 6),
        ("pointed", "sc", 12, 84, 6),
        ("open", "dc", 12, 84, 4),
        ("open", "sc", 12, 84, 4),
        ("double", "dc", 12, 84, 6),
        ("gentle", "dc", 15, 110, 3),
        ("open", "sc", 12, 24, 4),
    ):
        design = design_of(family, stitch, repeats, n_rows, run)
        rows = build_rows(design)
        strips = settle_fabric(design, rows)
        whole = settle_exactly(design, rows, start=strips)
        off = laid_on(strips.tops_mm, whole.tops_mm) - whole.tops_mm
        away = np.linalg.norm(off, axis=1) / strips.size.width_mm
        inside, outermost = [], []
        for row in range(strips.n_rows + 1):
            mine = away[strips.starts[row] : strips.starts[row + 1]]
            ends = row in (0, strips.n_rows)
            (outermost if ends else inside).append(mine[1:-1].max())
            outermost.append(max(mine[0], mine[-1]))
        print(
            f"  {family:8}{stitch:4}{repeats:3} x {n_rows:<4} runs of {run}"
            f"{'':14}{max(inside):8.3f}{max(outermost):11.3f}"
        )


if __name__ == "__main__":
    growth()
    errors()
    compare("dc")
    if "--all" in sys.argv:
        compare("sc")
