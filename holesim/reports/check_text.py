"""What `holesim check` says of a file: what was found in it, what had to be guessed and what is missing."""

from collections import Counter
from collections.abc import Iterator, Sequence
from textwrap import wrap

from scipy.spatial import KDTree
from shapely import Point, union_all
from shapely.ops import substring

from holesim.course.course import NAMES, TREE_HEIGHT, Course, Ground, out_of_bounds
from holesim.course.holes import FAR_FROM_LINE, Hole, Sex
from holesim.course.stroke_indices import GROUPS
from holesim.course.yardage_notes import Notes
from holesim.errors import Guess
from holesim.plan import explain
from holesim.player.player import Player
from holesim.player.setup import set_ups
from holesim.reports.team_words import share_text
from holesim.shot.air import make_air
from holesim.shot.single_drive import fly_shot, from_player
from holesim.team.handicap import Allowance, Format
from holesim.team.team_file import USUAL, RatingFile, Team
from holesim.units import MPH, YARD

_WIDTH = 110
_ALONG = 40.0  # m from a hole's line, within which a fairway is its own
_SPOT = 30.0  # m from a tee or a pin, within which a point gives its elevation
_PLURAL = ("area", "bunker", "green", "tee", "fairway")
_BESIDE, _MOSTLY = 20.0, 0.5  # m from a hole's line, and the share of that ground that is never out of bounds
_CORRIDOR = 60.0  # m ahead of a tee, where a hole's line has no trees


def find_gaps(course: Course) -> tuple[Guess, ...]:
    """Return what a course does not say and what is assumed instead, besides what its reader guessed."""
    found = [gap for hole in course.holes for gap in _find_hole_gaps(course, hole)]
    if course.boundary is None:
        taken = "has no boundary, so only areas drawn as out of bounds are out of bounds"
        found.append(Guess("the course", taken, "draw its leisure=golf_course area"))
    bare = sum(area.ground is Ground.TREES and area.height is None for area in course.areas)
    if bare:
        taken = f"{_count(bare, 'outline')} without a height, taken as {TREE_HEIGHT:g} m high"
        found.append(Guess("trees", taken, "add their height"))
    return (*found, *_find_elevation_gaps(course))


def _find_elevation_gaps(course: Course) -> Iterator[Guess]:
    if not course.spots:
        return
    spots = KDTree([(spot.x, spot.y) for spot in course.spots])
    unknown = [
        hole.number
        for hole in course.holes
        if max(spots.query([(hole.tees[0].x, hole.tees[0].y), hole.pin])[0]) > _SPOT
    ]
    if unknown:
        place = f"{'holes' if len(unknown) > 1 else 'hole'} {', '.join(map(str, unknown))}"
        taken = "no elevation at the back tee or the green, so it is taken from points nearby"
        yield Guess(place, taken, "add ele there")


def _find_hole_gaps(course: Course, hole: Hole) -> Iterator[Guess]:
    place = f"hole {hole.number}"
    fairways = (area.outline for area in course.areas if area.ground is Ground.FAIRWAY)
    if hole.par > 3 and not any(fairway.distance(hole.line) < _ALONG for fairway in fairways):
        yield Guess(place, "has no fairway, so all is rough as far as the green", "draw a golf=fairway area")
    for tee in hole.tees:
        off = hole.line.distance(Point(tee.x, tee.y))
        if off > FAR_FROM_LINE:
            taken = f"the {tee.name} tee is {off / YARD:.0f} yd from the hole's line"
            yield Guess(place, taken, "correct the tee's ref or the line")
    beside = hole.line.buffer(_BESIDE)
    out = out_of_bounds(course, beside).area / beside.area
    if out > _MOSTLY:
        taken = f"{out:.0%} of the ground within {_BESIDE / YARD:.0f} yd of its line is out of bounds"
        yield Guess(place, taken, "redraw the boundary or the line")
    ahead = substring(hole.line, 0, _CORRIDOR)
    woods = (area.outline for area in course.areas if area.ground is Ground.TREES)
    near = [wood for wood in woods if wood.intersects(ahead)]
    if union_all(near).intersection(ahead).length > 2:
        yield Guess(place, "has trees across its line close to the tee", "redraw them where it is open")


def course_text(course: Course, *, metric: bool = False) -> str:
    """Return a short report on a course."""
    unit, scale = ("m", 1.0) if metric else ("yd", YARD)
    names = list(dict.fromkeys(tee.name for hole in course.holes for tee in hole.tees))
    par = sum(hole.par for hole in course.holes)
    lines = [f"{course.name}: {_count(len(course.holes), 'hole')}, par {par}", ""]
    widths = [max(len(name), 5) for name in names]
    heads = " ".join(f"{name:>{width}}" for name, width in zip(names, widths, strict=True))
    lines.append(f"hole par {heads}  {unit}")
    for hole in course.holes:
        lengths = {tee.name: f"{tee.length / scale:.0f}" for tee in hole.tees}
        cells = " ".join(f"{lengths.get(n, ''):>{width}}" for n, width in zip(names, widths, strict=True))
        lines.append(f"{hole.number:>4} {hole.par:>3} {cells}")
    areas = Counter(area.ground for area in course.areas)
    outlines = ", ".join(_count_areas(areas[ground], NAMES[ground]) for ground in Ground if areas[ground])
    lines += ["", *(line for sex in GROUPS for line in _card_lines(course.holes, sex))]
    lines += wrap(f"outlines: {outlines}", _WIDTH, subsequent_indent="  ")
    return "\n".join([*lines, *_list("guessed", course.guesses), *_list("missing", find_gaps(course))])


