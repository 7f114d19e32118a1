"""What measured drives say of a player, in a terminal and in a coach's words."""

from itertools import combinations
from textwrap import wrap
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.measure.column_names import WORDS
from holesim.measure.drives_table import DrivesTable
from holesim.measure.fit import DELIVERY
from holesim.measure.measure import MeasuredPlayer
from holesim.measure.session_dates import say_date
from holesim.plan import explain
from holesim.player.player import StrikeName
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS
from holesim.units import DEGREE

Floats = NDArray[np.float64]

_WIDTH: Final = 100
_QUANTILES: Final = (0.05, 0.95)  # so that nine in ten lie between
_LIKELY: Final = 0.8  # chance below which the drives cannot tell; only the wording depends on it
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


def measure_text(found: MeasuredPlayer) -> str:
    """Return what was found, each number with its 90 % interval."""
    table, drives = found.drives, len(found.drives.lines)
    counts = np.bincount(found.strike_of, minlength=len(found.names))
    hit = ", ".join(f"{count} {name}" for count, name in zip(counts, found.names, strict=True))
    balls = "range balls, direction only" if table.balls == "range" else "the player's own balls"
    means, spreads = found.means, found.spreads
    face, *compared, known = measure_sentences(found)
    heading = f"{drives} drives in {table.file}, {balls}: {hit} ({_say_how(found)})"
    lines = [heading, *_list_sessions(table), *(f"! {line}" for line in measure_warnings(found)), ""]
    for s, name in enumerate(found.names):
        lines += [f"{name:<32} {'average':>9}  9 in 10 between"]
        for key, words in _MEANS.items():
            field, unit = STRIKE_UNITS[key]
            lines.append(_row(means[field][:, s] / unit, words, _sign(key)))
        lines.append("")
    usual = default_spread(found.before.handicap_index, found.before.club_speed)
    whose = f"spread of {' and '.join(found.names)}"
    lines.append(f"{whose:<32} {'found':>9}  9 in 10 between    usual for the handicap")
    for key, words in _SPREADS.items():
        field, unit = SPREAD_UNITS[key]
        row = _row(spreads[field].mean(axis=1) / unit, words, _sign(key))
        lines.append(f"{row:<62} {getattr(usual, field) / unit:.1f}{_sign(key)}")
    lines += _list_days(found)
    missed = found.drives.select(np.flatnonzero(found.fit.missed > 0.5))
    said = [f"Counted as bad misses: {_list_lines(missed)}."] if len(missed.lines) else []
    said = [face, *compared, *said, known]
    if len(found.names) > 1 and found.usual is None:
        said.append("Nothing says which strike is the usual one: add --usual.")
    lines += ["", *wrap(" ".join(said), _WIDTH), ""]
    return "\n".join([*lines, *(f"! {caution}" for caution in explain.CAUTIONS[:2])])


def _list_days(found: MeasuredPlayer) -> list[str]:
    """Return how much averages differ from day to day, if there are several sessions."""
    if len(found.drives.sessions) == 1:
        return []
    lines = ["", f"{'averages from day to day':<32} {'found':>9}  9 in 10 between"]
    for key, words in _SPREADS.items():
        if key == "speed_pct":
            continue
        field, unit = SPREAD_UNITS[key]
        lines.append(_row(found.fit.day_sd[:, DELIVERY.index(field)] / unit, words, _sign(key)))
    return lines


def _say_how(found: MeasuredPlayer) -> str:
    """Return how the strikes were told apart."""
    if found.drives.strikes:
        renamed = _find_renamed(found)
        return "grouped as the table says, named by attack angle" if renamed else "as the table says"
    if len(found.names) == 1:
        return "all alike"
    *others, last = (WORDS.get(name, name.replace("_", " ")) for name in found.apart.told_by)
    return f"by {', '.join(others)} and {last}" if others else f"by {last}"


def _find_renamed(found: MeasuredPlayer) -> list[tuple[StrikeName, int]]:
    """Return the table's strikes that have another name by their attack, and the place of each."""
    called = dict(zip(found.drives.strikes, found.strike_of.tolist(), strict=False))
    return sorted(
        ((name, s) for name, s in called.items() if name != found.names[s]), key=lambda item: item[1]
    )


