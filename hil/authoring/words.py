"""Names as people say them, and what people call things as names."""

import keyword
import re

SIDES = ("left", "right", "top", "middle", "bottom", "upper", "lower")
ORDINALS = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
SMALL = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def spoken(name: str) -> str:
    """A switch or event in words: `orbit.left` is "left orbit", `made.ramp` "ramp", `bank.2` "bank 2"."""
    parts = [part.replace("_", " ") for part in name.split(".")]
    if parts[0] in ("made", "entered") and len(parts) > 1:
        parts = parts[1:]
    if len(parts) > 1 and parts[-1] in SIDES:
        parts = [parts[-1], *parts[:-1]]
    if len(parts) > 1 and parts[-1] in ("done", "enter", "made"):
        parts = parts[:-1]
    return " ".join(parts)


def joined(words: "list[str] | tuple[str, ...]", last: str = "and") -> str:
    """A list in words: "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def tuple_of(names: list[str]) -> str:
    """Names as a tuple in source text."""
    quoted = [f'"{name}"' for name in names]
    return f"({', '.join(quoted)}{',' * (len(names) == 1)})"


def as_name(title: str) -> str:
    """A rule's title as a Python name: "Pollen Run" is `pollen_run`; "" when nothing is left of it."""
    name = re.sub(r"[^a-z0-9]+", "_", title.lower()).strip("_")
    return name if name.isidentifier() and not keyword.iskeyword(name) else ""


def as_class(name: str) -> str:
    """A name as a class's: `pollen_run` is `PollenRun`."""
    return "".join(part.capitalize() for part in name.split("_"))


def shown(title: str, cells: int = 16) -> str:
    """A title for a display line: capitals, letters, digits and blanks, whole words, `cells` at most."""
    kept = re.sub(r"[^A-Z0-9 ]", "", title.upper())
    while len(kept) > cells:
        kept = kept.rpartition(" ")[0] or kept[:cells]
    return kept


def count(number: int) -> str:
    """A small number in words."""
    return SMALL[number] if number < len(SMALL) else str(number)


def ordinal_of(number: int) -> str:
    """A small number as a place in an order."""
    return ORDINALS[number] if number < len(ORDINALS) else f"{number}th"


def sentence(text: str) -> str:
    """With a capital first and a full stop at the end."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