def _card_lines(holes: Sequence[Hole], sex: Sex) -> Iterator[str]:
    """Yield the par and the stroke indices that one sex has of its own."""
    pars = [hole for hole in holes if hole.own(sex).par not in (None, hole.par)]
    if pars:
        told = ", ".join(f"hole {hole.number} is a par {hole.par_of(sex)}" for hole in pars)
        yield f"{GROUPS[sex]} have par {sum(hole.par_of(sex) for hole in holes)}: {told}"
    indices = [hole for hole in holes if hole.own(sex).stroke_index is not None]
    if indices:
        where = "" if len(indices) == len(holes) else f" on {_count(len(indices), 'hole')} of {len(holes)}"
        yield f"{GROUPS[sex]} have their own stroke indices{where}"


def player_text(player: Player) -> str:
    """Return a short report on a player."""
    strikes = ", ".join(f"{s.club} {s.name}" if s.club == "driver" else s.club for s in player.strikes)
    lines = [
        f"{player.name}: {player.club_speed / MPH:.0f} mph, handicap {player.handicap}",
        f"strikes: {strikes}",
        f"tees: {player.tee or 'the longest, as the file names none'}",
    ]
    lines += ["", "setting up:"]
    for strike in set_ups(player):
        total = fly_shot(from_player(player, strike.strike), make_air())["total_yd"] * YARD
        lines += [f"  {strike.text()}", *(f"    {reason}" for reason in strike.reasons(total))]
    lines += [f"! {explain.CAUTIONS[0]}"]
    if player.assumed:
        lines += ["", "assumed, not in the file:", *(f"  {value}" for value in player.assumed)]
    return "\n".join(lines)


def team_text(team: Team) -> str:
    """Return a short report on a team file."""
    order = "in this order" if team.order_known else "in any order"
    groups = {"players": team.players, f"opponents, {order}": team.opponents}
    wide = max(len(player.name) for group in groups.values() for player in group)
    lines = [f"{team.name}: {_count(len(team.players), 'player')}"]
    for head, group in groups.items():
        if group:
            lines += ["", f"{head}:"]
        lines += [f"  {p.name:<{wide}}  {p.club_speed / MPH:3.0f} mph, handicap {p.handicap}" for p in group]
    if team.tees:
        plural = {"man": "men", "woman": "women"}
        lines += ["", *(f"{plural[sex]} play from the {tee} tees" for sex, tee in team.tees.items())]
    lines += [f"{tee} tees: {_rating_text(rated)}" for tee, rated in team.ratings.items()]
    lines += [line for sex in GROUPS for line in _team_card_lines(team, sex)]
    lines += [f"{format_}: {_allowance_text(format_, share)}" for format_, share in team.allowances.items()]
    everyone = (*team.players, *team.opponents)
    lacking = [f"  {p.file}: {_count(len(p.assumed), 'thing')}" for p in everyone if p.sha256 and p.assumed]
    if lacking:
        lines += ["", "assumed (to see what, check the player's file):", *lacking]
    if not all(p.sha256 for p in everyone):
        lines += ["", f"a player without a file is {USUAL}"]
    return "\n".join(lines)


def _allowance_text(format_: Format, allowance: Allowance) -> str:
    """Return the allowance of a format that the committee states."""
    pair = format_ in ("foursomes", "greensomes")
    shares = [allowance] * (1 + pair) if isinstance(allowance, float) else allowance
    return share_text(shares)


def _rating_text(rated: RatingFile) -> str:
    return f"course rating {rated.course:g}, slope {rated.slope:g}"


def _team_card_lines(team: Team, sex: Sex) -> Iterator[str]:
    """Yield what a team file states for one sex alone."""
    card, who = team.card(sex), GROUPS[sex]
    for tee, rated in card.ratings.items():
        yield f"{tee} tees for {who}: {_rating_text(rated)}"
    if card.par:
        yield f"{who} have par {sum(card.par)} over {_count(len(card.par), 'hole')}"
    if card.stroke_index:
        yield f"{who} have their own stroke indices of {_count(len(card.stroke_index), 'hole')}"


def notes_text(notes: Notes) -> str:
    """Return a short report on yardage-book notes."""
    par = sum(hole.par for hole in notes.holes)
    head = f"{notes.name}: notes of {_count(len(notes.holes), 'hole')}, par {par}"
    return "\n".join([head, *_list("guessed", notes.guesses)])


def _count_areas(number: int, name: str) -> str:
    """Return a number of areas; rough, trees and out of bounds have no plural."""
    return _count(number, name) if name.endswith(_PLURAL) else f"{number} {name}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _list(head: str, guesses: tuple[Guess, ...]) -> list[str]:
    return ["", f"{head}:", *(f"  {guess}" for guess in guesses)] if guesses else []
