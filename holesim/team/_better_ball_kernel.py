"""Compiled better ball: the chance of each score by the better of two balls.

Knows only floats and arrays; `holesim.team.side_options` says what they are.
"""

from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry


class BallAbove(NamedTuple):
    """The part of a ball's chances above each score, each [strike, draw set, score].

    With the drive in play, with it in trouble, and with it anywhere.
    """

    in_play: np.ndarray
    in_trouble: np.ndarray
    anywhere: np.ndarray


@entry
def fill_better_ball(choices, one, other, chances):  # type: ignore[no-untyped-def]
    """Fill in the chances of the better ball [choice, draw set, score].

    Each of `choices` names whose drive comes second, the strike of the first, and those of the second after a
    drive in play and after one in trouble.
    """
    for c in range(len(choices)):
        second, strike, reply, saving = choices[c]
        first, waiting = (one, other) if second == 1 else (other, one)
        for d in range(chances.shape[1]):
            in_play, in_trouble = first.in_play[strike, d], first.in_trouble[strike, d]
            safe, saved, found = waiting.anywhere[reply, d], waiting.anywhere[saving, d], chances[c, d]
            before = 1.0
            for s in range(len(found)):
                above = in_play[s] * safe[s] + in_trouble[s] * saved[s]
                found[s] = before - above
                before = above
