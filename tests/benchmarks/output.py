"""What files, words, yarn and exports cost, in blits."""

import tempfile
from pathlib import Path

from tests.benchmarks.measure import in_blits

# ruff: isort: split
from app.assets import DEMO
from app.exporting import EXPORTS
from app.painting.choices import Choices
from core.design import edits
from core.design.files import read_design, write_design
from core.editions import pattern_of
from core.pipeline import Pipeline
from core.stripes.sequence import worked_stripes
from core.yarn.rows import row_yarn
from core.yarn.use import yarn_use


def measured():
    """Return the ratios by their names."""
    demo = read_design(DEMO)
    results = Pipeline().settled_results(demo)
    giant = edits.set_size(demo, repeats=33, rows=300)
    large = Pipeline().results(giant)
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "demo.dipslope"
        found["save"] = in_blits(lambda: write_design(demo, path), 15)
        found["open"] = in_blits(lambda: read_design(path), 15)
    found["words"] = in_blits(lambda: pattern_of(results), 5)
    found["yarn of rows, giant"] = in_blits(lambda: row_yarn(giant, large.rows))
    found["yarn, giant"] = in_blits(lambda: yarn_use(giant, large.rows, large.edging))
    found["stripes, giant"] = in_blits(lambda: worked_stripes(giant.stripes, 300))
    for export in EXPORTS:
        found[f"export {export.name}"] = in_blits(
            lambda export=export: export.make(results, Choices(), _quiet()), 2
        )
    return found


def _quiet():
    from app.painting.pictures import Work

    return Work()
