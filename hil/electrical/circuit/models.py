"""How each kind of part is written for ngspice: data-sheet-like models, chips by what they do.

Model figures are from memory. Times of one-shots are those of the slow corner: runs ask what is off by when.
"""

import math
import re
from collections.abc import Callable

from firmware.base.errors import UsageError
from hil.electrical.circuit import chips, values
from hil.electrical.circuit.parts import NOWHERE, Part, Pin

MODELS = """
.model rectifier d(is=1e-9 n=1.8 rs=0.02 cjo=20p)
.model small d(is=3e-9 n=1.9 rs=0.6 cjo=4p)
.model schottky d(is=1e-6 n=1.05 rs=0.05 cjo=50p)
.model led d(is=1e-18 n=2 rs=3)
.model zener24 d(is=1e-9 n=1.5 rs=1 bv=24 ibv=1e-3)
.model suppressor d(is=1e-9 n=1.5 rs=0.15 bv=20.5 ibv=1e-3)
.model body d(is=1e-9 n=1.3 rs=0.01 cjo=300p bv=110 ibv=1e-3)
.model power nmos(vto=1.8 kp=30 rd=0.06 rs=0.002)
.model signal nmos(vto=1.8 kp=0.3 rd=1)
.model pnp pnp(bf=60 is=1e-13)
.model contact sw(vt=0.45 vh=0.25 ron=0.01 roff=1e8)
.model gate sw(vt=0.5 vh=0 ron=50 roff=1e8)
.model hard sw(vt=0.5 vh=0 ron=5 roff=1e8)
"""
STEEP = 30.0  # of the smooth steps that stand for logic thresholds, per volt


def node(net: str) -> str:
    """A net's name as ngspice takes it; 0V is its ground."""
    if net == "0V":
        return "0"
    return "n_" + net.lower().replace("/", "not_").replace("+", "_plus").replace("'", "_far")


def lines(part: Part) -> list[str]:
    """The lines of a part; none for what carries no current. Raises UsageError: no model for its kind."""
    if part.kind in ("connector", "test point"):
        return []
    if part.kind == "chip":
        return _chip(part)
    if part.kind not in WRITERS:
        raise UsageError(f"{part.mark} is a {part.kind}, for which there is no model")
    return WRITERS[part.kind](part)


def _ends(part: Part) -> str:
    return " ".join(_at(part, pin) for pin in part.pins)


def _at(part: Part, pin: Pin) -> str:
    return node(pin.net) if pin.net != NOWHERE else f"open_{part.mark}_{pin.number}".lower()


def _resistor(part: Part) -> list[str]:
    return [f"r{part.mark} {_ends(part)} {part.size!r}"]


def _capacitor(part: Part) -> list[str]:
    return [f"c{part.mark} {_ends(part)} {part.size!r}"]


def _diode(part: Part) -> list[str]:
    model = {"zener": "zener24", "schottky": "schottky", "led": "led", "suppressor": "suppressor"}
    kind = model.get(part.kind, "small" if part.ratings["A"] < 1 else "rectifier")
    return [f"d{part.mark} {_at(part, part.pin('A'))} {_at(part, part.pin('K'))} {kind}"]


def _clamp(part: Part) -> list[str]:
    middle = _at(part, part.pin("AK"))
    return [
        f"d{part.mark}a {_at(part, part.pins[0])} {middle} schottky",
        f"d{part.mark}b {middle} {_at(part, part.pins[1])} schottky",
    ]


def _mosfet(part: Part) -> list[str]:
    gate, drain, source = (_at(part, pin) for pin in part.pins)
    model = "signal" if part.value == "2N7002" else "power"
    return [
        f"m{part.mark} {drain} {gate} {source} {source} {model} l=1u w=1u",
        f"d{part.mark} {source} {drain} body",
        f"cg{part.mark} {gate} {source} 2n",
        f"cd{part.mark} {gate} {drain} 0.1n",
    ]


