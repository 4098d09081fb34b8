"""What an editor is given: names complete inside quotes, and a wrong one is underlined."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hil import games
from hil.authoring import editor
from hil.authoring.starter.begin import begin
from hil.authoring.starter.wanted import Wanted
from hil.build import staging
from hil.checks.build import all_findings
from hil.command import check, names
from hil.command.file_watch import stamps

TOOLS = Path(sys.executable).parent
needs_pyright = pytest.mark.skipif(
    not (TOOLS / "pyright-langserver").exists(), reason="pyright is not installed (extra dev)"
)
needs_node = pytest.mark.skipif(shutil.which("node") is None, reason="there is no node for pyright")

RIGHT = '''"""Names of every kind, as the game has them."""

from firmware.cabinet.hole import Hole
from firmware.parts.bank import Bank
from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.interfaces import RuleTable
from firmware.play.rule_context import RuleContext


class Tried(Feature):
    """One name of each kind."""

    def __init__(self, play: RuleContext) -> None:
        super().__init__(play)
        play.switch("bank.1")
        self.lamp("start")
        self.coil("knocker")
        self.cue("tilt")
        play.settings.get("ball_save")
        play.find("trough")
        self.offer("made.ramp")
        Bank(self, ("bank.2", "bank.3"), pays=(1_000,))
        Window(self, seconds=5, insert="again", cue="")
        Window(self, seconds=5, flasher="auto_plunger")


class Pond(Hole):
    """Names in a class."""

    places = ("saucer",)
    eject_coil = "saucer_eject"


def judge(table: RuleTable) -> None:
    """An award, in a model of the rules."""
    table.pay("points.spinner", 100)
'''
WRONG = {
    "bank.1": "bank.7",
    "start": "strat",
    "knocker": "knoker",
    "tilt": "titl",
    "ball_save": "ball_saev",
    "trough": "troff",
    "made.ramp": "made.rmap",
    "bank.3": "bank.9",
    "again": "agian",
    "auto_plunger": "auto_plugner",
    '"saucer"': '"sauser"',
    "saucer_eject": "saucer_ejekt",
    "points.spinner": "points.spiner",
}


@pytest.fixture(scope="module")
def tried(tmp_path_factory) -> Path:
    """A new game with what an editor needs."""
    folder = tmp_path_factory.mktemp("editor") / "tried_game"
    begin(folder, Wanted(saucer=True))
    editor.write(games.load(str(folder)))
    return folder


def complaints(folder: Path) -> dict[tuple[str, int], str]:
    """What pyright says of a folder: the rule by file and line."""
    done = subprocess.run(
        [TOOLS / "pyright", "--outputjson", "-p", folder], capture_output=True, text=True, timeout=120
    )
    said = json.loads(done.stdout)
    assert said["summary"]["filesAnalyzed"] > 5
    return {
        (Path(one["file"]).name, one["range"]["start"]["line"] + 1): one["rule"]
        for one in said["generalDiagnostics"]
    }


class LanguageServer:
    """Pyright's language server, with one folder open in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.process = subprocess.Popen(
            [TOOLS / "pyright-langserver", "--stdio"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self.asked = 0
        uri = folder.as_uri()
        can = {"workspace": {"configuration": True, "workspaceFolders": True}}
        opened = [{"uri": uri, "name": folder.name}]
        self.ask("initialize", processId=None, rootUri=uri, capabilities=can, workspaceFolders=opened)
        self.post(method="initialized", params={})

    def offered(self, file: str, text: str, at: int) -> set[str]:
        """What is offered at a place of a text that is typed into a new file."""
        document = {"uri": (self.folder / file).as_uri()}
        opened = {**document, "languageId": "python", "version": 1, "text": text}
        self.post(method="textDocument/didOpen", params={"textDocument": opened})
        before = text[:at]
        place = {"line": before.count("\n"), "character": at - (before.rfind("\n") + 1)}
        found = self.ask("textDocument/completion", textDocument=document, position=place)
        return {item["label"].strip("\"'") for item in found["items"]}

    def ask(self, method: str, **params: object) -> dict:
        """The server's answer; its own questions, for its configuration, are answered with nothing."""
        self.asked += 1
        self.post(id=self.asked, method=method, params=params)
        while "method" in (message := self.receive()) or message["id"] != self.asked:
            if "method" in message and "id" in message:
                items = message["params"].get("items", [])
                self.post(id=message["id"], result=[None] * len(items))
        return message["result"]

    def post(self, **message: object) -> None:
        """Write a message with its header."""
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(data) + data)
        self.process.stdin.flush()

    def receive(self) -> dict:
        """Read one message."""
        length = 0
        while line := self.process.stdout.readline().strip():
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        assert length, "the language server has ended"
        return json.loads(self.process.stdout.read(length))


@pytest.fixture(scope="module")
def server(tried):
    """A language server for the new game."""
    found = LanguageServer(tried)
    yield found
    found.process.kill()
    found.process.communicate()


