"""What a rule does besides paying: an event or a cue, as its source has it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Signal:
    """What a rule does besides paying when it is made: raises an event, or plays a cue."""

    attr: str
    event: str
    remark: str = ""
    value: str = ""
    """What it is raised with, as code; "" for nothing."""
    is_cue: bool = False
    target: str = ""
    """The rule that it lights or wins, "" for none."""
    carries: bool = False
    """Whether the rule's number (its multiplier, how often it was made) goes with it."""

    @property
    def declared(self) -> str:
        """The line of `__init__`."""
        made = "cue" if self.is_cue else "event"
        return f'self.{self.attr} = self.{made}("{self.event}"){self.remark}'

    @property
    def call(self) -> str:
        """The line that does it."""
        return f"self.{self.attr}.play()" if self.is_cue else f"self.{self.attr}.raise_({self.value})"
