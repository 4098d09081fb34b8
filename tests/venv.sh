# Sourced by simulator/demo.sh, tests/run.sh and .ci/run from the checkout's root: makes .venv with our extras.
#   extras=desk; . tests/venv.sh
# With INLANE_NO_SYSTEM_PACKAGES set, nothing is installed outside .venv.

inlane_python() {
    for name in python3.13 python3.12 python3.11 python3; do
        if command -v "$name" >/dev/null 2>&1 &&
            "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            command -v "$name"
            return 0
        fi
    done
    return 1
}

# Install Debian packages: with apt-get, as root or by a sudo that asks no password. 1 when that cannot be.
inlane_packages() {
    [ -z "${INLANE_NO_SYSTEM_PACKAGES:-}" ] || return 1
    command -v apt-get >/dev/null 2>&1 || return 1
    as=""
    if [ "$(id -u)" != 0 ]; then
        sudo -n true >/dev/null 2>&1 || return 1
        as="sudo -n"
    fi
    $as apt-get update -qq >/dev/null && DEBIAN_FRONTEND=noninteractive $as apt-get install -y -qq "$@" >/dev/null
}

# inlane_optional PACKAGE COMMAND PURPOSE: install a package for a command that is missing; never fails.
inlane_optional() {
    ! command -v "$2" >/dev/null 2>&1 || return 0
    echo "installing the system package $1, for $3 ..."
    inlane_packages "$1" || echo "SKIPPED $1: it needs apt-get and root; tests for $3 are skipped"
}

inlane_venv() {
    python=$(inlane_python) || {
        echo "Inlane needs Python 3.11 or newer; none was found on the PATH." >&2
        exit 2
    }
    if ! .venv/bin/python -c 'import pip' 2>/dev/null; then
        inlane_make_venv
    fi
    echo "installing Inlane [$1] and the Python packages that it needs into .venv ..."
    .venv/bin/python -m pip install --quiet --disable-pip-version-check -e ".[$1]" || exit 2
    PATH=$PWD/.venv/bin:$PATH
    export PATH
}

# Debian and Ubuntu leave ensurepip out of their python3: use the system's pip for .venv, or install the package.
inlane_make_venv() {
    rm -rf .venv
    ! "$python" -m venv .venv >/dev/null 2>&1 || return 0
    rm -rf .venv
    if "$python" -m venv --without-pip .venv >/dev/null 2>&1 &&
        "$python" -m pip --python .venv/bin/python install --quiet pip >/dev/null 2>&1; then
        return 0
    fi
    rm -rf .venv
    version=$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')
    echo "installing the system package $version, which makes .venv ..."
    if ! inlane_packages "$version" || ! "$python" -m venv .venv; then
        echo "Python's venv module is missing; install it (Debian: apt-get install $version)." >&2
        exit 2
    fi
}

inlane_venv "$extras"
