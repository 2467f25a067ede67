"""The program to install: built, unpacked and started where there is no Python of ours.

Building takes a minute or two and fetches PyInstaller, so it is done where `.ci/run` asks for it
with DIPSLOPE_BUNDLE=1.
"""

import os
import shutil
import subprocess
import sys
import tarfile
import xml.etree.ElementTree as ElementTree
from configparser import ConfigParser
from pathlib import Path

import pytest

from app.exporting import NAMES
from core import __version__

ROOT = Path(__file__).resolve().parents[2]
LINUX = ROOT / "packaging" / "linux"
ID = "org.dipslope.Dipslope"

wanted = pytest.mark.skipif(
    sys.platform != "linux" or not os.environ.get("DIPSLOPE_BUNDLE"),
    reason="building the bundle takes minutes: set DIPSLOPE_BUNDLE=1",
)


# --- what systems are told ---------------------------------------------------------------


def desktop_entry():
    parser = ConfigParser(interpolation=None)
    parser.optionxform = str
    parser.read(LINUX / f"{ID}.desktop", encoding="utf-8")
    return parser["Desktop Entry"]


def test_the_desktop_entry_opens_the_files_that_the_mime_type_names():
    """Keys as in the freedesktop.org desktop entry specification 1.5."""
    entry = desktop_entry()
    assert entry["Type"] == "Application"
    assert "%f" in entry["Exec"].split()
    space = "{http://www.freedesktop.org/standards/shared-mime-info}"
    kind = ElementTree.parse(LINUX / f"{ID}.xml").getroot().find(f"{space}mime-type")
    assert entry["MimeType"] == f"{kind.get('type')};"
    assert kind.find(f"{space}glob").get("pattern") == "*.dipslope"


def test_design_files_begin_with_what_the_mime_type_looks_for():
    space = "{http://www.freedesktop.org/standards/shared-mime-info}"
    match = next(ElementTree.parse(LINUX / f"{ID}.xml").getroot().iter(f"{space}match"))
    first, last = (int(end) for end in match.get("offset").split(":"))
    start = (ROOT / "assets" / "harbour-steps.dipslope").read_text(encoding="utf-8")
    assert first <= start.index(match.get("value")) <= last


def test_the_window_says_which_desktop_entry_is_its_own():
    source = (ROOT / "app" / "starting.py").read_text(encoding="utf-8")
    assert f'setDesktopFileName("{ID}")' in source


@pytest.mark.skipif(shutil.which("appstreamcli") is None, reason="appstreamcli isn't installed")
def test_the_metadata_is_valid_appstream():
    path = LINUX / f"{ID}.metainfo.xml"
    text = path.read_text(encoding="utf-8").replace("@VERSION@", __version__)
    command = ["appstreamcli", "validate", "--no-net", "/dev/stdin"]
    done = subprocess.run(
        command, input=text.replace("@DATE@", "2026-01-01"), capture_output=True, text=True
    )
    assert "E:" not in done.stdout, done.stdout


def test_libraries_for_a_window_that_were_not_found_are_named(bundle_script):
    log = (
        "WARNING: Library not found: could not resolve 'libxcb-icccm.so.4', dependency of 'x'.\n"
        "WARNING: Library not found: could not resolve 'libtiff.so.5', dependency of 'y'.\n"
    )
    assert bundle_script.missing_libraries(log) == ["libxcb-icccm.so.4"]


def test_the_version_is_stated_in_one_place(bundle_script):
    assert bundle_script.version() == __version__
    others = [ROOT / "pyproject.toml", *(ROOT / "packaging").rglob("*.py"), *LINUX.iterdir()]
    assert not [path for path in others if f'"{__version__}"' in path.read_text(encoding="utf-8")]


# --- the thing itself --------------------------------------------------------------------


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bundle")
    command = [sys.executable, str(ROOT / "packaging" / "bundle.py"), "--quick", "--to", folder]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(scope="session")
def installed(built, tmp_path_factory):
    """The Debian package's files, laid out as it would lay them."""
    tree = tmp_path_factory.mktemp("installed")
    (package,) = built.glob("*.deb")
    subprocess.run(["dpkg-deb", "-x", str(package), str(tree)], check=True)
    return tree


@pytest.fixture
def clean(tmp_path):
    """Variables of somebody who has just logged in: no Python, no settings."""
    home = tmp_path / "home"
    home.mkdir()
    return {"HOME": str(home), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"}


@wanted
def test_the_installed_program_paints_its_window(installed, clean):
    program = installed / "usr" / "bin" / "dipslope"
    command = ["xvfb-run", "-a", "-s", "-screen 0 1366x768x24", str(program), "--self-test"]
    done = subprocess.run(command, env=clean, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr


@wanted
def test_the_installed_program_exports_what_the_checkout_does(installed, clean, tmp_path):
    demo = ROOT / "assets" / "harbour-steps.dipslope"
    program = str(installed / "usr" / "bin" / "dipslope")
    command = [program, "export", str(demo), "--to", str(tmp_path / "out")]
    command += ["--only", "chart-svg,rows-txt"]
    done = subprocess.run(command, env=clean, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    ours = [sys.executable, "-m", "app", *command[1:4], str(tmp_path / "ours"), *command[5:]]
    subprocess.run(ours, check=True, cwd=ROOT, capture_output=True)
    names = sorted(path.name for path in (tmp_path / "ours").iterdir())
    assert len(names) == 2
    for name in names:
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "ours" / name).read_bytes()
    assert {"chart-svg", "rows-txt"} <= set(NAMES)


@wanted
def test_the_package_brings_entry_icons_type_and_licences(installed):
    share = installed / "usr" / "share"
    assert (share / "applications" / f"{ID}.desktop").is_file()
    assert (share / "mime" / "packages" / f"{ID}.xml").is_file()
    assert (share / "icons" / "hicolor" / "256x256" / "apps" / f"{ID}.png").is_file()
    assert __version__ in (share / "metainfo" / f"{ID}.metainfo.xml").read_text(encoding="utf-8")
    copyright_text = (share / "doc" / "dipslope" / "copyright").read_text(encoding="utf-8")
    assert "GNU LESSER GENERAL PUBLIC LICENSE" in copyright_text
    assert "SIL OPEN FONT LICENSE" in copyright_text.upper()
    programs = [p.name for p in (installed / "usr" / "bin").iterdir()]
    assert programs == ["dipslope"]


@wanted
def test_the_portable_archive_holds_the_same_program(built, installed):
    (path,) = built.glob("*.tar.xz")
    with tarfile.open(path) as archive:
        entries = {"/".join(m.name.split("/")[1:]): m for m in archive if not m.isdir()}
        assert len({m.name.split("/")[0] for m in archive}) == 1
        assert {m.uid for m in entries.values()} == {0}
        assert entries["dipslope"].mode & 0o100
    lib = installed / "usr" / "lib" / "dipslope"
    in_package = {p.relative_to(lib).as_posix() for p in lib.rglob("*") if not p.is_dir()}
    assert set(entries) == in_package
