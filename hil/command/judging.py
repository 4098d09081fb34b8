"""A process that runs scripts with the firmware of another folder: script texts in, verdicts out.

    python -m hil.command.judging GAME

One JSON object a line each way: {"name", "text"} in; {"code", "line", "expected"} out. A text that is
no script has code 2.
"""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import IO, TypedDict, cast

from firmware.base.errors import InlaneError
from hil import games
from hil.bench.failure import STANDING as STANDING
from hil.bench.failure import failure_of
from hil.bench.faults import HOST
from hil.bench.scripts import script
from hil.command.replay import Bench


class Verdict(TypedDict):
    """One answer of the process: an exit code of `inlane replay`, and what the run demanded in vain."""

    code: int
    expected: str


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
        try:
            self._in.write(json.dumps({"name": name, "text": text}) + "\n")
            self._in.flush()
            answer = json.loads(self._out.readline())
        except (OSError, ValueError):
            return 3, ""
        return answer["code"], answer["expected"]

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
from hil.command.judging import serve
serve(game)
"""


def serve(name: str) -> None:
    """Answer requests until the input ends."""
    game = games.load(name)
    with Bench("desk") as bench:
        for line in sys.stdin:
            request = json.loads(line)
            print(json.dumps(_judge(bench, game, request["name"], request["text"])), flush=True)


def _judge(bench: Bench, game: games.Game, name: str, text: str) -> Verdict:
    try:
        played = script.parse(text, Path(name), bench.vocabulary(game), name)
        outcome = bench.run(played, game)
    except InlaneError as error:
        return {"code": 2, "expected": str(error)}
    failure = failure_of(outcome)
    return {"code": outcome.code, "expected": failure.expected if failure else ""}
