"""The book, followed word for word from an installed wheel in an empty folder."""

import os
import re
import shlex
import shutil
import subprocess
import sys
import textwrap
import zipfile
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BOOK = ROOT / "hil" / "authoring" / "book"
PAGES = sorted(path.name for path in BOOK.glob("*.md"))
PACKED = ("firmware", "boards", "simulator", "hil", "pyproject.toml", "README.md", "LICENSE")
PART = re.compile(
    r"^`([\w./]+)`(?:, (at the top|above|in)(?: `(\w+)`)?)?:\n\n```\w*\n(.*?)^```$"  # a file, or lines of one
    r"|^```console\n(.*?)^```$",
    re.M | re.S,
)
SAID = re.compile(
    r"`(inlane [^`]+)`|^    (inlane .*)$", re.M
)  # a command in a sentence, or one that needs a board
# What needs a screen, a board, a terminal or a file of the reader's; of these the words alone are checked.
BY_HAND = re.compile(
    r"inlane (play (?!--script)|deploy |keep |image |replay .*--on /dev"
    r"|add rule --to ./my_game$|.*\b[A-Z]{3,}\b)"
)


@pytest.fixture(scope="session")
def installed(tmp_path_factory) -> Path:
    """A folder with what the wheel of this checkout installs."""
    source = tmp_path_factory.mktemp("source")
    for name in PACKED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, source / name)
    made = tmp_path_factory.mktemp("wheel")
    words = [
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "--wheel-dir",
        str(made),
        str(source),
    ]
    subprocess.run([sys.executable, *words], check=True, capture_output=True)
    folder = tmp_path_factory.mktemp("installed")
    with zipfile.ZipFile(next(made.glob("*.whl"))) as wheel:
        wheel.extractall(folder)
    return folder


def run(installed: Path, folder: Path, command: str) -> str:
    """What a command prints, and its exit code when that is not 0."""
    program, *words = shlex.split(command)
    assert program == "inlane", f"a page has the command '{program}'"
    done = subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", *words],
        cwd=folder,
        env={
            **os.environ,
            "PYTHONPATH": str(installed),
            "NO_COLOR": "1",
            "COLUMNS": "100",
            "SDL_VIDEODRIVER": "dummy",
        },
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=120,
        check=False,
    )
    return done.stdout + (f"(exit code {done.returncode})\n" if done.returncode else "")


def parts(page: str) -> Iterator[tuple[str, ...]]:
    """What a page has the reader do, in its order: (file, how, place, text, console)."""
    yield from PART.findall(page)


def commands(console: str) -> list[tuple[str, str]]:
    """The commands of a console block, each with the output that the page promises."""
    found = re.split(r"^\$ ", console, flags=re.M)
    assert not found[0].strip(), f"output without a command: {found[0]}"
    return [tuple(one.partition("\n")[::2]) for one in found[1:]]


def is_as_promised(printed: str, promised: str) -> bool:
    """Whether the output is what the page says, where `...` stands for anything."""
    lines = [line.rstrip() for line in promised.strip("\n").splitlines()]
    pattern = ""
    for line in lines:
        if line.strip() == "...":
            pattern += r"(?:.*\n)*?"
        else:
            pattern += re.escape(line).replace(r"\.\.\.", ".*") + r" *\n"
    return (
        re.fullmatch(
            pattern,
            "\n".join(line.rstrip() for line in printed.strip("\n").splitlines()) + "\n"
            if printed.strip()
            else "",
        )
        is not None
    )


def write(folder: Path, name: str, how: str, place: str, text: str) -> None:
    """Make a file, or put lines into one, as a page says."""
    path = folder / name
    if not how:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    if how == "at the top":
        at = next(i for i, line in enumerate(lines) if line.startswith(("from ", "import "))) + 1
    else:
        at = next(i for i, line in enumerate(lines) if line.startswith(place))
        if how == "in":
            at = next(i for i in range(at + 1, len(lines)) if re.match(r"\S", lines[i]))
            text = textwrap.indent(text, "    ")
    path.write_text("".join(lines[:at]) + text + "".join(lines[at:]), encoding="utf-8")


def follow(installed: Path, folder: Path, page: str) -> list[str]:
    """Do what a page says; what is not as it promises."""
    wrong = []
    for name, how, place, text, console in parts(page):
        if name:
            write(folder, name, how, place, text)
            continue
        for command, promised in commands(console):
            printed = run(installed, folder, command)
            if not is_as_promised(printed, promised):
                wrong.append(f"$ {command}\n{printed}\ninstead of\n{promised}")
    return wrong


