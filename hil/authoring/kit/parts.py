"""The parts of the rule kit, as their docstrings describe them."""

import importlib
import inspect
import pkgutil
import re
import textwrap
from dataclasses import dataclass

from firmware import parts

CODE = re.compile(r"^ {4,}\S.*(?:\n(?: {4,}\S.*| *(?=\n)))*", re.M)


@dataclass(frozen=True)
class Part:
    """One class of the kit. `example` is Python source; `text` is what else its docstring says."""

    name: str
    module: str
    cls: type
    purpose: str
    summary: str
    example: str
    text: str

    @property
    def import_line(self) -> str:
        """How a rule imports it."""
        return f"from {self.module} import {self.cls.__name__}"


def all_parts() -> list[Part]:
    """Every part, sorted by module."""
    found = []
    for info in pkgutil.iter_modules(parts.__path__):
        module = importlib.import_module(f"{parts.__name__}.{info.name}")
        purpose = (inspect.getdoc(module) or "").partition("\n")[0]
        for cls in vars(module).values():
            if inspect.isclass(cls) and cls.__module__ == module.__name__:
                found.append(part_of(cls, purpose))
    return found


def part_of(cls: type, purpose: str) -> Part:
    """What a class's own docstring says; what it lacks is empty."""
    doc = inspect.cleandoc(cls.__dict__.get("__doc__") or "")
    code = CODE.search(doc)
    example = textwrap.dedent(code.group()).strip() if code else ""
    text = (doc[: code.start()] + doc[code.end() :] if code else doc).strip()
    summary, _, rest = text.partition("\n\n")
    name = re.sub(r"(?<!^)(?=[A-Z])", "_", cls.__name__).lower()
    return Part(name, cls.__module__, cls, purpose, " ".join(summary.split()), example, rest.strip())


def complaint(part: Part) -> str:
    """What a part's docstring lacks; "" when it has a sentence for the part and an example that uses it."""
    where = f"{part.module}.{part.cls.__name__}"
    if not part.purpose:
        return f"{part.module} has no sentence that says what it is for"
    if not part.summary:
        return f"{where} has no sentence that says what it does"
    if part.cls.__name__ not in part.example:
        return f"{where} has no example: a class, indented in its docstring, that uses it"
    return ""
