"""Design files are written whole or not at all."""

import errno
import os
import stat
import subprocess
import sys
import tempfile
from pathlib import Path

import msgspec
import pytest

from core.design.files import design_text, read_design, write_design
from core.errors import DesignError

posix = pytest.mark.skipif(os.name == "nt", reason="permissions and links are different there")


class FaultError(OSError):
    """The disk says no."""


def failing(*_args, **_kwargs):
    raise FaultError(errno.ENOSPC, "No space left on device")


def full_disk(handle, data):
    """Take a little and then no more."""
    if len(data) > 10:
        return write_some(handle, data[:10])
    return failing()


write_some = os.write
FAULTS = {
    "making the new file": (tempfile, "mkstemp", failing),
    "writing it": (os, "write", full_disk),
    "making sure it is on disk": (os, "fsync", failing),
    "giving it its permissions": (os, "chmod", failing),
    "putting it in place": (os, "replace", failing),
}


@pytest.fixture
def saved(two_row_ripple, tmp_path):
    """A saved design in a folder of its own."""
    path = tmp_path / "blanket.dipslope"
    write_design(two_row_ripple, path)
    return path


@pytest.fixture
def edited(two_row_ripple):
    return msgspec.structs.replace(two_row_ripple, title="Edited")


@pytest.mark.parametrize("moment", FAULTS)
def test_a_fault_while_saving_leaves_the_old_file_whole(
    saved, edited, two_row_ripple, monkeypatch, moment
):
    with monkeypatch.context() as patch:
        patch.setattr(*FAULTS[moment])
        with pytest.raises(FaultError):
            write_design(edited, saved)
    assert read_design(saved) == two_row_ripple
    assert list(saved.parent.iterdir()) == [saved]
    write_design(edited, saved)  # and the next try goes through
    assert read_design(saved) == edited


@pytest.mark.parametrize("moment", FAULTS)
def test_a_fault_while_saving_anew_leaves_nothing_behind(edited, tmp_path, monkeypatch, moment):
    monkeypatch.setattr(*FAULTS[moment])
    with pytest.raises(FaultError):
        write_design(edited, tmp_path / "new.dipslope")
    assert list(tmp_path.iterdir()) == []


def test_an_interrupted_save_leaves_the_old_file_whole(saved, edited, two_row_ripple, monkeypatch):
    def interrupt(*_args):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_design(edited, saved)
    assert read_design(saved) == two_row_ripple
    assert list(saved.parent.iterdir()) == [saved]


@pytest.mark.parametrize("last_step", ["fsync", "chmod", "replace"])
def test_a_crash_while_saving_leaves_the_old_file_whole(
    saved, edited, two_row_ripple, tmp_path, last_step
):
    source = tmp_path / "edited.dipslope"
    write_design(edited, source)
    code = (
        "import os, sys; from pathlib import Path\n"
        "from core.design.files import read_design, write_design\n"
        "design = read_design(Path(sys.argv[1]))\n"
        f"os.{last_step} = lambda *args, **kw: os._exit(9)\n"
        "write_design(design, Path(sys.argv[2]))\n"
    )
    command = [sys.executable, "-c", code, source, saved]
    root = Path(__file__).resolve().parents[2]
    assert subprocess.run(command, cwd=root, check=False).returncode == 9
    assert read_design(saved) == two_row_ripple


def test_the_new_file_is_on_disk_before_it_takes_the_old_ones_place(saved, edited, monkeypatch):
    seen = []
    sync, replace = os.fsync, os.replace

    def watched_sync(handle):
        seen.append(("sync", os.fstat(handle).st_size, stat.S_ISREG(os.fstat(handle).st_mode)))
        sync(handle)

    def watched_replace(source, target, **kwargs):
        seen.append(("replace", Path(source).parent, Path(target)))
        replace(source, target, **kwargs)

    monkeypatch.setattr(os, "fsync", watched_sync)
    monkeypatch.setattr(os, "replace", watched_replace)
    write_design(edited, saved)
    assert seen[0] == ("sync", len(design_text(edited).encode()), True)
    assert seen[1] == ("replace", saved.parent.resolve(), saved.resolve())


def test_a_design_that_has_no_text_touches_nothing(saved, two_row_ripple):
    gauge = msgspec.structs.replace(two_row_ripple.gauge, hook_mm=float("nan"))
    with pytest.raises(DesignError, match="hook_mm"):
        write_design(msgspec.structs.replace(two_row_ripple, gauge=gauge), saved)
    assert read_design(saved) == two_row_ripple
    assert list(saved.parent.iterdir()) == [saved]


def test_saving_into_a_missing_folder_is_an_error_of_the_system(edited, tmp_path):
    with pytest.raises(FileNotFoundError):
        write_design(edited, tmp_path / "nowhere" / "x.dipslope")


def test_saving_over_a_folder_is_an_error_of_the_system(edited, tmp_path):
    (tmp_path / "folder.dipslope").mkdir()
    with pytest.raises(OSError):
        write_design(edited, tmp_path / "folder.dipslope")
    assert [entry.name for entry in tmp_path.iterdir()] == ["folder.dipslope"]


def test_the_longest_name_that_a_folder_takes_can_be_saved(edited, tmp_path):
    path = tmp_path / ("海" * 82 + ".dipslope")  # 3 x 82 + 9 = 255 bytes
    write_design(edited, path)
    assert read_design(path) == edited


@posix
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o644, 0o444])
def test_permissions_are_kept(saved, edited, mode):
    saved.chmod(mode)
    write_design(edited, saved)
    assert stat.S_IMODE(saved.stat().st_mode) == mode


@posix
@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_a_new_file_gets_the_permissions_of_any_new_file(edited, tmp_path, mask):
    before = os.umask(mask)
    try:
        write_design(edited, tmp_path / "new.dipslope")
        (tmp_path / "plain").touch()
    finally:
        os.umask(before)
    modes = {stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()}
    assert modes == {0o666 & ~mask}


@posix
def test_a_link_is_followed_and_not_replaced(saved, edited, tmp_path):
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    one, other = folder / "one.dipslope", folder / "other.dipslope"
    one.symlink_to(saved)
    other.symlink_to("one.dipslope")
    write_design(edited, other)
    assert one.is_symlink()
    assert other.is_symlink()
    assert not saved.is_symlink()
    assert read_design(saved) == edited
    assert sorted(folder.iterdir()) == [one, other]


@posix
def test_a_link_to_a_file_not_yet_there_is_filled(edited, tmp_path):
    link = tmp_path / "link.dipslope"
    link.symlink_to("target.dipslope")
    write_design(edited, link)
    assert link.is_symlink()
    assert read_design(tmp_path / "target.dipslope") == edited


@posix
def test_links_that_go_round_in_a_circle_are_an_error_of_the_system(edited, tmp_path):
    one, other = tmp_path / "one.dipslope", tmp_path / "other.dipslope"
    one.symlink_to(other)
    other.symlink_to(one)
    for attempt in (lambda: read_design(one), lambda: write_design(edited, one)):
        with pytest.raises(OSError):
            attempt()
