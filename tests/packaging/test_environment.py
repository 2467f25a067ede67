"""The isolated environment: when it is made, where it lies, what is said when it can't be."""

import ast
import subprocess
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

WANTED = ["drawing>=6", "counting>=2"]
MADE_FROM = (WANTED, "3.11.7", "Linux x86_64 cpython", "/home/a/dipslope/.venv/run-py311")


class Setup:
    """A checkout in a temporary folder, and what setting it up ran instead of venv and pip."""

    def __init__(self, environment, checkout: Path) -> None:
        self.environment = environment
        self.checkout = checkout
        self.fails = {}  # venv or pip -> what it prints before it fails
        self.interrupted = False
        self.ran = []
        self.want(*WANTED)

    def want(self, *packages: str) -> None:
        listed = ", ".join(f'"{package}"' for package in packages)
        text = f'[project]\ndependencies = [{listed}]\noptional-dependencies.test = ["trying"]\n'
        (self.checkout / "pyproject.toml").write_text(text)

    def start(self, purpose: str = "run") -> Path:
        self.ran.clear()
        return self.environment.ready_python(purpose)

    def run(self, command: list[str]) -> subprocess.CompletedProcess[str]:
        program = command[3]
        self.ran.append(program)
        if program in self.fails:
            return subprocess.CompletedProcess(command, 1, "", self.fails[program])
        if program == "venv":
            python = self.environment.python_in(Path(command[-1]))
            python.parent.mkdir(parents=True)
            python.touch()
        elif self.interrupted:
            raise KeyboardInterrupt
        return subprocess.CompletedProcess(command, 0, "", "")


@pytest.fixture
def setup(environment, tmp_path, monkeypatch) -> Setup:
    checkout = tmp_path / "checkout"
    checkout.mkdir()
    setup = Setup(environment, checkout)
    monkeypatch.setattr(environment, "ROOT", checkout)
    monkeypatch.setattr(environment, "NEEDED_MB", {"run": 0, "test": 0})
    monkeypatch.setattr(environment, "_run", setup.run)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "cache"))
    return setup


def test_the_first_start_sets_up_and_the_second_reuses(setup):
    first = setup.start()
    assert setup.ran == ["venv", "pip"]
    assert first.is_relative_to(setup.checkout / ".venv")
    assert setup.start() == first
    assert setup.ran == []


def test_running_and_testing_have_an_environment_each(setup):
    assert setup.start("run") != setup.start("test")


def test_a_changed_list_of_packages_installs_anew(setup):
    setup.start()
    setup.want("drawing>=7")
    setup.start()
    assert setup.ran == ["venv", "pip"]


def test_an_interrupted_set_up_is_repaired_by_the_next_start(setup):
    setup.interrupted = True
    with pytest.raises(KeyboardInterrupt):
        setup.start()
    setup.interrupted = False
    setup.start()
    assert setup.ran == ["venv", "pip"]
    setup.start()
    assert setup.ran == []


def test_an_environment_whose_python_is_gone_is_made_anew(setup):
    setup.start().unlink()
    setup.start()
    assert setup.ran == ["venv", "pip"]


def test_a_failed_installation_leaves_nothing_and_gives_the_reason(setup, environment):
    setup.fails["pip"] = "ERROR: No matching distribution found for drawing>=6\n"
    with pytest.raises(environment.SetupError, match="No matching distribution found for drawing"):
        setup.start()
    assert not list((setup.checkout / ".venv").glob("run-*/"))


def test_a_checkout_that_cannot_be_written_uses_the_users_cache(setup, tmp_path):
    (setup.checkout / ".venv").touch()  # a file where the folder should be
    assert setup.start().is_relative_to(tmp_path / "cache")
    setup.start()
    assert setup.ran == []


def test_no_writable_folder_at_all_is_said(setup, environment, tmp_path):
    (setup.checkout / ".venv").touch()
    (tmp_path / "cache").touch()
    with pytest.raises(environment.SetupError, match="make one of them writable"):
        setup.start()


def test_a_disk_too_small_is_said_before_anything_is_installed(setup, environment, monkeypatch):
    monkeypatch.setattr(environment, "NEEDED_MB", {"run": 10**9})
    with pytest.raises(environment.SetupError, match="MB are free: make room"):
        setup.start()
    assert setup.ran == []


