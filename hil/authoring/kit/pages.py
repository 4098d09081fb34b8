"""The kit's reference as text for a terminal and as Markdown."""

import inspect
import textwrap
from collections.abc import Sequence

from firmware.charts.model import Region
from hil.authoring.kit.facts import KINDS, Facts, facts_of
from hil.authoring.kit.parts import Part
from hil.authoring.kit.topics import Topic
from hil.authoring.methods import arguments
from hil.reports import diagram

WIDTH = 100
INDENT = "    "
TITLE = """# The rule kit

Made by `inlane kit --out FILE.md` from the docstrings of the parts; every example runs in a test. An example
imports its part and `Feature` (`firmware.play.feature`); what else it names is in `firmware.charts.model`,
`firmware.play.claims` and `firmware.play.memory`.
"""


def listing(parts: Sequence[Part], topics: Sequence[Topic]) -> str:
    """Every part and topic, a line each."""
    rows = [(part.name, part.summary if _shares(part, parts) else part.purpose) for part in parts]
    lines = ["Parts of the rule kit (inlane kit NAME says all of one):", "", *_columns(rows), ""]
    lines += ["What else rules are made of:", "", *_columns([(t.name, t.purpose) for t in topics])]
    lines += ["", "How to begin, and forty questions: inlane book."]
    return "\n".join(lines) + "\n"


def _shares(part: Part, parts: Sequence[Part]) -> bool:
    return sum(other.module == part.module for other in parts) > 1


def topic_text(topic: Topic, rows: Sequence[tuple[str, ...]]) -> str:
    """A topic's table."""
    imported = [f"{INDENT}{topic.imports}", ""] if topic.imports else []
    return "\n".join([_sentence(topic.purpose), "", *imported, *_columns([topic.heading, *rows])]) + "\n"


def part_text(part: Part) -> str:
    """All that is known of a part. Raises GameError: its example cannot be built."""
    facts = facts_of(part)
    blocks = [
        f"{part.cls.__name__}: {part.purpose[0].lower()}{part.purpose[1:]}",
        f"{INDENT}{part.import_line}",
        _filled(part.summary),
        *(_filled(block) for block in part.text.split("\n\n") if block),
        "Example\n" + textwrap.indent(part.example, INDENT),
        "The example\n" + "\n".join(_fact_lines(facts)),
        "Its chart\n" + "\n".join(textwrap.indent(diagram.as_text(chart), INDENT) for chart in charts(facts)),
        "Methods\n" + "\n".join(_columns(methods(part.cls), INDENT)),
    ]
    return "\n\n".join(block.rstrip() for block in blocks) + "\n"


def part_markdown(part: Part) -> str:
    """The same as a section of a Markdown page, with pictures of the charts."""
    facts = facts_of(part)
    named = [
        f"- {kind}: {', '.join(f'`{n}`' for n in facts.names[kind])}" for kind in KINDS if facts.names[kind]
    ]
    blocks = [
        f"## {part.cls.__name__}",
        f"{part.purpose} `{part.import_line}`",
        part.summary,
        part.text,
        f"```python\n{part.example}\n```",
        "The example:\n\n" + "\n".join(named),
        *(f"```mermaid\n{diagram.as_mermaid(chart)}```" for chart in charts(facts)),
        "\n".join(f"- `{call}`: {what}" for call, what in methods(part.cls)),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def markdown(parts: Sequence[Part], topics: Sequence[Topic]) -> str:
    """Every part and topic as one page."""
    tables = [_table(topic) for topic in topics]
    return "\n".join([TITLE, *(part_markdown(part) for part in parts), *tables])


def _table(topic: Topic) -> str:
    rule = tuple("---" for _ in topic.heading)
    rows = [topic.heading, rule, *topic.rows()]
    lines = ["| " + " | ".join(row) + " |" for row in rows]
    imported = [f"`{topic.imports}`", ""] if topic.imports else []
    heading = [f"## {topic.name.capitalize()}", "", _sentence(topic.purpose), ""]
    return "\n".join([*heading, *imported, *lines, ""])


def charts(facts: Facts) -> list[diagram.Diagram]:
    """The charts of an example's features."""
    return [diagram.of_region(Region(f.name, f, f.chart, f.states)) for f in facts.features]


def methods(cls: type) -> list[tuple[str, str]]:
    """How the part is made, and each public method, with the first sentence of its docstring."""
    found = [(f"{cls.__name__}{arguments(cls, '__init__')}", "made in a feature's __init__")]
    for name, method in inspect.getmembers(cls, inspect.isfunction):
        if not name.startswith("_") and method.__module__.startswith("firmware.parts"):
            found.append((f"{name}{arguments(cls, name)}", " ".join((inspect.getdoc(method) or "").split())))
    return found


def _fact_lines(facts: Facts) -> list[str]:
    rows = [(kind, ", ".join(facts.names[kind])) for kind in KINDS if facts.names[kind]]
    return _columns(rows, INDENT)


def _columns(rows: Sequence[tuple[str, ...]], indent: str = "  ", most: int = 34) -> list[str]:
    """Rows in columns; the last one is folded, and a first one too long stands alone."""
    widths = [min(max(len(row[at]) for row in rows), most) for at in range(len(rows[0]) - 1)]
    lines = []
    for row in rows:
        head = indent + "  ".join(cell.ljust(width) for cell, width in zip(row[:-1], widths, strict=True))
        start = len(indent) + sum(width + 2 for width in widths)
        if len(head) + 2 > start:
            lines.append(head.rstrip())
            head = " " * (start - 2)
        folded = textwrap.wrap(row[-1], max(WIDTH - start, 30)) or [""]
        lines.append(f"{head}  {folded[0]}".rstrip())
        lines += [" " * start + more for more in folded[1:]]
    return lines


def _filled(text: str) -> str:
    return textwrap.fill(" ".join(text.split()), WIDTH)


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:] + "."
