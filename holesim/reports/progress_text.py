"""What changed between sessions, in a coach's words and as a table."""

from collections.abc import Sequence
from textwrap import wrap
from typing import Final, NamedTuple

from holesim.measure.drives_table import Session
from holesim.measure.session_dates import say_date
from holesim.plan import explain
from holesim.plan.estimate import sure_text, sureness
from holesim.player.population import CHANGE_SHARE, CHANGE_SPREAD_LOG_SD, DAY_SHARE, DAY_SPREAD_LOG_SD
from holesim.study.progress import NumberChange, Progress
from holesim.study.progress_worth import StrokesChange

_WIDTH: Final = 100
_WIDE: Final = 30  # of the first column
_HOW_SURE: Final = {
    "nearly sure": "more than a good day",
    "likely": "likely more than a good day",
}
_SIGNS: Final = {"mph": " mph", "deg": "°", "mm": " mm", "yd": " yd", "pct": " %"}
_METRIC: Final = {" mph": " m/s", " yd": " m"}
_ROUNDS: Final = (
    "Right and longer count from where each round's plan had the drives: compare rounds that were planned by "
    "the same player file. A spread is in % of the planned one."
)
_INTERVAL: Final = "9 in 10 between: the change as measured, by how many drives there are."
_CHANCE: Final = (
    "More than a good day: how likely it is that the golfer's own number moved that way, and not the day's "
    f"alone. From day to day a mean varies by {DAY_SHARE:g} of its spread from swing to swing, and a spread "
    f"by {100 * DAY_SPREAD_LOG_SD:.0f} %; a change that lasts is about {CHANGE_SHARE:g} of that spread, or "
    f"{100 * CHANGE_SPREAD_LOG_SD:.0f} % of a spread. These four numbers are our assumption."
)
_STROKES: Final = (
    "Strokes: the golfer as of the last session less the same golfer with the first session's driver; strike "
    "and aim are chosen anew. The interval has the errors of both sessions in it, and the days'."
)


class _Words(NamedTuple):
    """What a number is called in the table and where it did not change, and how it moves up and down."""

    row: str
    noun: str
    risen: str
    fallen: str


_WORDS: Final = {
    "club_speed_mph": _Words(
        "club speed", "the club speed", "the club speed has risen by {}", "the club speed has fallen by {}"
    ),
    "attack_deg": _Words(
        "attack", "the attack angle", "the attack angle has moved {} up", "the attack angle has moved {} down"
    ),
    "path_deg": _Words(
        "path, right of the aim", "the path", "the path has moved {} right", "the path has moved {} left"
    ),
    "face_deg": _Words(
        "face, right of the aim", "the face", "the face has moved {} right", "the face has moved {} left"
    ),
    "face_to_path_deg": _Words(
        "face, right of the path",
        "face to path",
        "face to path has moved {} right",
        "face to path has moved {} left",
    ),
    "toe_mm": _Words(
        "strike towards the toe",
        "the strike between heel and toe",
        "the strike has moved {} towards the toe",
        "the strike has moved {} towards the heel",
    ),
    "high_mm": _Words(
        "strike above the middle",
        "the height of the strike",
        "the strike has moved {} up the face",
        "the strike has moved {} down the face",
    ),
    "face_spread_deg": _Words(
        "spread of the face", "face", "the face varies by {} more", "the face varies by {} less"
    ),
    "path_spread_deg": _Words(
        "spread of the path", "path", "the path varies by {} more", "the path varies by {} less"
    ),
    "toe_spread_mm": _Words(
        "spread between heel and toe",
        "strike",
        "the strike varies by {} more between heel and toe",
        "the strike varies by {} less between heel and toe",
    ),
    "high_spread_mm": _Words(
        "spread up and down the face",
        "strike",
        "the strike varies by {} more up and down the face",
        "the strike varies by {} less up and down the face",
    ),
    "direction_yd": _Words(
        "right of the planned",
        "the direction of drives",
        "drives finish {} farther right on average",
        "drives finish {} farther left on average",
    ),
    "length_yd": _Words(
        "longer than planned",
        "their length",
        "drives finish {} longer on average",
        "drives finish {} shorter on average",
    ),
    "direction_spread_pct": _Words(
        "spread by direction",
        "direction",
        "the spread by direction is wider by {} of the planned",
        "the spread by direction is narrower by {} of the planned",
    ),
    "length_spread_pct": _Words(
        "spread by length",
        "length",
        "the spread by length is wider by {} of the planned",
        "the spread by length is narrower by {} of the planned",
    ),
}


