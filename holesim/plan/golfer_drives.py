"""A golfer's drives of each strike, by everyone who may be the true golfer, each with a ball of their own."""

from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holesim.plan.club_reach import BY_CARRY, PACES, nominal_launch
from holesim.plan.conditions import Conditions
from holesim.plan.posterior_draws import posterior_draws
from holesim.plan.struck_drives import StruckDrives, fly_struck, join_struck
from holesim.player.player import POSTERIOR_DRAWS, Player
from holesim.shot.balls import make_ball
from holesim.shot.deliveries import Draws, sample
from holesim.shot.flight import QUINTAVALLA
from holesim.shot.impact import choose_head, impact

Floats = NDArray[np.float64]


class GolferDrives:
    """The golfers of whom one may be the true one, and what they hit.

    Attributes
    ----------
    golfers, drag_slopes
        The posterior draws, and the drag slope of each one's ball.
    """

    def __init__(self, player: Player, conditions: Conditions, seed: int) -> None:
        self.player, self.conditions = player, conditions
        found = posterior_draws(player, seed)
        self.golfers, self.drag_slopes = found.golfers, found.drag_slopes
        self.balls = [conditions.ball or make_ball(slope) for slope in found.drag_slopes.tolist()]

    def strike_all(self, draws: Draws) -> list[StruckDrives]:
        """Return the drives of each strike."""
        return [self.strike(index, draws) for index in range(len(self.player.strikes))]

    def strike(self, index: int, draws: Draws) -> StruckDrives:
        """Return the drives of one strike, as many by each golfer.

        Every golfer aims so that the ball comes down in the direction in which that of the player as the file
        has them would: a golfer allows for what the ball curves on average. And every golfer knows how far
        the other clubs go, whatever the ball.

        Parameters
        ----------
        index
            The strike's place among the player's.
        draws
            Their first axis is that of golfers, or a multiple of it.
        """
        points = draws.points.reshape(POSTERIOR_DRAWS, -1, draws.points.shape[2])
        found = []
        for golfer, own, turn, pace in zip(self.golfers, points, *self._allowances[index], strict=True):
            hit = golfer.strikes[index]
            deliveries = sample(
                hit,
                Draws(own[None]),
                spin=float(nominal_launch(hit, self.player.side).spin[0]),
                mean_spin=self._mean_spin(golfer),
                speed_exponent=self.conditions.speed_exponent,
                spin_exponent=self.conditions.spin_exponent,
            )
            launches = impact(deliveries, choose_head(hit.kind, hit.club_speed), side=golfer.side)
            found.append(replace(launches, speed=launches.speed * pace, direction=launches.direction + turn))
        return join_struck(found, self.balls)

    def strike_as_filed(self, index: int, draws: Draws) -> StruckDrives:
        """Return the drives of one strike by the golfer as the file has them, with the usual ball."""
        strike = self.player.strikes[index]
        deliveries = sample(
            strike, draws, spin=1.0, mean_spin=1.0, speed_exponent=self.conditions.speed_exponent
        )
        launches = impact(deliveries, choose_head(strike.kind, strike.club_speed), side=self.player.side)
        return join_struck([launches], [self.conditions.ball or QUINTAVALLA])

    def start_direction(self, index: int) -> float:
        """Return how far right of the aim the ball starts [rad], which the mean face angle turns."""
        return float(nominal_launch(self.player.strikes[index], self.player.side).direction[0])

    @cached_property
    def _allowances(self) -> list[tuple[Floats, Floats]]:
        """How much farther right than the player as the file has them each golfer aims each strike [rad].

        And for a club that is not the driver, how many times as fast the ball leaves, so that it goes as far.
        """
        still, side = replace(self.conditions.air, wind_speed=0.0), self.player.side

        def comes_down(drives: StruckDrives) -> tuple[Floats, Floats]:
            landings = fly_struck(drives, still).landings_along(0.0, (0.0, 0.0))
            return np.arctan2(landings.x, landings.y), np.hypot(landings.x, landings.y)

        found = []
        for k, strike in enumerate(self.player.strikes):
            usual_ball = self.conditions.ball or QUINTAVALLA
            usual, far = comes_down(join_struck([nominal_launch(strike, side)], [usual_ball]))
            launches = [nominal_launch(golfer.strikes[k], side) for golfer in self.golfers]
            struck = join_struck(launches, self.balls)
            bearing, carry = comes_down(struck)
            pace = np.ones(POSTERIOR_DRAWS)
            for _ in range(PACES if strike.club != "driver" else 0):
                pace = pace * (far / carry) ** BY_CARRY
                faster = replace(struck.launches, speed=struck.launches.speed * pace)
                bearing, carry = comes_down(replace(struck, launches=faster))
            found.append((usual - bearing, pace))
        return found

    def _mean_spin(self, golfer: Player) -> float:
        """Return the mean spin of a golfer's driver strikes [rad/s], by its logarithm."""
        if self.conditions.spin_exponent == 0:
            return 1.0  # any will do
        spins = [nominal_launch(strike, self.player.side).spin[0] for strike in golfer.drivers]
        return float(np.exp(np.mean(np.log(spins))))
