#!/bin/sh
# Set-up and demo in one: a window where there is a screen, otherwise a scripted run with a picture.
set -eu
cd "$(dirname "$0")/.."
extras=desk
. tests/venv.sh

if [ "${INLANE_NO_WINDOW:-}" = "" ] && { [ "$(uname)" = Darwin ] || [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; }; then
    exec inlane play honey_flow
fi
mkdir -p out
echo "no screen here: playing a script and drawing its last picture"
inlane play honey_flow --script firmware/games/honey_flow/scripts/pollen_run_made.play --picture out/desk.png
inlane replay firmware/games/honey_flow/scripts
echo "the picture is out/desk.png"
