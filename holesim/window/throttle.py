"""Slowing down whoever asks with wrong keys, again and again."""

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

_PATIENT: Final = 10  # wrong keys that are answered at once
_STEP: Final = 0.05  # s, by which each one more waits longer
_LONGEST: Final = 1.0  # s
_QUIET: Final = 20.0  # s without a wrong key, after which all is forgotten
_MOST: Final = 1000  # sources that are remembered


@dataclass
class _Burst:
    """Wrong keys from one source, and when the last one came [s]."""

    count: int
    last: float


class Throttle:
    """How long each wrong key from a source has to wait for its answer; right ones never wait.

    Parameters
    ----------
    tell
        Hears of each burst once.

    Examples
    --------
    >>> told = []
    >>> throttle = Throttle(told.append, clock=lambda: 0.0)
    >>> waits = [throttle.miss("192.0.2.7") for _ in range(1000)]
    >>> waits[9], waits[10], max(waits), len(told)
    (0.0, 0.05, 1.0, 1)
    """

    def __init__(self, tell: Callable[[str], object], clock: Callable[[], float] = time.monotonic) -> None:
        self._tell, self._clock = tell, clock
        self._bursts: OrderedDict[str, _Burst] = OrderedDict()

    def miss(self, source: str) -> float:
        """Note a wrong key; return how long its answer waits [s]."""
        now = self._clock()
        burst = self._bursts.setdefault(source, _Burst(0, now))
        self._bursts.move_to_end(source)
        while len(self._bursts) > _MOST:
            self._bursts.popitem(last=False)
        if now - burst.last > _QUIET:
            burst.count = 0
        burst.count, burst.last = burst.count + 1, now
        if burst.count == _PATIENT + 1:
            self._tell(f"{source} asks with wrong keys, again and again: its answers are slowed down")
        return min(max(burst.count - _PATIENT, 0) * _STEP, _LONGEST)
