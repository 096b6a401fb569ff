#!/bin/sh
# Sets up all that the program needs, then opens its window on the sample workshop:
#
#     sh packaging/start.sh
#
# With a command it does that one act without a window, and --help names them all:
#
#     sh packaging/start.sh demo
#     sh packaging/start.sh --help
#
# Made for Debian 12 and 13 and Ubuntu 24.04; elsewhere it needs Python 3.11 or newer.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/packaging/setup.sh"

# has_screen: whether a window could be shown. Who names a platform of Qt knows best.
has_screen() {
    [ -n "${DISPLAY-}${WAYLAND_DISPLAY-}${QT_QPA_PLATFORM-}" ] || [ "$(uname -s)" = Darwin ]
}

# no_screen WHY
no_screen() {
    fail "A window needs a screen, and $1.
Start this on the machine's own desktop, or come in by \`ssh -X\`. Without a screen the same work
is done by commands; all is set up for them:

    sh packaging/start.sh demo                           price the sample job, write its quote
    sh packaging/start.sh price sample_db/wheel_loader   price a job's folder
    sh packaging/start.sh --help                         all commands"
}

fits run || alone ready_run

if [ "${1-window}" = window ]; then
    has_screen || no_screen "none is there (neither DISPLAY nor WAYLAND_DISPLAY is set)"
    window_ready
    if [ "$(uname -s)" = Linux ]; then
        why=$("$python" -I "$root/packaging/environment.py" screen 2>&1) || no_screen "$why"
    fi
fi

# -P keeps a folder of the same name in the caller's own folder from being taken for the program.
PYTHONPATH=$root exec "$python" -P -m estimator "$@"
