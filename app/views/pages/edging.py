"""The page of what is worked round the blanket: fill rows at both ends, and a border."""

from functools import partial
from typing import Any, Final, cast

from PySide6.QtWidgets import QPushButton, QWidget

from app.theme import UNIT, Theme
from app.views.figures import length_text, number, small_length, yarn_length
from app.views.flow import Flow
from app.views.pages.end_drawing import EndDrawing
from app.views.pages.fields import ChoiceField, NumberField, bounds_of
from app.views.pages.page import FigureText, FormPage, Note
from core.craft.stitches import CATALOGUE, WORKED, Terms, WorkedStitch
from core.design import edits
from core.design.document import Border, Design, EndName
from core.edging.border import BorderPlan, EndPickUp, Ratio
from core.edging.edits import propose_again, set_n_rows, step_stitch
from core.edging.fill import MORE_ROWS, STRAIGHT, TOO_DEEP, Fill
from core.edging.outline import ENDS
from core.edging.plan import grown_mm, wish_for
from core.fabric.wash import wash_of
from core.pipeline import Results

_ROWS: Final = (("0", "none"), ("1", "1 row"), ("2", "2 rows"), ("3", "3 rows"), ("4", "4 rows"))
_NONE: Final = "–"
_CROWDED: Final = 0.85  # share of their plain width from which stitches are said to crowd
_ABOUT: Final = (
    "Tall stitches in the dips step down to slip stitches on the peaks. What comes of them is "
    "simulated at your gauge; your hands decide, so try a few repeats."
)
_NOT_YET: Final = (
    "The rows don't fit or don't go on evenly, so there is no end to fill: see Checks."
)


