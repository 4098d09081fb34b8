"""The circuit through skidl: its electrical rules, and its netlist to compare ours with."""

import contextlib
import io
import logging
import re
import tempfile
import warnings
from collections.abc import Iterator
from types import ModuleType
from typing import TYPE_CHECKING

from firmware.base.errors import UsageError
from hil.electrical.circuit.kicad import footprint
from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import (
    BOTH,
    INPUT,
    NOWHERE,
    OPEN,
    OUTPUT,
    PASSIVE,
    SOURCE,
    SUPPLY,
    TRISTATE,
    UNUSED,
    Part,
)

if TYPE_CHECKING:
    import skidl

FUNCTIONS = {
    PASSIVE: "PASSIVE",
    INPUT: "INPUT",
    OUTPUT: "OUTPUT",
    TRISTATE: "TRISTATE",
    OPEN: "OPENCOLL",
    BOTH: "BIDIR",
    SUPPLY: "PWRIN",
    SOURCE: "PWROUT",
    UNUSED: "NOCONNECT",
}
POWERED = ("5V", "3V3", "12V", "VSYS", "COIL_BUS", "SUPPLY+", "BOX_5V", "0V")


def _skidl() -> "ModuleType":
    """skidl, imported late: it is an optional package, and writes log files where it is first imported."""
    try:
        with _quiet():
            import skidl as found
    except ImportError:
        raise UsageError("skidl's electrical rules need skidl: pip install 'inlane[circuit]'") from None
    module: ModuleType = found
    return module


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """In a folder of its own, because skidl writes logs into the current one; without its warnings."""
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder,
        contextlib.chdir(folder),
        contextlib.redirect_stderr(io.StringIO()),
        contextlib.redirect_stdout(io.StringIO()),
        warnings.catch_warnings(),
    ):
        warnings.simplefilter("ignore")
        yield


def _converted(circuit: Circuit) -> "skidl.Circuit":
    skidl = _skidl()
    made = skidl.Circuit()
    nets = {name: skidl.Net(name, circuit=made) for name in circuit.nets()}
    for name in POWERED:
        if name in nets:
            nets[name].drive = skidl.POWER
    for part in circuit.parts.values():
        _place(part, nets, made)
    return made


def _place(part: Part, nets: "dict[str, skidl.Net]", made: "skidl.Circuit") -> None:
    skidl = _skidl()
    kinds = skidl.pin.pin_types
    pins = [skidl.Pin(num=p.number, name=p.name, func=getattr(kinds, FUNCTIONS[p.kind])) for p in part.pins]
    prefix = re.match(r"[A-Z]+", part.mark)
    template = skidl.Part(
        name=part.kind.replace(" ", "_"),
        ref_prefix=prefix.group() if prefix else "X",
        tool=skidl.SKIDL,
        dest=skidl.TEMPLATE,
        pins=pins,
    )
    placed = template(circuit=made, ref=part.mark, value=part.value, tag=part.mark, footprint=footprint(part))
    for pin in part.pins:
        if pin.net == NOWHERE:
            made.NC += placed[pin.number]
        else:
            nets[pin.net] += placed[pin.number]


def report(circuit: Circuit) -> list[str]:
    """Errors and warnings of skidl's electrical rules, none when clean. Raises UsageError: no skidl."""
    skidl = _skidl()
    said: list[str] = []
    listener = _Listener(said)
    with _quiet():
        made = _converted(circuit)
        skidl.erc_logger.addHandler(listener)
        try:
            made.ERC()
        finally:
            skidl.erc_logger.removeHandler(listener)
    return said


class _Listener(logging.Handler):
    """Keeps warnings and errors."""

    def __init__(self, said: list[str]) -> None:
        super().__init__(logging.WARNING)
        self._said = said

    def emit(self, record: logging.LogRecord) -> None:
        self._said.append(record.getMessage().split(" @ ")[0])


def netlist(circuit: Circuit) -> str:
    """The netlist that skidl writes for KiCad. Raises UsageError: no skidl."""
    skidl = _skidl()
    with _quiet():
        text: str = _converted(circuit).generate_netlist(tool=skidl.KICAD9, file_="circuit.net")
    return text
