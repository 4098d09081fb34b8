"""The process that `hil.command.judging` starts: answers requests, a line of JSON each way."""

import json
import sys
from pathlib import Path

from firmware.base.errors import InlaneError
from hil import games
from hil.bench.failure import failure_of
from hil.bench.outcome import USAGE
from hil.bench.scripts import script
from hil.command.judging import Verdict
from hil.command.replay import Bench


def serve(name: str) -> None:
    """Answer requests until the input ends. `name`: of the game, or its folder."""
    with Bench("desk") as bench:
        for line in sys.stdin:
            request = json.loads(line)
            print(json.dumps(_judge(bench, name, request["name"], request["text"])), flush=True)


def _judge(bench: Bench, game_name: str, name: str, text: str) -> Verdict:
    try:
        game = games.load(game_name)
        played = script.parse(text, Path(name), bench.vocabulary(game), name)
        outcome = bench.run(played, game)
    except InlaneError as error:
        return {"code": USAGE, "expected": str(error), "digest": ""}
    failure = failure_of(outcome)
    expected = failure.expected if failure else ""
    return {"code": outcome.code, "expected": expected, "digest": outcome.digest}
