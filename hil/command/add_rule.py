"""`inlane add rule`: makes a rule of its description, with its lamps, scripts and line in the rule sheet."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.authoring import compose, description, questions
from hil.authoring.description import Block, Entry
from hil.authoring.draft import Draft
from hil.authoring.errors import near_miss
from hil.authoring.facts import gather
from hil.authoring.kind import Scope
from hil.authoring.kinds import find
from hil.authoring.shots import Shots
from hil.checks.build import shown
from hil.command.names import renew_changed

CONTEXT = {"allow_extra_args": True, "ignore_unknown_options": True}


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("rule", context_settings=CONTEXT)(rule)


def rule(
    context: typer.Context,
    title: Annotated[str, typer.Argument(help="What the rule is called.")] = "",
    to: Annotated[str, typer.Option("--to", help="The game, by name or folder.")] = ".",
    kind: Annotated[str, typer.Option(help="The kind of rule, such as window.")] = "",
    described: Annotated[
        Path | None, typer.Option("--from", help="A text file of descriptions, a block a rule.")
    ] = None,
) -> int:
    """Add rules to a game: described by a file, by options, or by answers to questions.

    Example: inlane add rule "Quick Run" --to ./my_game --kind window --lit-by inlane.left --made-by ramp

    Each field of a kind is an option, with hyphens for blanks. hil/authoring/RULES.md lists kinds and fields.
    Existing files are never overwritten; with one wrong description nothing is written.
    """
    _name, folder, package = games.locate(to)
    draft = Draft(folder, package)
    blocks = _blocks(draft, title, kind, described, context.args)
    write(draft, blocks, to, folder)
    print(f"try: inlane check {to}, inlane replay {shown(folder)}/scripts")
    return 0


def write(draft: Draft, blocks: list[Block], to: str, folder: Path) -> None:
    """Make the rules, write and print their files, print the notes. Raises UsageError: nothing is written."""
    problems = compose.compose(draft, blocks)
    for file in draft.save():
        print(f"{shown(folder)}/{file}")
    renew_changed(to)
    for problem in problems:
        typer.echo(f"{shown(folder)}: note: {problem}", err=True)


def _blocks(draft: Draft, title: str, kind: str, described: Path | None, options: list[str]) -> list[Block]:
    if described is not None:
        if title or kind or options:
            raise UsageError("--from takes the rules from a file; it goes with no name, kind or field")
        return description.read(_text(described), str(described), compose.kinds_and_fields())
    if kind:
        return [_from_options(title, kind, options)]
    if title and Path(title).is_file():
        raise UsageError(
            f"'{title}' is a file; the rules that a file describes are added with --from {title}"
        )
    if title or options:
        raise UsageError("a rule by options takes its --kind, such as --kind window")
    if not sys.stdin.isatty():
        raise UsageError(
            "nobody is there to be asked; give --from FILE, or a name and --kind with its fields"
        )
    facts = gather(draft)
    return [questions.ask(_answer, print, Scope(facts, Shots(facts, draft, ())))]


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"'{path}' cannot be read: {error}") from None


def _from_options(title: str, kind: str, options: list[str]) -> Block:
    """A block of options: `--lit-by inlane.left` is the field `lit by`. Raises InlaneError."""
    block = description.begin(title, "the rule's name")
    block.kind = find(kind).name
    keys = {key.replace(" ", "-"): key for key in find(kind).keys}
    if len(options) % 2:
        raise UsageError(f"'{options[-1]}' has no value; each field is an option with one value")
    for option, text in zip(options[::2], options[1::2], strict=True):
        word = option.removeprefix("--")
        if not option.startswith("--") or word not in keys:
            raise UsageError(f"a {kind} has no option '{option}'{near_miss(word, keys)}")
        if keys[word] in block.entries:
            raise UsageError(f"'{option}' is given twice")
        block.entries[keys[word]] = Entry(text, option)
    return block


def _answer(question: str) -> str:
    return str(input(f"{question} "))
