"""Starts Dipslope: the window, or a report or an export without one."""

import argparse
import gc
import os
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from core import __version__


def main(arguments: list[str] | None = None) -> int:
    """Run the program and return its exit code."""
    words = sys.argv[1:] if arguments is None else arguments
    if words and words[0] in ("report", "export"):
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        return _run_headless(words)
    options = _window_parser().parse_args(words)
    if options.self_test and not _has_screen():
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    gc.disable()  # nothing is garbage while modules are loaded; `app.collecting` takes over
    from app.starting import start_window  # Qt is loaded only for the window

    return start_window(options.design, recover=options.recover, self_test=options.self_test)


def _has_screen() -> bool:
    return any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def _run_headless(words: list[str]) -> int:
    from app import headless  # half of what it loads a window doesn't need at its start

    parser = argparse.ArgumentParser(prog="dipslope")
    commands = parser.add_subparsers(required=True)
    report = commands.add_parser("report", help="counts, measures, yarn and findings")
    report.add_argument("design", type=Path)
    report.add_argument("--json", action="store_true", help="one JSON object")
    report.set_defaults(run=headless.report)
    export = commands.add_parser(
        "export", help="chart, fabric picture, written rows, booklets, sheets on paper"
    )
    export.add_argument("design", type=Path)
    export.add_argument("--to", type=Path, required=True, metavar="DIR", help="folder")
    export.add_argument("--only", metavar="NAME,NAME", help="some of the exports")
    export.add_argument("--terms", choices=("US", "UK"), help="terms, if not the design's own")
    export.add_argument("--language", choices=headless.LANGUAGES, default="en", help="of the words")
    export.add_argument("--spelled", action="store_true", help="words without abbreviations")
    export.add_argument("--size", default="own", metavar="own|all|NAME", help="of the words")
    booklet = export.add_argument_group("booklets and sheets on paper")
    booklet.add_argument("--page", choices=("a4", "letter"), help="the paper")
    booklet.add_argument("--hand", choices=("right", "left"), help="the working hand")
    booklet.add_argument("--repeats", type=int, metavar="N", help="another width")
    booklet.add_argument("--rows", type=int, metavar="N", help="another length")
    export.set_defaults(run=partial(_export, headless.export))
    options = parser.parse_args(words)
    code: int = options.run(options)
    return code


def _export(write: Callable[[argparse.Namespace], int], options: argparse.Namespace) -> int:
    from PySide6.QtGui import QGuiApplication

    application = QGuiApplication.instance() or QGuiApplication(["dipslope"])
    code = write(options)
    del application
    return code


def _window_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="dipslope",
        description="Designs wavy striped crochet blankets. "
        "'report DESIGN' and 'export DESIGN --to DIR' work without a window.",
    )
    parser.add_argument("design", type=Path, nargs="?", help="a design file to open")
    parser.add_argument("--version", action="version", version=f"Dipslope {__version__}")
    parser.add_argument("--recover", metavar="NAME", help=argparse.SUPPRESS)
    parser.add_argument("--self-test", action="store_true", help="open, paint once and end")
    return parser


if __name__ == "__main__":
    sys.exit(main())
