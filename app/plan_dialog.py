"""Plans for stripes: rules at the left, six orders that keep them beside the one there is."""

from functools import partial

from PySide6.QtWidgets import QWidget

from app.computing import ShouldStop
from app.theme import Theme
from app.views.figures import counted
from app.views.scrolled import keep_wide
from app.views.stripes.chooser import AT_A_TIME, Candidate, Find, OrderDialog, Orders
from app.views.stripes.plan_form import PlanForm
from core.design.document import Design
from core.design.plan import Plan
from core.design.stripe_edits import with_values
from core.pipeline import Results
from core.stripes.first_plan import first_plan
from core.stripes.proposals import Proposal, propose, take

_FORM_WIDTH = 340
_SEEDS = 1 << 32
_TRIED = 60  # numbers of a fade or a series, many of which come to the same


class PlanDialog(OrderDialog):
    """Edits a plan and shows what it comes to."""

    def __init__(self, results: Results, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Plan stripes", results, theme, parent)
        self.form = PlanForm(results.design, theme, self)
        keep_wide(self.form, _FORM_WIDTH)
        self.side.addWidget(self.form)
        self.form.show_plan(first_plan(results.design))
        self.form.changed.connect(self._on_changed)
        self.ask()
        self.form.kind.setFocus()

    def finder(self, first: int) -> Find:
        """Return what finds the plan's orders from number `first` on."""
        fit = self.form.fit_rows.box.isChecked()
        return partial(_found, plan=self.form.plan, first=first, fit_rows=fit)

    def _on_changed(self) -> None:
        if self.form.slip:
            self._show_failure_of(self.form.slip)
        else:
            self.ask()

    def _show_failure_of(self, slip: str) -> None:
        self._worker.cancel()
        self._candidates = ()
        self.gallery.clear()
        self.use.setEnabled(False)
        self.said.setText("")
        self.trouble.say(slip)


def _found(
    design: Design, should_stop: ShouldStop, *, plan: Plan, first: int, fit_rows: bool
) -> Orders:
    is_random = plan.kind == "random" or plan.order == "shuffled"
    numbers = range(first if is_random else 0, first + AT_A_TIME if is_random else _TRIED)
    skipped = 0 if is_random else first
    candidates: list[Candidate] = []
    seen: set[object] = set()
    why = ""
    for number in numbers:
        numbered = with_values(plan, seed=(plan.seed + number) % _SEEDS)
        proposal = propose(design, numbered, should_stop=should_stop)
        if proposal.why:
            why = why or proposal.why
            if not candidates:
                break  # the next numbers keep the same rules
        elif proposal.sequence not in seen:
            seen.add(proposal.sequence)
            if len(seen) <= skipped:
                continue
            try:
                candidates.append(_candidate(design, proposal, fit_rows))
            except ValueError as error:
                why = f"These stripes are more than the program draws: {error}."
            if len(candidates) == AT_A_TIME:
                break
    return Orders(tuple(candidates), why)


def _candidate(design: Design, proposal: Proposal, fit_rows: bool) -> Candidate:
    stripes, rows = len(proposal.sequence), sum(stripe.rows for stripe in proposal.sequence)
    return Candidate(
        take(design, proposal, fit_rows=fit_rows),
        f"Number {proposal.plan.seed}\n{counted(stripes, 'stripe')}, {counted(rows, 'row')}",
        "Use planned stripes",
        partial(take, proposal=proposal, fit_rows=fit_rows),
    )
