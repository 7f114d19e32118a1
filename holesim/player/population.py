"""Population: how golfers of one handicap, speed and sex differ from the default for them.

What a player file leaves out is uncertain by so much; what few measured drives are held against is this, too.
"""

from math import sqrt
from typing import Final

from scipy.stats import truncnorm

from holesim.units import DEGREE, MM

ATTACK_MEAN: Final = 0.5 * DEGREE
"""Of all golfers' attacks with the driver: between the averages of the men's tour, 1.3° down, and the
women's, 3° up (common practice, no source)."""
ATTACK_SD: Final = 2.4 * DEGREE
"""Of all golfers' attacks: 42 professionals, each by their own mean (Suzuki, Sheahan, Miyazawa, Okuda and
Ichikawa, The Open Sports Sciences Journal 14, 2021). What is called up, level or down lies within its bounds,
so that the means of the three are the defaults, 3.5°, 0.5° and -2.5°."""

LOFT_SD: Final = 2.0 * DEGREE
"""Of the dynamic loft of a golfer's driver beside the default, whatever the strike: our assumption."""
STRIKE_LOFT_SD: Final = 1.0 * DEGREE
"""Of what one strike shows beside that: our assumption."""

STRIKE_SPEED_SD: Final = 0.01
"""Of the speed of one driver strike over the player's club speed, as a share: our assumption."""

TOE_SD: Final = 4 * MM
"""Of where on the face a golfer strikes on average, to toe or heel, whatever the strike: our assumption."""
STRIKE_TOE_SD: Final = 3 * MM
"""Of what one strike has beside that: our assumption."""
HIGH_SD: Final = 3 * MM
"""The same, up the face: our assumption."""
STRIKE_HIGH_SD: Final = 3 * MM
"""The same of one strike, up the face: our assumption."""

SPREAD_WEIGHT: Final = 8.0
"""Drives that the default size of each error counts for: a golfer's is a quarter more or less, as golfers of
one score differ in where drives finish (5°, from 4° to 9°, of those who shoot 80; 7.5°, from 5° to 11°, at
100: Broadie, *Every Shot Counts*, 2014, ch. 6, second-hand and from memory)."""
SPREAD_LOG_SD: Final = 1 / sqrt(2 * SPREAD_WEIGHT)
"""Of the logarithm of the size of an error, which so many drives leave open."""
STRIKE_SPREAD_LOG_SD: Final = 0.15 / sqrt(2)
"""Of the logarithm of the size of one strike's errors over what is common to a golfer's strikes, the same of
each, so that two strikes of a golfer differ by 15 %: our assumption. It covers what the spin does beyond
mechanics."""
LINK_SD: Final = 0.35
"""Of the slope of path on face, in spreads: our assumption."""
MISS_WEIGHT: Final = 40.0
"""Drives that the default rate of bad misses counts for: our assumption."""


def attack_at(chance: float, low: float, high: float) -> float:
    """Return the attack [rad] that a share `chance` of golfers lie below, of those from `low` to `high`."""
    bounds = (low - ATTACK_MEAN) / ATTACK_SD, (high - ATTACK_MEAN) / ATTACK_SD
    return float(truncnorm.ppf(chance, *bounds, loc=ATTACK_MEAN, scale=ATTACK_SD))


def attack_sd(low: float, high: float) -> float:
    """Return the standard deviation of golfers' attacks from `low` to `high` [rad]."""
    bounds = (low - ATTACK_MEAN) / ATTACK_SD, (high - ATTACK_MEAN) / ATTACK_SD
    return float(truncnorm.std(*bounds, loc=ATTACK_MEAN, scale=ATTACK_SD))
