"""Any yarn that a shelf may hold."""

from hypothesis import strategies as st

from core.shelf.entry import Aside, Entry

printed = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"))
names = (st.text(printed, min_size=1, max_size=12).map(str.strip)
         .filter(lambda text: text and text.isprintable()))  # fmt: skip
grams = st.floats(0.1, 500, allow_nan=False).map(lambda g: round(g, 2))
entries = st.builds(
    Entry,
    uid=st.uuids().map(lambda uid: uid.hex),
    name=names,
    colour=st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}"),
    ball_m=st.floats(1, 1000),
    ball_g=st.floats(1, 1000),
    fibre=st.sampled_from(["", "wool", "=1+1", "'quoted"]),
    weight=st.none() | st.integers(0, 7),
    lot=st.sampled_from(["", "A1", "-3", "a; b, c"]),
    price=st.none() | st.floats(0, 100),
    currency=st.sampled_from(["", "EUR"]),
    balls=st.integers(0, 30),
    remnants=st.lists(grams, max_size=4).map(tuple),
    place=st.just("chest"),
    bought=st.sampled_from(["", "2026-11-25"]),
    notes=st.sampled_from(["", "two\nlines", '"quoted", with commas', "@here"]),
    asides=st.lists(st.builds(Aside, st.sampled_from(["A", "B"]), grams), max_size=2,
                    unique_by=lambda a: a.title).map(tuple),
)  # fmt: skip
