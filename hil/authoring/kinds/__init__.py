"""The kinds of rules, one for each mechanic of the kit; beside each module the templates of its kinds."""

from hil.authoring.errors import DescriptionError, near_miss
from hil.authoring.kind import Kind
from hil.authoring.kinds import banks, climbs, ends, holes, plain, shows, sides, timed

KINDS: tuple[Kind, ...] = (
    *plain.KINDS,
    *banks.KINDS,
    *timed.KINDS,
    *climbs.KINDS,
    *holes.KINDS,
    *sides.KINDS,
    *ends.KINDS,
    *shows.KINDS,
)


def find(name: str) -> Kind:
    """The kind of this name. Raises DescriptionError with the near miss."""
    for kind in KINDS:
        if kind.name == name:
            return kind
    raise DescriptionError(f"there is no kind '{name}'{near_miss(name, [kind.name for kind in KINDS])}")
