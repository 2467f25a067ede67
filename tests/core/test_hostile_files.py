"""Files from strangers cost little: time and memory are measured in a process of their own.

Each case is refused in a sentence, within `SECONDS` of processor time and `MB` of memory beyond
the program's own (`ru_maxrss`), and also where the system gives no more (`RLIMIT_AS`).
"""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from core.design.files import MAX_BYTES, design_text

pytestmark = pytest.mark.skipif(os.name == "nt", reason="memory isn't limited like this there")
ROOT = Path(__file__).resolve().parents[2]
SECONDS, MB = 2.0, 160
"""A design may be 24 MB; it is held twice while values outside quotes are counted."""

# One process that forks for every file it is told of, so that the program is loaded once.
READ = """
import json, os, resource, sys, time
from pathlib import Path
from core.design.files import read_design
from core.design.journal import read_newest
from core.errors import DesignError

def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

def look(kind, path):
    with open("/proc/self/status") as status:
        now = next(int(line.split()[1]) for line in status if line.startswith("VmSize"))
    most = (now + int(sys.argv[1]) * 1024) * 1024
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    before, start = peak(), time.process_time()
    try:
        said = repr(read_newest(path)) if kind == "journal" else repr(read_design(path))[:50]
    except (DesignError, OSError) as error:
        said = f"{type(error).__name__}: {error}"
    return said, time.process_time() - start, peak() - before

for line in sys.stdin:
    kind, name = json.loads(line)
    child = os.fork()
    if not child:
        print(json.dumps(look(kind, Path(name))), flush=True)
        os._exit(0)
    if os.waitpid(child, 0)[1]:
        print(json.dumps(["died", 0, 0]), flush=True)
"""


