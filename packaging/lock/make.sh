#!/bin/sh
# Remakes the lock files from pyproject.toml. Needs uv on the PATH. Versions stay as they are
# where they still fit; to take newer ones: sh packaging/lock/make.sh --upgrade
set -eu
cd "$(dirname "$0")/../.."

# One version of each package for every system and for Python 3.11 and newer, wheels only (the
# set-up never compiles), and no address of any index.
lock() {
    uv pip compile pyproject.toml --universal --python-version 3.11 --fork-strategy fewest \
        --only-binary :all: --generate-hashes --no-emit-index-url --quiet \
        --custom-compile-command 'sh packaging/lock/make.sh' "$@"
}

# The window belongs to what is run.
lock --extra desktop --output-file packaging/lock/run.txt "$@"
# Built on the first, so that the tests run on what the program runs on.
lock --extra desktop --extra test --constraint packaging/lock/run.txt \
    --output-file packaging/lock/test.txt "$@"
