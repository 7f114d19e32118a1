"""What practice would save, in a terminal and in a coach's words."""

from typing import Final

from holesim.common.text_format import minus
from holesim.plan import explain
from holesim.study.face_change import FaceChange
from holesim.study.practice import PracticeWorth, Saving

_NOTES: Final = (
    "Each change is to the driver alone: the rest of the game stays, strike and aim are chosen again.",
    "Penalties: fewer drives in a penalty area or out. Fairways: more of the others on a fairway or green.",
    "Distance: all else, mostly a shorter next shot. ± holds the true value 19 times in 20.",
    "Measuring and knowing save by better choices alone: an average over all golfers who may be this one.",
    "Alone: how much of the variance of a drive's strokes an error makes by itself.",
    "Total: what it makes by itself and together with other errors.",
    "Path: the part of it that does not go with the face.",
)


def practice_text(found: PracticeWorth) -> str:
    """Return what each change would save, the most first, and which error makes strokes vary most."""
    names = [saving.name for saving in found.savings]
    wide = max(map(len, names))
    holes = "1 hole" if found.holes == 1 else f"{found.holes} holes"
    lines = [
        f"{found.course.name}, for {found.player.name}: {found.strokes:.2f} strokes expected today",
        f"{holes}, {found.draws:,} drives a strike, seed {found.seed}",
        "",
        f"{'':<{wide}}  strokes saved     penalties  fairways  distance",
        *(_row(saving, wide) for saving in found.savings),
        "",
        *_measuring(found, wide),
        "",
        f"{'what makes the strokes of a drive vary':<{wide}}  alone   total",
        *(
            f"{share.name:<{wide}}  {max(share.alone, 0):>5.0%}  {share.total:>6.0%}"
            for share in found.shares
        ),
        "",
    ]
    return "\n".join([*lines, *_NOTES, "", f"! {explain.CAUTIONS[0]}"])


def face_change_text(found: FaceChange, percent: float) -> str:
    """Return what a face spread that differs by so many hundredths saves, and how choices change."""
    saved, (low, high) = found.saved.mean, found.saved.interval
    where = f"hole {found.after[0].hole.number}" if len(found.after) == 1 else f"{len(found.after)} holes"
    if not percent:
        strokes = sum(tee.choice.strokes for tee in found.before)
        return f"With today's face spread {strokes:.2f} strokes are expected on {where}."
    change = f"A face spread {abs(percent):g} % {'narrower' if percent < 0 else 'wider'}"
    verb, ends = ("saves", (low, high)) if saved >= 0 else ("costs", (-high, -low))
    much = f"{verb} {abs(saved):.2f} strokes" if round(abs(saved), 2) else "makes no difference"
    unclear = ", which may be nothing" if low <= 0 <= high and round(abs(saved), 2) else ""
    text = minus(f"{change} {much} on {where} ({ends[0]:.2f} to {ends[1]:.2f}){unclear}.")
    moved = [
        f"{after.choice.label} instead of {before.choice.label}"
        + f" on hole {after.hole.number}" * (len(found.after) > 1)
        for before, after in zip(found.before, found.after, strict=True)
        if before.choice.label != after.choice.label
    ]
    return f"{text} Hit {', '.join(moved)}." if moved else f"{text} The strikes stay."


def _measuring(found: PracticeWorth, wide: int) -> list[str]:
    """Return what it would save to know the golfer better."""
    measuring = found.measuring
    rows = [(f"measuring {drives} drives of each strike", saved) for drives, saved in measuring.saved.items()]
    rows.append(("knowing golfer and ball for certain", measuring.given_away))
    return [f"{words:<{wide}}  {saved:>+6.2f}" for words, saved in rows]


def _row(saving: Saving, wide: int) -> str:
    parts = f"{saving.penalties:>+10.2f} {saving.fairways:>+9.2f} {saving.distance:>+9.2f}"
    half = (saving.high - saving.low) / 2
    return f"{saving.name:<{wide}}  {saving.saved:>+6.2f} ±{half:.2f}   {parts}"
