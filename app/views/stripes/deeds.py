"""Everything that can be done to the chosen stripes: each a wish, one step.

Strip, menus and page all come here, so that a thing is done the same way wherever it is asked
for. What is chosen follows the stripes to where an edit puts them.
"""

from collections.abc import Iterable, Sequence
from functools import partial

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication

from app.views.figures import counted
from app.views.stripes.choice import Choice
from core.design import stripe_edits as by_hand
from core.design.document import Design, Fill, Stripe
from core.design.edits import Edit, set_fill
from core.errors import DesignError
from core.pipeline import Results
from core.stripes.clipboard import stripes_in, text_of


class StripeDeeds(QObject):
    """The chosen stripes and what can be done to them."""

    wish = Signal(str, object, object)  # text of the step, the edit, its gesture
    chosen_changed = Signal()
    yarn_wished = Signal(int)  # a new yarn for this stripe
    name_wished = Signal()  # a name for the chosen stripes is to be typed
    said = Signal(str)  # why nothing was done

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.choice = Choice()
        self._results: Results | None = None

    # what there is

    def show_results(self, results: Results) -> None:
        """Take the stripes of these results."""
        self._results = results
        before = self.choice.numbers, self.choice.current
        self.choice.clip(len(self.sequence))
        if (self.choice.numbers, self.choice.current) != before:
            self.chosen_changed.emit()

    @property
    def design(self) -> Design | None:
        """The design shown."""
        return None if self._results is None else self._results.design

    @property
    def sequence(self) -> tuple[Stripe, ...]:
        """Its stripes."""
        return () if self._results is None else self._results.design.stripes.sequence

    @property
    def chosen(self) -> list[int]:
        """Numbers of the chosen stripes, in order."""
        return by_hand.picked(self.sequence, self.choice.numbers)

    @property
    def stripe(self) -> Stripe | None:
        """The stripe that keys point at."""
        return self.sequence[self.choice.current] if self.sequence else None

    def describe(self) -> str:
        """Return what is chosen, in words."""
        if self.design is None or self.stripe is None:
            return ""
        said = self.words_of(self.choice.current)
        if len(self.chosen) > 1:
            rows = sum(self.sequence[number].rows for number in self.chosen)
            said += f". {len(self.chosen)} stripes chosen, {counted(rows, 'row')} in all"
        return said

    def words_of(self, number: int) -> str:
        """Return what a stripe is, in words."""
        design = self.design
        if design is None or not 0 <= number < len(self.sequence):
            return ""
        stripe = self.sequence[number]
        name = design.yarns[stripe.yarn].name
        said = f"Stripe {number + 1} of {len(self.sequence)}: "
        said += f"{counted(stripe.rows, 'row')} of {name}"
        said += f", called {stripe.label}" if stripe.label else ""
        return said + (", locked" if stripe.locked else "")

    # choosing

    def only(self, number: int) -> None:
        """Choose one stripe."""
        self.choice.only(self._within(number))
        self.chosen_changed.emit()

    def reach(self, number: int) -> None:
        """Choose all from where choosing began to this one."""
        self.choice.reach(self._within(number))
        self.chosen_changed.emit()

    def toggle(self, number: int) -> None:
        """Choose one more, or one less."""
        self.choice.toggle(self._within(number))
        self.chosen_changed.emit()

    def point(self, number: int) -> None:
        """Point at a stripe and leave what is chosen."""
        self.choice.point(self._within(number))
        self.chosen_changed.emit()

    def these(self, numbers: Iterable[int]) -> None:
        """Choose these."""
        self.choice.these(by_hand.picked(self.sequence, numbers))
        self.chosen_changed.emit()

    def all_of_them(self) -> None:
        """Choose every stripe."""
        self.these(range(len(self.sequence)))

    def all_of_its_yarn(self) -> None:
        """Choose every stripe in the yarns of those chosen."""
        yarns = {self.sequence[number].yarn for number in self.chosen}
        self.these(n for n, stripe in enumerate(self.sequence) if stripe.yarn in yarns)

    def _within(self, number: int) -> int:
        return min(max(number, 0), max(len(self.sequence) - 1, 0))

    # rows, yarn, name, lock

    def change_rows(self, by: int) -> None:
        """Make every chosen stripe longer or shorter."""
        if all(self.sequence[n].rows + by < 1 for n in self.chosen):
            return
        edit = partial(by_hand.change_rows, chosen=self.chosen, by=by)
        self._ask(self._text("Change stripe rows", "Change rows"), edit)

    def set_rows(self, rows: int, gesture: object | None = None) -> None:
        """Give every chosen stripe so many rows."""
        edit = partial(by_hand.set_each, chosen=self.chosen, rows=rows)
        self._ask(self._text("Change stripe rows", "Change rows"), edit, gesture=gesture)

    def set_yarn(self, yarn: int, gesture: object | None = None) -> None:
        """Work every chosen stripe in a yarn."""
        if self.design is not None and yarn < len(self.design.yarns):
            edit = partial(by_hand.set_each, chosen=self.chosen, yarn=yarn)
            self._ask(self._text("Change stripe yarn", "Change yarn"), edit, gesture=gesture)

    def set_label(self, label: str) -> None:
        """Call the chosen stripes something."""
        edit = partial(by_hand.set_label, chosen=self.chosen, label=label)
        self._ask(self._text("Name stripe", "Name"), edit)

    @property
    def all_locked(self) -> bool:
        """Whether every chosen stripe is locked."""
        return bool(self.chosen) and all(self.sequence[n].locked for n in self.chosen)

    def toggle_lock(self) -> None:
        """Lock the chosen stripes; unlock them if all of them are."""
        lock = not self.all_locked
        edit = partial(by_hand.set_locked, chosen=self.chosen, locked=lock)
        word = "Lock" if lock else "Unlock"
        self._ask(self._text(f"{word} stripe", word), edit)

    # more and fewer

    def add(self) -> None:
        """Put a stripe in above the chosen ones, in the next yarn of the list."""
        if not self.chosen or self.design is None:
            return
        last = self.chosen[-1]
        stripe = self.sequence[last]
        new = Stripe((stripe.yarn + 1) % len(self.design.yarns), stripe.rows)
        edit = partial(by_hand.insert, at=last + 1, stripes=(new,))
        self._ask("Add stripe", edit, [last + 1])

    def repeat(self, times: int = 1) -> None:
        """Work the chosen stripes again, above them."""
        if not self.chosen:
            return
        first, count = self.chosen[-1] + 1, times * len(self.chosen)
        edit = partial(by_hand.repeat, chosen=self.chosen, times=times)
        text = self._text("Duplicate stripe", "Repeat")
        self._ask(text, edit, range(first, first + count))

    def mirror(self) -> None:
        """Put the way back above the chosen stripes; of a single one, above all of them."""
        chosen = self._several()
        edit = partial(by_hand.mirror, chosen=chosen)
        top = chosen[-1] if chosen else 0
        self._ask("Mirror stripes", edit, range(min(chosen, default=0), top + len(chosen)))

    def split(self) -> None:
        """Cut the chosen stripes into halves."""
        if any(self.sequence[number].rows > 1 for number in self.chosen):
            edit = partial(by_hand.split, chosen=self.chosen)
            self._ask(self._text("Split stripe", "Split"), edit)

    def join(self) -> None:
        """Make one of chosen stripes that follow each other."""
        if len(self.sequence) > 1:
            first = min(self.chosen[0], len(self.sequence) - 2)
            first = self.chosen[0] if len(self.chosen) > 1 else first
            self._ask("Join stripes", partial(by_hand.join, chosen=self.chosen), [first])

    def remove(self) -> None:
        """Take the chosen stripes out; the last one stays."""
        if len(self.sequence) > 1:
            text = self._text("Delete stripe", "Delete")
            edit = partial(by_hand.remove, chosen=self.chosen)
            self._ask(text, edit, [min(self.chosen)])

    # clipboard

    def copy(self) -> None:
        """Take the chosen stripes along."""
        if self.design is not None and self.chosen:
            stripes = by_hand.copies(self.sequence, self.chosen)
            QGuiApplication.clipboard().setText(text_of(self.design, stripes))

    def cut(self) -> None:
        """Take the chosen stripes along and out."""
        self.copy()
        if len(self.sequence) > 1:
            text = self._text("Cut stripe", "Cut")
            edit = partial(by_hand.remove, chosen=self.chosen)
            self._ask(text, edit, [min(self.chosen)])

    def paste(self) -> None:
        """Put in what was taken along, above the chosen stripes."""
        if self.design is None or not self.chosen:
            return
        try:
            stripes = stripes_in(QGuiApplication.clipboard().text(), self.design)
        except DesignError as error:
            self.said.emit(f"Nothing was pasted: {error}.")
            return
        at = self.chosen[-1] + 1
        text = f"Paste {counted(len(stripes), 'stripe')}"
        edit = partial(by_hand.insert, at=at, stripes=stripes)
        self._ask(text, edit, range(at, at + len(stripes)))

    # another order

    def nudge(self, by: int) -> None:
        """Move the chosen stripes one place up (1) or down (-1)."""
        self._reorder(
            self._text("Move stripe", "Move"), by_hand.nudged(self.sequence, self.chosen, by)
        )

    def move_to(self, gap: int) -> None:
        """Put the chosen stripes before what is number `gap`."""
        self._reorder(
            self._text("Move stripe", "Move"), by_hand.moved(self.sequence, self.chosen, gap)
        )

    def copy_to(self, gap: int) -> None:
        """Put copies of the chosen stripes before what is number `gap`."""
        stripes = by_hand.copies(self.sequence, self.chosen)
        edit = partial(by_hand.insert, at=gap, stripes=stripes)
        self._ask(self._text("Copy stripe", "Copy"), edit, range(gap, gap + len(stripes)))

    def exchange(self, one: int, other: int) -> None:
        """Let two stripes change places."""
        if one != other:
            edit = partial(by_hand.exchange, one=one, other=other)
            self._ask("Exchange stripes", edit, [other])

    def exchange_chosen(self) -> None:
        """Let the two chosen stripes change places."""
        if len(self.chosen) == 2:
            self.exchange(*self.chosen)
        else:
            self.said.emit("Choose two stripes to let them change places.")

    def reverse(self) -> None:
        """Turn the order of the chosen stripes round; of a single one, that of all."""
        chosen = self._several()
        self._reorder("Reverse stripes", by_hand.reversed_order(self.sequence, chosen))

    def set_fill(self, fill: Fill) -> None:
        """Let the sequence go on another way."""
        self._ask("Change how stripes go on", partial(set_fill, fill=fill))

    def _several(self) -> list[int]:
        return self.chosen if len(self.chosen) > 1 else list(range(len(self.sequence)))

    def _reorder(self, text: str, order: Sequence[int]) -> None:
        if list(order) == list(range(len(order))):
            return
        current = order.index(self.choice.current)
        then = [place for place, number in enumerate(order) if number in self.choice.numbers]
        if self._ask(text, partial(by_hand.reorder, order=tuple(order)), then):
            self.choice.current = current
            self.chosen_changed.emit()

    def _text(self, one: str, many: str) -> str:
        """Return the text of a step: about one stripe, or how many."""
        count = len(self.chosen)
        return one if count == 1 else f"{many} {'of ' if ' ' in many else ''}{count} stripes"

    def _ask(
        self,
        text: str,
        edit: Edit,
        then: Iterable[int] | None = None,
        gesture: object | None = None,
    ) -> bool:
        """Wish for an edit; if it is made, choose `then`. Return whether it was."""
        before = self._results
        self.wish.emit(text, edit, gesture)
        made = self._results is not before
        if made and then is not None:
            self.these(then)
        return made
