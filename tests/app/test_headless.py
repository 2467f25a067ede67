"""Report and export from the command line."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from core.design.document import NamedSize
from core.design.edits import set_values, set_wave
from core.design.files import design_text, read_design, write_design
from core.reading.own import set_own_words
from core.rows.build import build_rows
from core.rows.waves import shape_of, wave_of, with_run
from core.words.write import written_rows

ROOT = Path(__file__).resolve().parents[2]


def run(*words, cwd=ROOT):
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "xcb", "DISPLAY": ""}
    return subprocess.run(
        [sys.executable, "-m", "app", *map(str, words)],
        capture_output=True,
        text=True,
        cwd=cwd,
        env=environment,
        timeout=120,
    )


def test_the_report_has_what_the_document_names(demo_path):
    done = run("report", demo_path, "--json")
    assert done.returncode == 0, done.stderr
    facts = json.loads(done.stdout)
    wanted = {"title", "foundation", "rows", "size", "wave", "yarn", "tails", "findings"}
    assert wanted <= set(facts)
    assert facts["foundation"] == {
        "multiple": 12,
        "extra": 3,
        "base_stitches": 144,
        "chains": 147,
    }
    assert set(facts["rows"][0]) == {"row", "side", "uses", "makes", "yarn"}
    assert [row["side"] for row in facts["rows"][:3]] == ["RS", "WS", "RS"]
    assert set(facts["size"]) == {"repeats", "rows", "width_mm", "length_mm", "chain_mm"}
    wave = facts["wave"]
    assert {"repeat_width_mm", "rise_mm", "wave_height_mm", "lean_deg"} <= set(wave)
    leans, rises = wave["lean_per_column_deg"], wave["rise_per_column_mm"]
    assert len(leans) == len(rises) == 12  # a stitch of the repeat each
    assert sorted(leans) == pytest.approx(sorted(-lean for lean in leans), abs=0.2)
    assert any(abs(lean) == pytest.approx(wave["lean_deg"], abs=0.1) for lean in leans)
    assert min(rises) < wave["rise_mm"] < max(rises)
    yarn = facts["yarn"][0]
    assert {"name", "rows", "stitches", "length_m", "mass_g", "balls"} <= set(yarn)
    lines = ("body", "foundation", "fill", "border", "tails", "carried", "spare")
    assert sum(yarn[f"{line}_m"] for line in lines) == pytest.approx(yarn["length_m"], abs=0.5)
    assert yarn["low_m"] < yarn["length_m"] - yarn["spare_m"] < yarn["high_m"]
    assert sum(use["ends"] for use in facts["yarn"]) == facts["tails"]
    assert facts["ends"]["left"] + facts["ends"]["right"] == facts["tails"]
    assert sum(use["rows"] for use in facts["yarn"]) == facts["size"]["rows"] == 96
    assert facts["tails"] == 2 * 48  # common practice: two ends a stripe, 48 stripes of two rows


def test_a_report_for_people_says_the_chain_first(demo_path):
    done = run("report", demo_path)
    assert done.returncode == 0
    assert "Chain 147 (a multiple of 12, plus 3)" in done.stdout
    assert "each stitch of a right-side repeat leans" in done.stdout


def test_a_design_that_does_not_fit_ends_with_one_and_says_where(demo_path, tmp_path):
    design = read_design(demo_path)
    shape = with_run(shape_of(design.wave), 0, 5)
    lopsided = wave_of(shape)
    odd = type(design.wave)(design.wave.start, lopsided.repeat, design.wave.end[:-1])
    path = tmp_path / "odd.dipslope"
    path.write_text(design_text(set_wave(design, odd)))
    done = run("report", path, "--json")
    assert done.returncode == 1
    findings = json.loads(done.stdout)["findings"]
    assert findings[0]["level"] == "error"
    assert findings[0]["where"] == "row 2"


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "not a whole design file"),
        (b"\x89PNG\r\n", "not a whole design file"),
        (b'{"format": "dipslope-design", "version": 99}', "newer"),
        (b'{"format": "dipslope-design", "version": 1, "titel": 1}', "titel: unknown key"),
    ],
)
def test_a_file_that_cannot_be_read_ends_with_two_and_one_sentence(tmp_path, content, says):
    path = tmp_path / "bad.dipslope"
    path.write_bytes(content)
    for words in (("report", path), ("export", path, "--to", tmp_path / "out")):
        done = run(*words)
        assert done.returncode == 2
        assert says in done.stderr
        assert "Traceback" not in done.stderr
        assert "bad.dipslope" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_missing_file_ends_with_two(tmp_path):
    done = run("report", tmp_path / "nowhere.dipslope")
    assert done.returncode == 2
    assert "nowhere.dipslope" in done.stderr


def test_exports_need_no_display_and_are_named_after_the_file(demo_path, tmp_path):
    done = run("export", demo_path, "--to", tmp_path / "out", "--only", "chart-svg,rows-txt")
    assert done.returncode == 0, done.stderr
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [
        "harbour-steps-chart.svg",
        "harbour-steps-rows.txt",
    ]


def test_the_report_never_loads_a_screen(demo_path):
    code = (
        "import sys; from app.headless import results_of; from pathlib import Path;"
        f"results_of(Path({str(demo_path)!r}));"
        "sys.exit(any(name.startswith(('PySide6', 'pyqtgraph')) for name in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False)
    assert done.returncode == 0


def test_words_are_exported_in_another_language_and_size(demo_path, tmp_path):
    path = tmp_path / "throw.dipslope"
    design = set_values(read_design(demo_path), sizes=(NamedSize(name="lap", repeats=8, rows=60),))
    write_design(design, path)
    options = ("--only", "rows-txt", "--language", "de", "--spelled")
    for size, says in (("lap", "111 Luftmaschen anschlagen"), ("all", "111 oder 147 Luftmaschen")):
        done = run("export", path, "--to", tmp_path / size, *options, "--size", size)
        assert done.returncode == 0, done.stderr
        text = (tmp_path / size / "throw-rows.txt").read_text(encoding="utf-8")
        assert says in text and "Maschenprobe" in text
    done = run("export", path, "--to", tmp_path, *options, "--size", "king")
    assert done.returncode == 2
    assert "there is no size 'king'; there are own, all, lap" in done.stderr


def test_a_booklet_for_the_left_hand_in_another_size_and_terms(demo_path, tmp_path):
    done = run(
        "export", demo_path, "--to", tmp_path, "--only", "booklet-html", "--hand", "left",
        "--terms", "US", "--repeats", "3", "--rows", "8",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    (path,) = tmp_path.iterdir()
    assert path.name == "harbour-steps-booklet-us-left-handed-3x8.html"
    assert done.stdout.strip() == str(path)
    text = path.read_text()
    assert "Written in US terms" in text
    assert "chain 51, " in text  # 12 x 4 + 3


def test_a_size_out_of_bounds_is_refused_in_a_sentence(demo_path, tmp_path):
    done = run("export", demo_path, "--to", tmp_path, "--only", "booklet-html", "--rows", "0")
    assert done.returncode == 2
    assert "--rows has to be from 1 to 5000, not 0" in done.stderr
    assert not list(tmp_path.iterdir())


def test_sheets_for_shop_and_chair_are_exported_without_a_window(demo_path, tmp_path):
    only = "shopping-csv,ruler-pdf,stripes-csv,key-txt"
    done = run("export", demo_path, "--to", tmp_path, "--only", only, "--page", "letter",
               "--hand", "left")  # fmt: skip
    assert done.returncode == 0, done.stderr
    stem = demo_path.stem
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {
        f"{stem}-shopping.csv",
        f"{stem}-stripe-ruler-left-handed.pdf",
        f"{stem}-stripes-left-handed.csv",
        f"{stem}-stripe-key.txt",
    }
    ruler = (tmp_path / f"{stem}-stripe-ruler-left-handed.pdf").read_bytes()
    assert re.search(rb"/MediaBox \[0 0 612[.0]* 792[.0]*\]", ruler)
    assert "Stripes from the foundation up" in (tmp_path / f"{stem}-stripe-key.txt").read_text()


def test_a_draft_is_exported_stamped_and_said_to_be(demo_path, tmp_path):
    design = read_design(demo_path)
    line = next(ln for ln in written_rows(design, build_rows(design)) if ln.row == 2)
    path = tmp_path / "draft.dipslope"
    write_design(set_own_words(design, 2, line.text.replace("(144 sts)", "(145 sts)")), path)
    options = ("--only", "chart-svg,rows-txt", "--language", "de")
    done = run("export", path, "--to", tmp_path, *options)
    assert done.returncode == 1
    assert done.stderr.strip() == "dipslope: 1 error open: stamped ENTWURF."
    assert ">ENTWURF</text>" in (tmp_path / "draft-chart.svg").read_text(encoding="utf-8")
    assert (tmp_path / "draft-rows.txt").read_text(encoding="utf-8").startswith("ENTWURF: 1 Fehler")
    told = run("report", path)
    assert told.returncode == 1
    assert "error: words 2: " in told.stdout
