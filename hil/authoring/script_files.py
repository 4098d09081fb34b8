"""The scripts of described rules; one that needs another rule takes over what that rule's script does."""

import re

from hil.authoring import template
from hil.authoring.draft import Draft
from hil.authoring.facts import Facts
from hil.authoring.shots import NotShown
from hil.authoring.work import Work

SCRIPT = "script "
EJECTED = "wait 2 s"  # until a hole has given its ball back
PLAYERS = re.compile(r"^start (\d) players?$", re.MULTILINE)


def write(works: list[Work], draft: Draft, facts: Facts) -> list[str]:
    """Every script of every rule; those that need to know how another rule is made come after its own.

    One of more players than the machine takes is left out.
    """
    left = [(work, name) for work in works for name in work.kind.sections() if name.startswith(SCRIPT)]
    reasons: dict[str, list[str]] = {}
    while left:
        waiting = []
        reasons = {}
        for work, heading in left:
            try:
                _write_script(work, heading, draft, facts)
            except NotShown as error:
                waiting.append((work, heading))
                reasons.setdefault(str(error), []).append(_script_name(work, heading))
        if len(waiting) == len(left):
            break
        left = waiting
    return [f"no script {', '.join(names)}: {why}" for why, names in reasons.items()] if left else []


def _script_name(work: Work, heading: str) -> str:
    return f"scripts/{work.rule.name}_{heading.removeprefix(SCRIPT).split()[0]}.play"


def _write_script(work: Work, heading: str, draft: Draft, facts: Facts) -> None:
    """A script, unless a condition of its heading, such as `?freeze`, does not hold."""
    values = work.values()
    words = heading.removeprefix(SCRIPT).split()
    for condition in words[1:]:
        if bool(template.look_up(values, condition[1:])) != (condition[0] == "?"):
            return
    text = template.fill(work.kind.sections()[heading], values)
    if any(int(started) > facts.players for started in PLAYERS.findall(text)):
        return
    title, _, rest = text.partition("\n")
    head = f"title   {title}\ncovers  {', '.join(work.features)}\n"
    body = with_pauses(rest.rstrip("\n"), facts.into_holes())
    draft.add(_script_name(work, heading), f"{head}{body}\n")


def with_pauses(text: str, into_holes: set[str]) -> str:
    """A script in which a hole gives its ball back before the next whole shot."""
    lines: list[str] = []
    held = False
    for line in text.splitlines():
        word, _, rest = line.partition(" ")
        if word == "shoot" and held:
            lines.append(EJECTED)
        if word in ("shoot", "wait"):
            held = word == "shoot" and rest in into_holes
        lines.append(line)
    return "\n".join(lines)
