"""How golfers of one handicap, speed and sex differ from the defaults for them.

These are the standard errors of what a player file leaves out, and the prior of a fit to measured drives.
"""

from functools import lru_cache
from math import sqrt
from typing import Final

from scipy.stats import truncnorm

from holesim.units import DEGREE, MM

ATTACK_MEAN: Final = 0.5 * DEGREE
"""Mean of all golfers' angles of attack with the driver [rad]: between the averages of the men's tour,
1.3° down, and the women's, 3° up (common practice, no source)."""
ATTACK_SD: Final = 2.4 * DEGREE
"""Standard deviation of all golfers' angles of attack [rad]: of the means of 42 professionals (Suzuki,
Sheahan, Miyazawa, Okuda and Ichikawa, The Open Sports Sciences Journal 14, 2021). Within the bounds of up,
level and down the means of this distribution are the defaults, 3.5°, 0.5° and -2.5°."""

LOFT_SD: Final = 2.0 * DEGREE
"""Standard deviation of a golfer's dynamic loft around the default, the same for all driver strikes [rad]:
our assumption."""
STRIKE_LOFT_SD: Final = 1.0 * DEGREE
"""The same for one strike alone, in addition [rad]: our assumption."""

STRIKE_SPEED_SD: Final = 0.01
"""Standard deviation of the speed of one driver strike, as a share of the player's: our assumption."""

TOE_SD: Final = 4 * MM
"""Standard deviation of where on the face a golfer strikes on average, towards toe or heel, the same for all
driver strikes [m]: our assumption."""
STRIKE_TOE_SD: Final = 3 * MM
"""The same for one strike alone, in addition [m]: our assumption."""
HIGH_SD: Final = 3 * MM
"""As `TOE_SD`, up or down the face [m]: our assumption."""
STRIKE_HIGH_SD: Final = 3 * MM
"""As `STRIKE_TOE_SD`, up or down the face [m]: our assumption."""

SPREAD_WEIGHT: Final = 8.0
"""Number of drives that the default size of a deviation counts for. A golfer's deviation is a quarter more or
less, as golfers of one score differ in how far offline drives finish (5°, from 4° to 9°, of those who shoot
80; 7.5°, from 5° to 11°, at 100: Broadie, *Every Shot Counts*, 2014, ch. 6, second-hand and from memory)."""
SPREAD_LOG_SD: Final = 1 / sqrt(2 * SPREAD_WEIGHT)
"""Standard deviation of the logarithm of a deviation that so many drives leave."""
STRIKE_SPREAD_LOG_SD: Final = 0.15 / sqrt(2)
"""Standard deviation of the logarithm of one strike's deviations over those common to a golfer's strikes, all
in the same ratio. Two strikes of a golfer then differ by 15 %: our assumption, which covers effects of spin
other than the mechanical one."""
LINK_SD: Final = 0.35
"""Standard deviation of the slope of path on face, each in units of its deviation: our assumption."""
MISS_WEIGHT: Final = 40.0
"""Number of drives that the default rate of bad misses counts for: our assumption."""

MISHITS: Final = 0.25
"""Share of bad misses that are mishits, topped or skied, whose ball tells nothing of the swing: our
assumption."""

DAY_SHARE: Final = 0.4
"""Standard deviation of the mean of one day's swings about the golfer's own mean, as a share of the deviation
from swing to swing: our assumption."""
DAY_SHARE_LOG_SD: Final = 0.4
"""Standard deviation of the logarithm of that share, from golfer to golfer: our assumption."""
DAY_SPREAD_LOG_SD: Final = 0.1
"""Standard deviation of the logarithm of one day's deviations over the golfer's own: our assumption."""
CHANGE_SHARE: Final = 0.7
"""Standard deviation of a lasting change of a mean between two sessions, as a share of the deviation from
swing to swing: our assumption. Of many numbers compared few then seem to change by chance."""
CHANGE_SPREAD_LOG_SD: Final = 0.2
"""Standard deviation of the logarithm of a lasting change of a deviation: our assumption."""


@lru_cache(maxsize=1024)  # of one seed all golfers have the same chances
def attack_at(chance: float, low: float, high: float) -> float:
    """Return the `chance` quantile of angles of attack between `low` and `high` [rad]."""
    bounds = (low - ATTACK_MEAN) / ATTACK_SD, (high - ATTACK_MEAN) / ATTACK_SD
    return float(truncnorm.ppf(chance, *bounds, loc=ATTACK_MEAN, scale=ATTACK_SD))


def attack_sd(low: float, high: float) -> float:
    """Return the standard deviation of angles of attack between `low` and `high` [rad]."""
    bounds = (low - ATTACK_MEAN) / ATTACK_SD, (high - ATTACK_MEAN) / ATTACK_SD
    return float(truncnorm.std(*bounds, loc=ATTACK_MEAN, scale=ATTACK_SD))
