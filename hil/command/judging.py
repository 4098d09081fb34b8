"""A process that runs scripts with the firmware of another folder: script texts in, verdicts out.

One JSON object a line each way: {"name", "text"} in; {"code", "expected", "digest"} out. A text that is
no script, and a game that cannot be loaded, has code 2.
"""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import IO, TypedDict, cast

from hil.bench.faults import HOST
from hil.bench.outcome import INVALID


class Verdict(TypedDict):
    """One answer of the process: an exit code of `inlane replay`, what it demanded in vain, its trace."""

    code: int
    expected: str
    digest: str


class Judge:
    """The process, as its user sees it. `root` holds the `firmware` that it runs, or the folder of the game.

    `game`: by name, or its folder.
    """

    def __init__(self, root: Path, game: str) -> None:
        path = os.pathsep.join((str(root), str(HOST)))
        self._process = subprocess.Popen(
            [sys.executable, "-c", _SERVE, str(root), game],
            cwd=root,
            env={**os.environ, "PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        self._in = cast(IO[str], self._process.stdin)
        self._out = cast(IO[str], self._process.stdout)

    def verdict(self, name: str, text: str) -> tuple[int, str]:
        """Run a script: its exit code and the failed expectation. (3, ""): the process died."""
        answer = self.answer(name, text)
        return answer["code"], answer["expected"]

    def answer(self, name: str, text: str) -> Verdict:
        """Run a script; code 3 when the process died."""
        try:
            self._in.write(json.dumps({"name": name, "text": text}) + "\n")
            self._in.flush()
            return cast(Verdict, json.loads(self._out.readline()))
        except (OSError, ValueError):
            return {"code": INVALID, "expected": "", "digest": ""}

    def close(self) -> None:
        """End the process."""
        self._in.close()
        self._out.close()
        self._process.kill()
        self._process.wait()


_SERVE = """
import sys
import firmware
root, game = sys.argv[1:]
assert game.startswith(root) or firmware.__path__[0].startswith(root), firmware.__path__
from hil.command.judging_process import serve
serve(game)
"""
