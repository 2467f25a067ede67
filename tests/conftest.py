"""What all tests share: no screen, how hypothesis looks for examples, the demo's place."""

import os
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


@pytest.fixture(scope="session")
def demo_path():
    """Return the demo design's file."""
    return ROOT / "assets" / "harbour-steps.dipslope"


@pytest.fixture(scope="session")
def demo(demo_path):
    """Return the demo design."""
    from core.design.files import read_design  # not before a test wants it

    return read_design(demo_path)