def measure_warnings(found: MeasuredPlayer) -> list[str]:
    """Return which drives were left out, and which of the table's strikes has another name by its attack."""
    lines = []
    if len(found.unassigned.lines):
        why = "nothing measured says which strike it was"
        lines.append(f"Left out, {_list_lines(found.unassigned)}: {why}.")
    attacks = found.means["attack"].mean(axis=0) / DEGREE
    lines += [
        f"What the table calls {name} is {found.names[s]} here: its attack angle is {attacks[s]:+.1f}°."
        for name, s in _find_renamed(found)
    ]
    if found.apart.alike:
        low, high = (attack / DEGREE for attack in found.apart.alike)
        name = found.names[0]
        lines.append(
            f"There are two groups, of attack {low:+.1f}° and {high:+.1f}°; both are {name}, so one strike."
        )
    elif not found.drives.strikes and len(found.names) == 1:
        lines.append(
            "Nothing measured tells two strikes apart. If you hit two, add a column strike: up or down."
        )
    return lines


def _list_lines(drives: DrivesTable) -> str:
    """Return the lines of drives in their files, eight of each file at most."""
    said = []
    for place in np.unique(drives.file_of).tolist():
        lines = drives.lines[drives.file_of == place]
        some = ", ".join(map(str, lines[:8])) + (" and more" if len(lines) > 8 else "")
        where = f" of {drives.files[place]}" if len(drives.files) > 1 else ""
        said.append(f"line{'s' if len(lines) > 1 else ''} {some}{where}")
    return ", ".join(said)


def _list_sessions(drives: DrivesTable) -> list[str]:
    """Return what is said of the sessions, if there are several or their date is known."""
    counts = np.bincount(drives.session_of, minlength=len(drives.sessions)).tolist()
    names = [session.name if session.day is None else say_date(session.day) for session in drives.sessions]
    if len(names) == 1:
        return [f"measured on {names[0]}"] if drives.sessions[0].day else []
    listed = ", ".join(f"{name} ({count} drives)" for name, count in zip(names, counts, strict=True))
    return wrap(f"{len(names)} sessions: {listed}", _WIDTH)


def _sign(key: str) -> str:
    return _SIGNS[key.rpartition("_")[2]]


def _row(draws: Floats, words: str, sign: str) -> str:
    low, high = np.quantile(draws, _QUANTILES)
    return f"  {words:<30} {f'{draws.mean():.1f}{sign}':>9}  {low:.1f} to {high:.1f}"


def measure_sentences(found: MeasuredPlayer) -> list[str]:
    """Return sentences: how the face angle varies, how each two strikes compare, how well that is known."""
    drives, face = len(found.drives.lines), found.spreads["face"].mean(axis=1)
    usual = default_spread(found.before.handicap_index, found.before.club_speed).face
    low, high = np.quantile(face, _QUANTILES)
    width = (high - low) / 2 / face.mean()
    share = f"{100 * face.mean() / usual:.0f} % of the usual for the handicap"
    span = f"{100 * low / usual:.0f} to {100 * high / usual:.0f} %"
    said = [f"The face angle varies by {face.mean() / DEGREE:.1f}°, {share} ({span})."]
    said += [_compare(found, s, t) for s, t in combinations(range(len(found.names)), 2)]
    more = width / np.sqrt(1 + 20 / drives)
    known = f"The spread of the face angle is known to within {100 * width:.0f} %"
    return [*said, f"{known}; 20 more drives would make that about {100 * more:.0f} %."]


def _compare(found: MeasuredPlayer, one: int, other: int) -> str:
    """Return how much wider or tighter one strike's spread is than another's, and how sure that is."""
    more = found.fit.ratios[:, other] / found.fit.ratios[:, one] - 1
    mean, (low, high) = more.mean(), np.quantile(more, _QUANTILES)
    way, chance = ("wider", (more > 0).mean()) if mean > 0 else ("tighter", (more < 0).mean())
    names = f"{found.names[other].capitalize()} spreads {100 * abs(mean):.0f} % {way} than {found.names[one]}"
    sure = f"{100 * chance:.0f} % sure that it is {way}"
    if chance < _LIKELY:
        sure += ", so the drives cannot tell"
    return f"{names} ({100 * low:+.0f} to {100 * high:+.0f} %; {sure})."
