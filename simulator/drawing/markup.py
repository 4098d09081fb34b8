"""An SVG file as elements that know their line and the place of their start tag in the text."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

from firmware.base.errors import GameError

SVG = "http://www.w3.org/2000/svg"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
DEEPEST = 100
EDITORS = "editor's own"  # the tag of what an editor keeps in the file for itself


@dataclass
class Element:
    """An element; `start` is the place (bytes) of its start tag, `text` its text up to its first child."""

    tag: str
    attributes: dict[str, str]
    line: int
    start: int
    parent: "Element | None" = None
    children: list["Element"] = field(default_factory=list)
    text: str = ""

    @property
    def id(self) -> str:
        """Its id; "" without one."""
        return self.attributes.get("id", "")

    @property
    def label(self) -> str:
        """The name of a layer as an editor shows it; "" without one."""
        return self.attributes.get(f"{INKSCAPE} label", "")

    def all(self) -> Iterator["Element"]:
        """The element and everything inside it, in the order of the file."""
        yield self
        for child in self.children:
            yield from child.all()


def parse(data: bytes, file: str) -> Element:
    """The root of an SVG file. Raises GameError with file and line: no XML, or no SVG."""
    reader = _Reader()
    try:
        reader.parser.Parse(data, True)
    except expat.ExpatError as error:
        words = expat.ErrorString(error.code)
        raise GameError(f"this is no XML: {words}", f"{file}:{error.lineno}") from None
    except _RefusedError as error:
        raise GameError(str(error), f"{file}:{reader.parser.CurrentLineNumber}") from None
    root = reader.root
    if root is None or root.tag != "svg":
        raise GameError("a drawing's outermost element is <svg>", f"{file}:1")
    return root


class _RefusedError(Exception):
    """What no drawing needs."""


class _Reader:
    """Builds the elements while expat reads."""

    def __init__(self) -> None:
        self.root: Element | None = None
        self._open: list[Element] = []
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters
        self.parser.EntityDeclHandler = self._entity

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        space, _, tag = name.rpartition(" ")
        known = tag if space in ("", SVG) else EDITORS
        parent = self._open[-1] if self._open else None
        line, start = self.parser.CurrentLineNumber, self.parser.CurrentByteIndex
        element = Element(known, dict(attributes), line, start, parent)
        if parent is not None:
            parent.children.append(element)
        else:
            self.root = element
        self._open.append(element)
        if len(self._open) > DEEPEST:
            raise _RefusedError(f"groups lie within groups more than {DEEPEST} deep")

    def _end(self, name: str) -> None:
        self._open.pop()

    def _characters(self, text: str) -> None:
        if not self._open[-1].children:
            self._open[-1].text += text

    def _entity(self, *declared: object) -> None:
        raise _RefusedError("entities are not read in a drawing")
