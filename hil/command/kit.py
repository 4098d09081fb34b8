"""`inlane kit`: the reference of the rule kit, from the parts' own docstrings and examples."""

import difflib
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games, host_tables
from hil.authoring.kit import pages
from hil.authoring.kit.facts import facts_of
from hil.authoring.kit.parts import Part, all_parts
from hil.authoring.kit.topics import TOPICS, Topic, shot_rows
from hil.reports import diagram


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(kit)


def kit(
    name: Annotated[str, typer.Argument(help="A part or a topic; all of them are listed otherwise.")] = "",
    out: Annotated[
        Path | None, typer.Option(help="A .svg of the part's chart, or a .md of everything.")
    ] = None,
    game: Annotated[str, typer.Option(help="With shots: the game whose shots are listed.")] = "",
) -> None:
    """Say what the parts of the rule kit are for, with an example, lamps, events, settings and chart of each.

    Example: inlane kit window

    Example: inlane kit window --out window.svg

    Example: inlane kit shots --game ./my_game

    Example: inlane kit --out kit.md
    """
    parts = all_parts()
    if game and name != "shots":
        raise UsageError("--game goes with shots alone: inlane kit shots --game GAME")
    if out:
        _write(parts, name, out)
    elif not name:
        print(pages.listing(parts, TOPICS), end="")
    else:
        found = _find(parts, name)
        print(pages.part_text(found) if isinstance(found, Part) else _topic(found, game), end="")


def _find(parts: list[Part], name: str) -> Part | Topic:
    """The part or topic of this name. Raises UsageError with the near miss."""
    known: dict[str, Part | Topic] = {part.name: part for part in parts}
    known |= {topic.name: topic for topic in TOPICS}
    found = known.get(name.lower()) or next((p for p in parts if p.cls.__name__ == name), None)
    if found is None:
        near = difflib.get_close_matches(name.lower(), known, 1)
        hint = f"did you mean '{near[0]}'?" if near else "inlane kit lists all"
        raise UsageError(f"the rule kit has no '{name}'; {hint}")
    return found


def _topic(topic: Topic, game: str) -> str:
    if not game:
        return pages.topic_text(topic, topic.rows())
    loaded = games.load(game)
    shots = shot_rows(host_tables.shot_rows(loaded.tables("routes")), loaded.console().events.names())
    return pages.topic_text(Topic("shots", f"shots of {game}", topic.heading, lambda: shots), shots)


def _write(parts: list[Part], name: str, out: Path) -> None:
    text = _picture(parts, name) if out.suffix == ".svg" else _page(parts, name, out)
    try:
        out.write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(f"'{out}' cannot be written: {error.strerror}") from None
    print(f"wrote {out}")


def _page(parts: list[Part], name: str, out: Path) -> str:
    """The Markdown of everything, or of one part. Raises UsageError for another suffix."""
    if out.suffix != ".md":
        raise UsageError(f"the kit is written as .md, a part's chart as .svg, not '{out.name}'")
    if not name:
        return pages.markdown(parts, TOPICS)
    found = _find(parts, name)
    if isinstance(found, Topic):
        return pages.topic_text(found, found.rows())
    return pages.part_markdown(found)


def _picture(parts: list[Part], name: str) -> str:
    """The chart of a part's example. Raises UsageError: a topic, or no part, has none."""
    found = _find(parts, name) if name else None
    if not isinstance(found, Part):
        raise UsageError(f"a .svg shows one part's chart: inlane kit PART --out FILE.svg, not '{name}'")
    return diagram.as_svg(pages.charts(facts_of(found))[-1])
