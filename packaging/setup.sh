# Shared by start.sh and test.sh, which set `root` and then source this file.
# Plain POSIX sh: it must run before anything has been installed.
# shellcheck shell=sh

: "${root:?set by the script that sources this file}"
venv=$root/.venv
python=$venv/bin/python

# What Qt asks of a bare Debian or Ubuntu, to draw at all and to open a window. Newer ones call
# one of them libglib2.0-0t64, and say that it stands for this name.
window_packages='libgl1 libegl1 libdbus-1-3 libfontconfig1 libglib2.0-0 libxkbcommon0 libx11-6
libx11-xcb1 libxkbcommon-x11-0 libxcb-cursor0 libxcb-icccm4 libxcb-image0 libxcb-keysyms1
libxcb-randr0 libxcb-render-util0 libxcb-shape0 libxcb-shm0 libxcb-sync1 libxcb-util1
libxcb-xfixes0 libxcb-xkb1 libwayland-client0 libwayland-cursor0'
window_packages=$(printf '%s' "$window_packages" | tr '\n' ' ')

# Settings of the caller that would put packages elsewhere or let other ones in.
unset PYTHONHOME PYTHONPATH PIP_TARGET PIP_PREFIX PIP_NO_BINARY
export PIP_USER=0 PIP_NO_INPUT=1 PIP_DISABLE_PIP_VERSION_CHECK=1

say() {
    printf '%s\n' "$*"
}

fail() {
    printf '\n%s\n' "$*" >&2
    exit 1
}

# retry TIMES COMMAND...: networks fail now and then.
retry() {
    tries=$1
    shift
    try=1
    until "$@"; do
        if [ "$try" -ge "$tries" ]; then
            return 1
        fi
        say "That failed (try $try of $tries); trying again in $((try * 4)) seconds."
        sleep "$((try * 4))"
        try=$((try + 1))
    done
}

# suits INTERPRETER NEWEST: a 64-bit Python from 3.11 up to 3.NEWEST that can make environments.
suits() {
    "$1" -I -c "import sys, venv, ensurepip
sys.exit(not ((3, 11) <= sys.version_info[:2] <= (3, $2) and sys.maxsize > 2**32))" \
        >/dev/null 2>&1 </dev/null
}

# find_python: sets `base_python`. Real interpreters come before version-switching shims, and
# versions that the lock file is tested on before newer ones.
find_python() {
    base_python=
    for newest in 13 99; do
        for kind in real shim; do
            rest=$PATH:
            while [ -n "$rest" ]; do
                place=${rest%%:*}
                rest=${rest#*:}
                case $place in
                    */shims) [ "$kind" = shim ] || continue ;;
                    *) [ "$kind" = real ] || continue ;;
                esac
                for name in python3 python3.13 python3.12 python3.11 python3.14; do
                    base_python=${place:-.}/$name
                    if [ -x "$base_python" ] && suits "$base_python" "$newest"; then
                        return 0
                    fi
                done
            done
        done
    done
    base_python=
    return 1
}

apt_get() {
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq -o Acquire::Retries=3 \
        -o DPkg::Lock::Timeout=300 -o Dpkg::Use-Pty=0 "$@" >/dev/null
}

# The lists are fetched before each try: an old list names packages that are gone. A list that
# cannot be had is no reason to stop, as another may serve.
update_and_install() {
    apt_get update || say "Not every package list could be fetched; going on with what there is."
    # shellcheck disable=SC2086 # one word for each package
    apt_get install --yes --no-install-recommends $1
}

# may_become_root PACKAGES: asks for the password once, and only where somebody can type it.
may_become_root() {
    command -v sudo >/dev/null 2>&1 || return 1
    sudo -n true 2>/dev/null && return 0
    [ -t 0 ] || return 1
    say "System packages are to be installed, which may ask for your password: $1"
    sudo true
}

