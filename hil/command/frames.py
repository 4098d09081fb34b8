"""`inlane measure frames`: how long the desk needs for a frame, and what it costs while nothing happens."""

import json
import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from firmware.base.errors import ScriptError, UsageError
from hil import games
from hil.command.at_desk import DeskSetup, PlayedMachine
from hil.command.look import read_size
from hil.command.past import RecordedMachine

if TYPE_CHECKING:
    from simulator.desk.desk import Desk

FRAME_MS = 1000 / 60
PERCENTILES = (50, 90, 99, 100)
LIMIT_MS = 120_000  # of virtual time, until so many balls are out
READY_MS = 2000  # after switching on, with every ball seen in its place
TAP_MS, SHOT_MS = 60, 450
TURN = 27  # frames from one act of the player to the next
HOLD = "+"  # before a contact that stays closed
SWARM = "frame.1 frame.2 frame.3 frame.4 frame.1 frame.2 frame.3 frame.4 +hive.1 +hive.2 meadow.1"

Named = Annotated[str, typer.Option("--game", help="Game, by name or folder.")]
Seconds = Annotated[int, typer.Option(min=1, help="Seconds of play, and of each rest.")]
Balls = Annotated[int, typer.Option(min=1, max=6, help="How many balls are out in the play.")]
Contacts = Annotated[
    str, typer.Option(help="Contacts that bring the balls out, closed by turns; +NAME stays closed.")
]
Repeats = Annotated[int, typer.Option(min=1, help="How often the same play is measured.")]
Window = Annotated[str, typer.Option("--size", help="The window in pixels, as in 1280x800.")]
Rolls = Annotated[bool, typer.Option("--rolls/--shots", help="Balls that roll, or whole shots.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")]


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(frames)


def frames(
    game: Named = "honey_flow",
    seconds: Seconds = 10,
    balls: Balls = 3,
    contacts: Contacts = SWARM,
    size: Window = "1280x800",
    repeats: Repeats = 3,
    rolls: Rolls = True,
    as_json: AsJson = False,
) -> int:
    """Frame times with several balls out, and the processor's share while the desk rests.

    Example: inlane measure frames --seconds 20

    A frame is events, rules, balls and picture; 60 a second leave 16.7 ms for each. The same play is
    repeated, and the shortest time of each frame counts, so that other programs disturb less. In a window
    where there is a screen, without one in memory. At rest: processor time as a share of one core.
    """
    from simulator.desk import window  # loaded only here: it needs pygame

    if not window.has_screen():
        window.use_headless()
    setup = DeskSetup(games.load(game))
    window.open_window(f"frames of {setup.game.name}", read_size(size))
    attract = _rest(_fresh(setup, rolls), seconds)
    played = []
    for _ in range(repeats):
        desk = _fresh(setup, rolls)
        _play_until(desk, contacts.split(), balls)
        played.append(_played(desk, seconds))
    times = [min(each) for each in zip(*(one for one, _ in played), strict=True)]
    processor = sum(one for _, one in played) / repeats
    desk.pace.paused = True
    paused = _rest(desk, seconds)
    told = {f"p{percent}_ms": percentile(times, percent) for percent in PERCENTILES}
    told |= {"frames": len(times), "late": sum(one > FRAME_MS for one in times)}
    told |= {"processor_ms": processor, "paused_share": paused, "attract_share": attract}
    print(json.dumps(told) if as_json else _words(told, size, balls))
    return 0


