"""The smallest script that tells a tree with a fault from the sound one."""

from dataclasses import dataclass

from hil.bench.outcome import FAIL, PASS
from hil.bench.shrink import contents, shrunk_script
from hil.command.judging import Judge


@dataclass(frozen=True)
class SmallScript:
    """The lines of a script that shows a fault, and how many there were before; `expected`: what fails."""

    lines: list[str]
    before: int
    expected: str

    def as_text(self, title: str) -> str:
        """The script, below a comment."""
        return "\n".join([f"# {title}", f"# Fails with it: {self.expected}", "", *self.lines]) + "\n"


def small_script(name: str, text: str, faulty: Judge, sound: Judge) -> SmallScript | None:
    """Shrink a script that fails in `faulty` and passes in `sound`; None when it does not.

    What is kept fails in `faulty` by the same expectation, and passes in `sound`.
    """
    lines = contents(text)
    code, expected = faulty.verdict(name, "\n".join(lines))
    if code != FAIL:
        return None
    known: dict[tuple[str, ...], bool] = {}

    def tells(kept: list[str]) -> bool:
        key = tuple(kept)
        if key not in known:
            text = "\n".join(kept)
            known[key] = (
                faulty.verdict(name, text) == (code, expected) and sound.verdict(name, text)[0] == PASS
            )
        return known[key]

    if not tells(lines):
        return None
    return SmallScript(shrunk_script(lines, f"expect {expected}", tells), len(lines), expected)
