"""The glossary of DEVELOPERS.md: each word once, in order, and in use."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDERS = ("boards", "firmware", "hil", "simulator")


def entries() -> list[str]:
    """What stands in the first column."""
    section = (
        (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Glossary")[2].partition("## ")[0]
    )
    return [line.split("|")[1].strip() for line in section.splitlines() if line.startswith("| ")][1:]


def test_words_are_in_order_and_each_is_defined_once():
    words = [word for entry in entries() for word in entry.split(", ")]
    assert len(words) > 20
    assert len(words) == len(set(words))
    assert entries() == sorted(entries(), key=str.lower)


def test_every_word_is_used_by_a_page_or_a_docstring():
    files = [path for top in FOLDERS for end in ("md", "py") for path in (ROOT / top).rglob(f"*.{end}")]
    text = " ".join(path.read_text(encoding="utf-8") for path in files).lower()
    words = [word for entry in entries() for word in entry.split(", ")]
    assert [word for word in words if not re.search(rf"\b{word.replace(' ', ' ?')}s?\b", text)] == []
