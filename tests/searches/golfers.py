"""Golfers drawn from the stated population by code of their own, and their drives on a launch monitor.

Numbers and laws are restated from the words of `holesim.population`, `holesim.player` and `holesim.fit`,
whose draws are not used here: that a plan, or a fit, agrees with these golfers checks both.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Final, Literal, NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from holesim.player.player import Player, Spread, Strike, StrikeName
from holesim.shot.air import make_air
from holesim.shot.balls import CHANCES, SLOPES, make_ball
from holesim.shot.club_speeds import load_player
from holesim.shot.deliveries import Deliveries
from holesim.shot.flight import QUINTAVALLA, Aerodynamics, fly
from holesim.shot.impact import Launches, choose_head, impact
from holesim.units import DEGREE, MM, MPH, RPM, YARD

Floats = NDArray[np.float64]


class Kind(NamedTuple):
    """A handicap index, a club speed [mph] and a sex that go together."""

    handicap: float
    mph: float
    sex: Literal["man", "woman"] = "man"


KINDS: Final = (
    Kind(0, 112), Kind(2, 108), Kind(4, 112), Kind(6, 104), Kind(8, 100), Kind(10, 104), Kind(12, 96),
    Kind(15, 90), Kind(1, 94, "woman"), Kind(10, 84, "woman"),
)  # fmt: skip
"""A few, so that expected strokes are worked out for few: golfers of one kind share them."""

LEFT_HANDED: Final = 0.2
"""Share of golfers, more than there are, so that mirrored signs would show."""

ATTACK: Final = {"up": (2.0, 15.0), "down": (-15.0, -1.0)}  # degrees
SWING_PLANE: Final = 47.5 * DEGREE
AT_A_TIME: Final = ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high")

NOISE: Final = {
    "club_speed_mph": 1.0, "attack_deg": 0.7, "path_deg": 0.7, "face_deg": 0.7, "dynamic_loft_deg": 1.0,
    "toe_mm": 3.0, "high_mm": 3.0, "ball_speed_mph": 1.5, "launch_angle_deg": 0.5, "start_direction_deg": 0.5,
    "spin_rpm": 250.0, "axis_tilt_deg": 2.0, "carry_yd": 6.0,
}  # fmt: skip
"""Standard deviations of a launch monitor's columns, as `holesim.fit` states them."""
OFFLINE_DEG: Final = 0.7
"""The same of where the ball comes down, as seen from the tee."""
ALL_CARRIES: Final = 0.02
"""The same of all carries of a table together, as a share."""
MISHITS: Final = 0.25
"""Share of bad misses that are topped or skied, as `holesim.population` states it."""


@dataclass(frozen=True)
class Golfer:
    """A true golfer, of whom `bare`, their file, says little, and the drag slope of their ball."""

    number: int
    kind: Kind
    bare: Player
    true: Player
    drag_slope: float

    @property
    def ball(self) -> Aerodynamics:
        """Their ball."""
        return make_ball(self.drag_slope)


def bare_file(number: int, folder: Path) -> Path:
    """Write the file that a golfer has before anything is measured."""
    kind = KINDS[number % len(KINDS)]
    left = np.random.default_rng((number, 1)).random() < LEFT_HANDED
    path = folder / f"{number}.toml"
    path.write_text(
        f'name = "golfer {number}"\nhand = "{"left" if left else "right"}"\nsex = "{kind.sex}"\n'
        f"handicap_index = {kind.handicap:.1f}\nclub_speed_mph = {kind.mph:.1f}\n"
    )
    return path


