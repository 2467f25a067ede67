"""Settings survive too: killed while they are written, on a full disk, at any failing call.

They are written by Qt, past `core.design.disk`, so its calls are made to fail from outside.
"""

import os
import random
import shutil
import signal
import subprocess
import sys
import time

import pytest
from PySide6.QtCore import QSettings

pytestmark = pytest.mark.skipif(os.name == "nt", reason="nothing is killed like this there")

# Writes two lists in turn, each with its own sum: a mixture of both would be seen.
WRITER = """
import sys
from PySide6.QtCore import QSettings
path, times = sys.argv[1], int(sys.argv[2])
print("ready", flush=True)
for n in range(times):
    settings = QSettings(path, QSettings.Format.IniFormat)
    names = [f"/home/somebody/blankets/number-{n}-{i}.dipslope" for i in range(n % 10 + 1)]
    settings.setValue("recent", names)
    settings.setValue("sum", f"{n} {len(names)}")
    settings.sync()
"""


def is_whole(path):
    settings = QSettings(str(path), QSettings.Format.IniFormat)
    assert settings.status() == QSettings.Status.NoError
    names, told = settings.value("recent"), settings.value("sum")
    names = [names] if isinstance(names, str) else names
    number, count = told.split()
    return len(names) == int(count) and all(f"number-{number}-" in name for name in names)


def first(path):
    subprocess.run([sys.executable, "-c", WRITER, str(path), "1"], check=True, capture_output=True)
    assert is_whole(path)


def test_settings_are_whole_whenever_their_writer_is_killed(tmp_path):
    path = tmp_path / "settings.ini"
    first(path)
    chance = random.Random(7)
    for _ in range(12):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path), "1000000"], stdout=subprocess.PIPE, text=True
        )
        assert writer.stdout.readline() == "ready\n"
        time.sleep(chance.uniform(0.0, 0.08))
        writer.send_signal(signal.SIGKILL)
        writer.communicate()
        assert is_whole(path)


def test_settings_are_whole_when_the_disk_takes_no_more(tmp_path):
    import resource

    path = tmp_path / "settings.ini"
    first(path)
    before = path.read_bytes()

    def full():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (20, 20))

    subprocess.run(
        [sys.executable, "-c", WRITER, str(path), "9"], preexec_fn=full, capture_output=True
    )
    assert path.read_bytes() == before


CALLS = ("write", "fsync", "fdatasync", "rename", "renameat2", "linkat", "ftruncate", "fchmod")


def can_trace():
    if shutil.which("strace") is None:
        return False
    done = subprocess.run(["strace", "-o", os.devnull, "true"], capture_output=True)
    return done.returncode == 0


@pytest.mark.parametrize("call", CALLS)
def test_settings_are_whole_when_any_call_of_the_system_fails(tmp_path, call):
    if not can_trace():
        pytest.skip("strace is not here, or may not be used")
    path = tmp_path / "settings.ini"
    first(path)
    hit = 0
    for number in range(1, 5):
        trace = tmp_path / "trace"
        inject = f"inject={call}:error=ENOSPC:when={number}"
        subprocess.run(
            ["strace", "-f", "-o", str(trace), "-e", f"trace={call}", "-e", inject]
            + [sys.executable, "-c", WRITER, str(path), "2"],
            capture_output=True,
        )
        hit += "INJECTED" in trace.read_text()
        assert is_whole(path), (call, number)
    print(f"{call}: {hit} calls made to fail")
