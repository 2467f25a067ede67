"""Strain: none in plain cloth, most at the turns of a wave."""

import numpy as np
import pytest

from core.fabric.sheet import settle_fabric
from core.fabric.strain import post_strain
from core.rows.build import build_rows


def strain_of(design, **part):
    rows = build_rows(design)
    return rows, post_strain(settle_fabric(design, rows), rows, **part)


def test_plain_cloth_is_not_strained(plain_cloth):
    _, found = strain_of(plain_cloth)
    assert np.abs(found.strain).max() < 1e-6


def test_every_leg_has_its_strain(two_row_ripple):
    rows, found = strain_of(two_row_ripple, first=2, last=3)
    assert len(found.strain) == 2 * len(rows.plan(2).links)
    assert found.posts_mm.shape == (len(found.strain), 2, 2)


@pytest.mark.parametrize("wave", ["two_row_ripple", "steep_wave", "sharp_wave"])
def test_posts_at_the_turns_are_stretched_most(wave, request, sized):
    design = sized(request.getfixturevalue(wave), repeats=6, rows=20)
    rows, found = strain_of(design, first=10, last=10)
    links = rows.fabric_links(10)
    alone = np.bincount(links[:, 0])[links[:, 0]] * np.bincount(links[:, 1])[links[:, 1]] == 1
    assert found.strain[~alone].max() > found.strain[alone].max()
    assert found.strain.max() > 0.02
