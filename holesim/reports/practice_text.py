"""What practice would be worth in a terminal, in a coach's words."""

from typing import Final

from holesim.plan import explain
from holesim.study.practice import Practice, Worth

_NOTES: Final = (
    "A change is of the driver alone, the rest of the game stays, and each is planned anew.",
    "Penalties: fewer drives in a penalty area or out. Fairways: more of the others on one, or on the green.",
    "Distance: what remains from where drives finish. ± holds what is true 19 times in 20.",
    "Measuring saves by better choices alone, on average over all who may be this golfer.",
    "Alone: what an error makes of the variance of a drive's strokes. In all: with what others make of it.",
    "Path: what of it does not go with the face.",
)


def practice_text(found: Practice) -> str:
    """Return what each change would save, the most first, and which error makes the spread in strokes."""
    names = [worth.name for worth in found.worths]
    wide = max(map(len, names))
    holes = "1 hole" if found.holes == 1 else f"{found.holes} holes"
    lines = [
        f"{found.course.name}, for {found.player.name}: {found.strokes:.2f} strokes as now",
        f"{holes}, {found.draws:,} drives a strike, seed {found.seed}",
        "",
        f"{'':<{wide}}  strokes saved     penalties  fairways  distance",
        *(_row(worth, wide) for worth in found.worths),
        "",
        *_measuring(found, wide),
        "",
        f"{'what makes a drive cost more or less':<{wide}}  alone  in all",
        *(
            f"{share.name:<{wide}}  {max(share.alone, 0):>5.0%}  {share.total:>6.0%}"
            for share in found.shares
        ),
        "",
    ]
    return "\n".join([*lines, *_NOTES, "", f"! {explain.CAUTIONS[0]}"])


def _measuring(found: Practice, wide: int) -> list[str]:
    """Return what it would save to know the golfer better."""
    worth = found.measuring
    rows = [(f"{drives} measured drives of each strike", saved) for drives, saved in worth.saved.items()]
    rows.append(("knowing the golfer and the ball for sure", worth.given_away))
    return [f"{words:<{wide}}  {saved:>+6.2f}" for words, saved in rows]


def _row(worth: Worth, wide: int) -> str:
    parts = f"{worth.penalties:>+10.2f} {worth.fairways:>+9.2f} {worth.distance:>+9.2f}"
    return f"{worth.name:<{wide}}  {worth.saved:>+6.2f} ±{(worth.high - worth.low) / 2:.2f}   {parts}"