def progress_text(found: Progress, *, metric: bool = False) -> str:
    """Return what changed: a few sentences for a lesson, and each number with its 90 % interval."""
    first, last = found.sessions[0], found.sessions[-1]
    counts = [f"{_say(s)} ({n} drives)" for s, n in zip(found.sessions, found.drives, strict=True)]
    hit = " and ".join(found.strikes) or "rounds, drives with the driver"
    lines = [f"{found.golfer}: {' to '.join((counts[0], counts[-1]))}, {hit}"]
    if len(counts) > 2:
        lines += wrap(f"between them, and not compared: {', '.join(counts[1:-1])}", _WIDTH)
    lines += ["", *wrap(" ".join(progress_sentences(found, metric=metric)), _WIDTH), ""]
    what = f"average of {hit}" if len(found.strikes) > 1 else "".join(found.strikes) or "drives"
    names = [_short(first, "first"), _short(last, "last")]
    if names[0] == names[1]:  # of two years
        names = ["first", "last"]
    wide = max(9, *map(len, names))
    heads = " ".join(f"{name:>{wide}}" for name in (*names, "change"))
    lines.append(f"{what:<{_WIDE}} {heads}  {'9 in 10 between':<17} more than a good day")
    for row in change_rows(found, metric=metric):
        cells = " ".join(f"{cell:>{wide}}" for cell in (row.first, row.last, row.change))
        lines.append(f"  {row.words:<{_WIDE - 2}} {cells}  {row.between:<17} {row.sure}")
    lines.append("")
    for note in _notes(found):
        lines += wrap(note, _WIDTH)
    return "\n".join([*lines, "", f"! {explain.CAUTIONS[0]}"])


class ChangeRow(NamedTuple):
    """What is told of a number that may have changed, and what it was in each session, in its unit."""

    words: str
    first: str
    last: str
    change: str
    between: str
    sure: str
    values: tuple[float, ...]


def change_rows(found: Progress, *, metric: bool = False) -> list[ChangeRow]:
    """Return a row for each number that is compared, and one for what that is worth where it is known."""
    rows = []
    for change in found.changes:
        unit, sign = _unit(change, metric=metric)
        values = tuple(value / unit for value in change.values)
        interval = change.low / unit, change.high / unit
        words = _WORDS[change.number.key].row
        rows.append(_row(words, values, change.change / unit, interval, change.chance, sign))
    if found.strokes is not None:
        strokes = found.strokes
        holes = "1 hole" if strokes.holes == 1 else f"{strokes.holes} holes"
        values, moved = (strokes.first, strokes.last), strokes.change.mean
        row = _row(f"strokes, {holes}", values, moved, strokes.interval, strokes.chance, "", decimals=2)
        rows.append(row)
    return rows


def _row(
    words: str,
    values: tuple[float, ...],
    change: float,
    interval: tuple[float, float],
    chance: float,
    sign: str,
    decimals: int = 1,
) -> ChangeRow:
    first, last, moved = (
        round(value, decimals) + 0.0 for value in (values[0], values[-1], change)
    )  # no -0.0
    between = " to ".join(f"{round(bound, decimals) + 0.0:+.{decimals}f}" for bound in interval)
    return ChangeRow(
        words,
        f"{first:.{decimals}f}{sign}",
        f"{last:.{decimals}f}{sign}",
        f"{moved:+.{decimals}f}{sign}",
        between,
        sure_text(chance),
        values,
    )


