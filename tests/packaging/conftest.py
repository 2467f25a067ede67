"""The scripts of `packaging/` as fixtures.

They are loaded from their path: that folder is no package, and PyPI has one of the same name.
"""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"


@pytest.fixture(scope="session")
def scripts() -> Path:
    return SCRIPTS


@pytest.fixture(scope="session")
def sentences() -> ModuleType:
    return _loaded("sentences")


@pytest.fixture(scope="session")
def environment() -> ModuleType:
    return _loaded("environment")


@pytest.fixture(scope="session")
def system_libraries() -> ModuleType:
    return _loaded("system_libraries")


@pytest.fixture(scope="session")
def run() -> ModuleType:
    return _loaded("run")


@pytest.fixture(scope="session")
def everything() -> ModuleType:
    return _loaded("test")


@pytest.fixture(scope="session")
def bundle_script() -> ModuleType:
    return _loaded("bundle")


def _loaded(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"script_{name}", SCRIPTS / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.path.insert(0, str(SCRIPTS))  # as when it is run as a script
    try:
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(SCRIPTS))
    return module
