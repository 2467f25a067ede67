"""What all tests share: no screen, how hypothesis looks for examples, the demo's place."""

import gc
import os
from itertools import count
from pathlib import Path

import hypothesis
import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before anything imports Qt
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before anything imports numpy, as app does

# Where CI is set, as .ci/run does, the examples are the same every time: what fails there, fails
# anywhere.
hypothesis.settings.register_profile("here", deadline=None, print_blob=True)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "here")

ROOT = Path(__file__).resolve().parent.parent


_TESTS = count(1)


@pytest.fixture(autouse=True)
def garbage():
    """Collect garbage after a test once the window's thread has taken that over.

    No loop runs between tests of the core, and none that was left by a window may be collected
    while a worker runs (see `app.collecting`).
    """
    yield
    if not gc.isenabled():
        gc.collect(2 if next(_TESTS) % 40 == 0 else 1)


@pytest.fixture(scope="session")
def demo_path():
    """Return the demo design's file."""
    return ROOT / "assets" / "harbour-steps.dipslope"


@pytest.fixture(scope="session")
def demo(demo_path):
    """Return the demo design."""
    from core.design.files import read_design  # not before a test wants it

    return read_design(demo_path)
