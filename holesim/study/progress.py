"""Progress: what changed in a golfer's swing between sessions, and whether it is more than a good day."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import erf, hypot, sqrt
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from holesim._version import __version__
from holesim.errors import Guess, InputError
from holesim.measure.drives_table import DrivesTable, Session
from holesim.measure.fit import DELIVERY, prior_mean_sd
from holesim.measure.measure import MeasuredPlayer
from holesim.measure.session_fits import fit_sessions, player_of
from holesim.plan.posterior_draws import posterior_draws
from holesim.player.player import Player, Strike, StrikeName
from holesim.player.player_file import STRIKE_UNITS, PlayerFile
from holesim.player.population import (
    CHANGE_SHARE,
    CHANGE_SPREAD_LOG_SD,
    DAY_SHARE,
    DAY_SPREAD_LOG_SD,
    SPREAD_LOG_SD,
)
from holesim.study.progress_worth import StrokesChange
from holesim.units import DEGREE, MM, MPH

Floats = NDArray[np.float64]

SCHEMA: Final = 1
CONFIDENCE: Final = 0.9
_NORMAL_90: Final = 1.6449  # standard deviations of a normal 90 % interval
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
        Which number of the delivery it is, as in `fit.DELIVERY`, or "face_to_path".
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
            usual = SPREAD_LOG_SD * draws.mean(axis=0)
        else:
            sd = dict(zip(DELIVERY, prior_mean_sd(self._strikes()).T, strict=True))
            sd["face_to_path"] = np.hypot(sd["face"], sd["path"])
            usual = sd[number.axis]
        return bool((draws.std(axis=0) < _TOLD * usual).all())

    def _strikes(self) -> list[Strike]:
        return [self.player.driver(name) for name in self.names]


def measure_sessions(
    drives: DrivesTable, golfer: PlayerFile, *, draws: int = 2000, seed: int = 1
) -> list[SessionGolfer]:
    """Fit a golfer to each session of a table, by so many posterior draws.

    Raises
    ------
    InputError
        As `fit_sessions` does.
    """
    fits = fit_sessions(drives, golfer, draws=draws, seed=seed)
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


def order_sessions(sessions: Sequence[SessionGolfer]) -> tuple[list[SessionGolfer], list[Guess]]:
    """Return the sessions in the order of their dates, and what was assumed of it.

    Raises
    ------
    InputError
        If some have dates and others none, or two hold drives of one day.
    """
    undated = [one.session.name for one in sessions if one.session.day is None]
    if undated and len(undated) < len(sessions):
        dated = next(one.session.name for one in sessions if one.session.day is not None)
        raise InputError(undated[0], "", f"has no date, and {dated} has one", "measure it again with --date")
    if undated:
        guess = Guess("", "the files have no dates: taken in the order given", "if it is another, change it")
        return list(sessions), [guess]
    known: dict[str, str] = {}
    for one in sessions:
        for day in one.dates:
            if day in known:
                problem = f"holds the drives of {day}, as {known[day]} does"
                raise InputError(one.player.file, "", problem, "measure each session by itself")
            known[day] = one.player.file
    return sorted(sessions, key=lambda one: one.session.day or date.min), []


# --- the comparison -------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class NumberChange:
    """How a number changed from the first session to the last, in SI, on average over the strikes.

    Attributes
    ----------
    number
        Which it is.
    values
        What it was in each session.
    low, high
        The 90 % interval of the change as measured, which is the last of `values` less the first.
    chance
        The chance that the golfer's own number moved that way, and not the day's alone.
    """

    number: Number
    values: tuple[float, ...]
    low: float
    high: float
    chance: float

    @property
    def change(self) -> float:
        """By how much it changed."""
        return self.values[-1] - self.values[0]

    @property
    def shows(self) -> bool:
        """Whether the sessions differ by more than the drives leave open."""
        return not self.low <= 0 <= self.high


@dataclass(frozen=True, kw_only=True)
class Progress:
    """What changed between sessions.

    Attributes
    ----------
    golfer
        The golfer's name.
    strikes
        The driver strikes that were hit in all sessions compared.
    sessions, drives
        Each session, the first one first, and how many drives it has.
    changes
        What changed, of the numbers that the drives tell.
    strokes
        What that is worth on a course; None where no course was given.
    """

    golfer: str
    strikes: tuple[StrikeName, ...]
    sessions: tuple[Session, ...]
    drives: tuple[int, ...]
    changes: tuple[NumberChange, ...]
    strokes: StrokesChange | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return what `holesim progress --json` prints."""
        counts = zip(self.sessions, self.drives, strict=True)
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "player": self.golfer,
            "strikes": list(self.strikes),
            "sessions": [{"name": session.name, "drives": drives} for session, drives in counts],
            "confidence": CONFIDENCE,
            "changes": {
                change.number.key: {
                    "sessions": [value / change.number.unit for value in change.values],
                    "change": change.change / change.number.unit,
                    "low": change.low / change.number.unit,
                    "high": change.high / change.number.unit,
                    "chance": change.chance,
                }
                for change in self.changes
            },
            "strokes": None if self.strokes is None else self.strokes.to_dict(),
        }


