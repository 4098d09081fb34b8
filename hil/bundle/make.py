"""Makes a bundle: which entries, which images, what comes out."""

from hil.bundle.guess import Unsure
from hil.bundle.image import key_of
from hil.bundle.live import Live, settled
from hil.bundle.modules import Modules, Symbol
from hil.bundle.oracle import Oracle
from hil.bundle.parts import give_images, homes
from hil.bundle.plan import Bundle, Plan
from hil.bundle.walk import Walk
from hil.bundle.writing import Writing


def make(plan: Plan, unsure: "Unsure | None" = None) -> Bundle:
    """Raises GameError with file and line for what cannot be bundled.

    `unsure`: what another bundle of the same code found out, to begin with.
    """
    modules = Modules(plan.packages)
    for symbol in (*plan.entries, *plan.beside, *plan.images):
        modules.read(symbol.module)
    for symbol in sorted(unsure.made, key=str) if unsure else ():
        modules.read(symbol.module)
    give_images(modules, plan)
    oracle = Oracle(modules, list(plan.images.values()))
    walks: dict[Symbol, Walk] = {}

    def attempt(unsure: Unsure) -> Live:
        live = Live(modules, oracle, unsure, plan.without)
        for symbol, name in plan.keep:
            live.ask(symbol, name)
        for symbol in (*plan.entries, *plan.beside):
            live.reach(symbol)
        while True:
            more = live.settle()
            for i, (symbol, root) in enumerate(plan.images.items()):
                hubs = [hub for hub in live.hubs if oracle.root_of[key_of(hub.thing)] == i]
                walks[symbol] = Walk(live, root, hubs, symbol.name)
            if not (live.settle() or more):
                live.seen.late = {each for each, home in homes(live, plan).items() if home != plan.name}
                return live

    return Writing(plan, settled(attempt, unsure or Unsure()), walks).bundle()
