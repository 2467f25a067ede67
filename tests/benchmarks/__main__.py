"""Every benchmark in one table, held against the one that was kept.

    python3 packaging/environment.py python -m tests.benchmarks [startup] [window] [output] [gaps]

Without names all are run. With `--keep` the table is kept in `kept.json`. Ends with 1 if a ratio
has got worse by more than half; that means something on the machine that `kept.json` names.
"""

import argparse
import sys

from tests.benchmarks import compare, startup

SUITES = ("startup", "window", "output", "gaps")


def main():
    """Measure, print and compare; return the exit code."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("suites", nargs="*", choices=[*SUITES, []], metavar="SUITE")
    parser.add_argument("--keep", action="store_true", help="keep what is measured")
    options = parser.parse_args()
    wanted = options.suites or SUITES
    machine, kept = compare.read_kept()
    print(f"here: {compare.machine()}; kept: {machine or 'nothing yet'}")
    print(f"{'':52}{'ratio':>10}{'kept':>10}")
    found = {}
    for name in wanted:
        for what, ratio in _measured(name).items():
            found[what] = ratio
            before = f"{kept[what]:10.2f}" if what in kept else f"{'-':>10}"
            print(f"{what:52}{ratio:10.2f}{before}", flush=True)
    slower = compare.worse(kept, found)
    for what in slower:
        print(f"worse: {what}: {found[what]:.2f}, kept {kept[what]:.2f}")
    if options.keep:
        compare.keep(found)
    return 1 if slower else 0


def _measured(name):
    if name == "startup":  # in processes of its own
        return startup.measured()
    from PySide6.QtWidgets import QApplication

    from tests.benchmarks import gaps, output, window

    application = QApplication.instance() or QApplication([])
    found = {"window": window, "output": output, "gaps": gaps}[name].measured()
    application.processEvents()
    return found


if __name__ == "__main__":
    sys.exit(main())
