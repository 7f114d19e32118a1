"""Column units: the unit of a column that states none, from what golfers can do and the other columns."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from math import log
from typing import Final

from holesim.measure.column_names import QUANTITIES, UNITS

SMASH: Final = (1.2, 1.55)
"""Ball speed over club speed, of a table's medians, with a driver: our assumption."""
CARRY_PER_SPEED: Final = (2.3, 4.2)  # m per m/s
"""Carry over ball speed, of a table's medians, with a driver: our assumption. 150 mph and 245 yd make 3.3."""
_WORST_SMASH: Final = (0.9, 1.7)
_WORST_CARRY: Final = (1.2, 5.5)
"""Beyond these the units cannot be right, even of range balls and poor strikes: our assumption."""

_FIRST: Final = ("club_speed", "ball_speed", "carry")  # which settle each other's unit
_METRIC: Final = frozenset(("m/s", "km/h", "m", "cm"))
_IMPERIAL: Final = frozenset(("mph", "yd", "ft", "in"))
_OTHER_KIND, _OTHER_SYSTEM = 4, 2  # costs of a unit that differs from its neighbours', beside 1 if unusual


@dataclass(frozen=True)
class Sizes:
    """The size of a column's numbers.

    Attributes
    ----------
    typical
        The median, or of a quantity with a direction the size that nine in ten do not exceed, as written.
    unit
        The unit that is stated; empty if none is.
    """

    typical: float
    unit: str


@dataclass(frozen=True)
class ChosenUnit:
    """The unit that a column without one is taken for, and why.

    Attributes
    ----------
    unit
        Empty where no unit makes a golfer of the numbers.
    why
        "only" where it is the only unit possible, "ratio" where other columns settle it, "alike" where it is
        that of other columns, else "usual".
    nearest
        The unit in which the numbers come closest to a golfer's.
    """

    unit: str
    why: str
    nearest: str


def possible_units(name: str, typical: float) -> list[str]:
    """Return the units in which numbers of that size are a golfer's, the usual one first.

    Examples
    --------
    >>> possible_units("ball_speed", 68), possible_units("ball_speed", 150), possible_units("carry", 230)
    (['m/s'], ['mph', 'km/h'], ['yd', 'm'])
    """
    quantity = QUANTITIES[name]
    units = UNITS[quantity.kind]
    if quantity.ends and typical == 0:
        return list(units)
    low, high = (bound * units[quantity.unit] for bound in quantity.usual)
    return [unit for unit, size in units.items() if low <= typical * size <= high]


def choose_units(columns: Mapping[str, Sizes]) -> dict[str, ChosenUnit]:
    """Return the unit of each column that states none, by our names of what the columns hold.

    The speeds and the carry settle each other; every other column follows them.
    """
    known = {name: column.unit for name, column in columns.items() if column.unit}
    open_ = {
        name: possible_units(name, column.typical) for name, column in columns.items() if not column.unit
    }
    first = [name for name in _FIRST if open_.get(name)]
    chosen: dict[str, str] = {}
    settled = False
    if first:
        tried = [dict(zip(first, units, strict=True)) for units in product(*(open_[name] for name in first))]
        fitting = [units for units in tried if _fits(columns, known | units)]
        settled = bool(fitting) and len(fitting) < len(tried)
        chosen = min(fitting or tried, key=lambda units: _cost_together(units, known))
    alone = {name: min(open_[name], key=lambda unit: _cost(name, unit, known)) for name in first}
    found = {}
    for name, units in open_.items():
        typical = columns[name].typical
        if not units:
            found[name] = ChosenUnit("", "", _nearest(name, typical))
            continue
        neighbours = known | chosen
        unit = chosen.get(name) or min(units, key=lambda u: _cost(name, u, neighbours))
        if len(units) == 1 and len(UNITS[QUANTITIES[name].kind]) > 1:
            why = "only"
        elif name in first and settled and alone[name] != unit:
            why = "ratio"
        else:
            why = "usual" if unit == next(iter(UNITS[QUANTITIES[name].kind])) else "alike"
        found[name] = ChosenUnit(unit, why, unit)
    return found


def find_contradiction(typical: Mapping[str, float]) -> tuple[str, str, float, tuple[float, float]] | None:
    """Return two columns whose units cannot both be right, their ratio in SI and what it usually is.

    Parameters
    ----------
    typical
        The medians in SI, by our names.
    """
    for above, below, worst, usual in (
        ("ball_speed", "club_speed", _WORST_SMASH, SMASH),
        ("carry", "ball_speed", _WORST_CARRY, CARRY_PER_SPEED),
    ):
        if above in typical and below in typical:
            ratio = typical[above] / typical[below]
            if not worst[0] <= ratio <= worst[1]:
                return above, below, ratio, usual
    return None


def _fits(columns: Mapping[str, Sizes], units: Mapping[str, str]) -> bool:
    """Return whether the speeds and the carry go together in these units."""
    size = {
        name: columns[name].typical * UNITS[QUANTITIES[name].kind][units[name]]
        for name in _FIRST
        if name in units and name in columns
    }
    return all(
        low <= size[above] / size[below] <= high
        for above, below, (low, high) in (
            ("ball_speed", "club_speed", SMASH),
            ("carry", "ball_speed", CARRY_PER_SPEED),
        )
        if above in size and below in size
    )


def _cost_together(units: Mapping[str, str], known: Mapping[str, str]) -> int:
    """Return how much units go against custom, the columns whose unit is known, and each other."""
    used = set(units.values())
    speeds = {unit for name, unit in units.items() if QUANTITIES[name].kind == "speed"}
    mixed = not _METRIC.isdisjoint(used) and not _IMPERIAL.isdisjoint(used)
    apart = _OTHER_KIND * (len(speeds) > 1) + _OTHER_SYSTEM * mixed
    return apart + sum(_cost(name, unit, known) for name, unit in units.items())


def _cost(name: str, unit: str, neighbours: Mapping[str, str]) -> int:
    """Return how much a unit goes against custom and against the columns whose unit is known."""
    kind = QUANTITIES[name].kind
    alike = {u for n, u in neighbours.items() if QUANTITIES[n].kind == kind and n != name}
    known = set(neighbours.values())
    cost = list(UNITS[kind]).index(unit)
    cost += _OTHER_KIND * bool(alike and unit not in alike)
    if unit in _METRIC | _IMPERIAL:
        own, other = (_METRIC, _IMPERIAL) if unit in _METRIC else (_IMPERIAL, _METRIC)
        cost += _OTHER_SYSTEM * (not other.isdisjoint(known) and own.isdisjoint(known))
    return cost


def _nearest(name: str, typical: float) -> str:
    """Return the unit in which a size comes closest to a golfer's."""
    quantity = QUANTITIES[name]
    units = UNITS[quantity.kind]
    low, high = (bound * units[quantity.unit] for bound in quantity.usual)

    def off(unit: str) -> float:
        size = max(typical * units[unit], 1e-9)
        return max(log(low / size), log(size / high))

    return min(units, key=off)