@pytest.fixture(scope="module")
def measured():
    """Return a function that has a file read elsewhere: what was said, seconds, megabytes."""
    process = subprocess.Popen(
        [sys.executable, "-c", READ, str(3 * MB)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )

    def measure(kind, path):
        process.stdin.write(json.dumps([kind, str(path)]) + "\n")
        process.stdin.flush()
        said, seconds, mb = json.loads(process.stdout.readline())
        print(f"{path.name}: {1000 * seconds:.0f} ms, {mb:.0f} MB: {said[:100]}")
        return said, seconds, mb

    yield measure
    process.stdin.close()
    assert process.wait(20) == 0
    process.stdout.close()


ROOM = MAX_BYTES - 4000
HEAD = b'{"format":"dipslope-design","version":1,'


def full_of(piece):
    return piece * (ROOM // len(piece))


BOMBS = {
    "a gigabyte of nothing": None,
    "lists": lambda: HEAD + b'"title":[' + full_of(b"[],") + b"1]}",
    "objects": lambda: HEAD + b'"title":[' + full_of(b"{},") + b"1]}",
    "numbers": lambda: HEAD + b'"title":[' + full_of(b"1.5,") + b"1]}",
    "words": lambda: HEAD + b'"title":[' + full_of(b'"ab",') + b"1]}",
    "rows": lambda: (
        HEAD + b'"wave":{"cycle":[' + full_of(b'{"start":[],"repeat":[],"end":[]},') + b"1]}}"
    ),
    "stripes": lambda: (
        HEAD + b'"stripes":{"sequence":[' + full_of(b'{"yarn":0,"rows":1},') + b"1]}}"
    ),
    "keys": lambda: HEAD + b",".join(b'"%d":0' % n for n in range(ROOM // 12)) + b"}",
    "one key, many times": lambda: HEAD + full_of(b'"title":1,') + b'"title":2}',
    "one word": lambda: HEAD + b'"title":"' + b"a" * ROOM + b'"}',
    "one word of four bytes a sign": lambda: (
        HEAD + b'"title":"' + "\U0001f9f6".encode() * (ROOM // 4) + b'"}'
    ),
    "escapes": lambda: HEAD + b'"title":"' + full_of(b"\\u0041") + b'"}',
    "backslashes": lambda: HEAD + b'"title":"' + full_of(b"\\\\") + b",,,[[[" * 100 + b'"}',
    "a number of 24 million digits": lambda: HEAD + b'"title":' + b"9" * ROOM + b"}",
    "a broken number": lambda: HEAD + b'"title":0.' + b"9" * ROOM + b"}",
    "an exponent of 24 million digits": lambda: HEAD + b'"title":1e' + b"9" * ROOM + b"}",
    "deep lists": lambda: b"[" * ROOM,
    "deep objects": lambda: b'{"a":' * (ROOM // 5),
    "deep lists that are closed": lambda: b"[" * (ROOM // 2) + b"]" * (ROOM // 2),
    "deep in a place that is read": lambda: HEAD + b'"title":' + b"[" * ROOM,
    "noughts": lambda: b"\x00" * ROOM,
    "quotes": lambda: b'"' * ROOM,
    "spaces": lambda: b" " * ROOM,
    "byte order marks": lambda: full_of(b"\xef\xbb\xbf"),
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_in_a_blink(name, tmp_path, measured):
    path = tmp_path / "bomb.dipslope"
    if BOMBS[name] is None:
        with path.open("wb") as file:
            file.truncate(1_000_000_000)
    else:
        path.write_bytes(BOMBS[name]())
        assert path.stat().st_size <= MAX_BYTES  # small enough to be looked into
    said, seconds, mb = measured("design", path)
    path.unlink()
    assert said.startswith("DesignError: bomb.dipslope: ")
    assert len(said) < 300
    assert seconds < SECONDS
    assert mb < MB


@pytest.mark.parametrize("kind", ["pipe", "device", "folder", "circle", "socket", "nowhere"])
def test_what_is_no_file_is_refused_and_not_waited_for(kind, tmp_path, measured):
    path = tmp_path / "strange.dipslope"
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "device":
        path.symlink_to("/dev/zero")
    elif kind == "folder":
        path.mkdir()
    elif kind == "circle":
        other = tmp_path / "other.dipslope"
        path.symlink_to(other)
        other.symlink_to(path)
    elif kind == "socket":
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(str(path))
    for reader in ("design", "journal"):
        said, seconds, mb = measured(reader, path)
        assert "Error: " in said
        assert seconds < 0.5
        assert mb < 5


def test_a_design_as_full_of_brackets_in_its_words_as_can_be_is_opened(two_row_ripple):
    """Signs inside quotes are no values: nobody's notes make a design unreadable."""
    from core.design.document import OwnWords
    from core.design.edits import set_values
    from core.design.files import design_from_bytes

    words = tuple(OwnWords(row=n, text='{[,"\\' * 1000, terms="US", of="ab") for n in range(400))
    design = set_values(two_row_ripple, own_words=words, notes=",[{" * 6000)
    text = design_text(design).encode()
    assert text.count(b"[") + text.count(b"{") > 500_000
    assert design_from_bytes(text) == design


def test_values_are_counted_as_the_bounds_have_them():
    """More values than any design holds by the types alone, so none is refused that fits them."""
    from msgspec import inspect

    from core.design.document import Design
    from core.design.files import MOST_PARTS, MOST_VALUES

    values, parts = most_values(inspect.type_info(Design))
    print(f"{values:,} values, {parts:,} lists and objects at most")
    assert values + parts <= MOST_VALUES
    assert parts <= MOST_PARTS


def most_values(kind):
    """Return the commas and the parts that a value of a type takes at most."""
    from msgspec import inspect

    match kind:
        case inspect.Metadata(type=inner):
            return most_values(inner)
        case inspect.UnionType(types=types):
            return tuple(max(pair) for pair in zip(*map(most_values, types), strict=True))
        case inspect.StructType(fields=fields):
            each = [most_values(field.type) for field in fields]
            return sum(c for c, _ in each) + len(each), sum(p for _, p in each) + 1
        case inspect.VarTupleType(item_type=item, max_length=most):
            commas, parts = most_values(item)
            return most * (commas + 1), most * parts + 1
        case _:
            return 0, 0


@pytest.mark.parametrize("kind", ["marks alone", "marks that claim all", "unpacks without end"])
def test_a_journal_made_of_malice_is_none_in_a_blink(kind, tmp_path, measured):
    import struct
    import zlib

    from core.design.journal import MARK

    path = tmp_path / "a.journal"
    if kind == "marks alone":
        path.write_bytes(MARK * 1_000_000)
    elif kind == "marks that claim all":
        one = MARK + struct.pack(">I16s", 20_000_000, b"x" * 16)
        path.write_bytes(one * 500_000 + bytes(24_000_000))
    else:
        from hashlib import blake2b

        packed = zlib.compress(bytes(600_000_000), 9)
        digest = blake2b(packed, digest_size=16).digest()
        path.write_bytes(MARK + struct.pack(">I16s", len(packed), digest) + packed)
    said, seconds, mb = measured("journal", path)
    assert said == "None"
    assert seconds < SECONDS
    assert mb < MB
