"""Which shots have a lit award waiting: a shot's own small points are paid only when none does."""


class Offer:
    """One feature's standing offer at one shot."""

    def __init__(self, event: int) -> None:
        self.event = event
        self.lit = False

    def set(self, lit: bool) -> None:
        """Whether the shot would pay now."""
        self.lit = lit


class Offers:
    """Every offer. Read by guards, so what an event lights does not count for that event."""

    def __init__(self) -> None:
        self._offers: dict[int, list[Offer]] = {}

    def offer(self, event: int) -> Offer:
        """Declare an offer at the shot that raises `event`."""
        offer = Offer(event)
        self._offers.setdefault(event, []).append(offer)
        return offer

    def spread(self, names: "list[str]") -> None:
        """An offer at a group, as `made.orbit`, is at each of its shots. `names`: events by number."""
        for event in sorted(self._offers):
            group = names[event] + "."
            for number, name in enumerate(names):
                if name.startswith(group):
                    self._offers.setdefault(number, []).extend(self._offers[event])

    def any(self, event: int) -> bool:
        """Whether a lit award waits at the shot that raises `event`."""
        for offer in self._offers.get(event, ()):
            if offer.lit:
                return True
        return False
