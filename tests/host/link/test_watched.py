"""A machine that plays by itself, looked at over the link: in virtual time, and as a process."""

import io
import time
from pathlib import Path
from typing import Any

import pytest
import typer
from rich.console import Console as Terminal
from typer.testing import CliRunner

from boards.unix.pins import PinBoard
from firmware.base.errors import LinkError, UsageError
from firmware.console import Console
from firmware.link.device import Device
from firmware.link.machine import RECORDS, Machine
from hil import games
from hil.bench.outcome import PASS, Outcome
from hil.bench.targets.link import open_port
from hil.bench.targets.linked import LinkTarget, identity
from hil.bench.watched import WatchedMachine
from hil.command import watch
from hil.command.script_bench import Bench
from hil.command.watch_screen import bar, screen
from hil.games import Game
from hil.micropython import Spawned

GAME = games.load("honey_flow")
SCRIPTS = GAME.folder / "scripts"
SHORT = "bee_lanes_complete.play"


class Playing(Machine):
    """A game that plays by itself; contacts come from a list, at their times."""

    def __init__(self, game: Game, changes: list[tuple[int, str, bool]], settings: dict[str, int]) -> None:
        self.name = game.name
        self.switches = len(game.wiring.SWITCHES)
        self.game = game
        self.pins = PinBoard(game.wiring, None)
        self.alone: Console | None = Console(game.module, seed=1, settings=settings, trace_capacity=RECORDS)
        self.changes = list(changes)
        self._ids = {row[0]: at for at, row in enumerate(game.wiring.SWITCHES)}

    def identify(self, nonce: Any) -> bytes:
        return identity(bytes(nonce), self.game)

    def playing(self) -> Any:
        return self.alone

    def give_way(self) -> None:
        self.alone = None

    def sensed(self) -> tuple[int, ...]:
        return (48_000, 5_010, 0)

    def run_to(self, now_ms: int) -> None:
        assert self.alone
        while self.changes and self.changes[0][0] <= now_ms:
            ms, name, closed = self.changes.pop(0)
            self.alone.run_to(ms)
            self.alone.contact(self._ids[name], closed)
        self.alone.run_to(now_ms)


class VirtualLine:
    """A port behind which a machine plays; its time passes by `step_ms` with each LOOK."""

    def __init__(self, machine: Playing, step_ms: int = 20) -> None:
        self.machine = machine
        self.device = Device(machine, self._put)
        self.now = 0
        self.step_ms = step_ms
        self._to_host = bytearray()

    def _put(self, data: bytearray, end: int) -> None:
        self._to_host += data[:end]

    @property
    def in_waiting(self) -> int:
        return len(self._to_host)

    def read(self, size: int, /) -> bytes:
        found = bytes(self._to_host[:size])
        del self._to_host[:size]
        return found

    def write(self, data: bytes, /) -> int:
        for byte in data:
            self.device.take(byte, self.now)
        return len(data)

    def play(self) -> None:
        self.now += self.step_ms
        self.machine.run_to(self.now)

    def close(self) -> None:
        """Nothing to give back."""


def recorded(name: str) -> Outcome:
    """A script's run at the desk, with the contacts that its balls made."""
    with Bench("desk") as bench:
        return bench.run(bench.read(SCRIPTS / name, GAME), GAME)


def watched(line: VirtualLine, until_ms: int) -> WatchedMachine:
    machine = WatchedMachine(line, lambda: line.now / 1000)
    machine.follow(GAME)
    while line.now < until_ms:
        line.play()
        machine.poll()
    return machine


