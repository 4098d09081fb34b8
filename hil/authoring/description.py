"""Reads a text file of descriptions: blocks that begin with `rule NAME`, a field a line."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field

from hil.authoring.errors import DescriptionError, near_miss
from hil.authoring.words import as_name

RULE = "rule"
KIND = "kind"
COMMENT = "#"


@dataclass(frozen=True)
class Entry:
    """A field as written, with its place "file:line"."""

    text: str
    where: str


@dataclass
class Block:
    """One described rule: its title, its kind, its fields as written."""

    title: str
    where: str
    kind: str = ""
    kind_where: str = ""
    entries: dict[str, Entry] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """The rule's name in the code."""
        return as_name(self.title)


def read(text: str, shown: str, fields_of: Mapping[str, Collection[str]]) -> list[Block]:
    """Every block of a file. `fields_of`: the fields that each kind takes.

    Raises DescriptionError with file and line: an unknown kind or field, one said twice, an empty one, a
    rule without a kind, a line outside of a rule, a name that is none or is used twice.
    """
    blocks: list[Block] = []
    for where, line in _lines(text, shown):
        word, _, rest = line.partition(" ")
        if word == RULE:
            blocks.append(_begin(rest.strip(), where, blocks))
        elif not blocks:
            raise DescriptionError(
                f"'{line}' stands before the first rule; a block begins with 'rule NAME'", where
            )
        elif word == KIND:
            _set_kind(blocks[-1], rest.strip(), where, fields_of)
        else:
            _add_field(blocks[-1], line, where, fields_of)
    for block in blocks:
        if not block.kind:
            raise DescriptionError(f"rule '{block.title}' has no kind{near_miss('', fields_of)}", block.where)
    if not blocks:
        raise DescriptionError("no rule is described; a block begins with 'rule NAME'", shown)
    return blocks


def begin(title: str, where: str) -> Block:
    """An empty block. Raises DescriptionError for a title that makes no name."""
    block = Block(title, where)
    if not block.name:
        given = f"'{title}'" if title else "nothing"
        raise DescriptionError(
            f"a rule's name begins with a letter, such as 'rule Pollen Run', not {given}", where
        )
    return block


def _lines(text: str, shown: str) -> Iterator[tuple[str, str]]:
    """The lines that say something, with their places; one that ends in a comma goes on in the next."""
    begun = ""
    where = ""
    for number, line in enumerate(text.splitlines(), 1):
        kept = " ".join(line.partition(COMMENT)[0].split())
        if not kept:
            continue
        where = where if begun else f"{shown}:{number}"
        begun = f"{begun} {kept}".strip()
        if not begun.endswith(","):
            yield where, begun
            begun = ""
    if begun:
        raise DescriptionError(f"'{begun}' ends in a comma, and nothing follows", where)


def _begin(title: str, where: str, blocks: list[Block]) -> Block:
    block = begin(title, where)
    for other in blocks:
        if other.name == block.name:
            line = other.where.rpartition(":")[2]
            raise DescriptionError(f"rule '{title}' is described twice (first in line {line})", where)
    return block


def _set_kind(block: Block, kind: str, where: str, fields_of: Mapping[str, Collection[str]]) -> None:
    if block.kind:
        raise DescriptionError(f"rule '{block.title}' is of the kind '{block.kind}' already", where)
    if block.entries:
        raise DescriptionError(f"the kind of rule '{block.title}' stands above its other fields", where)
    if kind not in fields_of:
        raise DescriptionError(f"there is no kind '{kind}'{near_miss(kind, fields_of)}", where)
    block.kind, block.kind_where = kind, where


def _add_field(block: Block, line: str, where: str, fields_of: Mapping[str, Collection[str]]) -> None:
    if not block.kind:
        raise DescriptionError(f"the kind of rule '{block.title}' stands above its other fields", where)
    keys = fields_of[block.kind]
    key = max((key for key in keys if line == key or line.startswith(key + " ")), key=len, default="")
    if not key:
        word = " ".join(line.split()[: 2 if line.count(" ") > 1 else 1])
        raise DescriptionError(
            f"'{line}': a {block.kind} has no field '{word}'{near_miss(word, keys)}", where
        )
    if key in block.entries:
        raise DescriptionError(f"'{key}' of rule '{block.title}' is said twice", where)
    text = line[len(key) :].strip()
    if not text:
        raise DescriptionError(f"'{key}' of rule '{block.title}' says nothing", where)
    block.entries[key] = Entry(text, where)
