"""What every player of a team and its opponents may score on a course, found once for all formats."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from holesim.course.course import Course
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.team.handicap import Format
from holesim.team.kept_scores import load_round, round_name, save_round
from holesim.team.pair_options import PairOptions, Partners
from holesim.team.partner_drives import Partner, make_partner
from holesim.team.roster_scores import PlayerHole, RosterScores, Round, play_course, rank_strikes
from holesim.team.side_options import Group
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import Team
from holesim.team.tees_and_handicaps import find_handicaps, find_tees


@dataclass(frozen=True)
class PlayedCourse:
    """What every player may score on a course, for any format.

    Attributes
    ----------
    rounds
        Of each player, all strikes tried on each hole, also those that the player does not hit.
    pairs
        What pairs may do with one ball, if that was asked for.
    assumed
        What was assumed about tees.
    names
        Under which each player's round is kept.
    """

    roster: RosterScores
    rounds: Sequence[Round]
    pairs: PairOptions | None
    assumed: tuple[str, ...]
    names: tuple[str, ...]

    def among(self, places: Group) -> "PlayedCourse":
        """Return what some players may score, by their places in the roster, in one of them alone."""
        return PlayedCourse(
            self.roster.among(places),
            [self.rounds[i] for i in places],
            None if self.pairs is None else self.pairs.among(places),
            self.assumed,
            tuple(self.names[i] for i in places),
        )


def play_roster(
    course: Course,
    team: Team,
    players: Sequence[Player],
    options: RoundOptions,
    *,
    net: bool,
    one_ball: tuple[Format, ...],
    progress: Callable[[int, int], None] | None = None,
) -> PlayedCourse:
    """Return what players may score on a course: the long part of a plan, the same for all formats.

    Parameters
    ----------
    players
        The team's, then the opponents.
    net
        Whether handicap strokes count.
    one_ball
        The formats with one ball that are to be planned.

    Raises
    ------
    InputError
        If a tee is not on the course, or a hole cannot be played.

    Notes
    -----
    The rounds are kept on disk. What players bring to a shared ball is not: it takes too much room. Players
    whose rounds are kept play again where a pair of theirs is not.
    """
    tees = find_tees(course, team, players)
    handicaps, assumed = find_handicaps(course, team, players, tees) if net else ((0.0,) * len(players), [])
    names = tuple(
        round_name(course, player, own, options, place)
        for place, (player, own) in enumerate(zip(players, tees, strict=True))
    )
    found = [load_round(name) for name in names]
    missing = [place for place, round_ in enumerate(found) if round_ is None]
    partners = Partners(
        lambda places: play_course(course, players, tees, make_partner, options, places=places)
    )

    def summarise(played: PlayerHole) -> tuple[tuple[StrikeScores, ...], Partner | None]:
        strikes = tuple(strike.scores() for strike in played.strikes)
        return strikes, make_partner(played) if one_ball else None

    if missing:
        by_hole = play_course(course, players, tees, summarise, options, places=missing, progress=progress)
        for k, place in enumerate(missing):
            found[place] = own = [on_hole[k][0] for on_hole in by_hole]
            save_round(names[place], own)
            brought = [one for on_hole in by_hole if (one := on_hole[k][1]) is not None]
            if brought:
                partners.add(place, brought)
    rounds = [round_ for round_ in found if round_ is not None]
    gross = tuple(rank_strikes(*one, course.holes) for one in zip(rounds, players, strict=True))
    roster = RosterScores(tuple(players), course.holes, tees, gross, handicaps)
    everyone = tuple(range(len(players)))
    pairs = PairOptions(one_ball, roster, partners, names, everyone) if one_ball else None
    return PlayedCourse(roster, rounds, pairs, tuple(assumed), names)
