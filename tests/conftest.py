"""What all tests share: no screen, the demo's place."""

import os
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before anything imports Qt
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before anything imports numpy, as app does

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def demo_path():
    """Return the demo design's file."""
    return ROOT / "assets" / "harbour-steps.dipslope"


@pytest.fixture(scope="session")
def demo(demo_path):
    """Return the demo design."""
    from core.design.files import read_design  # not before a test wants it

    return read_design(demo_path)
