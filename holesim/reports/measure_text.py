"""What measured drives say of a player, in a coach's words."""

from itertools import combinations
from textwrap import wrap
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.measure.measure import Found
from holesim.plan import explain
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS
from holesim.units import DEGREE

Floats = NDArray[np.float64]

_WIDTH: Final = 100
_SURE: Final = (0.05, 0.95)  # quantiles, so nine in ten
_TELLS: Final = 0.8  # chance below which a difference is said to be open; nothing hangs on it
_SIGNS: Final = {"mph": " mph", "deg": "°", "mm": " mm", "pct": " %"}
_MEANS: Final = {
    "club_speed_mph": "club speed",
    "attack_deg": "attack",
    "dynamic_loft_deg": "dynamic loft",
    "face_deg": "face, right of the aim",
    "swing_line_deg": "swing line, right of the aim",
    "toe_mm": "strike towards the toe",
    "high_mm": "strike above the middle",
}
_SPREADS: Final = {
    "face_deg": "face",
    "path_deg": "path",
    "attack_deg": "attack",
    "dynamic_loft_deg": "dynamic loft",
    "speed_pct": "club speed",
    "toe_mm": "strike towards heel or toe",
    "high_mm": "strike up or down the face",
}


def measure_text(found: Found) -> str:
    """Return what was found, each number with what it surely lies between, nine times in ten."""
    measured, drives = found.measured, len(found.measured.lines)
    counts = np.bincount(found.strike_of, minlength=len(found.names))
    hit = ", ".join(f"{count} {name}" for count, name in zip(counts, found.names, strict=True))
    how = (
        "as the table has it"
        if measured.strikes
        else "by their attack"
        if len(found.names) > 1
        else "not told apart"
    )
    balls = (
        "range balls, of which direction alone is taken"
        if measured.balls == "range"
        else "the player's own balls"
    )
    means, spreads = found.means, found.spreads
    lines = [f"{drives} drives of {measured.file}, {balls}: {hit} ({how})", *_renamed(found), ""]
    for s, name in enumerate(found.names):
        lines += [f"{name:<32} {'found':>9}  surely between"]
        for key, words in _MEANS.items():
            field, unit = STRIKE_UNITS[key]
            lines.append(_row(means[field][:, s] / unit, words, _sign(key)))
        lines.append("")
    usual = default_spread(found.before.handicap_index, found.before.club_speed)
    whose = " and ".join(found.names)
    whose = f"spread of {whose}" if len(found.names) == 1 else f"spread, mean of {whose}"
    lines.append(f"{whose:<32} {'found':>9}  surely between     usual for the handicap")
    for key, words in _SPREADS.items():
        field, unit = SPREAD_UNITS[key]
        row = _row(spreads[field].mean(axis=1) / unit, words, _sign(key))
        lines.append(f"{row:<62} {getattr(usual, field) / unit:.1f}{_sign(key)}")
    lines += ["", *wrap(" ".join(_said(found, spreads["face"].mean(axis=1), usual.face)), _WIDTH), ""]
    return "\n".join([*lines, *(f"! {caution}" for caution in explain.CAUTIONS[:2])])


def _renamed(found: Found) -> list[str]:
    """Return which of the table's strikes has another name by its attack."""
    called = dict(zip(found.measured.strikes, found.strike_of.tolist(), strict=False))
    attacks = found.means["attack"].mean(axis=0) / DEGREE
    return [
        f"! What the table calls {name} is {found.names[s]} here, by its attack of {attacks[s]:+.1f}°."
        for name, s in sorted(called.items(), key=lambda item: item[1])
        if name != found.names[s]
    ]


def _sign(key: str) -> str:
    return _SIGNS[key.rpartition("_")[2]]


def _row(draws: Floats, words: str, sign: str) -> str:
    low, high = np.quantile(draws, _SURE)
    return f"  {words:<30} {f'{draws.mean():.1f}{sign}':>9}  {low:.1f} to {high:.1f}"


def _said(found: Found, face: Floats, usual: float) -> list[str]:
    """Return sentences, on the spread of the face first."""
    drives = len(found.measured.lines)
    low, high = np.quantile(face, _SURE)
    width = (high - low) / 2 / face.mean()
    low, high = low / usual, high / usual
    share = f"{100 * face.mean() / usual:.0f} % of what is usual for the handicap"
    said = [
        f"The face varies by {face.mean() / DEGREE:.1f}°, {share} ({100 * low:.0f} to {100 * high:.0f} %)."
    ]
    said += [_compared(found, s, t) for s, t in combinations(range(len(found.names)), 2)]
    missed = found.measured.lines[found.fit.missed > 0.5]
    if len(missed):
        where = ", ".join(map(str, missed[:8])) + (" and more" if len(missed) > 8 else "")
        said.append(f"Set apart as bad misses: line{'s' if len(missed) > 1 else ''} {where}.")
    more = width / np.sqrt(1 + 20 / drives)
    known = f"The face's spread is known to ±{100 * width:.0f} %"
    said.append(f"{known}; 20 more drives would make that about ±{100 * more:.0f} %.")
    if len(found.names) > 1 and found.usual is None:
        said.append("Which strike is the usual one is not known: --usual tells.")
    return said


def _compared(found: Found, one: int, other: int) -> str:
    """Return how much wider or tighter one strike's spread is than another's, and how sure that is."""
    more = found.fit.ratios[:, other] / found.fit.ratios[:, one] - 1
    mean, (low, high) = more.mean(), np.quantile(more, _SURE)
    way, chance = ("wider", (more > 0).mean()) if mean > 0 else ("tighter", (more < 0).mean())
    span = f"{100 * low:+.0f} to {100 * high:+.0f} %"
    names = f"{found.names[other].capitalize()} is {100 * abs(mean):.0f} % {way} than {found.names[one]}"
    return f"{names} ({span}); {way} at all: {_chance(chance)}."


def _chance(chance: float) -> str:
    """Return a chance as a share of a hundred, and what that is worth."""
    said = f"{100 * chance:.0f} in 100"
    return f"{said}, so the drives cannot tell" if chance < _TELLS else said
