"""The folder map of DEVELOPERS.md and the folders' READMEs, compared with the tree."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TOP = ("firmware", "boards", "simulator", "hil")
TEMPLATE = re.compile(r"^```python$.*?^```$", re.M | re.S)  # to be copied, not read
MANY = 5  # modules: folders of `hil` and `simulator` with more have a README


def mapped() -> set[str]:
    """Every folder or file that the first column of the tables under "The folders" names."""
    section = PAGE.partition("## The folders")[2].partition("\n## ")[0]
    cells = [line.split("|")[1] for line in section.splitlines() if line.startswith("| `")]
    return {path for cell in cells for path in re.findall(r"`([^`]+)`", cell)}


def packages(top: str, depth: int) -> set[str]:
    """The packages down to `depth` levels below a top folder."""
    found = {path.parent.relative_to(ROOT) for path in (ROOT / top).rglob("*.py")}
    return {path.as_posix() for path in found if 1 < len(path.parts) <= depth}


def test_every_path_of_the_map_is_there():
    assert [path for path in mapped() if not (ROOT / path).exists()] == []


@pytest.mark.parametrize("top", ["firmware", "simulator", "hil"])
def test_every_folder_is_on_the_map(top):
    assert top in mapped() or top == "firmware"
    assert packages(top, 2) - mapped() == set()


@pytest.mark.parametrize("top", ["simulator", "hil"])
def test_folders_with_many_modules_have_a_readme_of_a_page(top):
    for folder in {top, *packages(top, 3)}:
        modules = [path for path in (ROOT / folder).glob("*.py") if path.name != "__init__.py"]
        readme = ROOT / folder / "README.md"
        assert len(modules) <= MANY or readme.is_file(), f"{folder} has no README"
        if folder == "hil/benchmarks/reliability":  # that page is the table of its results
            continue
        if readme.is_file():
            text = TEMPLATE.sub("", readme.read_text(encoding="utf-8"))
            assert len(text.splitlines()) <= 90, f"{readme} is more than a page"


def test_a_readme_names_only_modules_that_are_there():
    for top in ("simulator", "hil"):
        for readme in (ROOT / top).rglob("README.md"):
            named = re.findall(r"`(\w+\.py)`", readme.read_text(encoding="utf-8"))
            assert [name for name in named if not (readme.parent / name).is_file()] == []
