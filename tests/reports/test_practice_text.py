"""What another face spread saves, in words."""

from types import SimpleNamespace
from typing import Any, cast

import pytest

from holesim.reports.practice_text import face_change_text
from holesim.study.face_change import FaceChange

SMALL = (
    "A face spread 5 % narrower saves 0.02 strokes on hole 6 (\N{MINUS SIGN}0.01 to 0.05), "
    "which may be nothing. The strikes stay."
)


def tee(hole: int, label: str) -> Any:  # noqa: ANN401 - a plan of a tee, as far as words need it
    choice = SimpleNamespace(label=label, strokes=4.25)
    return SimpleNamespace(hole=SimpleNamespace(number=hole), choice=choice)


def found(mean: float, low: float, high: float, before: str = "up", after: str = "up") -> FaceChange:
    saved = cast("Any", SimpleNamespace(mean=mean, interval=(low, high)))
    return FaceChange(saved, (tee(6, before),), (tee(6, after),))


@pytest.mark.parametrize(
    ("change", "percent", "says"),
    [
        (
            found(0.12, 0.08, 0.16),
            -20,
            "A face spread 20 % narrower saves 0.12 strokes on hole 6 (0.08 to 0.16). The strikes stay.",
        ),
        (
            found(-0.31, -0.4, -0.22, after="down"),
            40,
            "A face spread 40 % wider costs 0.31 strokes on hole 6 (0.22 to 0.40). Hit down instead of up.",
        ),
        (
            found(0.02, -0.01, 0.05),
            -5,
            SMALL,
        ),
        (
            found(0.001, 0.0, 0.002),
            -5,
            "A face spread 5 % narrower makes no difference on hole 6 (0.00 to 0.00). The strikes stay.",
        ),
        (found(0, 0, 0), 0, "With today's face spread 4.25 strokes are expected on hole 6."),
    ],
)
def test_a_change_is_told_in_a_sentence(change: FaceChange, percent: float, says: str) -> None:
    assert face_change_text(change, percent) == says


def test_of_several_holes_those_are_named_where_the_strike_changes() -> None:
    one = found(0.5, 0.4, 0.6)
    tees = (tee(1, "up"), tee(2, "up"))
    changed = FaceChange(one.saved, tees, (tee(1, "up"), tee(2, "down")))
    assert face_change_text(changed, -20).endswith(
        "on 2 holes (0.40 to 0.60). Hit down instead of up on hole 2."
    )
