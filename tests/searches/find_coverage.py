"""How often the 90 % intervals of a fit hold the true value, for every number of a player file.

    python -m tests.searches.find_coverage FOLDER [GOLFERS]

Golfers are drawn by code of their own (`golfers`), hit drives, and are measured as a coach would. What is
found of each is kept in FOLDER, so that it goes on where it stopped. The shares are written to
notebooks/coverage.csv, which the table of agreement reads. 200 golfers take some two hours of a processor.
"""

import json
import sys
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final, Literal

import numpy as np
import pandas as pd

from holesim.errors import InputError
from holesim.measure.drives_table import load_drives
from holesim.measure.measure import MeasuredPlayer, fit_player
from holesim.player.player import Strike
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS, read_player
from holesim.units import DEGREE, MPH
from tests.searches.golfers import Golfer, bare_file, golfer, monitored, top

FILE: Final = Path(__file__).parents[2] / "notebooks" / "coverage.csv"
BALL: Final = (
    "ball_speed_mph", "launch_angle_deg", "start_direction_deg", "spin_rpm", "axis_tilt_deg", "carry_yd",
    "side_yd",
)  # fmt: skip
SETTINGS: Final[Mapping[str, tuple[int, tuple[str, ...] | None]]] = {
    "all columns": (20, None),
    "ball only": (20, BALL),
    "carry and side": (20, ("carry_yd", "side_yd")),
    "five tops in forty": (20, None),
    "left-handers": (20, None),
    "eight drives a strike": (8, None),
}
"""How many drives of each strike, and which columns besides the strike; all for None."""

_APART: Final = 1000  # from the numbers of one setting's golfers to those of the next
_BY_SPEED: Final = ("face", "path", "toe", "high")


def make_golfer(number: int, setting: str, folder: Path) -> Golfer:
    """Return a golfer whose mean face, path and speed differ from the default, too."""
    who, rng = golfer(number, folder), np.random.default_rng((number, 5))
    hand: Literal["right", "left"] = "left" if setting == "left-handers" else who.bare.hand

    def differ(strike: Strike) -> Strike:
        face, path = rng.normal(0, 1.5 * DEGREE), rng.normal(0, 3 * DEGREE)
        # The swing line turns with the path.
        turned = strike.swing_line if hand == who.bare.hand else -strike.swing_line
        speed = who.kind.mph * MPH * (1 + rng.normal(0, 0.05))
        return replace(strike, face=face, path=path, swing_line=turned + path, club_speed=speed)

    strikes = tuple(differ(s) if s.club == "driver" else s for s in who.true.strikes)
    return replace(who, bare=replace(who.bare, hand=hand), true=replace(who.true, hand=hand, strikes=strikes))


def measure(number: int, setting: str) -> dict[str, list[bool]] | None:
    """Return whether the 90 % intervals hold the truth, by number; None for a table that is refused."""
    drives, columns = SETTINGS[setting]
    with TemporaryDirectory() as place:
        folder = Path(place)
        who = make_golfer(number, setting, folder)
        table = monitored(who, drives)
        if setting == "five tops in forty":
            rng = np.random.default_rng((number, 6))
            table = top(table, rng.permutation(len(table))[:5], rng)
        if columns is not None:
            table = table[["strike", *columns]]
        table.to_csv(folder / "drives.csv", index=False)
        told = read_player(bare_file(number, folder))[0].model_copy(update={"hand": who.true.hand})
        try:
            found = fit_player(load_drives(folder / "drives.csv", balls="course"), told)
        except InputError:
            return None
    return compare(found, who, setting)


def compare(found: MeasuredPlayer, who: Golfer, setting: str) -> dict[str, list[bool]]:
    """Return whether the 90 % intervals of a fit hold the truth, by number, a value for each strike."""
    drivers = sorted(who.true.drivers, key=lambda strike: -strike.attack)
    held: dict[str, list[bool]] = {}

    def note(name: str, draws: np.ndarray, true: float) -> None:
        low, high = np.quantile(draws, (0.05, 0.95))
        held.setdefault(name, []).append(bool(low <= true <= high))

    for s, strike in enumerate(drivers):
        for field, _ in STRIKE_UNITS.values():
            note(field.replace("_", " "), found.means[field][:, s], getattr(strike, field))
        for field, _ in SPREAD_UNITS.values():
            if field in found.spreads:
                # The fit tells the spread at the golfer's own speed.
                harder = (strike.club_speed / strike.spread.at_speed) ** 0.5 if field in _BY_SPEED else 1.0
                size = harder * getattr(strike.spread, field)
                note(f"spread of {field.replace('_', ' ')}", found.spreads[field][:, s], size)
    spread = drivers[0].spread
    note("correlation of face and path", found.fit.correlation, spread.face_path_correlation)
    if setting != "five tops in forty":  # whose rate is five in forty and their own
        note("rate of bad misses", found.fit.miss_rate, spread.miss_rate)
    if found.fit.drag_slope is not None:
        note("drag slope", found.fit.drag_slope, who.drag_slope)
    return held


def _one(job: tuple[str, str, int]) -> None:
    folder, setting, number = job
    path = Path(folder, f"{setting} {number}.json")
    if not path.exists():
        path.write_text(json.dumps(measure(number, setting)))


def write_shares(folder: Path) -> None:
    """Write the share of intervals that hold the truth, by setting and number."""
    rows = []
    for setting in SETTINGS:
        found = [json.loads(path.read_text()) for path in sorted(folder.glob(f"{setting} *.json"))]
        told = [held for held in found if held is not None]
        for name in told[0] if told else ():
            values = [value for held in told for value in held.get(name, [])]
            rows.append((setting, name, len(told), round(float(np.mean(values)), 3)))
    table = pd.DataFrame(rows, columns=["setting", "number", "golfers", "held"])
    table.to_csv(FILE, index=False, lineterminator="\n")


def main(folder: str, golfers: int = 200) -> None:
    Path(folder).mkdir(parents=True, exist_ok=True)
    # Golfers of their own for each setting: what is luck of the golfers in one is not in another.
    jobs = [
        (folder, setting, number + _APART * k)
        for number in range(golfers)
        for k, setting in enumerate(SETTINGS)
    ]
    with ProcessPoolExecutor() as pool:
        list(pool.map(_one, jobs))
    write_shares(Path(folder))


if __name__ == "__main__":
    main(sys.argv[1], *(int(word) for word in sys.argv[2:]))
