"""What the bench measures and finds: sizes, rows of its table, curves."""

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from math import nan
from typing import Any, Final

import numpy as np

from holesim.bench.demo_setup import plan_hole

AT_MOST: Final = "at most"  # the reference of a row whose value has an upper limit


@dataclass(frozen=True, kw_only=True)
class Sizes:
    """How much is measured. `first` is the work whose compilation is timed, in a process of its own."""

    repeats: int = 3
    drives: int = 8192
    checked: int = 24
    sampled: int = 64
    points: int = 20_000
    holes: int = 18
    tees: int = 3
    aims: int = 41
    scaled_holes: tuple[int, ...] = (3, 6, 12, 18)
    scaled_draws: tuple[int, ...] = (1024, 2048, 4096, 8192)
    scaled_players: tuple[int, ...] = (1, 2, 4)
    counted: tuple[int, ...] = (256, 512, 1024, 2048, 4096, 8192, 16384)
    independent: int = 64
    starts: int = 7
    members: int = 12
    asked: int = 30
    first: Callable[[], object] = plan_hole
    thread_counts: tuple[int, ...] = (1, 2, 8)


@dataclass(frozen=True)
class Row:
    """A row of the table: a value, and what it is compared with, a reference or a limit, in one unit."""

    part: str
    what: str
    value: float
    unit: str = ""
    reference: str = ""
    against: float = nan

    @property
    def ratio(self) -> float | None:
        """The value over the reference's; None where there is no reference."""
        return None if np.isnan(self.against) or self.reference == AT_MOST else self.value / self.against

    @property
    def met(self) -> bool | None:
        """Whether the limit is met; None where there is no limit."""
        return self.value <= self.against if self.reference == AT_MOST else None

    def to_dict(self) -> dict[str, Any]:
        """Return the row as it stands in bench.json."""
        against = None if np.isnan(self.against) else self.against
        return asdict(self) | {"against": against, "ratio": self.ratio, "met": self.met}


@dataclass(frozen=True)
class ScalingCurve:
    """A quantity measured at several sizes, for one panel of a picture."""

    panel: str
    name: str
    x: tuple[float, ...]
    y: tuple[float, ...]

    def fit(self) -> tuple[float, float]:
        """Return the exponent, and the logarithm of the factor, of the power law through the points."""
        exponent, factor = np.polyfit(np.log(self.x), np.log(self.y), 1)
        return float(exponent), float(factor)


def panels_of(curves: Sequence[ScalingCurve]) -> list[list[ScalingCurve]]:
    """Return the curves, grouped by panel."""
    return [[c for c in curves if c.panel == name] for name in dict.fromkeys(c.panel for c in curves)]


@dataclass(frozen=True)
class BenchResult:
    """What a run of the bench found, and on which machine."""

    date: str
    versions: dict[str, str]
    processor: str
    threads: int
    rows: tuple[Row, ...]
    scaling: tuple[ScalingCurve, ...]
    draws: tuple[ScalingCurve, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return the content of bench.json."""
        return asdict(self) | {"rows": [row.to_dict() for row in self.rows]}