def progress_sentences(found: Progress, *, metric: bool = False) -> list[str]:
    """Return what changed, in sentences for a lesson; what surely changed comes first."""
    first, last = found.sessions[0], found.sessions[-1]
    since = f"From {first.name} to {last.name}" if first.day is None else f"Since {_say(first, last)}"
    moved = sorted((c for c in found.changes if _has_moved(c)), key=lambda change: -change.chance)
    still = [change for change in found.changes if not _has_moved(change)]
    drives = min(found.drives[0], found.drives[-1])
    sure = [
        f"{_move(change, metric=metric)}, {_HOW_SURE[sureness(change.chance)]}"
        for change in moved
        if sureness(change.chance) in _HOW_SURE
    ]
    unsure = [_move(change, metric=metric) for change in moved[len(sure) :]]
    said = ["; ".join(sure)] if sure else []
    if unsure:
        said.append(f"{_and(unsure)}: that may be the day's alone")
    if not moved:
        said.append(f"nothing has changed as far as {drives} drives can tell")
    elif still:
        listed = _list_nouns(still)
        have = "have" if len(listed) > 1 else "has"
        said.append(f"{_and(listed)} {have} not changed as far as {drives} drives can tell")
    said = [f"{since} {said[0]}.", *(f"{_capital(sentence)}." for sentence in said[1:])]
    if found.strokes is not None:
        said.append(_strokes_sentence(found.strokes))
    return said


def _has_moved(change: NumberChange) -> bool:
    return change.shows or sureness(change.chance) != "a toss-up"


def _move(change: NumberChange, *, metric: bool) -> str:
    """Return how a number moved, with its interval."""
    unit, sign = _unit(change, metric=metric)
    way = 1 if change.change > 0 else -1
    words = _WORDS[change.number.key]
    text = (words.risen if way > 0 else words.fallen).format(f"{abs(change.change / unit):.1f}{sign}")
    low, high = sorted((way * change.low / unit, way * change.high / unit))
    return f"{text} ({low:.1f} to {high:.1f})"


def _list_nouns(changes: Sequence[NumberChange]) -> list[str]:
    """Return what did not change, the spreads as one."""
    keys = [change.number.key for change in changes]
    means = [_WORDS[c.number.key].noun for c in changes if not c.number.spread]
    if {"toe_mm", "high_mm"} <= set(keys):
        both = {_WORDS["toe_mm"].noun, _WORDS["high_mm"].noun}
        means = [*(noun for noun in means if noun not in both), "the strike point"]
    spreads = dict.fromkeys(_WORDS[c.number.key].noun for c in changes if c.number.spread)
    return [*means, *([f"the spread of {_and(list(spreads))}"] if spreads else [])]


def _strokes_sentence(strokes: StrokesChange) -> str:
    low, high = strokes.interval
    saves = strokes.change.mean < 0
    if saves:
        low, high = -high, -low
    size, does = abs(strokes.change.mean), "saves" if saves else "costs"
    where = f"On {strokes.course}" + (", one hole," if strokes.holes == 1 else f", {strokes.holes} holes,")
    return f"{where} that {does} {size:.2f} strokes ({low:.2f} to {high:.2f}): {sure_text(strokes.chance)}."


def _notes(found: Progress) -> list[str]:
    untold = "; ".join(_WORDS[number.key].row for number in found.untold)
    notes = [f"Not compared, as the drives tell too little of them: {untold}."] if untold else []
    if found.before != found.strikes:
        called = f"{''.join(found.before)} in the first session and {''.join(found.strikes)} in the last"
        notes.append(f"By its attack the strike is {called}: it is taken for one strike that has changed.")
    notes += [_INTERVAL, _CHANCE, *([] if found.strikes else [_ROUNDS])]
    if found.strokes is not None:
        notes.append(_STROKES)
    return notes


# --- words ----------------------------------------------------------------------------------------


def _unit(change: NumberChange, *, metric: bool) -> tuple[float, str]:
    """Return the unit in which a number is shown, in SI, and its sign."""
    unit, sign = change.number.unit, _SIGNS[change.number.key.rpartition("_")[2]]
    return (1.0, _METRIC[sign]) if metric and sign in _METRIC else (unit, sign)


def _say(session: Session, last: Session | None = None) -> str:
    """Return when a session was; without the year where the last one is of the same year."""
    if session.day is None:
        return session.name
    same = last is not None and last.day is not None and last.day.year == session.day.year
    return say_date(session.day, year=not same)


def _short(session: Session, otherwise: str) -> str:
    """Return the head of a session's column."""
    return otherwise if session.day is None else say_date(session.day, year=False)


def _and(parts: Sequence[str]) -> str:
    *others, last = parts
    return f"{', '.join(others)} and {last}" if others else last


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