def _pnp(part: Part) -> list[str]:
    base, collector, emitter = (_at(part, pin) for pin in part.pins)
    return [f"q{part.mark} {collector} {base} {emitter} pnp"]


def _fuse(part: Part) -> list[str]:
    """A resistance; with a rating `melts` it opens for good when so many A²s went through it."""
    ohms = 0.1 / part.ratings["A"]
    if "melts" in part.ratings:
        return _melting(part, ohms)
    return [f"r{part.mark} {_ends(part)} {ohms!r}"]


def _melting(part: Part, ohms: float) -> list[str]:
    """Nothing is led away: v(qMARK) is the ∫i² dt so far, and where it reaches `melts` an arc ends it."""
    m, melts = part.mark, part.ratings["melts"]
    one, other = (_at(part, pin) for pin in part.pins)
    return [
        f"vf{m} {one} f{m} 0",
        f"bq{m} 0 q{m} i=i(vf{m})*i(vf{m})+abs(i(vf{m})*v(g{m},{other}))",
        f"cq{m} q{m} 0 1 ic=0",
        f"rq{m} q{m} 0 1e6",
        f"rf{m} f{m} g{m} {ohms!r}",
        f"bf{m} g{m} {other} i=v(g{m},{other})*(1e-7+1e3*{_below(f'v(q{m})', melts, 20 * STEEP / melts)})",
    ]


def _coil(part: Part) -> list[str]:
    a, b = (_at(part, pin) for pin in part.pins)
    return [
        f"l{part.mark} {a} x{part.mark} {part.size!r}",
        f"r{part.mark} x{part.mark} {b} {part.ratings['ohms']!r}",
    ]


def _relay(part: Part) -> list[str]:
    """Coil as R and L; the contact follows its current, smoothed by the mechanics' time."""
    a, b, one, other = (_at(part, pin) for pin in part.pins)
    m, ohms = part.mark, part.ratings["coil_ohms"]
    full = part.ratings["coil_V"] / ohms
    henries = values.RELAY_HENRIES * ohms / values.RELAY_OHMS
    return [
        f"l{m} {a} x{m} {henries!r}",
        f"r{m} x{m} y{m} {ohms!r}",
        f"v{m} y{m} {b} 0",
        f"b{m} p{m} 0 v=abs(i(v{m}))/{full!r}",
        f"rm{m} p{m} q{m} 1k",
        f"cm{m} q{m} 0 {values.RELAY_OPENS / 1.6 / 1e3!r}",
        f"vw{m} {one} w{m} 0",
        f"s{m} w{m} {other} q{m} 0 contact",
    ]


def _door(part: Part) -> list[str]:
    a, b, c, d = (_at(part, pin) for pin in part.pins)
    return [f"s{part.mark}a {a} {b} door_a 0 hard", f"s{part.mark}b {c} {d} door_b 0 hard"]


def _switch(part: Part) -> list[str]:
    return [f"r{part.mark} {_ends(part)} 1e9"]


def _bought(part: Part) -> list[str]:
    """A source of 20 mΩ that gives no more than its limit and takes nothing back."""
    plus, minus = (_at(part, pin) for pin in part.pins[:2])
    m = part.mark
    limit = part.ratings.get("limit", part.ratings["A"] * 1.5)
    return [
        f"b{m} {minus} {plus} i=min(max((v(supply_{m})-v({plus},{minus}))/0.02,0),{limit!r})",
        f"r{m} {plus} {minus} 10k",
    ]


def _below(what: str, threshold: float, steep: float = STEEP) -> str:
    """1 while `what` is below the threshold, else 0; smooth."""
    return f"(0.5-0.5*tanh({steep!r}*(({what})-{threshold!r})))"


def _above(what: str, threshold: float, steep: float = STEEP) -> str:
    return f"(0.5+0.5*tanh({steep!r}*(({what})-{threshold!r})))"


def _chip(part: Part) -> list[str]:
    if part.mark == "A701":
        return _pico(part)
    return CHIP_WRITERS[chips.model_of(part)](part)


