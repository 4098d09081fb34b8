"""A description of a whole game becomes a game that plays; so does a rule by options, or by answers."""

from pathlib import Path

import pytest

from hil import games
from hil.authoring import compose, description, questions
from hil.authoring.draft import Draft
from hil.authoring.facts import gather
from hil.authoring.kind import Scope
from hil.authoring.script_files import with_pauses
from hil.authoring.shots import Shots
from hil.authoring.starter.begin import bare
from hil.authoring.starter.wanted import Wanted
from hil.bench.outcome import PASS
from hil.checks.build import all_findings
from hil.command.at_desk import DeskSetup
from hil.command.play import play_script
from hil.command.replay import Bench, find_scripts
from hil.reports import card

HARBOUR = Path(__file__).parent / "harbour.txt"


@pytest.fixture(scope="module")
def harbour(tmp_path_factory):
    """The folder of the game that the description makes."""
    folder = tmp_path_factory.mktemp("whole") / "harbour"
    draft = bare(folder, Wanted(lock=2))
    blocks = description.read(HARBOUR.read_text(encoding="utf-8"), HARBOUR.name, compose.kinds_and_fields())
    assert len(blocks) == 10
    assert compose.compose(draft, blocks) == []
    draft.save()
    return folder


def outcomes(folder, target="desk"):
    """The outcome of every script of a game."""
    game = games.load(str(folder))
    paths = find_scripts([str(game.scripts)])
    with Bench(target) as bench:
        return [bench.run(bench.read(path, game), game) for path in paths]


def test_ten_rules_are_a_game_without_a_note(harbour):
    assert [str(finding) for finding in all_findings(str(harbour))] == []


def test_its_own_scripts_pass(harbour):
    found = outcomes(harbour)
    assert len(found) >= 50
    assert [(one.path, one.problems, one.reason) for one in found if one.code != PASS] == []


def test_no_file_of_a_rule_is_long(harbour):
    lengths = {path.name: len(path.read_text().splitlines()) for path in (harbour / "features").glob("*.py")}
    assert {name: lines for name, lines in lengths.items() if lines > 150} == {}
    assert sorted(lengths.values())[len(lengths) // 2] < 100


def test_every_rule_is_on_the_card_and_in_the_rule_sheet(harbour):
    game = games.load(str(harbour))
    titles = [rule.title for rule in card.card_of(game, {}).rules]
    sheet = (harbour / "rules.md").read_text(encoding="utf-8")
    for title in ("Points", "First landing", "Tide", "Spring tide", "Fleet", "Haul"):
        assert title.lower() in titles
        assert f"- **{title}.**" in sheet


def test_it_plays_at_the_desk(harbour, tmp_path):
    picture = tmp_path / "desk.png"
    table = DeskSetup(games.load(str(harbour)))
    assert play_script(table, harbour / "scripts" / "tide_made.play", picture, None) == 0
    assert picture.stat().st_size > 10_000


def test_a_hole_gives_its_ball_back_before_the_next_whole_shot():
    text = "shoot saucer\nexpect event made.saucer posted\nshoot vault\nwait 4 s\nshoot ramp\nshoot vault"
    assert with_pauses(text, {"saucer", "vault"}).splitlines() == [
        "shoot saucer",
        "expect event made.saucer posted",
        "wait 2 s",
        *text.splitlines()[2:],
    ]


def test_what_is_left_open_is_marked_in_the_file(tmp_path):
    draft = bare(tmp_path / "ajar", Wanted())
    text = "rule Swell\nkind window\nlit by inlane.left\nmade by ramp\n"
    compose.compose(draft, description.read(text, "open.txt", compose.kinds_and_fields()))
    source = draft.read("features/swell.py")
    assert "# open: 'for' was not said; 15 s stands in for it" in source
    assert "# open: 'pays' was not said; 10,000 stands in for it" in source


def test_a_rule_is_asked_for_in_the_words_of_the_trade(tmp_path):
    answers = iter(["Swell", "windw", "window", "inlan.left", "inlane.left", "ramp", "", "20,005", "20,000"])
    said: list[str] = []
    draft = bare(tmp_path / "asked", Wanted())
    facts = gather(draft)
    scope = Scope(facts, Shots(facts, draft, ()))
    block = questions.ask(lambda question: next(answers, ""), said.append, scope)
    assert (block.name, block.kind) == ("swell", "window")
    texts = {key: entry.text for key, entry in block.entries.items()}
    assert texts == {"lit by": "inlane.left", "made by": "ramp", "pays": "20,000"}
    advice = [line for line in said if "did you mean" in line or "tens" in line]
    assert len(advice) == 3
    assert compose.compose(draft, [block]) == []


def test_a_rule_added_later_hears_the_one_before(tmp_path):
    folder = tmp_path / "later"
    bare(folder, Wanted()).save()
    first = "rule Gulls\nkind lanes\nlanes top\npays 8,000\n"
    second = "rule Swell\nkind window\nlit by Gulls\nmade by ramp\nfor 12 s\npays 9,000\n"
    for text in (first, second):
        draft = Draft(folder, folder.name)
        blocks = description.read(text, "later.txt", compose.kinds_and_fields())
        assert compose.compose(draft, blocks) == []
        draft.save()
    assert '"gulls.done"' in (folder / "features" / "swell.py").read_text()
    assert [(one.path, one.problems) for one in outcomes(folder) if one.code != PASS] == []
