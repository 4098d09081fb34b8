"""The published judgements on mutants that no check notices (TOML)."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import UsageError
from hil.mutation.mutants import Mutant

FIELDS = ("file", "function", "old", "new", "judgement", "why")
EQUIVALENT, ELSEWHERE, OPEN = "equivalent", "elsewhere", "open"
JUDGEMENTS = (EQUIVALENT, ELSEWHERE, OPEN)


@dataclass(frozen=True)
class Judgement:
    """A mutant by its `key`, what it was judged to be (one of JUDGEMENTS), and why."""

    key: tuple[str, str, str, str]
    judgement: str
    why: str


def read(path: Path) -> list[Judgement]:
    """Read a list of [[mutant]] tables. Raises UsageError with what is wrong in it."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise UsageError(
            f"the list of judgements cannot be read: {error.strerror or error}", str(path)
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise UsageError(f"the list of judgements is no TOML: {error}", str(path)) from None
    return [_judgement(path, number, row) for number, row in enumerate(table.get("mutant", []), 1)]


def _judgement(path: Path, number: int, row: dict[str, str]) -> Judgement:
    if set(row) != set(FIELDS):
        raise UsageError(f"mutant {number} has not just the texts {', '.join(FIELDS)}", str(path))
    if row["judgement"] not in JUDGEMENTS:
        raise UsageError(
            f"mutant {number} is judged '{row['judgement']}'; allowed are {', '.join(JUDGEMENTS)}", str(path)
        )
    return Judgement((row["file"], row["function"], row["old"], row["new"]), row["judgement"], row["why"])


def judged(judgements: list[Judgement], mutant: Mutant) -> Judgement | None:
    """The judgement on a mutant, if there is one."""
    for judgement in judgements:
        if judgement.key == mutant.key:
            return judgement
    return None


def as_toml(mutant: Mutant) -> str:
    """A table for a mutant that is to be judged."""
    rows = zip(FIELDS, (*mutant.key, OPEN, ""), strict=True)
    return "\n".join(["[[mutant]]", *(f"{name} = {_quoted(text)}" for name, text in rows), ""])


def _quoted(text: str) -> str:
    return f"'{text}'" if "'" not in text else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
