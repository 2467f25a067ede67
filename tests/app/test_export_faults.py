"""Every call to the file system of an export fails in turn: each file is the old or the new one.

The calls are counted and broken as in tests/core/test_faults.py, on every kind of file that leaves
the program, into a folder that holds older ones. After a failure nothing half written is there;
after a kill the next start, or the next export, clears it away.
"""

import errno
import os
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "core"))

from test_faults import MODES, Fault, _Watched

from app import headless
from app.export_dialog import _sentence
from app.exporting import NAMES, make_files, write_files
from app.painting.choices import Choices
from core.design import disk, edits
from core.design.files import write_design
from core.pipeline import Pipeline

pytestmark = pytest.mark.skipif(os.name == "nt", reason="nothing forks or is killed like this")


EVERY_WAY = 40
"""Calls that are broken in every way; later ones, of further files, in three (all: 694 faults)."""


@pytest.fixture(scope="module")
def files(qapp, ripple):
    """Every export, the charts for both hands; shortened, as what is in them plays no part."""
    results = Pipeline().settled_results(edits.set_size(ripple, repeats=2, rows=4))
    made = make_files(results, None, Choices(both_hands=True, width_mm=60.0))
    assert len(made) == len(NAMES) + 3
    return {ending: data[:3000] for ending, data in made.items()}


def prepared(folder, files):
    folder.mkdir(parents=True)
    for ending in files:
        (folder / f"a{ending}").write_bytes(b"old " + ending.encode())
    return folder


def attempt(folder, files, fault):
    """Export with a fault; return "done", the error, or "killed"."""
    if not fault.mode.startswith("kill"):
        try:
            with _Watched(fault):
                write_files(files, folder, "a")
        except OSError as error:
            return error
        return "done"
    child = os.fork()
    if not child:
        try:
            with _Watched(fault):
                write_files(files, folder, "a")
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return "killed" if os.WIFSIGNALED(status) else "done"


def states(folder, files):
    found = []
    for ending, data in files.items():
        there = (folder / f"a{ending}").read_bytes()
        assert there in (data, b"old " + ending.encode()), f"{ending} is neither old nor new"
        found.append(there == data)
    return found


def parts(folder):
    return [path.name for path in folder.iterdir() if path.name.endswith(disk.PART)]


def test_a_fault_at_any_call_leaves_every_file_old_or_new(files, tmp_path):
    counted = Fault(-1, "none")
    assert attempt(prepared(tmp_path / "counted", files), files, counted) == "done"
    assert all(states(tmp_path / "counted", files))
    points, tried, killed, left = counted.count, 0, 0, 0
    for at in range(points):
        for mode in MODES:
            if mode in ("short", "torn") and counted.seen[at] != "write":
                continue
            if at > EVERY_WAY and mode not in ("error ENOSPC", "torn", "kill before"):
                continue
            folder = prepared(tmp_path / f"{at}-{mode.replace(' ', '-')}", files)
            outcome, tried = attempt(folder, files, Fault(at, mode)), tried + 1
            new = states(folder, files)
            assert sorted(new, reverse=True) == new  # those before it are new, the rest old
            told = f"{counted.seen[at]} (call {at}), {mode}"
            if outcome == "killed":
                killed, left = killed + 1, left + len(parts(folder))
                assert len(parts(folder)) <= 1, told
                assert disk.sweep(folder) == 0  # it may still be written by somebody
                there = len(parts(folder))
                assert disk.sweep(folder, stale_s=0.0) == there
                assert parts(folder) == [], told
            else:
                stays = counted.seen[at] == "unlink"
                assert parts(folder) == [] or stays, told
                if outcome == "done":
                    assert all(new), told
                else:
                    assert _sentence(outcome), told
            for path in list(folder.iterdir()):
                path.unlink()
            folder.rmdir()
    assert killed >= points
    assert left > 0
    print(f"{len(files)} files, {points} calls, {tried} faults, {killed} kills, {left} left parts")


def test_a_part_that_a_crash_left_goes_with_the_next_export(files, tmp_path):
    folder = prepared(tmp_path / "out", files)
    old = folder / f".a-chart.svg.dipslope-x1y2z3a4{disk.PART}"
    young = folder / f".a-chart.svg.dipslope-x1y2z3a5{disk.PART}"
    other = folder / f".somebody-elses.x1y2z3a4{disk.PART}"
    for path in (old, young, other):
        path.write_bytes(b"half")
    for path in (old, other):
        os.utime(path, (1, 1))
    write_files(files, folder, "a")
    assert not old.exists()
    assert young.exists() and other.exists()


def test_the_next_start_clears_the_folders_of_designs_used_last(tmp_path):
    from app.starting import _sweep

    left = tmp_path / f".b.dipslope.dipslope-x1y2z3a4{disk.PART}"
    left.write_bytes(b"half")
    os.utime(left, (1, 1))
    _sweep([tmp_path / "b.dipslope", tmp_path / "nowhere" / "c.dipslope"])
    assert not left.exists()


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO])
@pytest.mark.parametrize("call", ["makedirs", "mkstemp", "write", "fsync", "replace"])
def test_without_a_window_a_failed_export_is_one_sentence(
    code, call, ripple, tmp_path, capsys, monkeypatch, qapp
):
    design = tmp_path / "a.dipslope"
    write_design(edits.set_size(ripple, repeats=2, rows=4), design)

    class Broken:
        def __getattr__(self, name):
            if name == call:
                return self.fail
            return getattr(os if hasattr(os, name) else disk_tempfile, name)

        def fail(self, *args, **kw):
            raise OSError(code, os.strerror(code), "there")

    disk_tempfile = disk.tempfile
    arguments = [str(design), "--to", str(tmp_path / "out"), "--only", "rows-txt"]
    from app.__main__ import main

    monkeypatch.setattr(disk, "os" if call != "mkstemp" else "tempfile", Broken())
    assert main(["export", *arguments]) == headless.UNREADABLE
    monkeypatch.undo()
    said = capsys.readouterr().err
    assert said.startswith("dipslope: ") and said.count("\n") == 1
    out = tmp_path / "out"
    assert not out.exists() or list(out.iterdir()) == []
