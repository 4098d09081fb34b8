"""What a new game is asked to have."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

from hil.authoring.errors import DescriptionError
from hil.authoring.words import joined

MOST = {
    "balls": 5,
    "in_machine": 6,
    "players": 4,
    "lanes": 5,
    "bank": 8,
    "drops": 6,
    "bumpers": 5,
    "standups": 4,
    "lock": 4,
}
LEAST = {"balls": 1, "in_machine": 1, "players": 1}
DISPLAYS = ("text", "digits")
ASKED = (
    ("balls", "Balls of a game"),
    ("in_machine", "Balls in the machine"),
    ("players", "Players at most"),
    ("displays", "Displays: text (two lines of letters) or digits (one a player)"),
    ("lanes", "Lanes at the top (0: none)"),
    ("bank", "Targets in a bank (0: none)"),
    ("bumpers", "Bumpers (0: none)"),
    ("spinner", "A spinner"),
    ("saucer", "A saucer"),
    ("ramp", "A ramp"),
)


@dataclass
class Wanted:
    """Devices of a new game. A count of 0 leaves a device out. Raises DescriptionError: out of range."""

    balls: int = 3
    """Balls of a game, 1 to 5."""
    in_machine: int = 3
    """Balls in the machine, 1 to 6."""
    players: int = 4
    """Players at most, 1 to 4."""
    displays: str = "text"
    """`text`: two lines of letters; `digits`: one of seven digits for each player, a small one for counts."""
    lanes: int = 3
    """Lanes at the top, which a plunge leads over."""
    bank: int = 4
    """Targets in a bank, side by side."""
    drops: int = 0
    """Drop targets with one reset coil."""
    bumpers: int = 3
    standups: int = 1
    spinner: bool = True
    saucer: bool = True
    ramp: bool = True
    orbits: bool = True
    """An orbit from each side."""
    lock: int = 0
    """Places of a hole that locks balls."""
    gate: bool = False
    """A drop target before a hole."""
    tunnel: bool = False
    """A cellar whose balls come out at an exit."""
    wheel: bool = False
    """A wheel of eight stops on a motor."""
    kickback: bool = False
    """A coil in the left outlane."""

    @classmethod
    def of(cls, given: "Mapping[str, int | str]") -> "Wanted":
        """What is given, the rest as usual. Raises DescriptionError."""
        wanted = cls()
        for name, value in given.items():
            setattr(wanted, name, value)
        wanted.check()
        return wanted

    def check(self) -> None:
        """Refuse what is out of its range. Raises DescriptionError."""
        for each in fields(self):
            check_one(each.name, getattr(self, each.name))
        if self.lock >= self.in_machine:
            raise DescriptionError(
                f"a lock for {self.lock} balls needs {self.lock + 1} balls or more in the machine"
            )


def check_one(name: str, value: int | str) -> None:
    """Refuse a value that is out of the range of one thing. Raises DescriptionError."""
    if name == "displays" and value not in DISPLAYS:
        raise DescriptionError(f"displays takes {joined(DISPLAYS, 'or')}, not '{value}'")
    most, least = MOST.get(name), LEAST.get(name, 0)
    if most is not None and not least <= int(value) <= most:
        raise DescriptionError(f"{name.replace('_', ' ')} takes {least} to {most}, not {value}")
