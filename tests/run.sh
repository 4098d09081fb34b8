#!/bin/sh
# Set-up and tests in one.
#
#   sh tests/run.sh [ARGUMENTS FOR PYTEST]         everything
#   sh tests/run.sh quick [ARGUMENTS FOR PYTEST]   without tests marked slow; installs no system packages
set -eu
cd "$(dirname "$0")/.."
quick=
if [ "${1:-}" = quick ]; then
    quick=yes
    INLANE_NO_SYSTEM_PACKAGES=yes # read by tests/venv.sh
    shift
fi
extras=test
. tests/venv.sh

if [ "$quick" ]; then
    python -m pytest -m "not slow" -n auto -rs "$@"
else
    # Optional programs. A test that misses one is skipped, and pytest's summary gives the reason.
    inlane_optional nodejs node "the 32-bit build of MicroPython, which measures memory"
    inlane_optional npm npm "the published SCXML tests, which are npm packages"
    inlane_optional ngspice ngspice "circuit simulations that check the coil calculations"
    python -m pytest -n auto -rs "$@"
fi
if command -v micropython >/dev/null 2>&1; then
    micropython -X heapsize=8m tests/both/run.py
else
    echo "SKIPPED tests/both under MicroPython: there is no micropython command on this machine"
fi