def percentile(times: Sequence[float], percent: int) -> float:
    """The smallest of the times that so many percent of them do not exceed."""
    ordered = sorted(times)
    return ordered[max(0, -(-len(ordered) * percent // 100) - 1)]


def _words(told: dict[str, float], size: str, balls: int) -> str:
    shown = ", ".join(f"{percent} %: {told[f'p{percent}_ms']:.1f} ms" for percent in PERCENTILES)
    return "\n".join(
        (
            f"{told['frames']:.0f} frames at {size} with {balls} balls out: {shown}",
            f"processor time of a frame: {told['processor_ms']:.1f} ms on average",
            f"frames longer than {FRAME_MS:.1f} ms: {told['late']:.0f}",
            f"at rest, of one core: {told['paused_share']:.1%} with the time stopped,"
            f" {told['attract_share']:.1%} in attract",
        )
    )


def _fresh(setup: DeskSetup, rolls: bool) -> "Desk":
    """A desk whose machine was just switched on, and can go back in time."""
    machine = RecordedMachine(setup, _switch_on(setup, rolls), 1, {})
    return setup.desk(machine, machine)


def _switch_on(setup: DeskSetup, rolls: bool) -> Callable[[], PlayedMachine]:
    if not rolls:
        return lambda: setup.live(1, {})
    from hil.command import rolling  # loaded only here: it needs pymunk

    return lambda: rolling.switch_on(setup, 1, {})


def _rest(desk: "Desk", seconds: int) -> float:
    """The processor time of the desk's loop as a share of the time on the clock."""
    from simulator.desk.window import Frames  # loaded only here: it needs pygame

    loop = Frames(desk)
    began, spent = time.monotonic(), time.process_time()
    while time.monotonic() - began < seconds:
        loop.play()
    return (time.process_time() - spent) / (time.monotonic() - began)


def _play_until(desk: "Desk", contacts: Sequence[str], balls: int) -> None:
    """Start a game, plunge, close contacts by turns until so many balls are out, then let all of them open.

    Raises UsageError when so many do not come out.
    """
    machine, turns = desk.machine, 0
    for _ in range(READY_MS // TAP_MS):
        desk.step(TAP_MS, ())
    _tap(desk, "start")
    while machine.places()["playfield"] < balls:
        if machine.now > LIMIT_MS:
            out = machine.places()["playfield"]
            raise UsageError(f"{out} balls, not {balls}, were out after {LIMIT_MS // 1000} s of play")
        _plunge(desk)
        if machine.places()["playfield"] and turns < len(contacts):
            _tap(desk, contacts[turns])
            turns += 1
    for name in contacts:
        if name.startswith(HOLD):
            machine.switch(name.removeprefix(HOLD), False)


def _tap(desk: "Desk", name: str) -> None:
    """Close a contact for a moment; one with HOLD stays closed."""
    machine = desk.machine
    machine.switch(name.removeprefix(HOLD), True)
    machine.run_to(machine.now + TAP_MS)
    if not name.startswith(HOLD):
        machine.switch(name, False)
    machine.run_to(machine.now + SHOT_MS)


def _plunge(desk: "Desk") -> None:
    """Plunge a ball that waits in the lane."""
    machine = desk.machine
    try:
        machine.shoot(_shots(desk)[0])
    except ScriptError:
        pass  # none waits there yet; who asks looks how many balls are out
    machine.run_to(machine.now + SHOT_MS)
    machine.end_shot(_shots(desk)[0])
    machine.run_to(machine.now + SHOT_MS)


def _shots(desk: "Desk") -> list[str]:
    return [key.name for _, keys in desk.keymap.groups for key in keys if key.kind == "shot"]


def _act(desk: "Desk", number: int) -> None:
    """Shoot something by turns, and flip; whatever cannot be shot now is left out."""
    machine, shots = desk.machine, _shots(desk)
    for switch in desk.flippers:
        machine.switch(switch, number % 2 == 0)
    for shot in (shots[0], shots[number % len(shots)]):
        try:
            machine.shoot(shot)
        except ScriptError:
            continue


def _played(desk: "Desk", seconds: int) -> tuple[list[float], float]:
    """The ms of each frame on the clock, without the wait for the next; its processor time on average."""
    import pygame  # loaded only here: a bench without a desk does not have it

    surface = pygame.display.get_surface()
    times: list[float] = []
    spent = time.process_time()
    for number in range(seconds * 60):
        if number % TURN == 0:
            _act(desk, number // TURN)
        began = time.perf_counter()
        desk.step(17 if number % 3 else 16, pygame.event.get())
        pygame.display.update(desk.draw(surface))
        times.append((time.perf_counter() - began) * 1000)
    return times, (time.process_time() - spent) * 1000 / len(times)
