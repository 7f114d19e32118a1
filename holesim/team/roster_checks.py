"""What a captain should know of the players before trusting what is made of their files."""

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from holesim.course.holes import ROUND, Hole, Tee
from holesim.plan.estimate import sure_text
from holesim.player.player import Player
from holesim.team.handicap import Rating, index_of
from holesim.team.roster_scores import RosterScores, all_day
from holesim.team.round_totals import added_up
from holesim.team.strike_scores import StrikeScores, pooled
from holesim.team.team_file import Team

_ABOVE_BETTER_HALF: Final = 0.8  # standard deviations from the mean of all scores to that of the better half
_AMISS: Final = 5.0  # of handicap
_ASSUMED: Final = "hits the driver one way all day"  # so begins what is said of it


def check_roster(
    field: RosterScores,
    team: Team,
    tees: Callable[[Hole, Player], Tee],
    prospects: Sequence[Sequence[Sequence[StrikeScores]]],
) -> list[str]:
    """Return who keeps to which strike, as they say or as is assumed, and whose handicap does not fit.

    Parameters
    ----------
    prospects
        Of each player on each hole every strike, that of `field` and those they do not hit.
    """
    said: list[str] = []
    assumed: list[str] = []
    for player, round_ in zip(team.players, prospects, strict=False):
        if not player.can_choose:
            silent = any(what.startswith(_ASSUMED) for what in player.assumed)
            (assumed if silent else said).append(_kept_text(player, round_, field.holes))
    return [
        *(
            f"one driver strike all day, {why}: {', '.join(names)}"
            for why, names in (("as their files say", said), ("assumed where a file does not say", assumed))
            if names
        ),
        *_misfits(field, team, tees),
    ]


def _kept_text(player: Player, round_: Sequence[Sequence[StrikeScores]], holes: Sequence[Hole]) -> str:
    """Return which strike a player keeps to, and what it saves where it is not the usual one."""
    kept = all_day(round_, player, holes)
    if kept is None:
        return player.name
    if kept.over is None:
        return f"{player.name} {kept.label}"
    saved = f"{-kept.over.mean:.1f} strokes saved; {sure_text(kept.over.chance_below)}"
    return f"{player.name} {kept.label} (not {player.usual}: {saved})"


def _misfits(field: RosterScores, team: Team, tees: Callable[[Hole, Player], Tee]) -> Iterator[str]:
    """Yield who plays to another handicap than is stated, by the ratings that the team's file gives.

    Notes
    -----
    A rating is of the better half of scores (Course Rating System, The R&A and USGA, from memory), so a
    player's is set against their mean less 0.8 standard deviations, as in a long series.
    """
    if len(field.holes) != ROUND:
        return
    par = sum(hole.par for hole in field.holes)
    for player, gross in zip(field.players, field.gross, strict=True):
        rated = team.ratings.get(tees(field.holes[0], player).name)
        if rated is None:
            continue
        total = added_up([pooled(on_hole[0].chances) for on_hole in gross])
        better = float(total.mean()) - _ABOVE_BETTER_HALF * total.spread()
        found = index_of(better, Rating(rated.course, rated.slope, par))
        if abs(found - player.handicap_index) > _AMISS:
            source = "file" if player.sha256 else "club speed"
            yield (
                f"{player.name}'s {source} makes an index of about {found:.0f}, not {player.handicap}: "
                "correct it, or what is made of it misleads"
            )