def _v(part: Part, name: str) -> str:
    return f"v({_at(part, part.pin(name))})"


def _output(part: Part, name: str, volts: str, suffix: str = "") -> list[str]:
    """An output of 50 Ω that gives `volts`."""
    tag = f"{part.mark}{suffix}"
    return [f"bo{tag} o{tag} 0 v={volts}", f"ro{tag} o{tag} {_at(part, part.pin(name))} 50"]


def _one_shots(part: Part) -> list[str]:
    """The first half: an edge empties the capacitor; the output lasts until it is back at the threshold."""
    m, vcc, reset = part.mark, _v(part, "VCC"), _v(part, "/1R")
    rx, cx, b = (_at(part, part.pin(name)) for name in ("1RX", "1CX", "1B"))
    slow = 1 - math.exp(-values.ONE_SHOT_K * (1 + values.PART_SPREAD))
    alive = _above(vcc, 3.0)
    ready = f"{_above(reset, 1.4)}*{alive}"
    edge = f"{_above(f'v({b})', 1.4)}*{_below(f'v(d{m})', 1.4)}*{_below(_v(part, '/1A'), 1.4)}*{ready}"
    on = f"{_below(f'v({rx})/({vcc}+0.01)', slow, 200.0)}*{ready}"
    return [
        f"rd{m} {b} d{m} 100k",
        f"cd{m} d{m} 0 1n",
        f"be{m} e{m} 0 v={edge}",
        f"se{m} {rx} 0 e{m} 0 gate",
        f"bc{m} c{m} 0 v={_below(reset, 1.4)}*{alive}",
        f"sc{m} {rx} {_at(part, part.pin('VCC'))} c{m} 0 gate",
        f"rz{m} {cx} 0 1",
        *(_output(part, "1Q", f"{vcc}*{on}", "q") if part.net("1Q") else []),
        *(_output(part, "/1Q", f"{vcc}*(1-{on})", "n") if part.net("/1Q") else []),
        *_input_diodes(part, ("1B",)),
    ]


def _input_diodes(part: Part, names: tuple[str, ...]) -> list[str]:
    """An input's diode to its chip's supply: an unpowered chip draws current through it."""
    vcc = _at(part, part.pin("VCC"))
    return [f"di{part.mark}{n} {_at(part, part.pin(name))} {vcc} small" for n, name in enumerate(names)]


def _register(part: Part) -> list[str]:
    """Outputs as the run's `asked` says, floating while /OE is high or the supply is low."""
    m, vcc = part.mark, _v(part, "VCC")
    found = [f"be{m} e{m} 0 v={_below(_v(part, '/OE'), 1.4)}*{_above(vcc, 2.0)}"]
    for pin in part.pins:
        if pin.kind == "tristate" and pin.net:
            tag = f"{m}{pin.name}"
            asked = f"asked_{pin.net.lower()}"
            found += [
                f"bo{tag} o{tag} 0 v=v({asked})*{vcc}",
                f"so{tag} o{tag} {_at(part, pin)} e{m} 0 gate",
            ]
    return found + _input_diodes(part, ("SER", "SRCLK", "RCLK"))


def _buffers(part: Part) -> list[str]:
    found = []
    vcc = _v(part, "VCC")
    for n in "12":
        tag = f"{part.mark}{n}"
        found += [
            f"be{tag} e{tag} 0 v={_below(_v(part, f'/{n}OE'), 1.4)}*{_above(vcc, 2.0)}",
            f"bo{tag} o{tag} 0 v={vcc}*{_above(_v(part, f'{n}A'), 1.4)}",
            f"so{tag} o{tag} {_at(part, part.pin(f'{n}Y'))} e{tag} 0 gate",
        ]
    return found + _input_diodes(part, ("1A", "2A"))