def compare_sessions(sessions: Sequence[SessionGolfer]) -> Progress:
    """Say what changed from the first session to the last.

    Parameters
    ----------
    sessions
        In their order.

    Raises
    ------
    InputError
        If there is but one session, they are of golfers of different hands, or they have no strike or no
        number in common.

    Notes
    -----
    What is measured in a session is the golfer's own number, that day's deviation from it, and an error, all
    normal. Lasting changes have a prior about nought whose standard deviation is `CHANGE_SHARE` of that from
    swing to swing; a day's deviations have `DAY_SHARE` of it. Of a spread they are `CHANGE_SPREAD_LOG_SD` and
    `DAY_SPREAD_LOG_SD` of the spread. The chance follows by the normal distribution (Gelman et al., Bayesian
    Data Analysis, 2013, ch. 2.5). Sessions between the first and the last are not used.
    """
    first, last = _check_sessions(sessions)
    names = tuple(name for name in first.names if all(name in session.names for session in sessions))
    if not names:
        hit = f"{' and '.join(last.names)}, and in {first.session.name} {' and '.join(first.names)}"
        raise InputError(last.session.name, "", f"has drives of {hit}", "compare sessions of one strike")
    told = [n for n in NUMBERS if all(session.tells(n) for session in sessions)]
    if not told:
        problem = f"and {first.session.name} have no number in common that their drives tell"
        raise InputError(last.session.name, "", problem, "measure the same columns on both days")
    return Progress(
        golfer=last.player.name,
        strikes=names,
        sessions=tuple(session.session for session in sessions),
        drives=tuple(session.drives for session in sessions),
        changes=tuple(_compare(sessions, names, number) for number in told),
    )


def _check_sessions(sessions: Sequence[SessionGolfer]) -> tuple[SessionGolfer, SessionGolfer]:
    """Return the first session and the last; raise an error where they cannot be compared."""
    first, last = sessions[0], sessions[-1]
    if len(sessions) < 2:
        problem, remedy = "is one session alone", "give two, or a table with two dates"
        raise InputError(first.session.name, "", problem, remedy)
    other = next((s for s in sessions if s.player.hand != first.player.hand), None)
    if other is not None:
        problem = f"is of a {other.player.hand}-hander, {first.session.name} of a {first.player.hand}-hander"
        raise InputError(other.session.name, "", problem, "give the sessions of one golfer")
    return first, last


def _compare(
    sessions: Sequence[SessionGolfer], names: tuple[StrikeName, ...], number: Number
) -> NumberChange:
    values, errors, widths = [], [], []
    for session in sessions:
        places = [session.names.index(name) for name in names]
        draws = session.draws_of(number)[:, places].mean(axis=1)
        values.append(float(draws.mean()))
        errors.append(float(draws.std()))
        widths.append(float(session.swing_sd(number.axis)[places].mean()))
    change, width = values[-1] - values[0], (widths[0] + widths[-1]) / 2
    day, lasting = (
        (DAY_SPREAD_LOG_SD * width, CHANGE_SPREAD_LOG_SD * width)
        if number.spread
        else (DAY_SHARE * width, CHANGE_SHARE * width)
    )
    se = hypot(errors[0], errors[-1])
    days = day * sqrt(sum(1 / max(len(session.dates), 1) for session in (sessions[0], sessions[-1])))
    return NumberChange(
        number=number,
        values=tuple(values),
        low=change - _NORMAL_90 * se,
        high=change + _NORMAL_90 * se,
        chance=chance_of_change(change, hypot(se, days), lasting),
    )


def chance_of_change(change: float, sd: float, lasting: float) -> float:
    """Return the chance that a golfer's own number moved the way that two sessions differ.

    Parameters
    ----------
    change
        By how much the sessions differ.
    sd
        The standard deviation of that about the lasting change: of its error and of both days together.
    lasting
        The standard deviation of lasting changes about nought.

    Examples
    --------
    >>> round(chance_of_change(2.0, sd=0.5, lasting=1.0), 3)
    1.0
    >>> round(chance_of_change(2.0, sd=1.5, lasting=1.0), 2)
    0.77
    """
    z = abs(change) / sd * sqrt(lasting**2 / (lasting**2 + sd**2))
    return 0.5 + 0.5 * erf(z / sqrt(2))
