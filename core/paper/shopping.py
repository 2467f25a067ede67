"""The shopping list: what to have of each colour, line by line, and what to buy."""

from typing import Final

from core.checks.cautions import cautions_of, fibres_in
from core.craft.units import M_PER_YARD
from core.design.document import Reckoning, Units
from core.design.spreadsheet import table_bytes
from core.paper.colours import PaperColour, paper_colours, printable
from core.paper.speech import said_grams, said_number, said_price, said_yarn
from core.pipeline import Results
from core.records import Struct
from core.techedit.edit import draft_line, open_errors
from core.words.vocabulary import vocabulary
from core.yarn.shopping import YarnTotals, balls_to_buy, yarn_totals
from core.yarn.use import YarnUse

# What buyers are told is common practice; that a second purchase rarely matches is also the usual
# reason for a visible change of lots in published advice.
ONE_GO: Final = (
    "Buy every ball of a colour at once and of one dye lot: a second purchase rarely matches. "
    "Write the lot down here and keep one band."
)
LOTS: Final = (
    "If a lot runs short, keep the odd balls for the border or change ball every row for some "
    "rows, so that no edge shows."
)
BY_LENGTH: Final = (
    "Another yarn instead: go by length, never by weight or by number of balls. Divide a colour's "
    "length by that of one new ball and round up; choose one with about the same length in 100 g, "
    "and work a swatch before buying all."
)
_OF_YARN: Final = ("infant", "animal", "synthetic", "plant", "hairs")


class Wanted(Struct, frozen=True, kw_only=True):
    """One colour on the list.

    Attributes:
        colour: The colour.
        parts: What it is for, each with its length in metres; lines of nothing are left out.
        use: All its figures.
        ball_m: Length of a ball.
        ball_g: Its weight.
        fibre: What its name says it is made of; empty where it says nothing.
        owned: Balls owned.
        to_buy: Whole balls to buy.
        price: Of one ball, if known.
    """

    colour: PaperColour
    parts: tuple[tuple[str, float], ...]
    use: YarnUse
    ball_m: float
    ball_g: float
    fibre: str
    owned: float
    to_buy: int
    price: float | None

    @property
    def cost(self) -> float | None:
        """Price of what is to be bought; None without a price."""
        return None if self.price is None else self.price * self.to_buy


class ShoppingList(Struct, frozen=True, kw_only=True):
    """Everything to buy.

    Attributes:
        title: The design's title, fit to be printed.
        units: Units of lengths.
        spare: Share that is bought beyond what is needed.
        wanted: The colours in the order of the stripes.
        totals: Their sums.
        unused: Names of the design's yarns that nothing is worked in.
        advice: Sentences on buying.
        cautions: Sentences of care, for what the blanket is for and what its yarns are.
        trouble: Why it is a draft, if it is one.
    """

    title: str
    units: Units
    spare: float
    wanted: tuple[Wanted, ...]
    totals: YarnTotals
    unused: tuple[str, ...]
    advice: tuple[str, ...]
    cautions: tuple[str, ...]
    trouble: str


def shopping_list(results: Results) -> ShoppingList:
    """Return what to buy for a design."""
    design = results.design
    reckoning = design.reckoning or Reckoning()
    colours = paper_colours(results)
    listed = {colour.yarn for colour in colours}
    say = vocabulary(design.terms).say
    return ShoppingList(
        title=printable(design.title),
        units=design.units,
        spare=reckoning.spare,
        wanted=tuple(_wanted(results, colour, reckoning.spare) for colour in colours),
        totals=yarn_totals(results.yarn, design.yarns),
        unused=tuple(printable(y.name) for n, y in enumerate(design.yarns) if n not in listed),
        advice=(ONE_GO, LOTS, BY_LENGTH),
        cautions=tuple(
            printable(say(f"caution {caution.key}", yarns=caution.yarns))
            for caution in cautions_of(design, results.known_size, results.fabric.steady)
            if caution.key in _OF_YARN
        ),
        trouble=trouble_of(results),
    )


def trouble_of(results: Results) -> str:
    """Return why a design is a draft, as its other exports are stamped; empty if it is none."""
    errors = open_errors(results)
    return f"{draft_line(results)} {errors[0].message}" if errors else ""


def _wanted(results: Results, colour: PaperColour, spare: float) -> Wanted:
    use, yarn = results.yarn[colour.yarn], results.design.yarns[colour.yarn]
    parts = (
        ("Rows", use.body_m),
        ("Foundation chain", use.foundation_m),
        ("Fill rows", use.fill_m),
        ("Border", use.border_m),
        ("Carried up the side", use.carried_m),
        (f"Tails ({use.ends})", use.tails_m),
        (f"Spare ({100 * spare:.0f} %)", use.spare_m),
    )
    return Wanted(
        colour=colour,
        parts=tuple(part for part in parts if part[1] > 0),
        use=use,
        ball_m=yarn.ball_m,
        ball_g=yarn.ball_g,
        fibre=", ".join(fibres_in(yarn.name)),
        owned=yarn.owned_balls,
        to_buy=balls_to_buy(use, yarn),
        price=yarn.price,
    )


