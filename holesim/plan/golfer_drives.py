"""A golfer's drives of each strike, by all posterior draws, each with a ball of their own."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holesim.plan.club_reach import BY_CARRY, PACES, nominal_launch
from holesim.plan.conditions import Conditions
from holesim.plan.posterior_draws import posterior_draws
from holesim.plan.struck_drives import StruckDrives, fly_struck, join_struck
from holesim.player.player import POSTERIOR_DRAWS, Player, Strike
from holesim.shot.balls import make_ball
from holesim.shot.deliveries import LEAST_SPIN, Draws, sample, sample_each
from holesim.shot.flight import QUINTAVALLA
from holesim.shot.impact import choose_head, impact, impact_each

Floats = NDArray[np.float64]


class GolferDrives:
    """The posterior draws of a golfer, and the drives that they hit, whatever the wind.

    Attributes
    ----------
    golfers, drag_slopes
        The posterior draws, and the drag slope of each draw's ball.
    """

    def __init__(self, player: Player, conditions: Conditions, seed: int) -> None:
        self.player, self.conditions = player, conditions
        drawn = posterior_draws(player, seed)
        self.golfers, self.drag_slopes = drawn.golfers, drawn.drag_slopes
        self.balls = [conditions.ball or make_ball(slope) for slope in drawn.drag_slopes.tolist()]
        self._allowed: dict[int, tuple[Floats, Floats]] = {}

    def strike(self, index: int, draws: Draws) -> StruckDrives:
        """Return the drives of one strike, the same number by each golfer.

        Golfers allow for what their ball curves on average: each aims so that it lands in the same direction
        as that of the player as the file has them. And golfers know how far their other clubs go: each hits
        those as far as the player as the file has them.

        Parameters
        ----------
        index
            The strike's place among the player's strikes.
        draws
            One set of points for each golfer, or several.
        """
        hit = [golfer.strikes[index] for golfer in self.golfers]
        deliveries = sample_each(
            hit,
            draws,
            spins=[self._mean_spin([strike]) for strike in hit],
            mean_spins=self._mean_spins,
            speed_exponent=self.conditions.speed_exponent,
            spin_exponent=self.conditions.spin_exponent,
        )
        heads = [choose_head(strike.kind, strike.club_speed) for strike in hit]
        launches = impact_each(deliveries, heads, side=self.player.side)
        each = len(launches.speed) // POSTERIOR_DRAWS
        turn, pace = (np.repeat(numbers, each) for numbers in self._allowances(index))
        struck = replace(launches, speed=launches.speed * pace, direction=launches.direction + turn)
        return join_struck(struck, self.balls)

    def strike_as_filed(self, index: int, draws: Draws) -> StruckDrives:
        """Return the drives of one strike by the golfer as the file has them, with the usual ball."""
        strike = self.player.strikes[index]
        deliveries = sample(
            strike, draws, spin=1.0, mean_spin=1.0, speed_exponent=self.conditions.speed_exponent
        )
        launches = impact(deliveries, choose_head(strike.kind, strike.club_speed), side=self.player.side)
        return join_struck(launches, [self.conditions.ball or QUINTAVALLA])

    def start_direction(self, index: int) -> float:
        """Return how far right of the aim the ball starts [rad], which the mean face angle turns."""
        return float(nominal_launch(self.player.strikes[index], side=self.player.side).direction[0])

    def _allowances(self, index: int) -> tuple[Floats, Floats]:
        """Return how each golfer hits a strike, compared with the player as the file has them.

        That is how much farther right they aim [rad] and, but for the driver, the factor on ball speed with
        which the ball carries as far.
        """
        if index not in self._allowed:
            self._allowed[index] = self._find_allowances(index)
        return self._allowed[index]

    def _find_allowances(self, index: int) -> tuple[Floats, Floats]:
        still, side = replace(self.conditions.air, wind_speed=0.0), self.player.side
        strike, usual_ball = self.player.strikes[index], self.conditions.ball or QUINTAVALLA

        def comes_down(drives: StruckDrives) -> tuple[Floats, Floats]:
            landings = fly_struck(drives, still).landings_along(0.0, (0.0, 0.0))
            return np.arctan2(landings.x, landings.y), np.hypot(landings.x, landings.y)

        usual, far = comes_down(join_struck(nominal_launch(strike, side=side), [usual_ball]))
        launches = nominal_launch(*(golfer.strikes[index] for golfer in self.golfers), side=side)
        struck = join_struck(launches, self.balls)
        bearing, carry = comes_down(struck)
        pace = np.ones(POSTERIOR_DRAWS)
        for _ in range(PACES if strike.club != "driver" else 0):
            pace = pace * (far / carry) ** BY_CARRY
            faster = replace(struck.launches, speed=struck.launches.speed * pace)
            bearing, carry = comes_down(replace(struck, launches=faster))
        return usual - bearing, pace

    @cached_property
    def _mean_spins(self) -> list[float]:
        """Of each golfer the mean spin of the driver strikes [rad/s]."""
        return [self._mean_spin(golfer.drivers) for golfer in self.golfers]

    def _mean_spin(self, strikes: Sequence[Strike]) -> float:
        """Return the geometric mean spin of strikes [rad/s]; any where no error depends on it."""
        if self.conditions.spin_exponent == 0:
            return 1.0
        spins = nominal_launch(*strikes, side=self.player.side).spin
        return float(np.exp(np.mean(np.log(np.maximum(spins, LEAST_SPIN)))))
