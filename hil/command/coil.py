"""`inlane coil`: calculates the values of one coil and its drive."""

import json
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from firmware.base.errors import UsageError
from hil import games
from hil.checks import coils as coil_checks
from hil.checks.coil_tables import feed_of
from hil.electrical import windings
from hil.electrical.sums import copper, fuse, limits, netlist, plot, supply, words
from hil.electrical.sums.drive import AMBIENT, COOLING, Drive, Feed, Hold, heat_of
from hil.electrical.sums.feed import SOURCE
from hil.electrical.sums.findings import REFUSED, judge
from hil.electrical.sums.given import not_negative
from hil.electrical.sums.sizing import work_out

REFUSED_EXIT = 1
WIDTH = 100


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(coil)


def coil(
    name: Annotated[str, typer.Argument(help="What you call the coil.")] = "coil",
    volts: Annotated[float, typer.Option(help="Coil supply, measured, V.")] = 48.0,
    source: Annotated[float, typer.Option(help="Resistance of supply and wires, Ω.")] = SOURCE,
    unsmoothed: Annotated[
        bool, typer.Option("--unsmoothed", help="Rectified AC, no reservoir: --volts are effective (RMS).")
    ] = False,
    limit: Annotated[float, typer.Option(help="Most amperes that the supply gives; 0: not known.")] = 0.0,
    guarded: Annotated[
        bool, typer.Option("--guarded", help="Covers, interlock, discharge and signs are there.")
    ] = False,
    unsure: Annotated[
        bool, typer.Option("--insulation-unknown", help="Nobody knows if it is isolated from the mains.")
    ] = False,
    ohms: Annotated[float, typer.Option(help="Measured cold, Ω; or give turns, turn and gauge.")] = 0.0,
    turns: Annotated[float, typer.Option(help="Turns of the winding.")] = 0.0,
    turn: Annotated[float, typer.Option(help="Mean length of a turn, mm.")] = 0.0,
    gauge: Annotated[int, typer.Option(help="Wire gauge, AWG.")] = 0,
    watts: Annotated[
        float, typer.Option(help="What a lamp, motor or meter bears for ever, W, in place of a gauge.")
    ] = 0.0,
    grams: Annotated[float, typer.Option(help="Mass of its copper, when the gauge is unknown.")] = 0.0,
    henries: Annotated[float, typer.Option("--mh", help="Inductance, plunger in, mH.")] = 0.0,
    insulation: Annotated[str, typer.Option(help="Class of IEC 60085; A when unknown.")] = "A",
    pulse: Annotated[float, typer.Option(help="ms.")] = 30.0,
    every: Annotated[float, typer.Option(help="Mean time between pulses in busy play, ms.")] = 3000.0,
    longest: Annotated[float, typer.Option(help="Limit in the wiring table, ms.")] = 0.0,
    forever: Annotated[bool, typer.Option("--forever", help="A hold winding: it may stay on.")] = False,
    hold: Annotated[float, typer.Option(help="PWM after the pulse, % on.")] = 0.0,
    hertz: Annotated[float, typer.Option(help="PWM frequency.")] = 1000.0,
    clamp: Annotated[str, typer.Option(help="diode, zener or none.")] = "diode",
    zener: Annotated[float, typer.Option(help="Zener voltage at the peak current, V.")] = 22.5,
    mosfet: Annotated[float, typer.Option(help="Drain-source rating, V.")] = 100.0,
    with_fuse: Annotated[str, typer.Option("--fuse", help="Such as '2 slow'; fast, slow or ul.")] = "",
    beside: Annotated[str, typer.Option(help="Ω of coils that fire with it: '3,3,4'.")] = "",
    ambient: Annotated[float, typer.Option(help="°C in the cabinet.")] = AMBIENT,
    cooling: Annotated[float, typer.Option(help="W/K the coil gives off.")] = COOLING,
    reservoir: Annotated[float, typer.Option(help="Reservoir, µF: the bleeder's sums too.")] = 0.0,
    bleeder: Annotated[float, typer.Option(help="Bleeder fitted, Ω.")] = 0.0,
    picture: Annotated[Path | None, typer.Option(help="Draw current and heat (png, svg, pdf).")] = None,
    spice: Annotated[Path | None, typer.Option(help="Write the circuit as text for ngspice.")] = None,
    game: Annotated[
        str,
        typer.Option("--game", help="A game instead: HEAT and what goes with it for its wiring table."),
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
) -> int:
    """Work out what a coil does to its supply, its switch, its fuse and itself.

    Example: inlane coil bumper --ohms 4 --gauge 24 --mh 20 --clamp zener --fuse "1.6 slow"

    A supply that gets a reservoir is given by its DC volts then: 1.41 times those that were effective.

    Exit code 0 nothing refused, 1 something refused, 2 a value cannot be. Sums are no permission:
    local codes and licensed people come first.
    """
    if game and as_json:
        raise UsageError(
            "--game prints lines for wiring.py; --json is for a coil that is given by its values"
        )
    if game:
        return _print_game(games.load(game))
    ohms = _ohms(ohms, turns, turn, gauge)
    drive = Drive(
        name=name,
        ohms=ohms,
        feed=Feed(volts, source, not unsmoothed, guarded, not unsure, limit),
        pulse=pulse / 1e3,
        period=every / 1e3,
        henries=henries / 1e3,
        copper_heat=heat_of(ohms, gauge or None, grams or None),
        bears=watts,
        insulation=insulation.upper(),
        clamp=clamp,
        zener=zener,
        rating=mosfet,
        fuse=fuse.parse(with_fuse) if with_fuse else None,
        longest=longest / 1e3,
        forever=forever,
        hold=Hold(hold / 100, hertz) if hold else None,
        ambient=ambient,
        cooling=cooling,
        beside=_numbers(beside),
    )
    not_negative("bleeder", bleeder)
    not_negative("reservoir", reservoir)
    tank = supply.Reservoir(drive.feed.peak, reservoir / 1e6) if reservoir else None
    return _print_drive(drive, tank, bleeder, picture, spice, as_json)


def _print_game(game: games.Game) -> int:
    """Print the coil limiter's budgets, ready for wiring.py."""
    rows = coil_checks.heat_rows(game)
    print(
        "HEAT = (\n    # coil, mA while on, heat budget in ms of on-time, percent of on-time borne for ever"
    )
    for coil, milliamperes, budget_ms, percent in rows:
        print(f'    ("{coil}", {milliamperes}, {budget_ms}, {percent}),')
    feed = feed_of(game)
    print(f")\nSUPPLY_MA = {windings.supply_bears(feed)}  # at once")
    print(f"COIL_VOLTS_LOW_MV = {windings.volts_low_mv(feed)}  # below it queued coils wait")
    refused = coil_checks.refusals(game)
    for sentence in refused:
        typer.echo(f"refused: {sentence}", err=True)
    return REFUSED_EXIT if refused else 0


def _print_drive(
    drive: Drive,
    tank: supply.Reservoir | None,
    bleeder: float,
    picture: Path | None,
    spice: Path | None,
    as_json: bool,
) -> int:
    sums = work_out(drive)
    findings = judge(drive, sums)
    derived = None if drive.forever else limits.derive(drive, sums)
    if picture:
        plot.draw(drive, sums, picture)
    if spice:
        _save(spice, _circuit(drive) + "\n.end\n")
    if as_json:
        print(json.dumps(words.data(drive, sums, derived, findings), ensure_ascii=False, indent=1))
    else:
        console = Console(width=WIDTH, highlight=False)
        console.print(_table(f"{drive.name}, {drive.feed.volts:g} V", words.rows(drive, sums)))
        if derived:
            console.print(_table("limits for its wiring table", words.budget(derived)))
        if tank:
            console.print(_table("reservoir, at the worst corner", _discharge(tank, bleeder)))
        for finding in findings:
            console.print(str(finding), markup=False)
    return REFUSED_EXIT if any(finding.weight == REFUSED for finding in findings) else 0


def _save(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(str(error.strerror), str(path)) from None


def _table(title: str, found: list[tuple[str, str]]) -> Table:
    table = Table(title=title, show_header=False, title_justify="left")
    for row in found:
        table.add_row(*row)
    return table


def _discharge(nominal: supply.Reservoir, fitted: float) -> list[tuple[str, str]]:
    worst = nominal.worst()
    most = supply.bleeder(nominal)
    found = [
        ("charged to", f"{worst.volts:.1f} V on {worst.farads * 1e6:.0f} µF, {worst.joules:.1f} J"),
        ("greatest bleeder", f"{most:.0f} Ω, {worst.watts(most):.2f} W for ever"),
    ]
    if fitted:
        verdict = "enough" if fitted <= most else "too great"
        found += [
            (f"{fitted:g} Ω is {verdict}", f"{worst.watts(fitted):.2f} W"),
            ("down to 60 V", f"{worst.seconds_to(supply.TOUCH_DC, fitted):.1f} s"),
            ("down to 10 V", f"{worst.seconds_to(supply.SAFE, fitted):.1f} s"),
        ]
    return found


def _ohms(ohms: float, turns: float, turn: float, gauge: int) -> float:
    if ohms:
        return ohms
    if not (turns and turn and gauge):
        raise UsageError(
            "a coil without ohms is not energised: give --ohms, measured cold; or --turns, --turn and --gauge"
        )
    return copper.winding_ohms(turns, turn / 1e3, gauge)


def _numbers(text: str) -> tuple[float, ...]:
    try:
        found = tuple(float(word) for word in text.split(",") if word.strip())
    except ValueError:
        raise UsageError(f"--beside '{text}' is not a list of ohms such as '3,3,4'") from None
    if any(not number > 0 for number in found):
        raise UsageError(f"--beside '{text}' holds a resistance that is not above 0")
    return found


def _circuit(drive: Drive) -> str:
    if not drive.henries:
        raise UsageError("--spice needs the inductance: give --mh")
    on, period = drive.pulse, drive.period
    if drive.hold:
        on, period = drive.hold.duty / drive.hold.hertz, 1 / drive.hold.hertz
    return netlist.coil(
        drive.feed.volts, drive.driven.ohms, drive.henries, on, drive.back, period, stop=max(0.05, on * 3)
    )
