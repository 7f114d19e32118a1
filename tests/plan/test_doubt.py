"""What a choice hangs on, and what it is worth to know the golfer, where one thing about them is unknown."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.plan.decision import as_played
from holesim.plan.doubt import DRIVES, WORTH_SAYING, Measuring, Unknowns, find_doubt, worth_of_measuring
from holesim.plan.explain import doubt_text, measuring_text
from holesim.plan.posterior_draws import known_for_sure
from holesim.plan.tee_plan import TeePlan
from holesim.player.player import POSTERIOR_DRAWS, Player, Strike
from holesim.units import DEGREE
from tests.plan.tee_plans import golfers, tee_plan

Floats = NDArray[np.float64]

OFF = np.random.default_rng(8).standard_normal(POSTERIOR_DRAWS)
BALL = np.full(POSTERIOR_DRAWS, 0.6)


def drawn(player: Player, change: Callable[[Strike, float], Strike]) -> Unknowns:
    """Return golfers known for sure but for one thing about `up`."""
    known = known_for_sure(player)
    return Unknowns(
        tuple(
            replace(known, strikes=tuple(change(s, off) if s.label == "up" else s for s in known.strikes))
            for off in OFF.tolist()
        ),
        BALL,
    )


def wider(strike: Strike, off: float) -> Strike:
    return replace(strike, spread=replace(strike.spread, face=strike.spread.face * np.exp(0.15 * off)))


def steeper(strike: Strike, off: float) -> Strike:
    return replace(strike, attack=strike.attack + 1.2 * DEGREE * off)


def faster(strike: Strike, off: float) -> Strike:
    return replace(strike, club_speed=strike.club_speed * (1 + 0.01 * off))


def same(strike: Strike, _: float) -> Strike:
    return strike


def hole(number: int, mean: float, by_golfer: Floats, noise: float = 0.0) -> TeePlan:
    """Return a hole on which up loses `mean` more than down, and `by_golfer` more for each golfer."""
    rng = np.random.default_rng(number)
    up = 4.5 + mean + by_golfer[:, None] + noise * rng.standard_normal((POSTERIOR_DRAWS, 2))
    return tee_plan(number, 4, up=up, down=golfers(4.5))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (wider, "spread"),
        (steeper, "the attack and loft of each strike"),
        (faster, "how the strikes differ in club speed"),
    ],
)
def test_what_alone_is_unknown_is_named(
    amateur: Player, change: Callable[[Strike, float], Strike], words: str
) -> None:
    said = doubt_text(find_doubt(hole(1, 0.05, 0.1 * OFF, 0.01), drawn(amateur, change)))
    assert said.startswith("least certain: ")
    assert words in said
    assert said.endswith("(20 measured drives of each would tell)")


def test_the_ball_is_named_and_what_would_tell(amateur: Player) -> None:
    unknowns = replace(drawn(amateur, same), drag_slopes=0.6 + 0.1 * OFF)
    said = doubt_text(find_doubt(hole(1, 0.05, 0.1 * OFF, 0.01), unknowns))
    assert (
        said == "least certain: how the ball flies (measured carries of both, with your own ball, would tell)"
    )


def test_a_sure_choice_hangs_on_nothing_and_a_noisy_one_on_the_drives(amateur: Player) -> None:
    assert find_doubt(hole(1, 1.0, 0.1 * OFF), drawn(amateur, wider)) is None
    said = doubt_text(find_doubt(hole(1, 0.0, 0.0 * OFF, 0.3), drawn(amateur, same)))
    assert said == "least certain: the drives sampled (--precision adds some)"


def worth(player: Player, plans: Sequence[TeePlan], unknowns: Unknowns, *, can_choose: bool) -> Measuring:
    played, day = as_played(plans, replace(player, can_choose=can_choose))
    return worth_of_measuring(played, day, unknowns)


@pytest.mark.parametrize("can_choose", [True, False])
@pytest.mark.parametrize("change", [wider, steeper, faster])
def test_drives_save_some_of_what_is_given_away(
    amateur: Player, change: Callable[[Strike, float], Strike], *, can_choose: bool
) -> None:
    plans = [hole(k, mean, 0.2 * OFF, 0.02) for k, mean in enumerate((0.0, 0.05, -0.05), 1)]
    player = replace(amateur, usual=None)
    found = worth(player, plans, drawn(amateur, change), can_choose=can_choose)
    assert tuple(found.saved) == DRIVES
    saved = [found.saved[drives] for drives in sorted(DRIVES)]
    assert 0 < saved[0] <= saved[1] <= found.given_away
    assert f"costs {found.given_away:.2f} strokes a round" in measuring_text(found)


def test_what_is_given_away_is_the_mean_of_what_each_golfer_would_gain(amateur: Player) -> None:
    by_golfer = 0.3 * (OFF - OFF.mean())
    found = worth(amateur, [hole(1, 0.1, by_golfer)], drawn(amateur, wider), can_choose=True)
    # Down is hit; golfers for whom up costs less would gain the difference.
    assert found.given_away == pytest.approx(np.maximum(-(0.1 + by_golfer), 0).mean())


def test_a_face_that_never_varies_is_no_unknown(amateur: Player) -> None:
    def square(strike: Strike, off: float) -> Strike:
        return replace(steeper(strike, off), spread=replace(strike.spread, face=0.0))

    plan = hole(1, 0.1, 0.3 * OFF)
    words = {unknown.words for unknown in drawn(amateur, square).of(*plan.strikes[:2])}
    assert words == {"the attack and loft of each strike"}


def test_a_golfer_who_is_known_gives_nothing_away(amateur: Player) -> None:
    """The noise of the drives is taken out of the variance among golfers."""
    plans = [hole(k, 0.05, 0.0 * OFF, 0.05) for k in range(1, 19)]
    for can_choose in (True, False):
        found = worth(replace(amateur, usual=None), plans, drawn(amateur, same), can_choose=can_choose)
        assert 0 <= found.given_away < WORTH_SAYING
        assert all(saved == pytest.approx(0, abs=1e-9) for saved in found.saved.values())
        assert measuring_text(found) == ""
