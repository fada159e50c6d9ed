# Sourced by the doors beside it, from the root of the tree: Python, the virtual environment, its locked
# packages, native libraries. Nothing here touches the network when all is there already.
# shellcheck shell=sh

unset PYTHONDONTWRITEBYTECODE # without compiled files every start is seconds slower

new_enough='import sys; sys.exit(sys.version_info < (3, 11))'
child=

say() { printf '%s\n' "$*" >&2; }

fail() {
    say "Scribeline: $*"
    exit 1
}

# A program that takes its time runs beside the shell, so that stopping us stops it at once.
step() {
    "$@" &
    child=$!
    wait "$child"
}

trap 'trap - INT TERM HUP; [ -z "$child" ] || kill "$child" 2>/dev/null; exit 130' INT TERM HUP

# apt_or_say WHAT PACKAGE...: install Debian's packages where we may, else give the line that does it.
apt_or_say() {
    what=$1
    shift
    if ! command -v apt-get >/dev/null 2>&1; then
        fail "$what missing; on Debian or Ubuntu: sudo apt-get install $*"
    elif [ "$(id -u)" -ne 0 ]; then
        fail "$what missing; run this once, then start again: sudo apt-get install $*"
    fi
    say "Installing $* ..."
    apt_install "$@" 2>/dev/null && return
    step apt-get update -qq || :
    apt_install "$@" || fail "$what missing, and this failed: apt-get install $*"
}

apt_install() {
    step env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
        -o Dpkg::Use-Pty=0 -o DPkg::Lock::Timeout=120 "$@" >/dev/null
}

find_python() {
    for python in .venv/bin/python python3 python3.13 python3.12 python3.11 python3.14; do
        if "$python" -c "$new_enough" >/dev/null 2>&1; then
            return
        fi
    done
    return 1
}

need_python() {
    find_python && return
    apt_or_say "Python 3.11 or newer is" python3 python3-venv
    find_python || fail "Python 3.11 or newer is missing, and this system has none to install"
}

# need_packages NAME...: the virtual environment holds requirements/NAME.txt, and maybe more. A stamp tells
# which lock was installed last; the lock of the developers holds that of the runtime.
need_packages() {
    lock=requirements/$1.txt
    sum=$(cksum <"$lock")
    stamp=.venv/installed-$1
    if [ "$python" != .venv/bin/python ]; then
        say "Making the virtual environment .venv ..."
        "$python" -m venv --clear --without-pip .venv
        python=.venv/bin/python
    fi
    if [ "$(cat "$stamp" 2>/dev/null)" = "$sum" ]; then
        return
    fi
    say "Installing $lock ..."
    install_by_uv || install_by_pip || fail "$lock could not be installed; the reason is above"
    for name in "$@"; do
        cksum <"requirements/$name.txt" >".venv/installed-$name"
    done
}

install_by_uv() {
    command -v uv >/dev/null 2>&1 && step uv pip install --quiet --python "$python" --require-hashes -r "$lock"
}

install_by_pip() {
    if ! "$python" -m pip --version >/dev/null 2>&1 && ! step "$python" -m ensurepip >/dev/null 2>&1; then
        version=$("$python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
        apt_or_say "Python's ensurepip is" "python$version-venv"
        step "$python" -m ensurepip >/dev/null
    fi
    step "$python" -m pip install --quiet --no-compile --disable-pip-version-check --require-hashes -r "$lock"
}

# WeasyPrint draws text with Pango, which is no Python package.
need_libraries() {
    "$python" -c '
import ctypes, sys
if sys.platform == "linux":
    for name in ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"):
        ctypes.CDLL(name)
else:
    import weasyprint
' >/dev/null 2>&1 && return
    if [ "$(uname)" = Darwin ]; then
        fail "Pango is missing; run this once, then start again: brew install pango"
    fi
    apt_or_say "Pango is" libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0
}

# The browser's tests drive Debian's Chromium, preferably without the window that nobody looks at, which
# costs a quarter more, through a program that needs a library of its own.
need_chromium() {
    [ -x /usr/bin/chromium-headless-shell ] || [ -x /usr/bin/chromium ] ||
        apt_or_say "Chromium is" chromium-headless-shell
    .venv/bin/playwright --version >/dev/null 2>&1 || apt_or_say "A library of Playwright's is" libatomic1
}

# Where the developers' packages bring no Redis server (their wheel is for some Pythons only), Debian's.
need_redis() {
    if [ -x .venv/bin/redis-server ] || command -v redis-server >/dev/null 2>&1; then
        return
    fi
    apt_or_say "A Redis server is" redis-server
}
