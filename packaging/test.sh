#!/bin/sh
# Sets up what the program and its tests need, then runs every check:
#
#     sh packaging/test.sh [arguments for pytest]
#
# Stops at the first check that fails. Arguments, such as -k vat, choose among the tests.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/packaging/setup.sh"
cd "$root"

# The same signs, figures and pictures everywhere. More threads would only quarrel over the
# cores, and reorder sums.
export LANG=C.UTF-8 LC_ALL=C.UTF-8 QT_QPA_PLATFORM=offscreen OPENBLAS_NUM_THREADS=1
# What Python has compiled is kept, else every process compiles program and tests anew.
unset PYTHONDONTWRITEBYTECODE

heading() {
    printf '\n=== %s ===\n' "$1"
}

# check HEADING COMMAND...
check() {
    heading "$1"
    title=$1
    shift
    "$@" || fail "=== $title: FAILED ==="
}

# tests HEADING ARGUMENTS...: pytest, whose exit code 5 says that no test was chosen.
tests() {
    heading "$1"
    title=$1
    shift
    outcome=0
    "$python" -m pytest "$@" || outcome=$?
    case $outcome in
        0) chosen=yes ;;
        5) [ -n "$choosy" ] || fail "=== $title: no test was found ===" ;;
        *) fail "=== $title: FAILED ===" ;;
    esac
}

# lacks COMMAND PACKAGE: notes a package to be installed where its command is not there.
lacks() {
    command -v "$1" >/dev/null 2>&1 || packages="$packages $2"
}

heading 'Set-up'
packages=
lacks pdftotext poppler-utils
# The screen of a few tests that open a real window.
[ "$(uname -s)" != Linux ] || lacks Xvfb xvfb
[ -z "$packages" ] || system_ready "${packages# }"
{ fits run && fits test; } || alone ready_test
window_ready

check 'Lint' "$python" -m ruff check .
check 'Format' "$python" -m ruff format --check .
check 'Types' "$python" -m mypy
check 'Import contracts' "$python" -c \
    'import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_logo=True))'
check 'Price catalogue' "$python" -m estimator check-catalogue --strict

choosy=$*
# A path among the arguments says which tests are wanted, so nothing is added to it.
named=
for argument in "$@"; do
    [ ! -e "${argument%%::*}" ] || named=yes
done

chosen=
if [ -n "$named" ]; then
    tests 'Tests' "$@"
else
    # All below the desktop, with Qt hidden, as it must work on a machine without it. A file's
    # tests stay together, for what they share is costly to make; the longest files begin first
    # (tests/conftest.py).
    tests 'Tests without Qt' -p tests.without_qt -p no:pytest-qt -n auto --maxprocesses 4 \
        --dist loadfile --no-loadscope-reorder --ignore=tests/desktop "$@"
    # Each process has a screen of its own that nobody sees, so they don't take each other's keys.
    tests 'Tests of the window' -n auto --maxprocesses 4 \
        --dist loadfile --no-loadscope-reorder tests/desktop "$@"
fi
[ -n "$chosen" ] || fail 'No test fits the arguments.'
