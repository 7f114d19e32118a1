"""The golfer of each session: measured drives or player files as what is compared between sessions."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import hypot
from typing import Final, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from holesim.errors import Guess, InputError
from holesim.measure.drives_table import DrivesTable, Session
from holesim.measure.fit import DELIVERY, prior_mean_sd
from holesim.measure.measure import MeasuredPlayer
from holesim.measure.session_fits import fit_sessions, player_of
from holesim.plan.posterior_draws import posterior_draws
from holesim.player.player import Player, Strike, StrikeName
from holesim.player.player_file import STRIKE_UNITS, PlayerFile
from holesim.player.population import SPREAD_LOG_SD, STRIKE_SPREAD_LOG_SD
from holesim.units import DEGREE, MM, MPH

Floats = NDArray[np.float64]

_TOLD: Final = 0.7
"""Standard error, as a share of what golfers differ by, from which on drives tell too little of a number to
compare it: our assumption."""

_MEASURED: Final = {field for field, _ in STRIKE_UNITS.values()}
_SIZES: Final = ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high")


@dataclass(frozen=True)
class Number:
    """A number that is compared: a mean of the delivery, or its standard deviation from swing to swing.

    Attributes
    ----------
    key
        Its key in JSON, with the unit.
    unit
        That unit in SI.
    axis
        Which number of the delivery it is, as in `fit.DELIVERY`, or "face_to_path"; of a round, the drives'
        "direction" or "length".
    spread
        Whether it is the standard deviation.
    """

    key: str
    unit: float
    axis: str
    spread: bool = False


NUMBERS: Final = (
    Number("club_speed_mph", MPH, "club_speed"),
    Number("attack_deg", DEGREE, "attack"),
    Number("path_deg", DEGREE, "path"),
    Number("face_deg", DEGREE, "face"),
    Number("face_to_path_deg", DEGREE, "face_to_path"),
    Number("toe_mm", MM, "toe"),
    Number("high_mm", MM, "high"),
    Number("face_spread_deg", DEGREE, "face", spread=True),
    Number("path_spread_deg", DEGREE, "path", spread=True),
    Number("toe_spread_mm", MM, "toe", spread=True),
    Number("high_spread_mm", MM, "high", spread=True),
)
"""What is compared, in the order of the table."""


@dataclass(frozen=True)
class SessionGolfer:
    """A golfer as measured in one session.

    Attributes
    ----------
    session
        Its name and date.
    dates
        The ISO dates on which the drives were hit; empty where they are not known.
    drives
        How many there were.
    names
        The driver strikes that were hit.
    means, spreads
        Draws of the mean delivery and of its standard deviations from swing to swing, by the names of
        `fit.DELIVERY`, and of `face_path_correlation` among the latter, shape (draws, strikes), in SI.
    player
        The player as measured then.
    """

    session: Session
    dates: tuple[str, ...]
    drives: int
    names: tuple[StrikeName, ...]
    means: Mapping[str, Floats]
    spreads: Mapping[str, Floats]
    player: Player

    def draws_of(self, number: Number) -> Floats:
        """Return draws of a number of each strike, shape (draws, strikes)."""
        if number.axis == "face_to_path":
            return np.asarray(self.means["face"] - self.means["path"])
        return (self.spreads if number.spread else self.means)[number.axis]

    def swing_sd(self, axis: str) -> Floats:
        """Return the standard deviation from swing to swing of each strike, shape (strikes,)."""
        sd = {name: draws.mean(axis=0) for name, draws in self.spreads.items()}
        if axis == "face_to_path":
            face, path = sd["face"], sd["path"]
            sd[axis] = np.sqrt(face**2 + path**2 - 2 * sd["face_path_correlation"] * face * path)
        return np.asarray(sd[axis])

    def tells(self, number: Number) -> bool:
        """Return whether the drives tell more of a number than is known of all golfers."""
        draws = self.draws_of(number)
        if number.spread:
            usual = hypot(SPREAD_LOG_SD, STRIKE_SPREAD_LOG_SD) * draws.mean(axis=0)
        else:
            sd = dict(zip(DELIVERY, prior_mean_sd(self._strikes()).T, strict=True))
            sd["face_to_path"] = np.hypot(sd["face"], sd["path"])
            usual = sd[number.axis]
        return bool((draws.std(axis=0) < _TOLD * usual).all())

    def _strikes(self) -> list[Strike]:
        return [self.player.driver(name) for name in self.names]


def measure_sessions(
    drives: DrivesTable,
    golfer: PlayerFile,
    *,
    draws: int = 2000,
    seed: int = 1,
    progress: Callable[[float], None] = lambda _: None,
) -> list[SessionGolfer]:
    """Fit a golfer to each session of a table, by so many posterior draws; `progress` hears the share done.

    Raises
    ------
    InputError
        As `fit_sessions` does.
    """
    fits = fit_sessions(drives, golfer, draws=draws, seed=seed, progress=progress)
    return [_golfer_of(found, session) for found, session in zip(fits, drives.sessions, strict=True)]


def _golfer_of(found: MeasuredPlayer, session: Session) -> SessionGolfer:
    strikes = len(found.names)
    correlation = np.repeat(found.common["face_path_correlation"][:, None], strikes, axis=1)
    return SessionGolfer(
        session=session,
        dates=() if session.day is None else (session.day.isoformat(),),
        drives=len(found.drives.lines),
        names=found.names,
        means={name: found.means[name] for name in DELIVERY},
        spreads={name: found.spreads[name] for name in DELIVERY} | {"face_path_correlation": correlation},
        player=player_of(found),
    )


def read_session(player: Player, model: PlayerFile) -> SessionGolfer:
    """Return the session that a measured player file is of.

    Parameters
    ----------
    player
        The player.
    model
        The file as it is written.

    Raises
    ------
    InputError
        If its numbers were not measured.
    """
    told = model.measured
    strikes = [s for s in player.drivers if s.se.keys() >= _MEASURED and set(_SIZES) <= s.spread.se.keys()]
    if told is None or not strikes:
        remedy = "give files that holesim measure wrote, or the tables"
        raise InputError(player.file, "", "does not say how surely its numbers were measured", remedy)
    days = sorted(date.fromisoformat(text) for text in told.sessions)
    name = " to ".join(dict.fromkeys(day.isoformat() for day in (days[0], days[-1]))) if days else player.file
    golfers = posterior_draws(player, 1).golfers
    return SessionGolfer(
        session=Session(name, days[-1] if days else None),
        dates=tuple(day.isoformat() for day in days),
        drives=told.drives,
        names=tuple(strike.name for strike in strikes),
        means={name: _drawn(golfers, strikes, name, of_spread=False) for name in DELIVERY},
        spreads={
            name: _drawn(golfers, strikes, name, of_spread=True)
            for name in (*DELIVERY, "face_path_correlation")
        },
        player=player,
    )


def _drawn(golfers: Sequence[Player], strikes: Sequence[Strike], axis: str, *, of_spread: bool) -> Floats:
    """Return draws of a number of each strike, about what the file states, shape (draws, strikes)."""

    def number(strike: Strike) -> float:
        if not of_spread:
            return float(getattr(strike, axis))
        if axis == "club_speed":
            return strike.spread.speed * strike.club_speed
        return float(getattr(strike.spread, axis))

    stated = np.array([number(strike) for strike in strikes])
    drawn = np.array([[number(golfer.driver(s.name)) for s in strikes] for golfer in golfers])
    return np.asarray(stated + drawn - drawn.mean(axis=0))


class _Dated(Protocol):
    @property
    def session(self) -> Session: ...


T = TypeVar("T", bound=_Dated)


def order_sessions(sessions: Sequence[T]) -> tuple[list[T], list[Guess]]:
    """Return the sessions of some files in the order of their dates, and what was assumed of it.

    Raises
    ------
    InputError
        If some have dates and others none.
    """
    undated = [one.session.name for one in sessions if one.session.day is None]
    if undated and len(undated) < len(sessions):
        dated = next(one.session.name for one in sessions if one.session.day is not None)
        raise InputError(undated[0], "", f"has no date, and {dated} has one", "give files that all have one")
    if undated:
        guess = Guess("", "the files have no dates: taken in the order given", "if it is another, change it")
        return list(sessions), [guess] if len(sessions) > 1 else []
    return sorted(sessions, key=lambda one: one.session.day or date.min), []


def check_days(sessions: Sequence[SessionGolfer]) -> None:
    """Make sure that no two player files hold the drives of one day.

    Raises
    ------
    InputError
        If two do: their errors would go together.
    """
    known: dict[str, str] = {}
    for one in sessions:
        for day in one.dates:
            if day in known:
                problem = f"holds the drives of {day}, as {known[day]} does"
                raise InputError(one.player.file, "", problem, "measure each session by itself")
            known[day] = one.player.file
