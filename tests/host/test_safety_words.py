"""Signal words and signs of the pages on safety, as their standards define them.

ANSI Z535.4, 4.14, as quoted by a label maker (read, safetylabel.com): DANGER "will result in death
or serious injury", WARNING "could result in" the same, CAUTION "could result in minor or moderate injury",
NOTICE "practices not related to personal injury". ISO 7010 numbers of signs and IEC 60417-5036: mem. Neither
standard was read in the original.
"""

import re
from pathlib import Path

import pytest

from hil.electrical.worksheets.tables import WARNING as HEAD_OF_SHEETS

ROOT = Path(__file__).parents[2]
SAFETY = (ROOT / "boards" / "SAFETY.md").read_text(encoding="utf-8")
WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
SIGNS = {"W001": "general", "W012": "electricity", "W017": "hot surface", "W024": "crushing of hands"}
HURTS = re.compile(r"\b(kill|death|injur|shock|burn|blind|seizure|fingers)", re.IGNORECASE)


def plain(page: str) -> str:
    """A page in one line, without what Markdown adds."""
    return " ".join(page.replace("*", "").replace(">", " ").split())


def hazards() -> list[tuple[str, str, str]]:
    """Signal word, title and text of each block of the page on safety."""
    blocks = [block for block in re.split(r"\n\n", SAFETY) if block.startswith("> **")]
    found = [re.match(r"> \*\*([A-Z]+) – (.+?)\*\*(.*)", block, re.S) for block in blocks]
    assert all(found)
    return [(one[1], one[2], plain(one[3])) for one in found if one]


@pytest.mark.parametrize("page", [SAFETY, HEAD_OF_SHEETS], ids=["SAFETY.md", "work sheets"])
def test_words_are_explained_as_the_standard_defines_them(page):
    text = plain(page)
    assert re.search(r"DANGER[^.]*?\bwill\b[^.]*death or serious injury", text)
    assert re.search(r"WARNING[^.;]*?\bcould\b", text)
    assert re.search(r"CAUTION[^.]*?\bcould cause minor or moderate injury", text)
    assert "ANSI Z535.4" in text


def test_each_hazard_has_one_of_the_words_and_the_gravest_come_first():
    ranks = [WORDS.index(word) for word, _, _ in hazards()]
    assert len(ranks) > 6
    assert ranks == sorted(ranks)
    assert set(ranks) == {0, 1, 2, 3}


def test_what_is_told_by_notice_hurts_nobody():
    told = [(title, text) for word, title, text in hazards() if word == "NOTICE"]
    assert told
    assert [title for title, text in told if HURTS.search(text)] == []


def test_the_mains_are_a_danger():
    assert "DANGER" in [word for word, title, _ in hazards() if "mains" in title]


@pytest.mark.parametrize(
    "path", sorted((ROOT / "boards").rglob("*.md")) + [ROOT / "README.md"], ids=lambda p: p.name
)
def test_bold_words_in_capitals_are_signal_words(path):
    bold = re.findall(r"^> \*\*([A-Z]{5,})\b", path.read_text(encoding="utf-8"), re.M)
    assert set(bold) <= set(WORDS)


def test_signs_have_the_numbers_of_the_standard():
    named = re.findall(r"ISO 7010 (W\d{3}) \(([^)]+)\)", plain(SAFETY))
    assert ("W012", "electricity") in named
    assert all(SIGNS.get(number) == meaning for number, meaning in named)
    assert "IEC 60417-5036 (dangerous voltage)" in plain(SAFETY)
