#!/bin/sh
# Sets up all that the program needs, then runs the demonstration job:
#
#     sh packaging/start.sh [arguments for the demonstration]
#
# Made for Debian 12 and 13 and Ubuntu 24.04; elsewhere it needs Python 3.11 or newer.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/packaging/setup.sh"

fits run || alone ready_run

# -P keeps a folder of the same name in the caller's own folder from being taken for the program.
PYTHONPATH=$root exec "$python" -P -m estimator demo "$@"
