"""Which lamps are lit by rules.md while a ball is played."""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_state import TOPPED_MS
from firmware.games.honey_flow.host.model_switches import BEES, BUMPERS, FRAMES, OUTLANES, SMOKERS

if TYPE_CHECKING:
    from firmware.games.honey_flow.host.model_features import Features

DANCE = ("orbit.left", "ramp_right.made", "orbit.right")
BEYOND_DISPLAY = 99_999_990


def lamps(model: "Features") -> "dict[str, bool | None]":
    """By name whether a lamp is lit, None near a window's end; only those whose meaning the sheet states."""
    return {
        **_of_lanes(model),
        **_of_windows(model),
        **_of_ladder(model),
        **_of_banks(model),
        **_of_dance(model),
        **_of_extra_ball(model),
        **_of_cabinet(model),
    }


def lamps_of_tilt() -> "dict[str, bool | None]":
    """After a tilt: its own is lit, every window is closed."""
    return {"tilt": True, **dict.fromkeys(("nectar", "pollen", "cell"), False)}


def _of_lanes(model: "Features") -> "dict[str, bool | None]":
    turn, player = model.turn, model.player
    aims = turn.aiming
    lit: dict[str, bool | None] = {
        bee: turn.bees[at] or (aims and turn.flash == at) for at, bee in enumerate(BEES)
    }
    for times in range(2, 7):
        lit[f"times.{times}"] = (times == player.times) or (
            times == model.table.drawn("gold cell") and not player.gold_found
        )
    lit["special"] = not player.gold_found and player.times + 1 == model.table.drawn("gold cell")
    return lit


def _of_windows(model: "Features") -> "dict[str, bool | None]":
    turn = model.turn
    pollen = turn.pollen.is_lit()
    lit: dict[str, bool | None] = dict.fromkeys(BUMPERS, pollen)
    lit["pollen"] = pollen
    lit["nectar"] = turn.nectar.is_lit()
    lit["cell"] = turn.cell.is_lit()
    lit["again"] = model.player.owed > 0 or turn.saves.is_lit()
    return lit


def _of_ladder(model: "Features") -> "dict[str, bool | None]":
    if model.table.now - model.turn.topped_at <= TOPPED_MS:
        return {}  # the show of the last rung
    state = model.player.ladder
    lit = model.turn.ladder.is_lit() if state == "timed" else state == "lit"
    following = model.player.rung
    lamps: dict[str, bool | None] = {f"rung.{rung}": rung < following for rung in range(1, 6)}
    lamps[f"rung.{following}"] = lamps["ladder"] = lit
    return lamps if lit is not None else {}


def _of_banks(model: "Features") -> "dict[str, bool | None]":
    player = model.player
    lit: dict[str, bool | None] = {name: name in player.smokers for name in SMOKERS}
    lit.update({name: name in player.frames for name in FRAMES})
    lit["seal"] = player.sealed
    lit["lock"] = player.lock_lit
    lit["lock.1"] = player.locked > 0
    lit["lock.2"] = player.locked > 1
    lit["guard"] = model.turn.guard
    lit["orbit_left"] = player.nectar_lit
    lit["spinner"] = not player.nectar_lit
    return lit


def _of_dance(model: "Features") -> "dict[str, bool | None]":
    at = DANCE.index(model.turn.dance) if model.turn.dance else -1
    return {"waggle": at >= 0, **{f"dance.{step + 1}": step <= at for step in range(3)}}


def _of_extra_ball(model: "Features") -> "dict[str, bool | None]":
    lit: dict[str, bool | None] = {
        side: model.player.extra_lit and model.turn.side == side for side in OUTLANES
    }
    lit["extra_ball"] = model.player.extra_lit
    return lit


def _of_cabinet(model: "Features") -> "dict[str, bool | None]":
    return {
        "ball_in_play": model.turn.live,
        "swarm": model.turn.swarming or model.turn.swarm_ready,
        "rollover": model.table.score > BEYOND_DISPLAY,
        "tilt": model.turn.tilted,
    }
