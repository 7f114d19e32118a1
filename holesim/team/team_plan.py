"""The captain's plan as a record: who hits what from which tee, with whom, against whom, worth how much."""

from dataclasses import dataclass
from typing import Any, Final

from holesim._version import __version__
from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.plan.sights import Mark
from holesim.team.benefit import Benefit, Unit
from holesim.team.handicap import Format
from holesim.team.match import HALF
from holesim.team.team_file import Team

SCHEMA: Final = 2


@dataclass(frozen=True, kw_only=True)
class PlannedDrive:
    """What one player hits from a tee, by what to aim it, and what the next best would cost the side more.

    `worth` is nothing where no other was tried.
    """

    who: str
    strike: str
    mark: Mark
    worth: Benefit | None


@dataclass(frozen=True, kw_only=True)
class Change:
    """What one player hits instead, and when."""

    who: str
    strike: str
    when: str


@dataclass(frozen=True, kw_only=True)
class HolePlan:
    """What a side does on a hole: who hits what, who should tee off first, and what changes it.

    `tees` are each player's; `received` are the strokes received there, of each player or of a pair with one
    ball; `slight` are changes that gain too little to be made.
    """

    hole: Hole
    tees: tuple[Tee, ...]
    drives: tuple[PlannedDrive, ...]
    received: tuple[int, ...]
    first: str = ""
    changes: tuple[Change, ...] = ()
    slight: tuple[Change, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SidePlan:
    """A player or a pair: the strokes received, the holes, the round's total with its spread, and the match.

    `they_receive` are the opponents' strokes on each hole, of each of them or of their pair; `odds` are the
    chances to win, to halve and to lose the match.
    """

    names: tuple[str, ...]
    received: tuple[int, ...]
    holes: tuple[HolePlan, ...]
    strokes: float
    spread: float
    against: tuple[str, ...] = ()
    they_receive: tuple[tuple[int, ...], ...] = ()
    odds: tuple[float, float, float] | None = None

    @property
    def drive_in_turn(self) -> bool:
        """Whether the two of a pair drive alternate holes."""
        return len(self.holes[0].drives) < len(self.names)

    @property
    def points(self) -> float:
        """Expected points of the match."""
        return 0.0 if self.odds is None else self.odds[0] + HALF * self.odds[1]


@dataclass(frozen=True, kw_only=True)
class FormatPlan:
    """What a format comes to: the sides, in the order in which they go out, and what choices gain.

    `total` is what the team may expect, in strokes or points, and `spread` its standard deviation; `chances`
    the expected points of each side, in `rows`, against each of the opponents, where there are any.
    """

    sides: tuple[SidePlan, ...]
    gains: tuple[Benefit, ...]
    total: float
    spread: float
    unit: Unit
    notes: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    opponents: tuple[tuple[str, ...], ...] = ()
    chances: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True, kw_only=True)
class TeamPlan(FormatPlan):
    """A captain's plan; `players` has everybody's chance of each score, as `RosterScores.to_dict` has it."""

    team: Team
    course: Course
    format: Format
    net: bool
    count: int | None
    players: list[dict[str, Any]]
    options: dict[str, Any]
    seed: int
    draws: int
    assumed: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return the content of team.json."""
        people = (*self.team.players, *self.team.opponents)
        files = [(self.course.file, self.course.sha256), (self.team.file, self.team.sha256)]
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": dict([*files, *((player.file, player.sha256) for player in people if player.sha256)]),
            "options": self.options,
            "assumed": list(self.assumed),
            "course": self.course.name,
            "team": self.team.name,
            "format": self.format,
            "net": self.net,
            "count": self.count,
            "seed": self.seed,
            "draws": self.draws,
            "total": {self.unit: self.total, "spread": self.spread},
            "gains": [
                {
                    "what": g.what,
                    g.unit: g.value,
                    "low": g.low,
                    "high": g.high,
                    "chance": g.chance,
                    "matters": g.matters,
                }
                for g in self.gains
            ],
            "notes": list(self.notes),
            "sides": [_side_dict(side) for side in self.sides],
            "chances": [
                {
                    "side": list(names),
                    "points": dict(zip(map(" and ".join, self.opponents), row, strict=True)),
                }
                for names, row in zip(self.rows, self.chances, strict=True)
            ],
            "players": self.players,
        }


def _side_dict(side: SidePlan) -> dict[str, Any]:
    odds = None if side.odds is None else dict(zip(("won", "halved", "lost"), side.odds, strict=True))
    return {
        "players": list(side.names),
        "received": list(side.received),
        "against": list(side.against),
        "they_receive": [sum(strokes) for strokes in side.they_receive],
        "strokes": side.strokes,
        "spread": side.spread,
        "match": odds,
        "holes": [
            {
                "hole": plan.hole.number,
                "received": list(plan.received),
                "they_receive": [strokes[h] for strokes in side.they_receive],
                "drives": [_drive_dict(drive) for drive in plan.drives],
                "first": plan.first or None,
                "changes": [vars(change) for change in plan.changes],
                "slight": [vars(change) for change in plan.slight],
            }
            for h, plan in enumerate(side.holes)
        ],
    }


def _drive_dict(drive: PlannedDrive) -> dict[str, Any]:
    worth = drive.worth
    saved = (
        None
        if worth is None
        else {"strokes": worth.value, "low": worth.low, "high": worth.high, "chance": worth.chance}
    )
    return {"player": drive.who, "strike": drive.strike, "aim": drive.mark.text(), "saves": saved}
