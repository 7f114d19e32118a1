"""Formats in which a pair plays one ball in turn: foursomes and greensomes."""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import ClassVar

from holesim.team.formats.pairs import PairFormat
from holesim.team.handicap import Format, PlayingHandicap, pair_handicap, shares_of_pair
from holesim.team.kept_scores import PairByHole
from holesim.team.side_options import Group, Side, SideOption, apply_strokes


class _SharedBallFormat(PairFormat, ABC):
    """A format in which a pair plays one ball in turn."""

    shares_ball: ClassVar[bool] = True

    @abstractmethod
    def _pair_sides(self, pair: Group, by_hole: PairByHole) -> tuple[Side, ...]:
        """Return the sides that a pair can make, the plain one first, gross."""

    def handicaps(self, group: Group) -> tuple[PlayingHandicap, ...]:
        """Return the playing handicap of a pair."""
        one, other = course = tuple(self.roster.course_handicaps[i] for i in group)
        return (
            PlayingHandicap(
                names=self.names(group),
                course=course,
                shares=shares_of_pair(one, other, self.allowance),
                playing=pair_handicap(one, other, self.allowance),
            ),
        )

    def sides(self, group: Group, received: tuple[int, ...]) -> tuple[Side, ...]:
        """Return the sides that a pair can make by who drives where, the plain one first."""
        (strokes,) = received
        by_hole = self.roster.strokes_by_hole(strokes, group)
        return tuple(apply_strokes(side, strokes, by_hole) for side in self._gross_sides(group))

    def _gross_sides(self, pair: Group) -> tuple[Side, ...]:
        """Return the sides that a pair can make, gross."""
        assert self.pairs is not None  # noqa: S101 - the course was played for this format
        return self._pair_sides(pair, self.pairs.of(self.name, pair))


class Foursomes(_SharedBallFormat):
    """Foursomes: one of a pair drives the odd holes, the other the even ones."""

    name: ClassVar[Format] = "foursomes"
    driver_orders: ClassVar[int] = 2

    def _pair_sides(self, pair: Group, by_hole: PairByHole) -> tuple[Side, ...]:
        """Return the sides with the lower handicap driving the odd holes, and with the other."""
        one, other = (self.roster.handicap_indices[i] for i in pair)
        lower, found = int(other < one), []
        for at_odd in (lower, 1 - lower):
            drivers = [at_odd if hole.number % 2 else 1 - at_odd for hole in self.roster.holes]
            holes = tuple(options[driver] for options, driver in zip(by_hole, drivers, strict=True))
            found.append(Side(pair, self.names(pair), holes))
        return tuple(found)


class Greensomes(_SharedBallFormat):
    """Greensomes: both of a pair drive, and play on with the better of the two drives."""

    name: ClassVar[Format] = "greensomes"

    def _pair_sides(self, pair: Group, by_hole: PairByHole) -> tuple[Side, ...]:
        """Return the only side that a pair makes."""
        return (Side(pair, self.names(pair), tuple(options for (options,) in by_hole)),)

    def alternatives(self, options: Sequence[SideOption], k: int, driver: int) -> list[SideOption]:
        """Return the options in which one of the drivers hits another strike and the partner the same."""
        partner = options[k].strikes[1 - driver]
        others = super().alternatives(options, k, driver)
        return [one for one in others if one.strikes[1 - driver] == partner]
