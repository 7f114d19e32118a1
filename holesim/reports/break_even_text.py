"""Break-even points in a terminal, in a coach's words."""

from textwrap import wrap
from typing import Any, Final

from holesim.plan import explain
from holesim.plan.estimate import sureness
from holesim.plan.goal import CLOSE
from holesim.study.break_even import SURE_ENOUGH, BreakEven, BreakEvenBand, BreakEvenCurve
from holesim.units import YARD

_WIDTH: Final = 100
_CELL: Final = 27
_BEYOND: Final = "* an aim off the hole would score better still: hit a shorter club"
_SURE: Final = f"{10 * SURE_ENOUGH:.0f} in 10"


def break_even_text(found: BreakEven, *, metric: bool = False) -> str:
    """Return which strike is the better one where, in each wind, and by how much at each value."""
    case, scale = found.case, found.scale
    where = f"one driver strike all day, on {found.holes} par 4s and 5s"
    if case.hole is not None:
        hole, tee = case.hole
        length = f"{tee.length:.0f} m" if metric else f"{tee.length / YARD:.0f} yd"
        where = f"hole {hole.number}, par {hole.par}, {length} from the {tee.name} tee"
    now = scale.text(scale.now(case), metric=metric)
    drives = f"{found.draws:,} drives a strike, seed {found.seed}"
    lines = [f"{case.course.name}, {where}", f"{case.player.name}; {scale.words}, today {now}; {drives}", ""]
    wide = max(len(curve.wind) for curve in found.curves)
    for curve in found.curves:
        said = wrap(break_even_sentence(found, curve, metric=metric), _WIDTH - wide)
        lines += [f"{curve.wind if row == 0 else '':>{wide}}  {text}" for row, text in enumerate(said)]
    lines += ["", *_table(found, metric=metric), ""]
    if not scale.names:
        lines.append("Best guess: where they cost the same on average.")
    lines.append("Columns: the better strike, and the strokes it saves. Aims are chosen again for each row.")
    if case.hole is None:
        lines.append("On holes where another club than the driver is better today, that club is hit.")
    lines += [
        f"toss-up: under {CLOSE:g} strokes, or less than 4 in 5 sure; likely: less than {_SURE}.",
        "± holds the true value 19 times in 20.",
    ]
    if any(curve.beyond.any() for curve in found.curves):
        lines.append(_BEYOND)
    return "\n".join([*lines, "", f"! {explain.CAUTIONS[0]}"])


def break_even_dict(found: BreakEven) -> dict[str, Any]:
    """Return the content of tipping.json: the numbers, and what they say in words."""
    content = found.to_dict() | {"words": found.scale.words}
    said = [{"said": break_even_sentence(found, curve)} for curve in found.curves]
    curves = [curve | words for curve, words in zip(content["curves"], said, strict=True)]
    return content | {"curves": curves}


def break_even_sentence(found: BreakEven, curve: BreakEvenCurve, *, metric: bool = False) -> str:
    """Return which strike is the better one where, in one wind."""
    if found.scale.names:
        return _kinds_sentence(found, curve)
    if not curve.bands:
        best = found.strikes[curve.rank(0)[0]]
        span = found.scale.text(found.values[0], found.values[-1], metric=metric)
        return f"no break-even: {best} from {span}"
    said = "; ".join(_band_sentence(found, band, metric=metric) for band in curve.bands)
    rows = len(found.values)
    tossed = sum(_is_toss_up_at(curve, value) for value in range(rows))
    return f"a toss-up in {tossed} of {rows} rows; {said}" if rows / 2 < tossed < rows else said


def _kinds_sentence(found: BreakEven, curve: BreakEvenCurve) -> str:
    values = range(len(found.values))
    good = [" or ".join(found.strikes[k] for k in curve.find_as_good(value)) for value in values]
    if len(set(good)) == 1 and " or " not in good[0]:
        return f"no break-even: {good[0]} for all"
    return "; ".join(f"{name}: {strikes}" for name, strikes in zip(found.scale.names, good, strict=True))


def _band_sentence(found: BreakEven, band: BreakEvenBand, *, metric: bool) -> str:
    """Return from where to where nobody can say which strike is the best, and what is best on either side."""
    low, high, scale = band.low, band.high, found.scale
    sides = [f"below it {band.below}"] * (low is not None) + [f"above it {band.above}"] * (high is not None)
    if len(sides) > 1 and band.below == band.above:
        sides = [f"{band.below} on either side"]
    if band.at is not None and sides:
        what, guess = "break-even", f" (best guess {scale.text(band.at, metric=metric)})"
    else:
        *others, last = band.strikes
        among = "" if len(band.strikes) == len(found.strikes) else f" between {', '.join(others)} and {last},"
        what, guess = f"no clear winner{among}", ""
    if low is not None and high is not None:
        where = f"from {scale.text(low, high, metric=metric)}"
    elif low is not None:
        where = f"above {scale.text(low, metric=metric)}"
    elif high is not None:
        where = f"below {scale.text(high, metric=metric)}"
    else:
        where = f"from {scale.text(found.values[0], found.values[-1], metric=metric)}"
    return f"{what} {where}{guess}" + (f": {', '.join(sides)}" if sides else "")


def _table(found: BreakEven, *, metric: bool) -> list[str]:
    """Return a row for each value: the best strike in each wind, and what it saves over the next."""
    scale = found.scale
    names = [scale.text(value, metric=metric) for value in found.values]
    wide = max(len(scale.words), *map(len, names))
    heads = "".join(f"{curve.wind:<{_CELL}}" for curve in found.curves)
    lines = [f"{scale.words:>{wide}}  {heads}".rstrip()]
    for value, name in enumerate(names):
        cells = "".join(f"{_cell(found, curve, value):<{_CELL}}" for curve in found.curves)
        lines.append(f"{name:>{wide}}  {cells}".rstrip())
    return lines


def _cell(found: BreakEven, curve: BreakEvenCurve, value: int) -> str:
    best, second = curve.rank(value)[:2]
    over, mark = curve.difference(value, second, best), ""
    if _is_toss_up_at(curve, value):
        mark = " toss-up"
    elif _is_undecided_at(found, curve, value):
        mark = " likely"
    mark += " *" if curve.beyond[value, best] else ""
    return f"{found.strikes[best]} by {over.mean:.2f} ±{over.half:.2f}{mark}"


def _is_toss_up_at(curve: BreakEvenCurve, value: int) -> bool:
    """Return whether the best strike at a value saves next to nothing, or may well not be the best."""
    best, second = curve.rank(value)[:2]
    over = curve.difference(value, second, best)
    return over.mean < CLOSE or sureness(1 - over.chance_below) == "a toss-up"


def _is_undecided_at(found: BreakEven, curve: BreakEvenCurve, value: int) -> bool:
    """Return whether nobody can say at a value which strike is the best."""
    if found.scale.names:
        return len(curve.find_as_good(value)) > 1
    x = found.values[value]
    return any(
        (band.low is None or band.low <= x) and (band.high is None or x <= band.high) for band in curve.bands
    )