def golfer(number: int, folder: Path) -> Golfer:
    """Return a golfer, always the same for a number; their bare file is written into a folder."""
    kind, rng = KINDS[number % len(KINDS)], np.random.default_rng((number, 2))
    bare = load_player(bare_file(number, folder))
    slope = float(rng.choice(SLOPES, p=CHANCES))
    # Common to the golfer's strikes.
    loft, toe, high = rng.normal(0, 2.0), rng.normal(0, 4.0), rng.normal(0, 3.0)
    sizes = dict(zip(AT_A_TIME, np.exp(rng.normal(0, 0.25, len(AT_A_TIME))).tolist(), strict=True))
    usual = bare.drivers[0].spread
    own = np.sqrt(1 - usual.face_path_correlation**2)
    slope_on_face = rng.normal(usual.face_path_correlation, 0.35)
    correlation = float(slope_on_face / np.hypot(slope_on_face, own))
    rate = float(rng.beta(40 * usual.miss_rate, 40 * (1 - usual.miss_rate)))

    def spread(strike: Strike) -> Spread:
        factor = float(np.exp(rng.normal(0, 0.15 / np.sqrt(2))))
        wide = {name: factor * size * getattr(strike.spread, name) for name, size in sizes.items()}
        return replace(strike.spread, **wide, face_path_correlation=correlation, miss_rate=rate)

    def driver(strike: Strike) -> Strike:
        low, high_end = ATTACK[strike.name]
        attack = next(a for a in _normals(rng, 0.5, 2.4) if low < a < high_end)
        usual_loft = 12.8 + 0.65 * (attack + 1.3) - 0.08 * (kind.mph - 113)
        usual_high = {"up": 4.0, "down": 0.0}[strike.name]
        # The path stays along the aim, whatever the attack.
        line = _side(bare) * float(np.arctan(np.tan(attack * DEGREE) / np.tan(SWING_PLANE)))
        return replace(
            strike,
            club_speed=kind.mph * MPH * (1 + rng.normal(0, 0.01)),
            attack=attack * DEGREE,
            dynamic_loft=(usual_loft + loft + rng.normal(0, 1.0)) * DEGREE,
            face=0.0,
            path=0.0,
            swing_line=line,
            toe=(toe + rng.normal(0, 3.0)) * MM,
            high=(usual_high + high + rng.normal(0, 3.0)) * MM,
            spread=spread(strike),
        )

    strikes = [
        driver(strike) if strike.club == "driver" else _as_far(replace(strike, spread=spread(strike)), slope)
        for strike in bare.strikes
    ]
    return Golfer(number, kind, bare, replace(bare, strikes=tuple(strikes)), slope)


def _normals(rng: np.random.Generator, mean: float, sd: float) -> Iterator[float]:
    while True:
        yield float(rng.normal(mean, sd))


def _side(player: Player) -> float:
    return 1.0 if player.hand == "right" else -1.0


def _as_far(strike: Strike, slope: float) -> Strike:
    """Return a club with such a speed that it carries as far by the golfer's ball as the usual ball does.

    How far clubs other than the driver go a golfer knows.
    """
    far = _comes_down(strike, QUINTAVALLA)[0]
    for _ in range(4):
        pace = (far / _comes_down(strike, make_ball(slope))[0]) ** 0.6
        strike = replace(strike, club_speed=strike.club_speed * pace)
    return strike


def comes_down(strike: Strike, player: Player, aerodynamics: Aerodynamics) -> float:
    """Return how far right of the aim the drive without errors comes down in calm air [rad]."""
    return _comes_down(strike, aerodynamics, _side(player))[1]


def _comes_down(strike: Strike, aerodynamics: Aerodynamics, side: float = 1.0) -> tuple[float, float]:
    one = Deliveries(*(np.array([getattr(strike, field.name)]) for field in fields(Deliveries)))
    struck = impact(one, choose_head(strike.kind, strike.club_speed), side=side)
    landings, _ = fly(struck, make_air(), aerodynamics=aerodynamics)
    # In calm air of heading nought x is along the aim, y right of it.
    x, y = float(landings.x[0]), float(landings.y[0])
    return float(np.hypot(x, y)), float(np.arctan2(y, x))


# --- on the launch monitor ------------------------------------------------------------------------


def deliveries(strike: Strike, missed: NDArray[np.bool_], rng: np.random.Generator) -> Deliveries:
    """Return what the club does in drives, whose errors are normal, and wider in bad misses."""
    s = strike.spread
    wild = np.where(missed, s.miss_scale, 1.0)
    z = {name: wild * rng.normal(size=len(missed)) for name in AT_A_TIME}
    harder = (strike.club_speed / s.at_speed) ** 0.5
    rho = s.face_path_correlation
    path = rho * z["face"] + np.sqrt(1 - rho**2) * z["path"]
    return Deliveries(
        club_speed=strike.club_speed * (1 + s.speed * z["speed"]),
        attack=strike.attack + s.attack * z["attack"],
        path=strike.path + harder * s.path * path,
        face=strike.face + harder * s.face * z["face"],
        dynamic_loft=strike.dynamic_loft + s.dynamic_loft * z["dynamic_loft"],
        toe=strike.toe + harder * s.toe * z["toe"],
        high=strike.high + harder * s.high * z["high"],
    )


def monitored(who: Golfer, drives: int) -> pd.DataFrame:
    """Return so many drives of each strike as a launch monitor tells them, in its columns."""
    rng = np.random.default_rng((who.number, 3))
    table = pd.concat([_monitored(who, strike, drives, rng) for strike in who.true.drivers])
    longer = 1 + rng.normal(0, ALL_CARRIES)
    return table.assign(carry_yd=longer * table["carry_yd"], side_yd=longer * table["side_yd"]).round(2)