class EdgingPage(FormPage):
    """Shows and edits fill rows and border."""

    title = "Edging"

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._terms: Terms | None = None
        self._yarns: tuple[str, ...] = ()
        self.ends = {end: _EndPart(self, theme, end) for end in ENDS}
        self._about = self.note(_ABOUT)
        self._unfit = self.note(_NOT_YET)
        self._add_border()

    def _add_border(self) -> None:
        self.heading("Border")
        self.rounds = NumberField(
            "Rounds of the border", bounds_of(Border, "rounds"), absent="none", first=1
        )
        self.field("Rounds", self.rounds)
        self.stitch = ChoiceField("Stitch of the border", _stitches("US"))
        self.field("Stitch", self.stitch)
        self.yarn = ChoiceField("Yarn of the border", ())
        self.field("Yarn", self.yarn)
        self.corner = NumberField("Stitches in each corner", bounds_of(Border, "corner"))
        self.field("In each corner", self.corner)
        self.multiple = NumberField(
            "Every side a multiple of", bounds_of(Border, "multiple"), unit="sts"
        )
        self.field("Sides: multiple of", self.multiple)
        self.extra = NumberField("Plus", bounds_of(Border, "extra"), unit="sts")
        self.field("plus", self.extra)
        self.sides = self.figure("Over row ends")
        self.side_total = self.figure("Along each side")
        self.end_figures = {
            end: (self.figure(f"Over each wave, {end}"), self.figure(f"Along the {end}"))
            for end in ENDS
        }
        self.first_round = self.figure("Round 1")
        self.last_round = self.figure("Last round")
        self.metres = self.figure("Yarn, first to last round")
        self.all_metres = self.figure("Yarn in all rounds")
        self.finished = self.figure("Finished size")
        self.corner_note = self.note()
        self.rounds.changed.connect(self._set_rounds)
        for field, part, text in (
            (self.corner, "corner", "Change corners of the border"),
            (self.multiple, "multiple", "Change multiple of the border"),
            (self.extra, "extra", "Change multiple of the border"),
        ):
            field.changed.connect(partial(self._set_number, text, part))
        self.stitch.changed.connect(
            lambda key, gesture: self.ask(
                "Change stitch of the border",
                partial(edits.set_edge_border, stitch=cast("WorkedStitch", key)),
                gesture,
            )
        )
        self.yarn.changed.connect(
            lambda key, gesture: self.ask(
                "Change yarn of the border", partial(edits.set_edge_border, yarn=int(key)), gesture
            )
        )

    def _set_rounds(self, rounds: float | None, gesture: object) -> None:
        if rounds is None:
            self.ask("Take the border away", edits.remove_edge_border, gesture)
        else:
            edit = partial(edits.set_edge_border, rounds=int(rounds))
            self.ask("Change rounds of the border", edit, gesture)

    def _set_number(self, text: str, part: str, value: float, gesture: object) -> None:
        values: dict[str, Any] = {part: int(value)}
        self.ask(text, partial(edits.set_edge_border, **values), gesture)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show these results."""
        super().show_results(results)
        design = results.design
        if design.terms != self._terms:
            self._terms = design.terms
            self.stitch.set_words(dict(_stitches(design.terms)))
        names = tuple(f"{n + 1}: {yarn.name}" for n, yarn in enumerate(design.yarns))
        if names != self._yarns:
            self._yarns = names
            for field in (self.yarn, *(part.yarn for part in self.ends.values())):
                _refill(field, names)
        for part in self.ends.values():
            part.show_results(results)
        self._unfit.setVisible(not results.ends.outlines)
        self._about.setVisible(results.ends.has_fill)
        self._show_border(results)

    def _show_border(self, results: Results) -> None:
        design, plan = results.design, results.border
        border = design.edging.border if design.edging else None
        shown = border or Border()
        self.rounds.show_value(border.rounds if border else None)
        self.stitch.show_value(shown.stitch)
        self.yarn.show_value(str(shown.yarn))
        self.corner.show_value(shown.corner)
        self.multiple.show_value(shown.multiple)
        self.extra.show_value(shown.extra)
        for field in (self.stitch, self.yarn, self.corner, self.multiple, self.extra):
            field.setEnabled(border is not None)
        self.corner_note.setVisible(plan is not None)
        figures = (
            self.sides, self.side_total, self.first_round, self.last_round, self.metres,
            self.all_metres, *(f for pair in self.end_figures.values() for f in pair),
        )  # fmt: skip
        if plan is None:
            for figure in figures:
                figure.show_text(_NONE)
        else:
            self._show_plan(plan, design)
        wider, longer = grown_mm(results.ends, plan, wash_of(design.swatch))
        size, units = results.size, design.units
        self.finished.show_text(
            f"{length_text(size.width_mm + wider, units)} × "
            f"{length_text(size.length_mm + longer, units)}"
        )

    def _show_plan(self, plan: BorderPlan, design: Design) -> None:
        units = design.units
        self.sides.show_text(_ratio(plan.per_row_ends, "row end"))
        self.side_total.show_text(_total(plan.side_total, plan.side_wanted))
        for end, (wave, total) in self.end_figures.items():
            pick_up = plan.ends[end]
            wave.show_text(_wave(pick_up))
            total.show_text(_total(pick_up.total, pick_up.wanted))
        self.first_round.show_text(f"{plan.rounds[0]:,} sts")
        self.last_round.show_text(f"{plan.rounds[-1]:,} sts")
        each = [yarn_length(metres, units, 1) for metres in dict.fromkeys(
            (plan.rounds_m[0], plan.rounds_m[-1])
        )]  # fmt: skip
        self.metres.show_text(" to ".join(each))
        self.all_metres.show_text(yarn_length(plan.length_m, units))
        name = CATALOGUE[plan.border.stitch].name(design.terms).short
        rounded = 1 + round(plan.round_extra)
        self.corner_note.setText(
            f"In {name} a square corner lies flat with {plan.square_corner} in it, a rounded one "
            f"with {rounded} (a quarter of the flat-disc rule). Each round of it is "
            f"{small_length(plan.adds_mm / plan.border.rounds, units)} high. Totals are those of "
            "round 1, between the corners."
        )


class _EndPart:
    """The fields of one end."""

    def __init__(self, page: EdgingPage, theme: Theme, end: EndName) -> None:
        self._page = page
        self._end = end
        page.heading(f"Straight {end}")
        self.n_rows = ChoiceField(f"Fill rows at the {end}", _ROWS)
        page.field("Fill rows", self.n_rows)
        self.yarn = ChoiceField(f"Yarn of the {end} fill", ())
        page.field("Yarn", self.yarn)
        self.drawing = EndDrawing(theme, end)
        page.whole(self.drawing)
        self.chosen = page.note()
        box = Flow(page, gap_px=UNIT)
        self.taller = _button("Taller", "Make the chosen stitch one step taller (Up)", box)
        self.lower = _button("Lower", "Make the chosen stitch one step lower (Down)", box)
        self.again = _button("Propose again", "Forget the stitches chosen by hand", box)
        box.add(self.taller, self.lower, self.again)
        page.whole(box, self.taller, self.lower, self.again)
        self._box = box
        self.before: FigureText = page.figure("Dip to crest now")
        self.bump: FigureText = page.figure("Bump left, about")
        self.corner: FigureText = page.figure("Corners included")
        self.metres: FigureText = page.figure("Yarn in it")
        self.advice: Note = page.note()
        self.n_rows.changed.connect(self._set_rows)
        self.yarn.changed.connect(
            lambda key, gesture: page.ask(
                f"Change yarn of the {end} fill",
                partial(edits.set_end_fill, end=end, yarn=int(key)),
                gesture,
            )
        )
        self.drawing.stepped.connect(self._step)
        self.drawing.chosen_changed.connect(self._show_chosen)
        self.taller.clicked.connect(lambda: self.drawing.step(1))
        self.lower.clicked.connect(lambda: self.drawing.step(-1))
        self.again.clicked.connect(
            lambda: page.ask(f"Propose the {end} fill again", partial(propose_again, end=end))
        )
        self._fill: Fill | None = None

    def _set_rows(self, key: str, gesture: object) -> None:
        end = self._end
        if key == "0":
            self._page.ask(
                f"Take the {end} fill away", partial(edits.remove_end_fill, end=end), gesture
            )
        else:
            edit = partial(set_n_rows, end=end, n_rows=int(key))
            self._page.ask(f"Change fill rows at the {end}", edit, gesture)

    def _step(self, row: int, place: int, taller: int, gesture: object) -> None:
        if self._fill is None:
            return
        edit = partial(
            step_stitch, end=self._end, fill=self._fill, row=row, place=place, taller=taller
        )
        self._page.ask(f"Change a stitch of the {self._end} fill", edit, gesture)

    def _show_chosen(self) -> None:
        self.chosen.setText(f"{self.drawing.chosen_text()}.")

    def show_results(self, results: Results) -> None:
        """Show one end of these results."""
        design, end = results.design, self._end
        wish, outline = wish_for(design, end), results.ends.outlines.get(end)
        fill = self._fill = results.ends.fills.get(end)
        self.n_rows.show_value(str(wish.n_rows) if wish else "0")
        self.yarn.show_value(str(wish.yarn if wish else 0))
        self.yarn.setEnabled(wish is not None)
        self.drawing.show_results(results)
        self.drawing.setVisible(outline is not None)
        for widget in (self.chosen, self._box):
            widget.setVisible(fill is not None)
        self.again.setEnabled(bool(wish and wish.own))
        self._show_chosen()
        units = design.units
        gap = None if outline is None else float(outline.gaps_mm()[outline.middle].max())
        self.before.show_text(_NONE if gap is None else small_length(gap, units))
        self.bump.show_text(_NONE if fill is None else small_length(fill.bump_mm, units))
        self.corner.show_text(_NONE if fill is None else small_length(fill.corner_mm, units))
        metres = sum(part.length_m for part in results.edging if part.part == end)
        self.metres.show_text(yarn_length(metres, units, 1) if fill else _NONE)
        self.advice.setText(_advice(results, fill, gap))
        self.advice.setVisible(bool(self.advice.text()))


def _advice(results: Results, fill: Fill | None, gap_mm: float | None) -> str:
    """Return what there is to say about an end."""
    width = results.fabric.size.width_mm
    if gap_mm is not None and gap_mm <= STRAIGHT * width:
        return "This end is straight enough as it is."
    if fill is None:
        return ""
    said = []
    if fill.own_misfits:
        said.append(
            "The stitches chosen by hand don't fit this row any more, so they are proposed anew."
        )
    if not fill.settled:
        said.append("Reckoned from heights alone, not simulated.")
    if fill.bump_mm > TOO_DEEP * width:
        said.append("This wave is too deep for fill rows: let a border follow it instead.")
    elif fill.bump_mm > MORE_ROWS * width and len(fill.rows) < 4:
        said.append("The wave still pushes through: another fill row would take some of it.")
    if fill.crowding < _CROWDED:
        percent = number(100 * (1 - fill.crowding))
        said.append(
            f"Its stitches have {percent} % less room than in plain fabric: work them firmly, or "
            "two together in a dip where they crowd."
        )
    return " ".join(said)


def _button(text: str, tip: str, parent: QWidget) -> QPushButton:
    button = QPushButton(text, parent)
    button.setToolTip(tip)
    return button


def _refill(field: ChoiceField, names: tuple[str, ...]) -> None:
    field.clear()
    for index, name in enumerate(names):
        field.addItem(name, str(index))


def _ratio(ratio: Ratio, one: str) -> str:
    many = f"{ratio.over} {one}s" if ratio.over > 1 else f"1 {one}"
    return f"{ratio.stitches} over {many} ({100 * ratio.off:+.0f} %)"


def _wave(pick_up: EndPickUp) -> str:
    if not pick_up.follows:
        return _ratio(pick_up.per_wave, "wave")
    if not pick_up.hill_extra:
        return "1 in each stitch"
    return f"{pick_up.hill_extra + 1} in a hill, skip {pick_up.valley_skip} in a valley"


def _total(total: int, wanted: float) -> str:
    off = total - round(wanted)
    return f"{total:,}" + (f" ({off:+d} to suit)" if off else "")


def _stitches(terms: Terms) -> list[tuple[str, str]]:
    names = [(key, CATALOGUE[key].name(terms)) for key in WORKED]
    return [(key, f"{name.short}: {name.long}") for key, name in names]