def per_100g(wanted: Wanted, units: Units) -> str:
    """Return what a ball holds, and what 100 g of it hold: that tells how thick it is."""
    ball = f"{said_yarn(wanted.ball_m, units)} in {said_number(wanted.ball_g)} g"
    if wanted.ball_g == 100:
        return ball
    return f"{ball} ({said_yarn(100 * wanted.ball_m / wanted.ball_g, units)} in 100 g)"


def balls(number: int) -> str:
    """Return a number of balls in words."""
    return "1 ball" if number == 1 else f"{number:,} balls"


def shopping_text(shopping: ShoppingList) -> str:
    """Return the list as plain text, for the clipboard."""
    units, totals = shopping.units, shopping.totals
    lines = [f"Shopping list: {shopping.title}", *filter(None, [shopping.trouble]), ""]
    for wanted in shopping.wanted:
        colour, use = wanted.colour, wanted.use
        lines.append(f"{colour.letter}  {colour.name} ({colour.words})")
        lines.append(f"   {per_100g(wanted, units)}{f'; {wanted.fibre}' if wanted.fibre else ''}")
        lines += [f"   {name}: {said_yarn(metres, units)}" for name, metres in wanted.parts]
        lines.append(
            f"   In all {said_yarn(use.length_m, units)}, {said_grams(use.mass_g)}, "
            f"{balls(use.balls)}"
        )
        lines.append(f"   To buy: {balls(wanted.to_buy)}{_owned(wanted)}{_price(wanted)}")
        lines += ["   Dye lot: ", ""]
    lines.append(
        f"All colours: {said_yarn(totals.length_m, units)}, {said_grams(totals.mass_g)}, "
        f"{balls(totals.balls)}; to buy {balls(totals.to_buy)}{said_total(totals)}."
    )
    if shopping.unused:
        lines.append(f"Not used: {', '.join(shopping.unused)}.")
    lines += ["", *shopping.advice, *shopping.cautions]
    return "\n".join(lines) + "\n"


def said_total(totals: YarnTotals) -> str:
    """Return what all of it costs, with what has no price, to go on a sentence."""
    if totals.cost is None:
        return ""
    without = f" ({totals.unpriced} colours without a price)" if totals.unpriced > 1 else ""
    without = " (1 colour without a price)" if totals.unpriced == 1 else without
    return f", {said_price(totals.cost)}{without}"


def _owned(wanted: Wanted) -> str:
    return f" ({said_number(wanted.owned)} owned)" if wanted.owned else ""


def _price(wanted: Wanted) -> str:
    if wanted.price is None or wanted.cost is None:
        return ""
    return f", {said_price(wanted.price)} each, {said_price(wanted.cost)}"


def shopping_table(shopping: ShoppingList) -> bytes:
    """Return the list as a table for spreadsheets: a line for every colour, and their sums."""
    unit, per = ("m", 1.0) if shopping.units == "cm" else ("yd", M_PER_YARD)
    names = ("Rows", "Foundation", "Fill rows", "Border", "Carried", "Tails", "Spare", "All")
    head = [
        *("Letter", "Colour", "Colour in words", "Fibre by its name", "Dye lot"),
        *(f"{name} ({unit})" for name in names),
        *("Weight (g)", "Balls to have", "Balls owned", "Balls to buy"),
        *("Price of a ball", "Price", f"Length of a ball ({unit})", "Weight of a ball (g)"),
    ]
    lines = []
    sums = [0.0] * len(names)
    for wanted in shopping.wanted:
        colour, use = wanted.colour, wanted.use
        lengths = [
            *(use.body_m, use.foundation_m, use.fill_m, use.border_m),
            *(use.carried_m, use.tails_m, use.spare_m, use.length_m),
        ]
        sums = [before + more for before, more in zip(sums, lengths, strict=True)]
        lines.append(
            [
                *(colour.letter, colour.name, colour.words, wanted.fibre, None),
                *(round(metres / per, 1) for metres in lengths),
                *(round(use.mass_g, 1), use.balls, wanted.owned, wanted.to_buy),
                *(wanted.price, wanted.cost and round(wanted.cost, 2)),
                *(round(wanted.ball_m / per, 1), wanted.ball_g),
            ]
        )
    totals = shopping.totals
    lines.append(
        [
            *(None, "All colours", None, None, None),
            *(round(metres / per, 1) for metres in sums),
            *(round(totals.mass_g, 1), totals.balls, None, totals.to_buy),
            *(None, totals.cost and round(totals.cost, 2), None, None),
        ]
    )
    return table_bytes(head, lines)