def top(table: pd.DataFrame, which: NDArray[np.int64], rng: np.random.Generator) -> pd.DataFrame:
    """Return a table of which some drives are topped: slow, low, short, struck under the face's foot."""
    n = len(which)
    return _mishit(table, which, rng.uniform(0.35, 0.75, n), {
        "launch_angle_deg": rng.uniform(-6, 5, n), "spin_rpm": rng.uniform(600, 6000, n),
        "axis_tilt_deg": rng.uniform(-60, 60, n), "carry_yd": rng.uniform(2, 70, n),
        "high_mm": rng.uniform(-45, -22, n),
    }, rng)  # fmt: skip


def sky(table: pd.DataFrame, which: NDArray[np.int64], rng: np.random.Generator) -> pd.DataFrame:
    """Return a table of which some drives are skied: slow, high, short, struck over the face's top."""
    n = len(which)
    return _mishit(table, which, rng.uniform(0.5, 0.8, n), {
        "launch_angle_deg": rng.uniform(30, 60, n), "spin_rpm": rng.uniform(3000, 9000, n),
        "axis_tilt_deg": rng.uniform(-40, 40, n), "carry_yd": rng.uniform(40, 130, n),
        "high_mm": rng.uniform(22, 45, n),
    }, rng)  # fmt: skip


def _mishit(
    table: pd.DataFrame, which: NDArray[np.int64], slower: Floats, told: dict[str, Floats],
    rng: np.random.Generator,
) -> pd.DataFrame:  # fmt: skip
    table = table.reset_index(drop=True)
    told = {"ball_speed_mph": table["ball_speed_mph"].to_numpy()[which] * slower} | told
    told["side_yd"] = told["carry_yd"] * rng.uniform(-0.2, 0.2, len(which))
    for column, values in told.items():
        table.loc[which, column] = values.round(2)
    return table


def _monitored(who: Golfer, strike: Strike, drives: int, rng: np.random.Generator) -> pd.DataFrame:
    missed = rng.random(drives) < strike.spread.miss_rate
    swings = deliveries(strike, missed, rng)
    struck: Launches = impact(swings, choose_head("driver", strike.club_speed), side=_side(who.true))
    landings, _ = fly(struck, make_air(), aerodynamics=who.ball)
    carry, offline = np.hypot(landings.x, landings.y), np.arctan2(landings.y, landings.x)
    told = {
        "club_speed_mph": swings.club_speed / MPH,
        "attack_deg": swings.attack / DEGREE,
        "path_deg": swings.path / DEGREE,
        "face_deg": swings.face / DEGREE,
        "dynamic_loft_deg": swings.dynamic_loft / DEGREE,
        "toe_mm": swings.toe / MM,
        "high_mm": swings.high / MM,
        "ball_speed_mph": struck.speed / MPH,
        "launch_angle_deg": struck.angle / DEGREE,
        "start_direction_deg": struck.direction / DEGREE,
        "spin_rpm": struck.spin / RPM,
        "axis_tilt_deg": struck.tilt / DEGREE,
        "carry_yd": carry / YARD,
    }
    table = {name: values + rng.normal(0, NOISE[name], drives) for name, values in told.items()}
    offline = offline + rng.normal(0, OFFLINE_DEG * DEGREE, drives)
    table["side_yd"] = table["carry_yd"] * np.sin(offline)
    # What a topped drive does is kept within what the reader takes; off the face no strike point is read.
    table["spin_rpm"] = np.clip(table["spin_rpm"], 250, 11900)
    table["axis_tilt_deg"] = np.clip(table["axis_tilt_deg"], -79.5, 79.5)
    table["dynamic_loft_deg"] = np.clip(table["dynamic_loft_deg"], -4, 59)
    table["carry_yd"] = np.maximum(table["carry_yd"], 12)
    for column, most in (("toe_mm", 55), ("high_mm", 45)):
        table[column] = np.where(np.abs(table[column]) < most, table[column], np.nan)
    name: StrikeName = strike.name
    told_of = pd.DataFrame({"strike": name, **{column: values.round(2) for column, values in table.items()}})
    mishit, high = missed & (rng.random(drives) < MISHITS), rng.random(drives) < 0.5
    return sky(top(told_of, np.flatnonzero(mishit & ~high), rng), np.flatnonzero(mishit & high), rng)
