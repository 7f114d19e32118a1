"""Tipping points in a terminal, in a coach's words."""

from textwrap import wrap
from typing import Any, Final

from holesim import advice
from holesim.goal import CLOSE
from holesim.tipping import Crossing, Curve, Scale, Tipping
from holesim.units import YARD

_WIDTH: Final = 100


def tipping_text(found: Tipping, *, metric: bool = False) -> str:
    """Return where the choice flips, in each wind, and by how much each strike is better elsewhere."""
    case, scale = found.case, found.scale
    where = f"the driver on all {found.holes} par 4s and 5s together"
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
        "In brackets: between what it surely lies. Each value is aimed anew; the rest stays as it is.",
        f"~ too close to call, or under {CLOSE:g} strokes.",
        "",
    ]
    return "\n".join([*lines, *(f"! {caution}" for caution in advice.CAUTIONS[:1])])


def tipping_dict(found: Tipping) -> dict[str, Any]:
    """Return the content of tipping.json, with what it says in words."""
    content = found.to_dict() | {"words": found.scale.words}
    said = [{"said": flips_in_words(found, curve)} for curve in found.curves]
    curves = [curve | words for curve, words in zip(content["curves"], said, strict=True)]
    return content | {"curves": curves}


def flips_in_words(found: Tipping, curve: Curve, *, metric: bool = False) -> str:
    """Return in a sentence which strike is better where."""
    scale, best = found.scale, [found.strikes[i] for i in curve.best]
    if scale.names:
        return _by_kind(scale, best)
    if not curve.crossings:
        span = scale.text(scale.values[0], scale.values[-1], metric=metric)
        return f"none in range: {best[0]} from {span}"
    first = curve.crossings[0]
    said = f"below {_place(scale, first, metric=metric)} hit {first.below}; above it, {first.above}"
    for crossing in curve.crossings[1:]:
        said += f"; above {_place(scale, crossing, metric=metric)}, {crossing.above}"
    return said


def _by_kind(scale: Scale, best: list[str]) -> str:
    if len(set(best)) == 1:
        return f"none in range: {best[0]} under every one"
    return "; ".join(f"{name}: {strike}" for name, strike in zip(scale.names, best, strict=True))


def _place(scale: Scale, crossing: Crossing, *, metric: bool) -> str:
    """Return where a crossing is, and between what it surely lies."""
    at, low, high = crossing.at, crossing.low, crossing.high
    if low is None and high is None:
        sure = "anywhere in the range"
    elif low is None:
        sure = f"up to {scale.text(high or 0.0, metric=metric)}"
    elif high is None:
        sure = f"from {scale.text(low, metric=metric)} on"
    else:
        sure = scale.text(low, high, metric=metric)
    return f"{scale.text(at, metric=metric)} ({sure})"


def _table(found: Tipping, *, metric: bool) -> list[str]:
    """Return a row for each value: the best strike in each wind, and what it saves over the next."""
    scale = found.scale
    names = [scale.text(value, metric=metric) for value in scale.values]
    wide = max(len(scale.words), *map(len, names))
    lines = [f"{scale.words:>{wide}}  " + "".join(f"{curve.wind:<24}" for curve in found.curves).rstrip()]
    for value, name in enumerate(names):
        cells = (_cell(found, curve, value) for curve in found.curves)
        lines.append(f"{name:>{wide}}  " + "".join(f"{cell:<24}" for cell in cells).rstrip())
    return lines


def _cell(found: Tipping, curve: Curve, value: int) -> str:
    best, second = curve.loss[value].mean(axis=1).argsort()[:2]
    over, low, high = curve.over(value, int(second), int(best))
    close = " ~" if low <= 0 or over < CLOSE else ""
    return f"{found.strikes[best]} by {over:.2f} ±{(high - low) / 2:.2f}{close}"
