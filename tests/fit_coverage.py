"""How often 90 % intervals of a fitted golfer hold the true value, over golfers drawn from the prior.

    python -m tests.fit_coverage [TRIALS]

From what the ball does alone, 20 drives of each of two strikes. Takes some five minutes on two cores.
"""

import sys

import numpy as np

from .test_fit import BALL, coverage


def main(trials: int) -> None:
    shares = coverage(BALL, trials)
    sys.stdout.write(f"{trials} golfers: {shares.mean():.3f} in all; each {np.round(shares, 2).tolist()}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
