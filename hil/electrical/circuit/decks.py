"""ngspice decks of a part of the circuit: guard, supply, one drive of each kind, the rails that feed them."""

import re
from collections.abc import Mapping

from hil.electrical.circuit.models import MODELS, lines, node
from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import Part

SIMULATED = ("guard", "supply", "drive_pulsed", "drive_held", "chains", "logic")
CHANNELS = (0, 1, 25)
DIRECT = 21  # of sheet inputs, its first direct input
LEFT_OUT = ("U702", "U805", "U802", "U803", "U806", "U807", "U808", "U809", "U810")


def simulated(part: Part) -> bool:
    """Whether a part belongs to the simulated circuit: other channels, displays and switches do not."""
    if part.sheet == "inputs":
        return part.unit == DIRECT
    return part.sheet in ("", *SIMULATED) and part.unit in CHANNELS and part.mark not in LEFT_OUT


def deck(circuit: Circuit, stimuli: Mapping[str, str], charged: Mapping[str, float], stop: float) -> str:
    """The deck. `stimuli`: sources by node; `charged`: volts of capacitors at the start; `stop` in s."""
    chosen = circuit.select(simulated)
    written = ["reference circuit", MODELS]
    for part in chosen.parts.values():
        found = lines(part)
        if part.mark in charged:
            found = [f"{found[0]} ic={charged[part.mark]!r}"]
        written += found
    text = "\n".join(written)
    written += [f"v_{name} {name} 0 {source}" for name, source in stimuli.items()]
    written += _quiet(text, stimuli)
    written += _leaks(chosen)
    written.append(f".tran 40u {stop!r} 0 40u uic")
    return "\n".join(written)


def _quiet(text: str, stimuli: Mapping[str, str]) -> list[str]:
    """Everything that a run does not drive is low."""
    asked = set(re.findall(r"v\(((?:asked|says)_[^)]+)\)", text))
    return [f"v_{name} {name} 0 0" for name in sorted(asked - set(stimuli))]


def _leaks(chosen: Circuit) -> list[str]:
    """A gigaohm at every net: those that lead to parts left out would float."""
    return [f"rl{n} {node(net)} 0 1e9" for n, net in enumerate(chosen.nets()) if net != "0V"]
