"""What a captain should know about the players' files before trusting a plan made from them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Final

from holesim.course.holes import ROUND, Hole
from holesim.player.player import Player
from holesim.player.player_defaults import ONE_WAY
from holesim.scoring.ratings import RatingRange, TeeRating, rate_length, rating_range
from holesim.scoring.skill import usual_club_speed
from holesim.team.handicap import Rating, index_from_score
from holesim.team.roster_scores import DayChoice, RosterScores, Round, choose_day_strike
from holesim.team.round_totals import add_holes
from holesim.team.strike_scores import mean_chances
from holesim.team.team_file import Team
from holesim.team.tees_and_handicaps import find_rating
from holesim.units import YARD

_BEST_EIGHT: Final = 0.93
"""Standard deviations from the mean of all scores down to that of the best 8 of 20, for normal scores."""

_MISFIT: Final = 5.0  # of handicap
_SAME_WAY: Final = _MISFIT / 2  # of handicap, by which others are off too where tees are the suspect
_SLOW: Final = 0.9  # of the usual club speed, below which the model is the suspect: our assumption


@dataclass(frozen=True)
class DayStrikePlayer:
    """A player who hits the driver one way all day, and how; `choice` is none where no hole is for a driver.

    `assumed` says that the player's file does not say so.
    """

    player: Player
    choice: DayChoice | None
    assumed: bool


@dataclass(frozen=True)
class RatingSuspect:
    """The stated rating of tees, which does not fit their length: by it they would have `by_length`.

    `possible` is what obstacles may make of that.
    """

    tee: str
    stated: Rating
    by_length: TeeRating
    possible: RatingRange


@dataclass(frozen=True)
class TeeSuspect:
    """The tees, or their rating: other players of one sex who play from them are off the same way."""

    tee: str


@dataclass(frozen=True)
class SpeedSuspect:
    """The model: it places a golfer who is far slower than is usual for the handicap, `usual_speed` [m/s]."""

    usual_speed: float


@dataclass(frozen=True)
class PlayerSuspect:
    """The player's file, or the club speed of one who has no file."""


Suspect = RatingSuspect | TeeSuspect | SpeedSuspect | PlayerSuspect


@dataclass(frozen=True)
class HandicapMisfit:
    """A player whose scores are those of another handicap index than the stated one, and what to suspect."""

    player: Player
    index: float
    suspect: Suspect


def find_day_strikes(
    players: Sequence[Player], rounds: Sequence[Round], holes: Sequence[Hole]
) -> Iterator[DayStrikePlayer]:
    """Yield who hits the driver one way all day.

    Parameters
    ----------
    rounds
        Of each player, all strikes tried on each hole, also those the player does not hit.
    """
    for player, round_ in zip(players, rounds, strict=False):
        if not player.can_choose:
            assumed = any(what.startswith(ONE_WAY) for what in player.assumed)
            yield DayStrikePlayer(player, choose_day_strike(round_, player, holes), assumed)


@dataclass(frozen=True)
class _RatedScores:
    """A player's scores from rated tees of a length [yd], as the handicap index that they are worth."""

    player: Player
    tee: str
    length: float
    rating: Rating
    index: float

    @property
    def off(self) -> float:
        """How far the index is above the stated one."""
        return self.index - self.player.handicap_index

    def shares_tees_with(self, other: "_RatedScores") -> bool:
        """Return whether another player of the same sex plays from the same tees."""
        return (self.tee, self.player.sex) == (other.tee, other.player.sex) and self is not other


def find_misfits(roster: RosterScores, team: Team) -> Iterator[HandicapMisfit]:
    """Yield whose scores do not fit their handicap, over 18 holes, where the team's file gives ratings.

    Notes
    -----
    An index is the mean of the best 8 of 20 scores, each less the course rating and scaled by the slope
    (Rules of Handicapping, 5.1a and 5.2, from memory).

    What can mislead about many players is suspected before what misleads about one: the rating where it does
    not fit the tees' length, then the tees where others are off the same way, then the model where the golfer
    is far slower than usual, and only then the player's file.
    """
    if len(roster.holes) != ROUND:
        return
    everyone = list(_rated_scores(roster, team))
    for scores in everyone:
        if abs(scores.off) > _MISFIT:
            yield HandicapMisfit(scores.player, scores.index, _suspect(scores, everyone))


def _rated_scores(roster: RosterScores, team: Team) -> Iterator[_RatedScores]:
    for player, tees, gross in zip(roster.players, roster.tees, roster.gross, strict=True):
        tee, length = tees[0].name, sum(tee.length for tee in tees) / YARD
        rating = find_rating(team, player.sex, tee, roster.holes)
        if rating is not None:
            total = add_holes([mean_chances(strikes[0].chances) for strikes in gross])
            best = float(total.mean()) - _BEST_EIGHT * total.sd()
            yield _RatedScores(player, tee, length, rating, index_from_score(best, rating))


def _suspect(scores: _RatedScores, everyone: Sequence[_RatedScores]) -> Suspect:
    """Return what to suspect first where scores do not fit a handicap."""
    player, rating = scores.player, scores.rating
    possible = rating_range(scores.length, player.sex)
    if not possible.holds(rating.course, rating.slope):
        return RatingSuspect(scores.tee, rating, rate_length(scores.length, player.sex), possible)
    higher = scores.off > 0
    others = [one.off for one in everyone if one.shares_tees_with(scores)]
    if others and (median(others) if higher else -median(others)) > _SAME_WAY:
        return TeeSuspect(scores.tee)
    usual = usual_club_speed(player.handicap_index, player.sex)
    if higher and player.club_speed < _SLOW * usual:
        return SpeedSuspect(usual)
    return PlayerSuspect()
