"""How long stripes take, as ratios to a plain blit in the same run; no check, a table.

Run from the checkout: `python3 packaging/environment.py python -m tests.benchmarks.stripes`.
A blit draws a ready picture of 1400 x 900 pixels into another. The blanket
has 33 repeats of 12 stitches and 300 rows: about 400 by 300 stitches. Each time is the
median of several, in processor time of this thread, so that others on the machine hardly matter.
"""

from tests.benchmarks.measure import blit_ms, milliseconds  # sets the platform first
from tests.benchmarks.window import Case

# ruff: isort: split
from msgspec.structs import replace
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication

from app.theme import Theme
from app.views.stripe_strip import StripeStrip
from app.views.stripes.pictures import BlanketPictures
from core.design import stripe_edits as by_hand
from core.design.document import Stripe
from core.design.edits import set_sequence
from core.design.plan import Plan, Share
from core.design.validation import checked
from core.stripes.proposals import propose, take
from core.stripes.reasons import why_not
from core.stripes.rules import Rules
from core.stripes.search import find_order


def rules(count, least, most, **more):
    """Return rules for 18 colours."""
    values = {"barred": frozenset({(0, 1), (2, 3), (4, 9)}), "pinned": {0: 0, 10: 5}}
    return Rules(
        count=count,
        names=tuple(f"Yarn {n}" for n in range(18)),
        least=(least,) * 18,
        most=(most,) * 18,
        **(values | more),
    )


class Seeds:
    """Searches with another seed each time."""

    def __init__(self, wanted):
        self.rules = wanted
        self.seed = 0

    def __call__(self):
        """Search once."""
        self.seed += 1
        assert find_order(self.rules, self.seed).order is not None


def core_tasks():
    """Return what needs no window."""
    odd = rules(44, 2, 3, barred=frozenset((0, n) for n in range(1, 18)), pinned={7: 0})
    proof = find_order(odd, 1)
    assert proof.is_proved
    return {
        "18 colours in 44 stripes": Seeds(rules(44, 2, 3)),
        "18 colours in 300 stripes": Seeds(rules(300, 14, 19)),
        "the same, 10 stripes apart": Seeds(rules(300, 16, 17, apart=10)),
        "why there is none: 17 barred pairs": lambda: why_not(odd, steps=proof.steps),
    }


class Edits:
    """Edits of a large blanket, each shown in chart, strip and fabric."""

    def __init__(self):
        self.theme = Theme()
        self.case = Case(33, 300, self.theme)
        self.strip = StripeStrip(self.theme)
        self.strip.resize(84, 900)
        self.turn = 0
        sequence = tuple(Stripe(n % 5, 2) for n in range(150))
        self.design = checked(set_sequence(self.case.design, sequence))
        self.results = self.case.pipeline.results(self.design)
        self.show(self.results)

    def edited(self):
        """Return results after a stripe has been moved."""
        self.turn += 1
        order = by_hand.moved(self.design.stripes.sequence, [0], 2 + self.turn % 100)
        return self.case.pipeline.results(checked(by_hand.reorder(self.design, order)))

    def show(self, results):
        """Paint chart, strip and fabric as one frame does."""
        self.case.chart.show_results(results)
        self.strip.set_placing(self.case.chart.placing)
        self.strip.show_results(results, self.case.chart.fabric)
        self.case.fabric.show_results(results)
        for view in (self.case.chart, self.strip, self.case.fabric):
            view.grab()

    def tasks(self):
        """Return what is measured."""
        return {
            "move a stripe: results": self.edited,
            "move a stripe: all three painted": lambda: self.show(self.edited()),
            "paint all three again, nothing changed": lambda: self.show(self.results),
            "chart alone": lambda: (self.case.chart.update(), self.case.chart.grab()),
            "strip alone": lambda: self.strip.grab(),
        }


def pictures(edits):
    """Return six thumbnails of the large blanket: the first six, and six more in other orders."""
    maker = BlanketPictures(edits.results)
    plan = Plan(count=150, shares=tuple(Share(n, 20, 40) for n in range(5)), widths=(2,))

    def six(first):
        seeds = range(first, first + 6)
        found = [propose(edits.design, replace(plan, seed=seed)) for seed in seeds]
        return [take(edits.design, each) for each in found]

    designs = six(1)
    return {
        "six plans of 150 stripes found": lambda: six(1),
        "six pictures, the first time": lambda: BlanketPictures(edits.results).pictures(
            designs, QSize(132, 184), lambda: False
        ),
        "six pictures more": lambda: maker.pictures(designs, QSize(132, 184), lambda: False),
    }


def main():
    """Print the table."""
    application = QApplication([])
    edits = Edits()
    tasks = core_tasks() | edits.tasks() | pictures(edits)
    print("everything in blits of 1400 x 900, and ms of this run")
    for name, task in tasks.items():
        taken, blit = milliseconds(task), blit_ms()
        print(f"{name:42}{taken / blit:10.1f}{taken:10.1f} ms")
    edits.case.fabric.close_worker()
    del application


if __name__ == "__main__":
    main()
