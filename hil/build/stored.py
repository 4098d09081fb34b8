"""Compares what a board has stored with what a game loads: which numbers it will not use."""

from firmware.devices.store.key import key_of
from hil.build import deployed
from hil.build.prompt import Prompt
from hil.game_tables import setting_rows
from hil.games import Game

COMMAND = "from boards.pico_matrix.persistent_store import print_all\nprint_all({name!r})"
FAULTS = "fault."
SETTINGS = "setting."


def read(prompt: Prompt, name: str) -> dict[int, int]:
    """Every number that the board has stored for the game called so, by key."""
    pairs = (line.split() for line in prompt.run(COMMAND.format(name=name)).splitlines())
    return {int(key): int(number) for key, number in pairs}


def compare(found: dict[int, int], game: Game) -> list[str]:
    """A line that counts what is taken up, and a line for each number that is not."""
    names = {key_of(name): name for name in deployed.names_of(game)}
    ranges = {SETTINGS + row.name: (row.least, row.most) for row in setting_rows(game.module)}
    former = deployed.stored_names()
    unused = []
    for key in sorted(found):
        name = names.get(key) or former.get(key, f"a number with key {key}")
        least, most = ranges.get(name, (found[key], found[key]))
        if key not in names and not name.startswith(FAULTS):
            unused.append(f"{name} = {found[key]} is not used: the game has no such thing any more")
        elif not least <= found[key] <= most:
            unused.append(f"{name} = {found[key]} is not used: it may be {least} to {most}; the default is")
    return [f"{len(found) - len(unused)} of {len(found)} stored numbers are taken up", *unused]
