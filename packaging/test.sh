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
    if [ "$outcome" = 5 ] && [ -n "$choosy" ]; then
        return 0
    fi
    [ "$outcome" = 0 ] || fail "=== $title: FAILED ==="
}

heading 'Set-up'
command -v pdftotext >/dev/null 2>&1 || system_ready poppler-utils
{ fits run && fits test; } || alone ready_test

check 'Lint' "$python" -m ruff check .
check 'Format' "$python" -m ruff format --check .
check 'Types' "$python" -m mypy
check 'Import contracts' "$python" -c \
    'import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_logo=True))'
check 'Price catalogue' "$python" -m estimator check-catalogue

choosy=
tests 'Tests' "$@"

# Once more with Qt hidden, for what must work on a machine without it. A path among the
# arguments says which tests are wanted, so nothing is added to it.
choosy=$*
rooms=
for room in tests/unit tests/acts; do
    [ ! -d "$room" ] || rooms="$rooms $room"
done
for argument in "$@"; do
    [ ! -e "${argument%%::*}" ] || rooms=
done
# shellcheck disable=SC2086 # one word for each folder
[ -z "$rooms" ] || tests 'Tests without Qt' -p tests.without_qt $rooms "$@"