# install_system PACKAGES: installs system packages, or says how and stops.
install_system() {
    by_hand="apt-get update && apt-get install --yes --no-install-recommends $1"
    if ! command -v apt-get >/dev/null 2>&1; then
        fail "These are missing, and there is no apt-get here to install them: $1
(named as on Debian). Install them by this system's own means, then run this again.
Python must be 3.11 or newer, 64-bit, with its venv and ensurepip modules."
    fi
    if [ "$(id -u)" = 0 ]; then
        as_root=
    elif may_become_root "$1"; then
        as_root=sudo
    else
        fail "These system packages are missing, and only an administrator may install them: $1
Ask for this line to be run, then run this again:

    sudo sh -c '$by_hand'"
    fi
    say "Installing system packages: $1"
    retry 5 update_and_install "$1" || fail "These system packages could not be installed: $1
The messages above say why. Once mended, run this again, or install them by hand:

    ${as_root:+sudo }sh -c '$by_hand'"
}

# system_ready PACKAGES: a Python to build on, certificates for fetching, and the packages named.
system_ready() {
    missing=$1
    if command -v apt-get >/dev/null 2>&1 && [ ! -s /etc/ssl/certs/ca-certificates.crt ]; then
        missing="ca-certificates $missing"
    fi
    find_python || missing="python3 python3-venv $missing"
    if [ -n "${missing% }" ]; then
        install_system "${missing% }"
        find_python || fail "This system's own Python cannot be used: $(python3 --version 2>&1).
Install a 64-bit Python 3.11 or newer with its venv and ensurepip modules, put it on the PATH,
then run this again."
    fi
}

# fits NAME: whether the environment holds what the lock file asks for; `reason` says why not.
fits() {
    reason='it does not start'
    [ -x "$python" ] || return 1
    reason=$("$python" -I "$root/packaging/environment.py" check "$1" 2>/dev/null) && return 0
    reason=${reason:-it does not start}
    return 1
}

make_environment() {
    if [ -e "$venv" ] || [ -L "$venv" ]; then
        say "The environment in .venv is of no more use ($reason); making it anew."
        rm -rf "$venv" || fail "$venv could not be removed. It may be another user's: have it removed, then run this again."
    fi
    say "Making a private environment in .venv with $("$base_python" --version 2>&1)."
    "$base_python" -m venv "$venv" || fail "No environment could be made in $venv.
The messages above say why: is the folder writable, and the disk not full?"
}

# install NAME: puts what a lock file names into the environment, and stamps it as the last act.
install() {
    say "Fetching and installing $(grep -c '==' "$root/packaging/lock/$1.txt") packages$2."
    retry 4 "$python" -m pip install --quiet --require-hashes --only-binary :all: \
        --requirement "$root/packaging/lock/$1.txt" ||
        fail "The packages in packaging/lock/$1.txt could not be installed.
The messages above say why: is the network there, and the disk not full? Then run this again."
    "$python" -I "$root/packaging/environment.py" stamp "$1" ||
        fail "The environment in .venv is not as packaging/lock/$1.txt asks. Run this again."
}

rebuild() {
    system_ready ''
    make_environment
    install run ' (some 160 MB)'
}

ready_run() {
    fits run || rebuild
}

ready_test() {
    ready_run
    fits test && return 0
    # Packages that the tests need no more would linger.
    [ ! -e "$venv/stamp-test.json" ] || rebuild
    install test ' (some 100 MB more)'
}

window_loads() {
    reason=$("$python" -I "$root/packaging/environment.py" libraries 2>&1)
}

# window_ready: the libraries that a window needs of the system. Other systems have their own.
window_ready() {
    if [ "$(uname -s)" != Linux ] || window_loads; then
        return 0
    fi
    say "The window needs libraries that this system lacks ($reason)."
    install_system "$window_packages"
    window_loads || fail "The window still cannot be opened: $reason"
}

# alone COMMAND...: keeps two set-ups in one folder apart. The system drops the lock when the
# descriptor closes, so none is left behind; where there is no flock, both just go on.
alone() {
    exec 9<"$root/packaging/lock/run.txt"
    if command -v flock >/dev/null 2>&1 && ! flock -n 9 2>/dev/null; then
        say "Waiting for another set-up in this folder to end."
        flock 9 2>/dev/null || true
    fi
    "$@"
    exec 9<&-
}