@pytest.mark.parametrize("name", [SHORT, pytest.param("whole_game.play", marks=pytest.mark.slow)])
def test_a_game_that_was_watched_is_a_script_with_the_same_score(tmp_path: Path, name: str) -> None:
    played = recorded(name)
    line = VirtualLine(Playing(GAME, list(played.contact_changes), {}))
    machine = watched(line, played.simulated_ms)
    alone = line.machine.alone
    assert alone
    assert machine.lost == 0
    assert sum(machine.view.scores.values()) > 0
    assert machine.view.scores == {1 + at: alone.play.score.scores[at] for at in range(machine.view.players)}
    assert machine.view.lamps == dict(zip(alone.lamp_names, alone.play.lamps.shown, strict=True))
    assert machine.view.switches == {
        name: bool(alone.play.closed[at]) for at, name in enumerate(alone.switch_names)
    }
    log = tmp_path / "seen.play"
    watch.write_log(machine, GAME, log)
    with Bench("desk") as bench:
        again = bench.run(bench.read(log, GAME), GAME)
    assert again.code == PASS
    assert again.scores == machine.view.scores


def test_who_comes_in_the_middle_sees_how_everything_stands(tmp_path: Path) -> None:
    played = recorded(SHORT)
    line = VirtualLine(Playing(GAME, list(played.contact_changes), {}))
    while line.now < played.simulated_ms // 2:
        line.play()
    machine = watched(line, line.now)
    alone = line.machine.alone
    assert alone
    assert machine.began_in_game
    assert machine.now_ms == 0
    assert machine.view.lamps == dict(zip(alone.lamp_names, alone.play.lamps.shown, strict=True))
    assert any(machine.view.lines)
    closed = {name for at, name in enumerate(alone.switch_names) if alone.play.closed[at]}
    assert {one.switch for one in machine.edges} == closed
    watch.write_log(machine, GAME, tmp_path / "half.play")
    assert "began in a game" in (tmp_path / "half.play").read_text()


def test_records_that_came_too_fast_are_counted_and_everything_is_read_anew(tmp_path: Path) -> None:
    played = recorded(SHORT)
    line = VirtualLine(Playing(GAME, list(played.contact_changes), {}))
    machine = watched(line, 1000)
    line.step_ms = played.simulated_ms - line.now
    line.play()
    machine.poll()
    alone = line.machine.alone
    assert alone
    assert machine.lost > 0
    assert machine.view.lamps == dict(zip(alone.lamp_names, alone.play.lamps.shown, strict=True))
    watch.write_log(machine, GAME, tmp_path / "gaps.play")
    assert "missed" in (tmp_path / "gaps.play").read_text()


def test_watching_changes_nothing() -> None:
    played = recorded(SHORT)
    seen = VirtualLine(Playing(GAME, list(played.contact_changes), {}))
    machine = watched(seen, played.simulated_ms)
    machine.close()
    alone = VirtualLine(Playing(GAME, list(played.contact_changes), {}))
    while alone.now < played.simulated_ms:
        alone.play()
    assert seen.machine.alone
    assert alone.machine.alone
    assert seen.machine.alone.trace.digest() == alone.machine.alone.trace.digest()
    assert seen.machine.alone.coils.limiter.state == alone.machine.alone.coils.limiter.state


def test_a_setting_that_is_not_the_usual_one_goes_into_the_script(tmp_path: Path) -> None:
    line = VirtualLine(Playing(GAME, [], {"balls": 5}))
    machine = watched(line, 200)
    watch.write_log(machine, GAME, tmp_path / "seen.play")
    text = (tmp_path / "seen.play").read_text()
    assert "set     balls to 5" in text
    assert text.count("set ") == 1


def test_another_game_is_refused() -> None:
    line = VirtualLine(Playing(GAME, [], {}))
    machine = WatchedMachine(line, lambda: line.now / 1000)
    with pytest.raises(LinkError, match="plays the game 'honey_flow', asked for was 'kit_room'"):
        machine.follow(games.load("kit_room"))


def test_another_version_is_refused() -> None:
    line = VirtualLine(Playing(GAME, [], {}))
    line.machine.identify = lambda nonce: bytes(32)  # type: ignore[method-assign]
    machine = WatchedMachine(line, lambda: line.now / 1000)
    with pytest.raises(LinkError, match="does not run this firmware"):
        machine.follow(GAME)


def text_of(machine: WatchedMachine) -> str:
    out = io.StringIO()
    Terminal(width=120, file=out).print(screen(machine))
    return out.getvalue()


