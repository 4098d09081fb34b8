"""Asks for a rule in the words of the trade, a question for each thing that is to be known."""

from collections.abc import Callable

from hil.authoring.description import Block, Entry, begin
from hil.authoring.errors import DescriptionError
from hil.authoring.kind import Field, Kind, Scope
from hil.authoring.kinds import KINDS, find

Answer = Callable[[str], str]
"""Asks one question, returns what was typed."""
Say = Callable[[str], None]


def ask(answer: Answer, say: Say, scope: Scope) -> Block:
    """A described rule, from answers. An answer that does not fit is asked for again."""
    block = _title(answer, say)
    kind = _kind(answer, say)
    block.kind = kind.name
    for field in kind.fields:
        text = _field(field, block, answer, say, scope)
        if text:
            block.entries[field.key] = Entry(text, f"answer to '{field.key}'")
    return block


def _title(answer: Answer, say: Say) -> Block:
    while True:
        try:
            return begin(" ".join(answer("What is the rule called?").split()), "answer")
        except DescriptionError as error:
            say(error.text)


def _kind(answer: Answer, say: Say) -> Kind:
    for kind in KINDS:
        say(f"  {kind.name:18} {kind.about}")
    while True:
        try:
            return find(answer("Which kind of rule is it?").strip())
        except DescriptionError as error:
            say(error.text)


def _field(field: Field, block: Block, answer: Answer, say: Say, scope: Scope) -> str:
    """The text of a field, "" when it is left open."""
    while True:
        text = answer(_question(field, block)).strip()
        if not text and field.usual is not None:
            return ""
        if not text:
            say(f"'{field.key}' has to be known")
            continue
        try:
            field.read(text, scope)
            return text
        except ValueError as error:
            say(f"'{field.key}' {error}")


def _question(field: Field, block: Block) -> str:
    if not field.usual:
        return field.ask
    usual = field.usual.format(name=block.name)
    return f"{field.ask} [{usual}{', marked as open' if field.marked else ''}]"
