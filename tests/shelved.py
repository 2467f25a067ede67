"""Yarns for a shelf, and the trouble that an act on it ends in."""

import pytest

from core.shelf.entry import Entry, new_uid
from core.shelf.faults import ShelfError


def yarn(name="Sea", **values):
    usual = {"colour": "#2a6f97", "ball_m": 105.0, "ball_g": 50.0, "balls": 3}
    return Entry(uid=new_uid(), name=name, **{**usual, **values})


def trouble_of(act):
    with pytest.raises(ShelfError) as caught:
        act()
    assert str(caught.value).endswith(".")
    return caught.value.trouble
