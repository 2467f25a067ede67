"""A history stays within its memory: steps are weighed, and the oldest of a giant's are packed."""

import sys
import tracemalloc

from core.design import edits, stripe_edits
from core.design.history import Steps, added_bytes


def test_a_step_weighs_what_is_new_in_it(two_row_ripple):
    base = edits.set_size(two_row_ripple, rows=10)
    assert added_bytes(base, base) == 0
    title = edits.set_values(base, title="x" * 150)
    assert sys.getsizeof(title.title) < added_bytes(base, title) < 1_000
    yarn = edits.set_yarn(base, 0, colour="#000000")
    assert added_bytes(base, yarn) < 2_000
    assert added_bytes(None, base) > 2 * added_bytes(base, yarn)


def test_the_weight_is_about_what_the_interpreter_measures(two_row_ripple):
    many = stripe_edits.repeat(two_row_ripple, [0, 1], 400)
    tracemalloc.start()
    before = tracemalloc.get_traced_memory()[0]
    after = stripe_edits.set_label(many, range(len(many.stripes.sequence)), "a label")
    measured = tracemalloc.get_traced_memory()[0] - before
    tracemalloc.stop()
    # Numbers and the label are shared, and counted for every stripe: never too little.
    assert 0.7 * measured < added_bytes(many, after) < 3 * measured


def test_a_heavy_history_is_packed_from_its_oldest_and_comes_back_equal(two_row_ripple):
    steps, made, held = Steps(most_bytes=60_000), [], []
    design = two_row_ripple
    for number in range(60):
        before, design = design, edits.set_values(two_row_ripple, notes=f"{number} " + "é" * 4000)
        made.append(design)
        held.append(steps.step(design, before))
    assert steps.bytes < 60_000 + 2 * 20_000
    packed = [step.is_packed for step in held]
    assert packed == sorted(packed, reverse=True) and 40 < sum(packed) < 60
    assert [step.design for step in held] == made
    assert held[-1].design is made[-1] and held[-2].design is made[-2]


def test_a_light_history_is_never_packed_and_what_nobody_holds_is_forgotten(two_row_ripple):
    steps, held, design = Steps(), [], two_row_ripple
    for number in range(2000):
        before, design = design, edits.set_values(design, title=f"Title {number}")
        held.append(steps.step(design, before))
    assert not any(step.is_packed for step in held)
    assert steps.bytes < 2_000_000
    del held[:]
    steps.step(design, design)
    assert steps.bytes < 1_000
