"""Strikes apart: which drives of a table are which strike, by its own column or by what was measured."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, get_args

import numpy as np
from numpy.typing import NDArray

from holesim.errors import InputError
from holesim.measure.drives_table import DrivesTable
from holesim.player.player import StrikeName, strike_name
from holesim.units import DEGREE, MM, RPM

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

_APART: Final = 4.0
"""Standard deviations by which two groups must lie apart to count as two strikes: our assumption. The two
halves of one normal group lie 2.65 apart."""
_LEAST_APART: Final = 2.5 * DEGREE  # of attack, or as much by the other columns: our assumption
_FEWEST: Final = 5  # drives of a strike
_FEWEST_KNOWN: Final = 3  # of which this much must be measured
_KNOWN: Final = 0.5  # share of drives in which a column was measured, from which on it may separate strikes
_ORDER: Final[tuple[StrikeName, ...]] = get_args(StrikeName)

_UP_LESS_DOWN: Final[Mapping[str, tuple[float, float]]] = {
    "attack": (6.5 * DEGREE, 1.3 * DEGREE), "launch_angle": (3.5 * DEGREE, 1.5 * DEGREE),
    "dynamic_loft": (4.0 * DEGREE, 1.6 * DEGREE), "spin": (-600 * RPM, 400 * RPM), "high": (5 * MM, 6.5 * MM),
}  # fmt: skip
"""By how much a golfer's upward strikes exceed the downward ones, and how much one strike varies as measured:
our assumption. It weighs the columns; whether there are two groups is told by the drives alone."""


@dataclass(frozen=True)
class StrikesApart:
    """Which drives are which strike.

    Attributes
    ----------
    names
        The strikes, in the order up, level, down.
    strike_of
        The place in `names` of each drive's strike; -1 where nobody can say.
    told_by
        The columns that told them apart; empty where the table's own column did, or there is one strike.
    alike
        The attacks [rad] of two groups that have the same name, and so are one strike; empty otherwise.
    """

    names: tuple[StrikeName, ...]
    strike_of: Integers
    told_by: tuple[str, ...] = ()
    alike: tuple[float, ...] = ()


def separate_strikes(drives: DrivesTable, usual: StrikeName | None) -> StrikesApart:
    """Tell strikes apart.

    Where attack was measured it gives a strike its name; the table's own names only say which drives belong
    together. A table without names is looked at for two groups, by attack alone and else by all that was
    measured of a strike. A drive in which nothing of that was measured has a place of -1 if there are two.

    Parameters
    ----------
    drives
        The drives.
    usual
        What all drives are taken for where neither name nor attack says.

    Raises
    ------
    InputError
        If a strike has too few drives, or two have the same name by their attack.
    """
    count = len(drives.lines)
    attacks = drives.values.get("attack", np.full(count, np.nan))
    called: list[StrikeName]
    told_by: tuple[str, ...] = ()
    if drives.strikes:
        called = [name for name in _ORDER if name in drives.strikes]
        group_of = np.array([called.index(name) for name in drives.strikes])
    else:
        group_of, told_by = _find_groups(drives.values, count)
        called = ["down", "up"] if told_by else [usual or "level"]
    counts = np.bincount(group_of[group_of >= 0], minlength=len(called))
    few = int(counts.argmin())
    if (told_by or drives.strikes) and counts[few] < _FEWEST:
        problem = f"has {counts[few]} drives of {called[few]}"
        raise InputError(drives.file, "strike", problem, f"hit at least {_FEWEST}, or leave them out")
    typical = np.array([_median(attacks[group_of == group]) for group in range(len(called))])
    if not np.isfinite(typical).all():
        names = tuple(name for name in _ORDER if name in called)
        place = np.array([*(names.index(name) for name in called), -1])
        return StrikesApart(names, place[group_of], told_by)
    told = [strike_name(attack) for attack in typical.tolist()]
    if not drives.strikes and len(set(told)) == 1:
        alike = tuple(typical.tolist()) if told_by else ()
        return StrikesApart((told[0],), np.zeros(count, dtype=np.int64), alike=alike)
    names, place = order_names(drives.file, called, told, typical)
    return StrikesApart(names, np.array([*place, -1])[group_of], told_by)


def order_names(
    file: str, called: Sequence[StrikeName], told: Sequence[StrikeName], attacks: Floats
) -> tuple[tuple[StrikeName, ...], Integers]:
    """Return the names that attacks give, in the order up, level, down, and the place of each in it.

    Raises
    ------
    InputError
        If two are the same.
    """
    if len(set(told)) < len(told):
        which = " and ".join(
            f"{name} {attack / DEGREE:+.1f}°" for name, attack in zip(called, attacks, strict=True)
        )
        raise InputError(
            file, "strike", f"attacks of {which} are one strike by name",
            "up is +2° or more, down -1° or less, level between; measure them apart",
        )  # fmt: skip
    names = tuple(name for name in _ORDER if name in told)
    return names, np.array([names.index(name) for name in told])


def _median(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if len(known) else np.nan


def _find_groups(values: Mapping[str, Floats], count: int) -> tuple[Integers, tuple[str, ...]]:
    """Return the group of each drive, 1 the upward one and -1 unknown, and the columns that told.

    All drives are of group 0, told by nothing, where they are not clearly two groups.
    """
    known = [
        name for name in _UP_LESS_DOWN if np.isfinite(values.get(name, np.empty(0))).sum() > _KNOWN * count
    ]
    tried = [known] if "attack" not in known or len(known) == 1 else [["attack"], known]
    for names in tried:
        heights = _height(values, names)
        measured = np.isfinite(heights)
        blank = int((~measured).sum())
        threshold = _find_threshold(np.sort(heights[measured]), max(_FEWEST - blank, _FEWEST_KNOWN))
        if threshold is None:
            continue
        # Of a drive without an attack the other columns might say, but a mishit would be taken for the other.
        group_of = np.where(measured, (heights > threshold).astype(np.int64), -1)
        return group_of, tuple(names)
    return np.zeros(count, dtype=np.int64), ()


def _height(values: Mapping[str, Floats], names: Sequence[str]) -> Floats:
    """Return how far up or down each drive was hit, as an attack [rad] about the mean; NaN if unknown.

    Each column counts by how clearly it tells strikes apart. Each is taken about its own mean, so that a
    blank cell moves a drive neither up nor down.
    """
    if not names:
        return np.empty(0)
    apart = _UP_LESS_DOWN["attack"][0]
    total = np.zeros(len(values[names[0]]))
    weights = np.zeros_like(total)
    for name in names:
        between, within = _UP_LESS_DOWN[name]
        known = np.isfinite(values[name])
        weight = (between / within) ** 2
        total = total + weight * np.where(
            known, (values[name] - values[name][known].mean()) * apart / between, 0.0
        )
        weights = weights + weight * known
    with np.errstate(invalid="ignore"):
        return np.asarray(total / weights)


def _find_threshold(attacks: Floats, fewest: int) -> float | None:
    """Return the attack between two groups of sorted attacks; None where they are not clearly two."""
    best, threshold = np.inf, None
    for i in range(fewest, len(attacks) - fewest + 1):
        low, high = attacks[:i], attacks[i:]
        within = float(np.sqrt((low.var() * len(low) + high.var() * len(high)) / len(attacks)))
        apart = high.mean() - low.mean()
        if within < best and apart > max(_LEAST_APART, _APART * within):
            best, threshold = within, float(low[-1] + high[0]) / 2
    return threshold
