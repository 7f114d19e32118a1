"""Compiled chances of measured drives, given golfers who may have hit them; `fit` says what they are."""

from math import exp, log

import numpy as np

from holesim.common._simd_kernel import kept
from holesim.measure._few_kernel import fill_few
from holesim.measure._told_kernel import GOLFERS, Own, Room, fill_own, fill_told
from holesim.measure.fit_records import AXES, SOUND, TERMS, WILD, compiled


@compiled
def _sum(sound, wild, mishit):  # type: ignore[no-untyped-def]
    """Return the logarithm of a sum, given logarithms."""
    most = max(sound, wild, mishit)
    return most + log(exp(sound - most) + exp(wild - most) + exp(mishit - most))


@kept(nogil=True, error_model="numpy")
def add_chances(m, told, golfers, first, last, likelihoods, missed):  # type: ignore[no-untyped-def]
    """Fill the log likelihood of golfers `first` to `last`.

    To `missed`, shape (drives,), the chance is added that each drive was wild or a mishit.
    """
    n, cells, tells, all_tell = len(m.values), golfers.means.shape[1], m.tells.any(), m.tells.all()
    chances = np.empty((n, 2, GOLFERS))
    own = Own(
        np.empty((cells, AXES, GOLFERS)), np.empty((cells, AXES, AXES, GOLFERS)), np.empty((cells, GOLFERS))
    )
    room = Room(
        np.empty((TERMS, GOLFERS)), np.empty((TERMS, GOLFERS)), np.empty((TERMS, GOLFERS)), np.empty(GOLFERS),
        np.empty(GOLFERS), np.empty((AXES, GOLFERS)), np.empty((AXES, AXES, GOLFERS)), np.empty(GOLFERS),
    )  # fmt: skip
    for begin in range(first, last, GOLFERS):
        end = min(begin + GOLFERS, last)
        if tells:
            fill_own(golfers, begin, end, own)
            fill_told(m, told, golfers, begin, end, own, room, chances)
        if not all_tell:
            fill_few(m, golfers, begin, end, chances)
        for g in range(begin, end):
            rate = golfers.miss_rate[g]
            sound, wild, mishit = log(1 - rate), log(rate * (1 - m.mishit_share)), log(rate * m.mishit_share)
            likelihoods[g] = 0.0
            for i in range(n):
                here, group = chances[i, :, g - begin], m.group_of[i]
                total = _sum(sound + here[SOUND], wild + here[WILD], mishit + m.mishits[group])
                likelihoods[g] += total
                missed[i] += 1 - exp(sound + here[SOUND] - total)
