"""The result of one simulated game: what was scored, entered and heard, and what was found wrong."""

from dataclasses import dataclass, field

from hil.bench.evidence import Finding


@dataclass
class GameResult:
    """The result of one simulated game. Times are simulated ms.

    `awards` and `points` count the ledger by award, `cues` and `events` by name, `entered` the transitions
    that led to a state by "region/state", `shots` the shots made; `shot_points` are the points that were
    paid from a shot to the next one, `drains` the last shots of balls that came home. `ball_ms` has the time
    of each ball that ended, in order. A game is `judged` when the standing checks ran on its records.
    """

    seed: int
    players: int
    skill: str = ""
    settings: dict[str, int] = field(default_factory=dict)
    digest: str = ""
    scores: list[int] = field(default_factory=list)
    ms: int = 0
    balls: int = 0
    cues: dict[str, int] = field(default_factory=dict)
    awards: dict[str, int] = field(default_factory=dict)
    points: dict[str, int] = field(default_factory=dict)
    mishaps: dict[str, int] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    events: dict[str, int] = field(default_factory=dict)
    entered: dict[str, int] = field(default_factory=dict)
    shots: dict[str, int] = field(default_factory=dict)
    shot_points: dict[str, int] = field(default_factory=dict)
    drains: dict[str, int] = field(default_factory=dict)
    ball_ms: list[int] = field(default_factory=list)
    judged: bool = True