def test_a_python_without_ensurepip_names_the_package_to_install(setup, environment, monkeypatch):
    monkeypatch.setattr(environment.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(environment.SetupError, match="sudo apt install python3-venv"):
        setup.start()


def test_the_same_making_gives_the_same_stamp(environment):
    assert environment.stamp(*MADE_FROM) == environment.stamp(*MADE_FROM)


@pytest.mark.parametrize(
    ("part", "other"),
    [(0, ["drawing>=7", "counting>=2"]), (1, "3.11.8"), (2, "Darwin arm64 cpython"), (3, "/b")],
)
def test_the_stamp_changes_with_everything_it_is_made_from(environment, part, other):
    changed = [*MADE_FROM[:part], other, *MADE_FROM[part + 1 :]]
    assert environment.stamp(*changed) != environment.stamp(*MADE_FROM)


def test_testing_needs_what_running_needs_and_more(environment, scripts):
    pyproject = scripts.parent / "pyproject.toml"
    to_run = environment.requirements(pyproject, "run")
    to_test = environment.requirements(pyproject, "test")
    assert to_test[: len(to_run)] == to_run
    assert any(package.startswith("pytest") for package in to_test[len(to_run) :])


def test_on_windows_the_python_lies_under_scripts(environment):
    folder = PureWindowsPath(r"C:\Users\a\dipslope\.venv\run-py312")
    python = environment.python_in(folder, windows=True)
    assert str(python) == r"C:\Users\a\dipslope\.venv\run-py312\Scripts\python.exe"


def test_elsewhere_the_python_lies_under_bin(environment):
    python = environment.python_in(PurePosixPath("/a/run-py312"), windows=False)
    assert str(python) == "/a/run-py312/bin/python"


@pytest.mark.parametrize(
    ("system", "environ", "folder"),
    [
        ("linux", {}, "/home/a/.cache"),
        ("linux", {"XDG_CACHE_HOME": "/big/cache"}, "/big/cache"),
        ("linux", {"XDG_CACHE_HOME": "not/absolute"}, "/home/a/.cache"),
        ("darwin", {"XDG_CACHE_HOME": "/big/cache"}, "/home/a/Library/Caches"),
        ("win32", {"LOCALAPPDATA": r"D:\Local"}, r"D:\Local"),
        ("win32", {}, r"\home\a\AppData\Local"),
    ],
)
def test_each_system_has_its_own_place_for_caches(environment, system, environ, folder):
    assert str(environment.user_cache_folder(system, environ, "/home/a")) == folder


def test_another_python_is_kept_out_but_the_users_package_source_is_kept(environment):
    disturbing = {"PYTHONPATH": "/x", "PYTHONHOME": "/x", "VIRTUAL_ENV": "/x", "PIP_TARGET": "/x"}
    kept = {"PIP_INDEX_URL": "https://packages.invalid", "PATH": "/usr/bin", "LANG": "C"}
    assert environment.clean_environ({**disturbing, **kept}) == kept


def test_a_python_too_old_is_told_in_one_sentence(sentences):
    text = sentences.too_old_python((3, 8, 18), "/usr/bin/python3")
    assert text == (
        "Dipslope needs Python 3.11 or newer, but /usr/bin/python3 is 3.8.18: "
        "install Python 3.11 or newer."
    )


def test_a_newer_python_on_the_machine_is_named(sentences):
    text = sentences.too_old_python((3, 8, 18), "python3", "python3.12")
    assert text.endswith("start it with python3.12 instead of python3.")


@pytest.mark.parametrize("name", ["run", "test", "environment", "system_libraries", "sentences"])
def test_an_old_python_can_read_the_scripts(scripts, name):
    text = (scripts / f"{name}.py").read_text(encoding="utf-8")
    ast.parse(text, feature_version=(3, 8))


def test_without_a_network_the_connection_is_named(sentences):
    text = sentences.pip_failed(
        "WARNING: Retrying (Retry(total=0, connect=None)) after connection broken by "
        "'NewConnectionError(...)'\n"
        "ERROR: Could not find a version that satisfies the requirement numpy>=2.0\n"
        "ERROR: No matching distribution found for numpy>=2.0\n",
        "/usr/bin/python3",
        "/a",
        400,
    )
    assert "pip says: No matching distribution found for numpy>=2.0)" in text
    assert "check the network connection" in text


def test_a_full_disk_is_named(sentences):
    output = (
        "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device"
    )
    text = sentences.pip_failed(output, "python3", "/a", 400)
    assert text.startswith("Dipslope's environment needs about 400 MB in /a, but the disk is full")


def test_a_venv_that_lacks_ensurepip_names_the_package(sentences):
    output = "The virtual environment was not created because ensurepip is not available.\n"
    assert "python3.12-venv" in sentences.venv_failed(output, (3, 12, 1), "python3.12", "/a")


@pytest.mark.parametrize(
    ("output", "line"),
    [
        ("ERROR: first\nERROR: No match for x\n\n[notice] A new release of pip", "No match for x"),
        (
            "error: metadata-generation-failed\n\nnote: Not our issue.\nhint: x",
            "metadata-generation-failed",
        ),
        ("Traceback:\nModuleNotFoundError: No module named '_ssl'\n", "ModuleNotFoundError: No "),
        ("", "nothing"),
    ],
)
def test_the_last_line_with_a_reason_is_found(sentences, output, line):
    assert sentences.last_meaningful_line(output).startswith(line)
