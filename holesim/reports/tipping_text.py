"""Tipping points in a terminal, in a coach's words."""

from textwrap import wrap
from typing import Any, Final

from holesim.plan import explain
from holesim.plan.goal import CLOSE
from holesim.study.tipping import SURE_ENOUGH, Band, BreakEvenCurve, Tipping
from holesim.units import YARD

_WIDTH: Final = 100
_BEYOND: Final = "It would take an aim off the hole, so a shorter club is the answer."
_TENTHS = f"{10 * SURE_ENOUGH:.0f}"


def tipping_text(found: Tipping, *, metric: bool = False) -> str:
    """Return where the choice flips, in each wind, and by how much each strike is better elsewhere."""
    case, scale = found.case, found.scale
    where = f"one driver strike all day, on {found.holes} par 4s and 5s"
    if case.hole is not None:
        hole, tee = case.hole
        length = f"{tee.length:.0f} m" if metric else f"{tee.length / YARD:.0f} yd"
        where = f"hole {hole.number}, par {hole.par}, {length} from the {tee.name} tee"
    now = scale.text(scale.now(case), metric=metric)
    drives = f"{found.draws:,} drives a strike, seed {found.seed}"
    lines = [f"{case.course.name}, {where}", f"{case.player.name}, {scale.words}, now {now}; {drives}", ""]
    wide = max(len(curve.wind) for curve in found.curves)
    for curve in found.curves:
        said = wrap(flips_in_words(found, curve, metric=metric), _WIDTH - wide)
        lines += [f"{curve.wind if row == 0 else '':>{wide}}  {text}" for row, text in enumerate(said)]
    lines += ["", *_table(found, metric=metric), ""]
    lines += [
        "In brackets: where they cost the same on average. Each value is aimed anew; the rest stays.",
        *([f"* {_BEYOND}"] if any(curve.beyond.any() for curve in found.curves) else []),
        *(["Where another club than the driver is better now, that is hit."] if case.hole is None else []),
        f"~ under {CLOSE:g} strokes, or not {_TENTHS} in 10 sure; ± holds the truth 19 times in 20.",
        "",
    ]
    return "\n".join([*lines, *(f"! {caution}" for caution in explain.CAUTIONS[:1])])


def tipping_dict(found: Tipping) -> dict[str, Any]:
    """Return the content of tipping.json, with what it says in words."""
    content = found.to_dict() | {"words": found.scale.words}
    said = [{"said": flips_in_words(found, curve)} for curve in found.curves]
    curves = [curve | words for curve, words in zip(content["curves"], said, strict=True)]
    return content | {"curves": curves}


def flips_in_words(found: Tipping, curve: BreakEvenCurve, *, metric: bool = False) -> str:
    """Return in a sentence which strike is better where."""
    if found.scale.names:
        return _by_kind(found, curve)
    if not curve.bands:
        best = found.strikes[curve.ranked(0)[0]]
        span = found.scale.text(found.values[0], found.values[-1], metric=metric)
        return f"no break-even: {best} from {span}"
    return "; ".join(_band_in_words(found, band, metric=metric) for band in curve.bands)


def _by_kind(found: Tipping, curve: BreakEvenCurve) -> str:
    good = [" or ".join(found.strikes[k] for k in curve.as_good(value)) for value in range(len(found.values))]
    if len(set(good)) == 1 and " or " not in good[0]:
        return f"no break-even: {good[0]} under every one"
    return "; ".join(f"{name}: {strikes}" for name, strikes in zip(found.scale.names, good, strict=True))


def _band_in_words(found: Tipping, band: Band, *, metric: bool) -> str:
    """Return from where to where strikes cost the same, and which is the better one on either side."""
    low, high, scale = band.low, band.high, found.scale
    sides = [f"below it {band.below}"] * (low is not None) + [f"above it {band.above}"] * (high is not None)
    if len(sides) > 1 and band.below == band.above:
        sides = [f"{band.below} on either side"]
    if band.at is not None and sides:
        alike, at = "break-even", f" ({scale.text(band.at, metric=metric)})"
    else:
        *others, last = band.strikes
        names, at = f"{', '.join(others)} and {last}", ""
        alike = f"{names} cost the same to within {CLOSE:g} strokes, or nobody can tell which is less,"
    if low is None and high is None:
        where = f"from {scale.text(found.values[0], found.values[-1], metric=metric)}"
    elif low is None:
        where = f"up to {scale.text(high or 0.0, metric=metric)}"
    elif high is None:
        where = f"from {scale.text(low, metric=metric)} on"
    else:
        where = f"from {scale.text(low, high, metric=metric)}"
    return f"{alike} {where}{at}" + (f": {', '.join(sides)}" if sides else "")


def _table(found: Tipping, *, metric: bool) -> list[str]:
    """Return a row for each value: the best strike in each wind, and what it saves over the next."""
    scale = found.scale
    names = [scale.text(value, metric=metric) for value in found.values]
    wide = max(len(scale.words), *map(len, names))
    lines = [f"{scale.words:>{wide}}  " + "".join(f"{curve.wind:<24}" for curve in found.curves).rstrip()]
    for value, name in enumerate(names):
        cells = (_cell(found, curve, value) for curve in found.curves)
        lines.append(f"{name:>{wide}}  " + "".join(f"{cell:<24}" for cell in cells).rstrip())
    return lines


def _cell(found: Tipping, curve: BreakEvenCurve, value: int) -> str:
    best, second = curve.ranked(value)[:2]
    over = curve.over(value, second, best)
    mark = " ~" if _is_open(found, curve, value) else ""
    mark += " *" if curve.beyond[value, best] else ""
    return f"{found.strikes[best]} by {over.mean:.2f} ±{over.half:.2f}{mark}"


def _is_open(found: Tipping, curve: BreakEvenCurve, value: int) -> bool:
    """Return whether it is open at a value which strike is the best."""
    if found.scale.names:
        return len(curve.as_good(value)) > 1
    x = found.values[value]
    return any(
        (band.low is None or band.low <= x) and (band.high is None or x <= band.high) for band in curve.bands
    )