@needs_pyright
@needs_node
def test_right_names_are_clean_and_each_wrong_one_is_reported_at_its_line(tried):
    text = RIGHT
    for right, wrong in WRONG.items():
        assert text.count(right) == 1, right
        text = text.replace(right, wrong)
    right_file, wrong_file = tried / "features/right.py", tried / "features/wrong.py"
    right_file.write_text(RIGHT, encoding="utf-8")
    wrong_file.write_text(text, encoding="utf-8")
    lines = {line for line, word in enumerate(text.splitlines(), 1) if any(w in word for w in WRONG.values())}
    found = complaints(tried)
    right_file.unlink()
    wrong_file.unlink()
    assert len(lines) == len(WRONG)
    assert found.keys() == {("wrong.py", line) for line in lines}
    assert set(found.values()) == {"reportArgumentType", "reportAssignmentType"}


@needs_pyright
@needs_node
@pytest.mark.parametrize(
    ("typed", "alias"),
    [
        ("play.switch(", "SwitchName"),
        ("self.lamp(", "LampName"),
        ("self.coil(", "CoilName"),
        ("self.cue(", "CueName"),
        ("play.settings.get(", "SettingName"),
        ("play.find(", "FeatureName"),
        ("self.offer(", "RaisedEvent"),
        ("Bank(self, (", "SwitchName"),
        ("insert=", "LampName"),
        ("eject_coil = ", "CoilName"),
        ("table.pay(", "AwardName"),
    ],
)
def test_a_quote_offers_the_names(tried, server, typed, alias):
    stub: dict[str, object] = {}
    exec((tried / editor.STUB).read_text(encoding="utf-8"), stub)
    wanted = set(stub[alias].__args__)
    assert wanted
    at = RIGHT.index(typed) + len(typed) + 1
    text = RIGHT[:at] + RIGHT[RIGHT.index('"', at) :]  # the quotes stand, nothing between them
    assert wanted <= server.offered(f"features/typed_{at}.py", text, at)


@pytest.mark.slow
@needs_pyright
@needs_node
@pytest.mark.parametrize("name", games.built_in())
def test_the_games_that_are_shipped_have_no_wrong_name(name, tmp_path):
    folder = tmp_path / "copied_game"
    shutil.copytree(games.load(name).folder, folder, ignore=shutil.ignore_patterns("__pycache__", "scripts"))
    for file in folder.rglob("*.py"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace(f"firmware.games.{name}", "copied_game"), encoding="utf-8")
    editor.write(games.load(str(folder)))
    assert complaints(folder) == {}


def test_nothing_for_the_editor_reaches_a_board(tried):
    game = games.load(str(tried))
    assert all("typings" not in name for name in staging.game_sources(game))
    assert all("typings" not in name and "name_types" not in name for name, _ in staging_files(game))


def staging_files(game):
    """Every file of an image, and what the game's identity is taken from beyond the firmware."""
    yield from staging.engine_sources("pico_matrix").items()
    yield from staging.game_sources(game).items()


def test_checks_find_nothing_in_what_the_editor_needs(tried):
    assert [str(finding) for finding in all_findings(str(tried))] == []


def test_a_check_renews_the_names_where_they_have_changed(tried, capsys, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    games.forget("tried_game")
    tones = tried / "host/tones.py"
    before = tones.read_text(encoding="utf-8")
    asked = check.Asked(str(tried), False, "", check.chips.RP2040, 0, False)
    check.check_once(asked)
    assert "renewed" not in capsys.readouterr().out
    tones.write_text(
        before.replace("TONES = (\n", 'TONES = (\n    ("gong", ((440, 50),)),\n'), encoding="utf-8"
    )
    watched = stamps(tried)
    games.forget("tried_game")  # as --watch does
    check.check_once(asked)
    assert "the names for editors are renewed" in capsys.readouterr().out
    assert '"gong"' in (tried / editor.STUB).read_text(encoding="utf-8")
    assert stamps(tried) == watched  # --watch does not check again for it
    tones.write_text(before, encoding="utf-8")
    names.renew_changed(str(tried))
    assert '"gong"' not in (tried / editor.STUB).read_text(encoding="utf-8")


def test_a_check_writes_nothing_into_a_game_without_names(tmp_path):
    folder = tmp_path / "plain_game"
    begin(folder, Wanted())
    names.renew_changed(str(folder))
    assert not names.renew_checked(str(folder))
    assert not (folder / "host/typings").exists()


def test_a_configuration_keeps_what_its_author_added(tried):
    path = tried / editor.CONFIGURATION
    before = path.read_text(encoding="utf-8")
    path.write_text(json.dumps({"typeCheckingMode": "strict", "extraPaths": ["/gone"]}), encoding="utf-8")
    kept = json.loads(editor.configuration(games.load(str(tried))))
    path.write_text(before, encoding="utf-8")
    assert kept["typeCheckingMode"] == "strict"
    assert kept["extraPaths"] == json.loads(before)["extraPaths"]


def test_a_configuration_that_is_no_json_is_said(tried):
    path = tried / editor.CONFIGURATION
    before = path.read_text(encoding="utf-8")
    path.write_text("{", encoding="utf-8")
    with pytest.raises(games.GameError, match="no JSON") as refused:
        editor.configuration(games.load(str(tried)))
    path.write_text(before, encoding="utf-8")
    assert str(path) in str(refused.value)
