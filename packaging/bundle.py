"""Build the program to install: `python3 packaging/bundle.py [--to FOLDER]`.

Makes a frozen folder that needs no Python, then of it a portable archive and, where dpkg-deb is
found, a Debian package. On Windows and macOS it stops after the folder; there it has not been
tried. The same commit gives the same archive, file for file.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
import time
from pathlib import Path

import environment
from environment import ROOT, say
from sentences import SetupError

ID = "org.dipslope.Dipslope"
LINUX = ROOT / "packaging" / "linux"
ICON_SIZES = (16, 24, 32, 48, 64, 128, 256, 512)
DEPENDS = (
    "libc6 (>= 2.36), libgl1, libegl1, fontconfig-config, fonts-dejavu-core | fonts-liberation"
)

_CONTROL = """\
Package: dipslope
Version: {version}
Architecture: {architecture}
Maintainer: The Dipslope founders <packages@dipslope.invalid>
Installed-Size: {size_kb}
Depends: {depends}
Section: graphics
Priority: optional
Description: chart designer for wavy striped crochet blankets
 Shape a ripple with the mouse and see how the fabric leans; know the multiple,
 the foundation chain and every row's count; settle the stripe order on the
 true shape before buying yarn; export chart, picture and written rows.
"""


def main(arguments: list[str]) -> int:
    """Build everything and return the exit code."""
    parser = argparse.ArgumentParser(prog="bundle.py", description=__doc__)
    parser.add_argument("--to", type=Path, default=ROOT / "dist", metavar="FOLDER")
    parser.add_argument("--quick", action="store_true", help="pack loosely: for trying it out")
    options = parser.parse_args(arguments)
    try:
        for path in build(options.to.absolute(), level=0 if options.quick else 6):
            say(f"{path} ({_size_mb(path):.0f} MB)")
    except SetupError as error:
        say(str(error))
        return 1
    return 0


def build(folder: Path, *, level: int) -> list[Path]:
    """Build into `folder` and return what was made: the frozen folder, archive, package.

    `level` says how hard to pack, 0 to 9.

    Raises:
        SetupError: A tool or a library is missing, or freezing failed.
    """
    python = environment.ready_python("bundle")
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="dipslope-bundle-") as temporary:
        work = Path(temporary)
        _run_ours(python, "icons", work / "icons", *map(str, ICON_SIZES))
        _run_ours(python, "licences", work / "licences")
        frozen = freeze(python, work, folder)
        made = [frozen]
        if sys.platform == "linux":
            made.append(pack(frozen, folder, level))
            if shutil.which("dpkg-deb"):
                made.append(debian_package(frozen, work, folder, level))
            else:
                say("No Debian package was made: dpkg-deb is missing (`sudo apt install dpkg`).")
    return made


def version() -> str:
    """Return the program's version; `core/__init__.py` is the only place that states it."""
    text = (ROOT / "core" / "__init__.py").read_text(encoding="utf-8")
    found = re.search(r'^__version__ = "([^"]+)"$', text, re.MULTILINE)
    if found is None:
        raise SetupError("core/__init__.py doesn't state the version.")
    return found[1]


def epoch() -> int:
    """Return the time that files are given: the commit's, so that a build can be repeated."""
    if "SOURCE_DATE_EPOCH" in os.environ:
        return int(os.environ["SOURCE_DATE_EPOCH"])
    command = ["git", "-C", str(ROOT), "log", "-1", "--format=%ct"]
    try:
        done = subprocess.run(command, capture_output=True, text=True)
    except OSError:
        return 0
    return int(done.stdout) if done.returncode == 0 else 0


def freeze(python: Path, work: Path, folder: Path) -> Path:
    """Return the frozen folder; one that was there before is replaced."""
    frozen = folder / "dipslope"
    shutil.rmtree(frozen, ignore_errors=True)
    environ = {
        **environment.clean_environ(os.environ),
        "DIPSLOPE_ROOT": str(ROOT),
        "DIPSLOPE_ICONS": str(work / "icons"),
        "DIPSLOPE_LICENCES": str(work / "licences"),
        "DIPSLOPE_VERSION": version(),
        "PYTHONHASHSEED": "0",
        "SOURCE_DATE_EPOCH": str(epoch()),
    }
    spec = ROOT / "packaging" / "bundle" / "dipslope.spec"
    command = [str(python), "-m", "PyInstaller", "--noconfirm", "--log-level", "WARN"]
    command += ["--distpath", str(folder), "--workpath", str(work / "build"), str(spec)]
    done = subprocess.run(command, env=environ, capture_output=True, text=True, cwd=work)
    log = done.stdout + done.stderr
    if done.returncode:
        raise SetupError(f"Freezing failed: {_last_line(log)}")
    missing = missing_libraries(log)
    if missing:
        raise SetupError(
            f"The bundle would lack {', '.join(missing)}: install what .ci/run lists and try again."
        )
    _strip(frozen)
    return frozen


def missing_libraries(log: str) -> list[str]:
    """Return the libraries for a window that freezing didn't find, from what it printed.

    Some that Qt's plugins name are only there on some desktops; without those it works too.
    """
    names = sorted(set(re.findall(r"Library not found: could not resolve '([^']+)'", log)))
    return [name for name in names if name.startswith(("libxcb", "libxkbcommon"))]