def test_the_screen_shows_contacts_lamps_coils_windows_awards_and_faults() -> None:
    played = recorded(SHORT)
    line = VirtualLine(Playing(GAME, list(played.contact_changes), {}))
    machine = watched(line, 0)
    windows = ""
    coils = ""
    while line.now < played.simulated_ms:
        line.play()
        machine.poll()
        if machine.windows and not windows:
            windows = text_of(machine)
            assert machine.windows[0].name in windows
        if not coils and any(one.kind == "coil" and one.value > 0 for one in machine.view.history[-50:]):
            coils = text_of(machine)
            assert " ms, 0." in coils
    assert windows
    assert coils
    assert line.machine.alone
    line.machine.alone.play.faults.report("coil_open", 3, 2)
    line.now += 2000
    machine.poll()
    shown = text_of(machine)
    assert "coil_open 3, 2×" in shown
    assert "coil bus 48.0 V, logic 5.01 V" in shown
    award = [one for one in machine.view.history if one.kind == "award"][-1]
    assert award.name in shown
    for name, pattern in machine.view.lamps.items():
        assert (name in shown) == bool(pattern) or name in machine.view.switches


def test_a_hot_coil_is_red() -> None:
    assert bar(0.79).style == ""
    assert bar(0.8).style == "red"
    assert bar(0.5).plain == "█████·····  50%"
    assert bar(1.2).plain.startswith("█" * 10)


def test_the_look_ends_when_its_time_is_over(capsys: Any) -> None:
    line = VirtualLine(Playing(GAME, [], {}))
    machine = watched(line, 100)
    times: list[float] = []

    def wait(seconds: float) -> None:
        times.append(seconds)
        line.play()

    watch.look(machine, 2.0, lambda: sum(times), wait)
    assert len(times) == 20
    assert "no game is on" in capsys.readouterr().out


def run(*words: str) -> Any:
    app = typer.Typer()
    watch.register(app)
    return CliRunner().invoke(app, list(words), standalone_mode=False)


def test_without_a_port_it_says_how_and_what_else_there_is() -> None:
    error = run().exception
    assert isinstance(error, UsageError)
    assert "--on PORT" in str(error)
    assert "play GAME --watch" in str(error)


def test_micropython_wants_a_game() -> None:
    error = run("--on", "micropython").exception
    assert isinstance(error, UsageError)
    assert "inlane watch GAME --on micropython" in str(error)


def test_a_log_with_another_name_is_refused_before_anything_is_opened() -> None:
    error = run("--on", "/dev/none", "--log", "seen.txt").exception
    assert isinstance(error, UsageError)


@pytest.mark.slow
@pytest.mark.micropython
def test_a_process_of_micropython_is_watched_and_then_taken_over(tmp_path: Path) -> None:
    hands = tmp_path / "hands"
    hands.write_text("400 coin.1 1\n500 coin.1 0\n900 start 1\n1000 start 0\n")
    spawned = Spawned(GAME, extra=("--alone", str(hands)))
    try:
        machine = WatchedMachine(open_port(spawned.port))
        machine.follow(GAME)
        end = time.monotonic() + 2
        while time.monotonic() < end:
            machine.poll()
        machine.close()
        assert [one.name for one in machine.view.history if one.kind == "edge"][:2] == ["coin.1", "coin.1"]
        assert machine.lost == 0
        target = LinkTarget(spawned.port, GAME)
        target.start(1, {})
        assert target.advance(30) == 30
        target.close()
    finally:
        spawned.close()


@pytest.mark.micropython
def test_hands_that_cannot_be_read_end_the_process_with_the_line(tmp_path: Path) -> None:
    hands = tmp_path / "hands"
    hands.write_text("400 coin.1 1\n500 coyn.1 0\n")
    spawned = Spawned(GAME, extra=("--alone", str(hands)))
    try:
        spawned.process.wait(30)
        assert f"{hands}:2: there is no switch 'coyn.1'" in spawned.exit_message()
    finally:
        spawned.close()
