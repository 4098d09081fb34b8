#!/bin/sh
# Set-up and tests in one. Arguments go to pytest.
set -eu
cd "$(dirname "$0")/.."
extras=test
. tests/venv.sh

# Helps some tests; without it they say why they are skipped.
for pair in node:nodejs npm:npm ngspice:ngspice; do
    if ! command -v "${pair%%:*}" >/dev/null 2>&1; then
        echo "installing ${pair##*:} for the tests that use it ..."
        inlane_packages "${pair##*:}" || echo "${pair##*:} could not be installed; the tests that use it are skipped"
    fi
done

python -m pytest "$@"
if command -v micropython >/dev/null 2>&1; then
    micropython tests/both/run.py
else
    echo "no micropython on this machine: tests/both ran under CPython only"
fi