def pack(frozen: Path, folder: Path, level: int) -> Path:
    """Return the portable archive of the frozen folder."""
    name = f"dipslope-{version()}-{_machine()}"
    path = folder / f"{name}.tar.xz"
    xz = shutil.which("xz")
    plain = path.with_suffix("")
    with tarfile.open(plain, "w", format=tarfile.GNU_FORMAT) as archive:
        for file in sorted(frozen.rglob("*")):
            inside = f"{name}/{file.relative_to(frozen).as_posix()}"
            archive.add(file, inside, recursive=False, filter=_plain_entry)
    if xz is None:
        raise SetupError(
            "The archive can't be packed: xz is missing (`sudo apt install xz-utils`)."
        )
    subprocess.run([xz, "-T2", f"-{level}", "-f", str(plain)], check=True)
    return path


def _plain_entry(entry: tarfile.TarInfo) -> tarfile.TarInfo:
    """Return the entry with nothing of the machine it was made on."""
    entry.mtime, entry.uid, entry.gid, entry.uname, entry.gname = epoch(), 0, 0, "", ""
    entry.mode = 0o755 if entry.isdir() or entry.mode & 0o100 else 0o644
    return entry


def debian_package(frozen: Path, work: Path, folder: Path, level: int) -> Path:
    """Return the Debian package of the frozen folder."""
    tree = work / "deb"
    usr, share = tree / "usr", tree / "usr" / "share"
    shutil.copytree(frozen, usr / "lib" / "dipslope", symlinks=True)
    (usr / "bin").mkdir()
    (usr / "bin" / "dipslope").symlink_to("../lib/dipslope/dipslope")
    _install(LINUX / f"{ID}.desktop", share / "applications")
    _install(LINUX / f"{ID}.xml", share / "mime" / "packages")
    metainfo = (LINUX / f"{ID}.metainfo.xml").read_text(encoding="utf-8")
    date = time.strftime("%Y-%m-%d", time.gmtime(epoch()))
    metainfo = metainfo.replace("@VERSION@", version()).replace("@DATE@", date)
    _write(share / "metainfo" / f"{ID}.metainfo.xml", metainfo)
    icons = share / "icons" / "hicolor"
    for size in ICON_SIZES:
        _install(work / "icons" / f"{size}.png", icons / f"{size}x{size}" / "apps", f"{ID}.png")
    _install(ROOT / "assets" / "icons" / "dipslope.svg", icons / "scalable" / "apps", f"{ID}.svg")
    texts = sorted((work / "licences").glob("*.txt"))
    _write(share / "doc" / "dipslope" / "copyright", _joined(texts))
    size_kb = sum(file.lstat().st_size for file in tree.rglob("*") if file.is_file()) // 1024
    fields = {"version": version(), "architecture": _debian_machine(), "size_kb": size_kb}
    _write(tree / "DEBIAN" / "control", _CONTROL.format(**fields, depends=DEPENDS))
    for path in tree.rglob("*"):
        if not path.is_symlink():
            path.chmod(0o755 if path.is_dir() or path.stat().st_mode & 0o100 else 0o644)
            os.utime(path, (epoch(), epoch()))
    path = folder / f"dipslope_{version()}_{_debian_machine()}.deb"
    command = ["dpkg-deb", "--root-owner-group", "-Zxz", f"-z{level}"]
    command += ["--build", str(tree), str(path)]
    environ = {**os.environ, "SOURCE_DATE_EPOCH": str(epoch())}
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environ)
    return path


def _run_ours(python: Path, name: str, folder: Path, *arguments: str) -> None:
    """Run one of the scripts in `packaging/bundle` with what it makes going into a folder."""
    folder.mkdir()
    script = ROOT / "packaging" / "bundle" / f"{name}.py"
    environ = {
        **environment.clean_environ(os.environ),
        "QT_QPA_PLATFORM": "offscreen",
        "PYTHONPATH": str(ROOT),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    command = [str(python), str(script), str(folder), *arguments]
    done = subprocess.run(command, env=environ, capture_output=True, text=True)
    if done.returncode:
        raise SetupError(f"{name} failed: {_last_line(done.stderr)}")


def _strip(frozen: Path) -> None:
    """Take the debugging symbols out of Python itself; in other libraries that breaks things."""
    strip = shutil.which("strip")
    if strip is None or sys.platform != "linux":
        return
    inside = frozen / "_internal"
    for file in (*inside.glob("libpython*"), *inside.glob("lib-dynload/*.so")):
        subprocess.run([strip, "--strip-unneeded", str(file)], check=False)


def _install(file: Path, folder: Path, name: str | None = None) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(file, folder / (name or file.name))


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def _joined(files: list[Path]) -> str:
    parts = [f"== {file.stem} ==\n\n{file.read_text(encoding='utf-8')}" for file in files]
    return "\n\n".join(parts)


def _machine() -> str:
    import platform

    return f"{platform.system().lower()}-{platform.machine()}"


def _debian_machine() -> str:
    command = ["dpkg-deb", "--version"]
    if shutil.which("dpkg"):
        command = ["dpkg", "--print-architecture"]
    return subprocess.run(command, capture_output=True, text=True).stdout.strip()


def _last_line(text: str) -> str:
    lines = [line for line in text.splitlines() if line.strip()]
    return lines[-1].strip() if lines else "it said nothing"


def _size_mb(path: Path) -> float:
    files = [path] if path.is_file() else [file for file in path.rglob("*") if file.is_file()]
    return sum(file.lstat().st_size for file in files) / 1e6


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
