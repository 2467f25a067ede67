"""What the yarn of a big blanket costs, as ratios to a plain blit in the same run: a table.

Run from the checkout: `python3 packaging/environment.py python -m tests.benchmarks.yarn`.
The blanket has 300 rows of about 400 stitches, every row a stripe of its own, in 12 yarns.
"""

from tests.benchmarks.measure import blit_ms, milliseconds  # sets the platform first

# ruff: isort: split
from msgspec.structs import replace
from PySide6.QtWidgets import QApplication

from app.assets import DEMO
from app.theme import Theme
from app.views.pages.yarn import YarnPage
from core.design import edits
from core.design.document import Stripe, Stripes
from core.design.files import read_design
from core.pipeline import Pipeline
from core.rows.build import build_rows
from core.stripes.sequence import yarn_of_rows
from core.yarn.more import more_of
from core.yarn.rows import row_yarn
from core.yarn.running_out import meter, shortage
from core.yarn.stash import Wish, plan_stash
from core.yarn.stops import left_at, stopping_places
from core.yarn.tails import tails_of
from core.yarn.use import yarn_use

YARNS = 12


def main():
    """Print the table."""
    application = QApplication([])
    design = edits.set_size(read_design(DEMO), repeats=33, rows=300)
    yarns = tuple(replace(design.yarns[0], name=f"{n}", owned_balls=9) for n in range(YARNS))
    stripes = Stripes(tuple(Stripe(n % YARNS, 1) for n in range(300)))
    design = replace(design, yarns=yarns, stripes=stripes, edging=None)
    rows = build_rows(design)
    by_row = row_yarn(design, rows)
    of_row = yarn_of_rows(stripes, 300)
    tails = tails_of(design, of_row)
    uses = yarn_use(design, rows, by_row=by_row, tails=tails)
    stops = stopping_places(design, of_row, tails)
    tasks = {
        "yarn of rows (wave or gauge changed)": lambda: row_yarn(design, rows),
        "whose every row is (stripes changed)": lambda: yarn_of_rows(stripes, 300),
        "ends (stripes changed)": lambda: tails_of(design, of_row),
        "what each yarn has to do": lambda: yarn_use(design, rows, by_row=by_row, tails=tails),
        "one more repeat and stripe": lambda: more_of(design, by_row, tails, ()),
        "where the owned fail, all yarns": lambda: [
            shortage(design, by_row, tails, of_row, use) for use in uses
        ],
        "meter": lambda: meter(design, by_row, tails, of_row, yarn=3, grams=20, after=40),
        "stopping places": lambda: stopping_places(design, of_row, tails),
        "what is left at each": lambda: left_at(
            design, by_row, tails, [900.0] * YARNS, [stop.row for stop in stops]
        ),
        "every end": lambda: list(tails.ends()),
        "plan the stash, longest (worker)": lambda: plan_stash(design, Wish(stripe_rows=1)),
        "plan the stash, mirrored (worker)": lambda: plan_stash(
            design, Wish(stripe_rows=1, mirrored=True)
        ),
    }
    page = YarnPage(Theme())
    page.resize(320, 900)
    page.show()
    pipeline = Pipeline()
    designs = [design, edits.set_yarn(design, 0, owned_balls=5)]
    shown = [pipeline.results(one) for one in designs]
    turn = 0

    def show_page():
        nonlocal turn
        turn += 1
        page.show_results(shown[turn % 2])

    tasks["the page, shown"] = show_page
    tasks["the page, hidden"] = show_page
    blit = blit_ms()
    print(f"{rows.makes(1)} stitches x 300 rows, 300 stripes; blit {blit:.3f} ms")
    print(f"{'':40}{'ms':>10}{'blits':>10}")
    for name, task in tasks.items():
        page.setVisible(name == "the page, shown")
        took = milliseconds(task, 30)
        print(f"{name:40}{took:10.3f}{took / blit:10.2f}")
    del application


if __name__ == "__main__":
    main()
