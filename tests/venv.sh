# Sourced by simulator/demo.sh and tests/run.sh from the checkout's root: makes .venv with our extras.
#   extras=desk; . tests/venv.sh

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

# Debian and Ubuntu leave venv out of their python3; with apt-get and the right to use it, put it in.
inlane_packages() {
    command -v apt-get >/dev/null 2>&1 || return 1
    as=""
    if [ "$(id -u)" != 0 ]; then
        command -v sudo >/dev/null 2>&1 || return 1
        as=sudo
    fi
    $as apt-get update -qq >/dev/null && DEBIAN_FRONTEND=noninteractive $as apt-get install -y -qq "$@" >/dev/null
}

inlane_venv() {
    python=$(inlane_python) || {
        echo "Inlane needs Python 3.11 or newer; none was found on the PATH." >&2
        exit 2
    }
    if ! .venv/bin/python -c 'import pip' 2>/dev/null; then
        rm -rf .venv
        if ! "$python" -m venv .venv >/dev/null 2>&1; then
            rm -rf .venv
            version=$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')
            echo "installing $version ..."
            if ! inlane_packages "$version" || ! "$python" -m venv .venv; then
                echo "Python's venv module is missing; install it (Debian: apt-get install $version)." >&2
                exit 2
            fi
        fi
    fi
    echo "installing Inlane [$1] into .venv ..."
    .venv/bin/python -m pip install --quiet --disable-pip-version-check -e ".[$1]" || exit 2
    PATH=$PWD/.venv/bin:$PATH
    export PATH
}

inlane_venv "$extras"
