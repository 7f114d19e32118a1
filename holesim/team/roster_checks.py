"""What a captain should know about the players' files before trusting a plan made from them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from holesim.course.holes import ROUND, Hole
from holesim.player.player import Player
from holesim.player.player_defaults import ONE_WAY
from holesim.team.handicap import Rating, index_from_score
from holesim.team.roster_scores import DayChoice, RosterScores, Round, choose_day_strike
from holesim.team.round_totals import add_holes
from holesim.team.strike_scores import mean_chances
from holesim.team.team_file import Team

_ABOVE_BETTER_HALF: Final = 0.8  # standard deviations from the mean of all scores to that of the better half
_MISFIT: Final = 5.0  # of handicap


@dataclass(frozen=True)
class DayStrikePlayer:
    """A player who hits the driver one way all day, and how; `choice` is none where no hole is for a driver.

    `assumed` says that the player's file does not say so.
    """

    player: Player
    choice: DayChoice | None
    assumed: bool


@dataclass(frozen=True)
class HandicapMisfit:
    """A player whose file or club speed gives the scores of another handicap index than the stated one."""

    player: Player
    index: float


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


def find_misfits(roster: RosterScores, team: Team) -> Iterator[HandicapMisfit]:
    """Yield whose scores do not fit their handicap, over 18 holes, where the team's file gives ratings.

    Notes
    -----
    A rating is that of the better half of scores (Course Rating System, The R&A and USGA, from memory), so it
    is compared with the mean less 0.8 standard deviations, as in a long series.
    """
    if len(roster.holes) != ROUND:
        return
    par = sum(hole.par for hole in roster.holes)
    for player, tees, gross in zip(roster.players, roster.tees, roster.gross, strict=True):
        rated = team.ratings.get(tees[0].name)
        if rated is None:
            continue
        total = add_holes([mean_chances(strikes[0].chances) for strikes in gross])
        better = float(total.mean()) - _ABOVE_BETTER_HALF * total.sd()
        index = index_from_score(better, Rating(rated.course, rated.slope, par))
        if abs(index - player.handicap_index) > _MISFIT:
            yield HandicapMisfit(player, index)
