"""rules.md: it is the sheet of this game, and the names in it are the game's."""

import re
from collections.abc import Iterator

from firmware.charts.suggest import did_you_mean
from hil.bench.scripts.vocabulary import Vocabulary, of_game
from hil.checks.build import Built
from hil.checks.source import Finding

SHEET = "rules.md"
RULE = re.compile(r"^\s*[-*]\s+\*\*(.+?)[.:]?\*\*", re.M)
NAME = re.compile(r"`([a-z][\w.]*)`")


def rule_sheet(built: Built) -> Iterator[Finding]:
    """Notes on a sheet that is missing, of another game, or names what is not there."""
    where = f"{built.source.shown}/{SHEET}"
    path = built.source.folder / SHEET
    if not path.is_file():
        yield Finding(
            f"there is no {SHEET}; write the rules down, a line beginning '- **Name.**' each", where, False
        )
        return
    text = path.read_text(encoding="utf-8")
    told = {_as_name(title) for title in RULE.findall(text)}
    own = {feature.name for feature in built.console.play.features}
    if told and not told & own:
        listed = ", ".join(sorted(told)[:3])
        yield Finding(
            f"{SHEET} is of another game: of its rules ({listed} …) none is in FEATURES", f"{where}:1", False
        )
        return
    known = _known(of_game(built.game))
    for number, line in enumerate(text.splitlines(), 1):
        for name in NAME.findall(line):
            near = "" if name in known else did_you_mean(name, sorted(known))
            if near:
                yield Finding(f"{SHEET} names '{name}', which is not there{near}", f"{where}:{number}", False)


def _as_name(title: str) -> str:
    return re.sub(r"\W+", "_", title.lower()).strip("_")


def _known(words: Vocabulary) -> set[str]:
    """Every name of the game, and what such names begin with."""
    names = words.names
    whole = [
        *names.switches, *names.lamps, *names.coils, *names.events, *names.awards, *names.cues,
        *words.shots, *words.settings, *words.features, *words.places,
    ]  # fmt: skip
    parts = {name.rsplit(".", at)[0] for name in whole for at in range(name.count(".") + 1)}
    return parts | {name.rpartition(".")[2] for name in names.awards}