def _schmitt(part: Part) -> list[str]:
    """A buffer with hysteresis: the switch holds its state between the thresholds; slow corner."""
    falls = values.SCHMITT_FALLS[0]
    m, rises = part.mark, 2.6
    return [
        f".model schmitt{m} sw(vt={(rises + falls) / 2!r} vh={(rises - falls) / 2!r} ron=1 roff=1e7)",
        f"v1{m} one{m} 0 1",
        f"sh{m} one{m} h{m} {_at(part, part.pin('A'))} 0 schmitt{m}",
        f"rh{m} h{m} 0 1k",
        *_output(part, "Y", f"{_v(part, 'VCC')}*{_above(f'v(h{m})', 0.5)}"),
        f"da{m} 0 {_at(part, part.pin('A'))} small",
        f"il{m} 0 {_at(part, part.pin('A'))} {values.SCHMITT_LEAKS!r}",
    ]


def _inverter(part: Part) -> list[str]:
    return _output(part, "Y", f"{_v(part, 'VCC')}*{_below(_v(part, 'A'), 1.4)}")


def _supervisor(part: Part) -> list[str]:
    """Pulls the line low while the supply is below 4.5 V; a part with its own pull-up says so in its note."""
    m, line = part.mark, _at(part, part.pin("/RST"))
    found = [
        f"be{m} e{m} 0 v={_below(_v(part, 'VDD'), 4.5, 100.0)}",
        f"s{m} {line} 0 e{m} 0 gate",
    ]
    own = re.search(r"pull-up (\d+) kΩ", part.value)
    if own:
        found.append(f"r{m} {_at(part, part.pin('VDD'))} {line} {own.group(1)}k")
    return found


def _amplifier(part: Part) -> list[str]:
    across = f"{values.SHUNT_GAIN}*({_v(part, 'IN+')}-{_v(part, 'IN-')})"
    return _output(part, "OUT", f"min(max({across},0),{_v(part, 'V+')})")


def _shunt_regulator(part: Part) -> list[str]:
    cathode = _at(part, part.pin("K"))
    volts = f"{_v(part, 'REF')}-{values.RAIL_REFERENCE!r}"
    return [f"b{part.mark} {cathode} 0 i=max(0,{volts})*5*{_above(f'v({cathode})', 1.8, 5.0)}"]


def _pico(part: Part) -> list[str]:
    """Outputs the runs drive; every pin with diodes to the Pico's supply, which is down when it is."""
    rail, vsys = _at(part, part.pin("3V3")), _at(part, part.pin("VSYS"))
    found = ["bpico o_pico 0 v=v(pico)*3.3", f"rpico o_pico {rail} 0.2", f"rload {vsys} 0 150"]
    for pin in part.pins:
        if not pin.name.startswith("GP") or pin.name == "GND":
            continue
        at = _at(part, pin)
        found.append(f"dp{pin.number} {at} {rail} small")
        found.append(f"rp{pin.number} {at} 0 1e8")
        if pin.kind == "output":
            found.append(f"bp{pin.number} o_p{pin.number} 0 v=v(says_{pin.net.lower()})*v(pico)*3.3")
            found.append(f"so{pin.number} o_p{pin.number} {at} pico 0 gate")
    return found


WRITERS: dict[str, Callable[[Part], list[str]]] = {
    "resistor": _resistor,
    "capacitor": _capacitor,
    "film": _capacitor,
    "X7R": _capacitor,
    "electrolytic": _capacitor,
    "diode": _diode,
    "schottky": _diode,
    "zener": _diode,
    "suppressor": _diode,
    "led": _diode,
    "clamp": _clamp,
    "mosfet": _mosfet,
    "pnp": _pnp,
    "fuse": _fuse,
    "coil": _coil,
    "relay": _relay,
    "door switch": _door,
    "switch": _switch,
    "bought supply": _bought,
}
CHIP_WRITERS: dict[str, Callable[[Part], list[str]]] = {
    "74HCT423": _one_shots,
    "74HCT595": _register,
    "74HCT125": _buffers,
    "74LVC1G17": _schmitt,
    "74HCT1G14": _inverter,
    "supervisor 4.5 V": _supervisor,
    "INA180A2": _amplifier,
    "TL431": _shunt_regulator,
}
