#!/bin/sh
# A night's search: a million cases of our own, with another seed every day, and, where atheris can
# be imported, a guided search after it. Run from the checkout, in the test environment.
set -e
: "${PYTHON:=python3}"
: "${CASES:=1000000}"
day=$(date +%j)
"$PYTHON" tests/fuzz/run.py --cases "$CASES" --seed "$day"
if "$PYTHON" -c "import atheris" 2>/dev/null; then
    "$PYTHON" tests/fuzz/run.py --atheris --cases "$((CASES / 4))" --seed "$day"
fi
