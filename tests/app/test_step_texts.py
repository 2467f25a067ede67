"""What steps are called: every wish says in the status line what it did and how to take it back."""

import ast
from difflib import SequenceMatcher
from functools import partial
from pathlib import Path

import pytest
from msgspec.structs import replace

import app
from app.session import Session
from core.design import edits
from core.design.differences import differences
from core.design.document import Stripe
from core.design.steps import step_text
from core.rows.waves import shape_of, wave_of, with_run

VAGUE = {"", "change", "edit", "step", "undo", "update", "set"}


@pytest.mark.parametrize(
    "deed, edit, said",
    [
        ("Change width", partial(edits.set_size, repeats=6), "Repeats between the edges 4 → 6"),
        ("Change length", partial(edits.set_size, rows=24), "Rows 20 → 24"),
        ("Change terms", partial(edits.set_values, terms="UK"), "Terms US → UK"),
        ("Change yarn colour", partial(edits.set_yarn, number=0, colour="#000000"), "Sea"),
    ],
)
def test_a_step_says_which_figure_went_from_what_to_what(ripple, deed, edit, said):
    session = Session(ripple)
    session.change(deed, edit)
    text = session.undo_stack.undoText()
    assert text.startswith(deed) and said in text and len(text) <= 120


def test_a_run_is_named_with_its_stitches(ripple):
    wider = wave_of(with_run(shape_of(ripple.wave), 0, 4))
    session = Session(ripple)
    session.change("Change run", lambda design: edits.set_wave(design, wider))
    assert "3" in session.undo_stack.undoText() and "4" in session.undo_stack.undoText()


def test_a_drag_is_told_from_its_start_to_its_end(ripple):
    session, drag = Session(ripple), object()
    for rows in (21, 25, 30):
        session.change("Change length", partial(edits.set_size, rows=rows), drag)
    assert "20 → 30" in session.undo_stack.undoText()
    assert session.undo_stack.count() == 1


def test_a_stripe_in_a_yarn_that_the_other_design_lacks_is_told(ripple):
    more = edits.add_yarn(ripple, replace(ripple.yarns[0], name="Kelp"))
    more = edits.set_sequence(more, (Stripe(0, 2), Stripe(2, 2)))
    assert "Sand → Kelp" in step_text("Add yarn", ripple, more)
    assert "Kelp → Sand" in step_text("Take it away", more, ripple)


def test_many_changes_stay_one_short_line(ripple):
    after = replace(
        ripple, title="Other", designer="Someone", notes="New", size=replace(ripple.size, rows=8)
    )
    text = step_text("Take another design", ripple, after)
    assert len(text) <= 130 and "more" in text


def wish_texts():
    """Every text that a wish is made with, where it stands in the program as written."""
    found = []
    for path in sorted(Path(app.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                continue
            name, owner = node.func.attr, ast.unparse(node.func.value)
            is_wish = name in ("ask", "_wish", "_ask", "change") or owner.endswith("wish")
            if not is_wish or not node.args:
                continue
            first = node.args[0]
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                found.append((path.name, node.lineno, first.value))
    return found


def test_no_wish_is_called_by_an_empty_or_vague_word():
    texts = wish_texts()
    assert len(texts) > 40
    for name, line, text in texts:
        assert text.strip().lower() not in VAGUE, (name, line)
        assert len(text.split()) >= 2, (name, line, text)
        assert text[0].isupper() and not text.endswith("."), (name, line, text)


STRIPES = [
    (lambda s: (replace(s[0], rows=5), *s[1:]), "stripe 1, rows 2 → 5"),
    (lambda s: (s[0], replace(s[1], yarn=0)), "stripe 2, Sand → Sea"),
    (lambda s: s[::-1], "stripes 1 to 2 in another order"),
    (lambda s: (*s, s[0]), "2 → 3 stripes, 4 → 6 rows"),
    (lambda s: (replace(s[0], locked=True), s[1]), "stripe 1, locked"),
    (lambda s: tuple(replace(one, rows=7) for one in s), "stripes 1 to 2, 4 → 14 rows"),
]


@pytest.mark.parametrize("change, said", STRIPES)
def test_what_happened_to_stripes_is_told_by_their_places(ripple, change, said):
    sequence = change(ripple.stripes.sequence)
    after = replace(ripple, stripes=replace(ripple.stripes, sequence=sequence))
    assert step_text("Deed", ripple, after) == f"Deed: {said}"


def test_a_thousand_stripes_are_told_while_they_are_dragged(ripple, monkeypatch):
    """Aligning them takes hundreds of milliseconds; comparing them by place a few."""
    sequence = tuple(
        replace(ripple.stripes.sequence[n % 2], rows=1 + n % 5, yarn=n % 2) for n in range(1000)
    )
    before = replace(ripple, stripes=replace(ripple.stripes, sequence=sequence))
    after = replace(before, stripes=replace(before.stripes, sequence=sequence[::-1]))
    aligned = []

    class Counted(SequenceMatcher):
        def __init__(self, isjunk=None, a="", b="", autojunk=True):
            aligned.append(max(len(a), len(b)))
            super().__init__(isjunk, a, b, autojunk)

    monkeypatch.setattr("core.design.differences.SequenceMatcher", Counted)
    differences(before, after, short=True)
    assert max(aligned) >= 1000  # what is done where nobody waits
    aligned.clear()
    assert "in another order" in step_text("Reverse", before, after)
    assert all(length < 100 for length in aligned)
