"""What a captain's page and sheet both show: the draw, each match hole by hole, and what choices gain."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from holesim.course.holes import Hole
from holesim.reports.team_text import (
    PlayerStrip,
    TeeLine,
    day_text,
    dots_text,
    expected_text,
    format_text,
    player_strips,
    received_dots,
    strokes_text,
)
from holesim.reports.team_words import HandicapRow, findings, handicap_rows, meeting_text, notes
from holesim.team.team_plan import SidePlan, TeamPlan

_SLUG_LENGTH: Final = 60


@dataclass(frozen=True)
class DrawRow:
    """A side in the draw.

    Attributes
    ----------
    ours, theirs
        Names, each with what is to be said of it: strokes received or given.
    expected, spread
        Expected points, or strokes with their standard deviation, as text.
    """

    ours: tuple[tuple[str, str], ...]
    theirs: tuple[tuple[str, str], ...]
    expected: str
    spread: str


def draw_rows(plan: TeamPlan) -> list[DrawRow]:
    """Return the draw, in the order in which sides go out."""
    points = plan.unit == "points"
    return [
        DrawRow(
            _noted(side.names, side.received),
            _noted(side.against, tuple(map(sum, side.they_receive))),
            f"{side.points:.2f}" if points else f"{side.strokes:.1f}",
            "" if points else f"±{side.sd:.1f}",
        )
        for side in plan.sides
    ]


def _noted(names: Sequence[str], received: Sequence[int]) -> tuple[tuple[str, str], ...]:
    """Return names, each with the strokes it receives; those of a pair with one ball stand by the second."""
    said = [strokes_text(strokes) if strokes else "" for strokes in received]
    if len(said) < len(names):
        pair = f"the pair {said[0]}" if said and said[0] else ""
        said = [""] * (len(names) - 1) + [pair]
    return tuple(zip(names, said, strict=True))


@dataclass(frozen=True)
class MatchHole:
    """A hole of a match: our players' tees, and dots for the strokes that each of the others receives."""

    hole: Hole
    ours: tuple[TeeLine, ...]
    their_dots: tuple[str, ...]

    @property
    def par(self) -> str:
        """The par of our players; of a man and a woman it may be two."""
        return "/".join(dict.fromkeys(str(tee.par) for tee in self.ours))


@dataclass(frozen=True)
class MatchSheet:
    """What a captain follows a match by.

    Attributes
    ----------
    ours, theirs
        The names on each side.
    shared
        Whether strokes are received by a pair with one ball, not by each player.
    receivers
        Who of the other side receives strokes on some hole, as columns of dots.
    expected
        What may be expected, as text.
    changes
        What changes a strike.
    meetings
        Where the opponent is not known, what to expect against each and who receives strokes, as text.
    """

    ours: tuple[str, ...]
    theirs: tuple[str, ...]
    shared: bool
    receivers: tuple[str, ...]
    expected: str
    holes: tuple[MatchHole, ...]
    changes: tuple[str, ...]
    meetings: tuple[str, ...]

    @property
    def sides(self) -> str:
        """Who plays whom."""
        theirs = " and ".join(self.theirs) or "whichever opponents they meet"
        return f"{' and '.join(self.ours)} against {theirs}"


def match_sheets(plan: TeamPlan) -> list[MatchSheet]:
    """Return a sheet for each match, in the order of the sides; none in stroke play."""
    strips = iter(player_strips(plan))
    of_sides = [(side, [next(strips) for _ in side.names]) for side in plan.sides]
    return [_match_sheet(side, of_side, plan) for side, of_side in of_sides if side.result]


def _match_sheet(side: SidePlan, strips: Sequence[PlayerStrip], plan: TeamPlan) -> MatchSheet:
    whose = side.against if len(side.they_receive) == len(side.against) else ("their pair",)
    receiving = [
        (who, strokes) for who, strokes in zip(whose, side.they_receive, strict=False) if any(strokes)
    ]
    holes = tuple(
        MatchHole(
            hole_plan.hole,
            tuple(strip.tees[k] for strip in strips),
            tuple(received_dots(strokes[k]) for _, strokes in receiving),
        )
        for k, hole_plan in enumerate(side.holes)
    )
    alone = len(strips) == 1
    return MatchSheet(
        ours=side.names,
        theirs=side.against,
        shared=0 < len(side.received) < len(side.names),
        receivers=tuple(who for who, _ in receiving),
        expected=expected_text(side, plan.unit),
        holes=holes,
        changes=tuple(
            ("" if alone else f"{strip.name}, ") + change for strip in strips for change in strip.changes
        ),
        meetings=tuple(meeting_text(side, meeting) for meeting in side.meetings),
    )


def headline(plan: TeamPlan) -> str:
    """Return the day's line: course, format and wind."""
    occasion = f"{plan.occasion}; " if plan.occasion else ""
    return f"{occasion}{plan.course.name}; {format_text(plan)}; {day_text(plan)}"


def gain_texts(plan: TeamPlan) -> list[str]:
    """Return what each choice gains."""
    others = notes(plan)
    return [text for text in findings(plan) if text not in others]


def handicap_tables(plan: TeamPlan) -> list[tuple[str, list[HandicapRow]]]:
    """Return the handicaps of our players or pairs, and of the opponents; nothing where none count."""
    if not plan.net or not plan.handicaps:
        return []
    own = {name for side in plan.sides for name in side.names}
    ours: list[HandicapRow] = []
    theirs: list[HandicapRow] = []
    for one, row in zip(plan.handicaps, handicap_rows(plan), strict=True):
        (ours if own & set(one.names) else theirs).append(row)
    return [(head, rows) for head, rows in (("ours", ours), ("theirs", theirs)) if rows]


def dots_legend(sheets: Iterable[MatchSheet]) -> str:
    """Return what the dots on match sheets mean; nothing where there are none."""
    holes = [hole for sheet in sheets for hole in sheet.holes]
    return dots_text(dot for hole in holes for dot in (*hole.their_dots, *(tee.dots for tee in hole.ours)))


def page_names(names: Iterable[str], taken: Iterable[str] = ()) -> list[str]:
    """Return a name for each player's strip: plain letters, digits and hyphens, no two alike.

    Parameters
    ----------
    taken
        Names that are in use.

    Examples
    --------
    >>> page_names(["Bram Orrel", "Zoë O'Dell", "Bram  Orrel", "李"])
    ['bram-orrel', 'zoe-o-dell', 'bram-orrel-2', 'player']
    """
    used = set(taken)
    found = []
    for name in names:
        plain = unicodedata.normalize("NFKD", name)
        plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
        slug = re.sub(r"[^a-z0-9]+", "-", plain.lower())[:_SLUG_LENGTH].strip("-") or "player"
        one, count = slug, 1
        while one in used:
            count += 1
            one = f"{slug}-{count}"
        used.add(one)
        found.append(one)
    return found