@pytest.mark.slow
@pytest.mark.parametrize("name", PAGES)
def test_a_page_of_the_book_holds_word_for_word(name, installed, tmp_path):
    page = (installed / BOOK.relative_to(ROOT) / name).read_text(encoding="utf-8")
    assert follow(installed, tmp_path, page) == []


def counted(page: str, last: str) -> tuple[int, int, int]:
    """Commands, lines of rules and tables, lines of scripts, up to the command `last`."""
    run_so_far = rules = scripts = 0
    for name, _how, _place, text, console in parts(page):
        lines = sum(bool(line.strip()) for line in text.splitlines()) if name else 0
        rules += 0 if name.endswith(".play") else lines
        scripts += lines if name.endswith(".play") else 0
        run_so_far += 0 if name else len(commands(console))
        if f"$ {last}\n" in console:
            break
    return run_so_far, rules, scripts


def test_the_first_rule_by_hand_takes_as_many_commands_and_lines_as_its_page_says():
    page = (BOOK / "2_timed_shot.md").read_text(encoding="utf-8")
    told = re.search(r"(\d+) commands and (\d+) lines from nothing to the first passing script", page)
    assert told
    run_so_far, rules, scripts = counted(page, "inlane replay my_game/scripts/quick_ramp.play")
    assert (run_so_far, rules + scripts) == (int(told[1]), int(told[2]))
    assert run_so_far <= 10
    assert rules + scripts <= 40


def test_the_game_of_six_rules_takes_what_its_page_says():
    page = (BOOK / "six_rules.md").read_text(encoding="utf-8")
    told = re.search(r"(\d+) commands, (\d+) lines\s+of rules and tables, (\d+) lines of scripts", page)
    assert told
    assert counted(page, "inlane replay my_game/scripts") == tuple(map(int, told.groups()))


def said(page: str) -> list[str]:
    """The commands in a page's sentences, and those that need a board."""
    return [one or other for one, other in SAID.findall(page)]


@pytest.mark.slow
def test_each_command_in_an_answer_runs(installed, tmp_path):
    page = (BOOK / "questions.md").read_text(encoding="utf-8")
    assert follow(installed, tmp_path, page) == []
    tried = [command for command in said(page) if not BY_HAND.match(command)]
    assert len(tried) > 30
    failed = [command for command in tried if "(exit code" in run(installed, tmp_path, command)]
    assert failed == []


@pytest.mark.slow
@pytest.mark.parametrize("name", PAGES)
def test_each_command_that_is_not_run_is_there_with_its_options(name):
    named = said((BOOK / name).read_text(encoding="utf-8"))
    for command in named if name != "questions.md" else filter(BY_HAND.match, named):
        words = shlex.split(command)[1:]
        page = run(ROOT, ROOT, " ".join(["inlane", *sub_command(words), "--help"]))
        options = [word for word in words if word.startswith("--") and word != "--help"]
        assert [option for option in options if option not in page] == [], command
        assert "(exit code" not in page, command


def sub_command(words: list[str]) -> list[str]:
    """The words that name a command: two of them for `add` and `measure`."""
    return (
        words[:2] if words[:2] and words[0] in ("add", "measure") and words[1:2] != ["--help"] else words[:1]
    )


def test_the_book_answers_forty_questions_in_three_lines_each():
    page = (BOOK / "questions.md").read_text(encoding="utf-8")
    answers = re.findall(r"^\*\*… (.+)\?\*\*\n((?:.+\n)+)", page, re.M)
    assert len(answers) == len({question for question, _answer in answers}) == 40
    assert [question for question, answer in answers if answer.count("\n") > 3] == []


def test_the_pages_follow_one_another_and_the_readme_names_them_in_that_order():
    order = re.findall(r"hil/authoring/book/(\w+\.md)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert order == PAGES
    for before, after in pairwise(PAGES):
        assert f"]({after})" in (BOOK / before).read_text(encoding="utf-8").splitlines()[-1], before


@pytest.mark.parametrize("name", PAGES)
def test_each_link_of_a_page_leads_somewhere(name):
    links = re.findall(r"\]\(([^)#]+)\)", (BOOK / name).read_text(encoding="utf-8"))
    assert [link for link in links if not (BOOK / link).exists()] == []


@pytest.mark.parametrize(
    ("printed", "promised", "holds"),
    [
        ("a\nb\n", "a\nb\n", True),
        ("a\nb\n", "a\n", False),
        ("a\nb\nc\n", "a\n...\n", True),
        ("a\nb\nc\n", "...\nb\n", False),
        ("trace 12ab\n", "trace ...\n", True),
        ("", "", True),
        ("a\n", "", False),
    ],
)
def test_an_output_is_compared_line_by_line(printed, promised, holds):
    assert is_as_promised(printed, promised) is holds
