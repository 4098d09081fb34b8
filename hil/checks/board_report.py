"""What a check of a board's resources says of a game."""

from dataclasses import dataclass


@dataclass(frozen=True)
class BoardReport:
    """`lines` are figures for anyone, `notes` are worth a look, a `refused` game does not go on the board."""

    lines: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()

    def __add__(self, other: "BoardReport") -> "BoardReport":
        return BoardReport(self.lines + other.lines, self.notes + other.notes, self.refused + other.refused)
