"""A process of its own that runs checks in a copy of the tree, with probes or with a mutant."""

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

from firmware.base.errors import UsageError
from hil.mutation.copies import TreeCopy
from hil.mutation.mutants import Mutant
from hil.mutation.reach import PROBES, Probe, Reached, ReachMap, with_probes

MEMORY_BYTES = 4 << 30
SLOWER = 10  # a check may take so many times its usual CPU time, and SPARE_S more
SPARE_S = 3
ANSWER_S = 1800  # wall clock: for a process that waits for something for ever
_RUN = f"""
import builtins, json, resource, sys
top, job, answer = sys.argv[1:]
with open(job) as file:
    given = json.load(file)
builtins.{PROBES} = bytearray(given["probes"])
resource.setrlimit(resource.RLIMIT_AS, ({MEMORY_BYTES}, {MEMORY_BYTES}))
try:
    import firmware
    import hil.command.mutant_checks as checks
except BaseException as error:
    with open(answer, "w") as file:
        file.write(json.dumps({{"red": "import", "why": repr(error)}}) + "\\n")
    sys.exit(0)
if given["firmware"] and not firmware.__path__[0].startswith(top):
    sys.exit(f"the copy is not what runs, but {{firmware.__path__[0]}}")
checks.run(given["checks"], answer, builtins.{PROBES} if given["probes"] else None, given["modules"])
"""


class Wanted(TypedDict):
    """A check that the process is to run, and the CPU seconds it may take; 0: no limit."""

    name: str
    limit_s: float
    digest: str
    """The hash of its trace without a mutant; "" when it has none."""


class Answer(TypedDict, total=False):
    """A line of the process's answer: a check that passed, one that failed, or how many passed.

    `changed`: of those that passed, which made another trace.
    """

    name: str
    cpu_s: float
    reached: list[int]
    red: str
    why: str
    ran: int
    digest: str
    changed: list[str]


@dataclass(frozen=True)
class Verdict:
    """A mutant's end: `by` is the check that noticed it, and `why`; "" when it survived `ran` checks.

    With a `problem` there is no verdict. `changed`: the scripts that passed with another trace.
    """

    mutant: Mutant
    by: str = ""
    why: str = ""
    ran: int = 0
    problem: str = ""
    changed: tuple[str, ...] = ()

    @property
    def is_caught(self) -> bool:
        """Whether a check noticed the mutant."""
        return bool(self.by)


def map_reach(copy: TreeCopy, files: list[str], checks: list[str]) -> ReachMap:
    """Run every check once, with probes in `files`. Raises UsageError when one fails without a mutant."""
    probes: list[Probe] = []
    for file in files:
        text, more = with_probes(file, (copy.top / file).read_text(encoding="utf-8"), len(probes))
        copy.write(file, text)
        probes += more
    modules = [file.removesuffix(".py").removesuffix("/__init__").replace("/", ".") for file in files]
    wanted = [Wanted(name=name, limit_s=0, digest="") for name in checks]
    lines, problem = _ask(copy, wanted, max(1, len(probes)), modules)
    for file in files:
        copy.restore(file)
    failed = [f"{line['red']}: {line['why']}" for line in lines if "red" in line]
    if failed or problem:
        raise UsageError(f"without a mutant there is no pass: {'; '.join(failed) or problem}")
    made = [
        Reached(line["name"], line["cpu_s"], frozenset(line["reached"]), line.get("digest", ""))
        for line in lines
    ]
    return ReachMap(probes, made[1:], made[0].probes)


def judge(copy: TreeCopy, mutant: Mutant, text: str, checks: list[Reached]) -> Verdict:
    """Plant a mutant (the file's `text` with the change) in a copy and run checks until one notices it."""
    if not checks:
        return Verdict(mutant)
    copy.write(mutant.file, text)
    wanted = [
        Wanted(name=each.name, limit_s=SPARE_S + SLOWER * each.cpu_s, digest=each.digest) for each in checks
    ]
    try:
        lines, problem = _ask(copy, wanted)
    finally:
        copy.restore(mutant.file)
    last = lines[-1] if lines else Answer()
    if "red" in last:
        return Verdict(mutant, last["red"], last["why"], last.get("ran", 0))
    if not problem and last.get("ran") != len(checks):
        problem = f"{last.get('ran', 0)} of {len(checks)} checks ran"
    return Verdict(mutant, ran=len(checks), problem=problem, changed=tuple(last.get("changed", ())))


def _ask(
    copy: TreeCopy, checks: list[Wanted], probes: int = 0, modules: Sequence[str] = ()
) -> tuple[list[Answer], str]:
    """The lines that the process answers with, and what went wrong with the process itself."""
    job, answer = copy.top / "job.json", copy.top / "answer.json"
    asked = {"checks": checks, "probes": probes, "modules": modules, "firmware": copy.tree.has_firmware}
    job.write_text(json.dumps(asked), encoding="utf-8")
    answer.write_text("", encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": copy.import_path, "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-c", _RUN, str(copy.top), str(job), str(answer)]
    problem = ""
    try:
        done = subprocess.run(
            command,
            cwd=copy.top,
            env=environment,
            capture_output=True,
            text=True,
            timeout=ANSWER_S,
            check=False,
        )
        if done.returncode:
            last = done.stderr.strip().splitlines()[-1:] or ["no word"]
            problem = f"the process ended with {done.returncode}: {last[0]}"
    except subprocess.TimeoutExpired:
        problem = f"no answer in {ANSWER_S} s"
    return [json.loads(line) for line in answer.read_text(encoding="utf-8").splitlines()], problem
