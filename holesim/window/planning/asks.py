"""What a page asks about the course and player that it has open, answered from the engine's session."""

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final, Protocol

from holesim.course.course import Course
from holesim.errors import InputError
from holesim.plan import explain
from holesim.plan.decision import decide
from holesim.plan.goal import GOALS
from holesim.plan.plan import gather_plan
from holesim.plan.round_options import RoundOptions
from holesim.plan.session import WINDOW_ROOM, Session, Wind
from holesim.plan.tee_plan import TeePlan
from holesim.player.player import Player
from holesim.units import DEGREE
from holesim.window.folder import Folder
from holesim.window.inputs import read_course, read_golfer
from holesim.window.planning import answers
from holesim.window.planning.questions import (
    AimAsked,
    Asked,
    AskedOfHole,
    HoleAsked,
    Level,
    OpenAsked,
    RingAsked,
    RoundAsked,
    TeeAsked,
)

Answer = dict[str, Any]

_ROUNDS: Final = 2
"""How many rounds' answers are kept: those of so many winds, tees and levels."""
_DAY_LATER: Final = "this hole alone: the strike for the day is known when all holes are worked out"
"""Said to a golfer who hits the driver one way all day, while some holes have no answer yet."""


class Opened:
    """What a page has open, and its answers so far; questions are answered by one thread at a time.

    Attributes
    ----------
    asked
        What was asked to be opened.
    stamps
        What the files looked like on disk just before they were read, by name.
    """

    def __init__(self, asked: OpenAsked, session: Session, stamps: Mapping[str, object]) -> None:
        self.asked, self.session, self.stamps = asked, session, stamps
        self._holes = {hole.number: hole for hole in session.course.holes}
        self._rounds: OrderedDict[tuple[str, Wind, Level], dict[int, TeePlan]] = OrderedDict()
        self._shown: tuple[object, TeePlan] | None = None

    @property
    def digests(self) -> dict[str, str]:
        """SHA-256 of the files that are open, by name."""
        course, player = self.session.course, self.session.player
        return {self.asked.course: course.sha256, self.asked.player: player.sha256}

    def to_dict(self) -> Answer:
        """Return the answer to the question that opened it."""
        session = self.session
        return {
            "course": answers.course_dict(session.course, self.asked.course, session.options.unmapped),
            "player": answers.player_dict(session.player, self.asked.player),
            "options": answers.options_dict(session.options),
            "cautions": list(explain.CAUTIONS),
        }

    def answer(self, asked: Asked, between: Callable[[], None] = lambda: None) -> Answer:
        """Return the answer to a question, without its number.

        Parameters
        ----------
        between
            Called between pieces of the work at rest; what it raises ends the work.

        Raises
        ------
        InputError
            If the course has no such hole or tee, or the golfer no such strike.
        """
        if isinstance(asked, RoundAsked):
            return self._round(asked)
        if not isinstance(asked, AskedOfHole):
            raise InputError("question", "", f"{asked.ask} is not asked here", "reload the page")
        self._check(asked)
        if not self.session.is_valued(asked.hole):
            return {"waiting": True, "hole": asked.hole}
        if isinstance(asked, AimAsked):
            return self._aim(asked)
        if isinstance(asked, TeeAsked):
            plan = self._as_played(asked, self._plan(asked, asked.strikes, between))
            more = answers.rest_dict(plan, self.session.course) if asked.level == "rest" else {}
            found = self._described(asked, plan, asked.level) | more
            if not (plan.kept or self.session.player.can_choose):
                found["notes"].append(_DAY_LATER)
            return found
        if isinstance(asked, RingAsked):
            return self._ring(asked)
        if isinstance(asked, HoleAsked):
            plan = self._as_played(asked, self._plan(asked, None, between))
            return {"level": asked.level, "row": answers.row_dict(plan)}
        raise InputError("question", "", f"{asked.ask} is not asked here", "reload the page")

    def _check(self, asked: AskedOfHole) -> None:
        """Make sure that the hole, its tee and the strikes exist."""
        file, hole = self.session.course.file, self._holes.get(asked.hole)
        if hole is None:
            raise InputError(file, "", f"has no hole {asked.hole}", "choose another")
        if asked.tee not in {tee.name for tee in hole.tees}:
            raise InputError(file, f"hole {asked.hole}", f"has no {asked.tee:.40} tee", "choose another")
        named = [*(getattr(asked, "strikes", None) or ()), *filter(None, [getattr(asked, "label", None)])]
        known = {strike.label for strike in self.session.player.strikes}
        if self._shown is not None:  # softer swings of a club among them
            known |= {strike.label for strike in self._shown[1].strikes}
        for label in named:
            if label not in known:
                raise InputError(self.session.player.file, "", f"has no strike {label:.40}", "choose another")

    def _plan(
        self, asked: HoleAsked, strikes: list[str] | None, between: Callable[[], None] = lambda: None
    ) -> TeePlan:
        """Return the plan of a tee, kept for its round unless only some strikes are asked for."""
        wind = asked.wind.wind
        if asked.level == "moving" and strikes is not None:
            plan = self.session.glance(asked.hole, asked.tee, wind, strikes)
        else:
            plan = self._whole_plan(asked, wind, between)
        if asked.level == "moving":
            self._shown = (asked.hole, asked.tee, wind), plan
        return plan

    def _as_played(self, asked: HoleAsked, plan: TeePlan) -> TeePlan:
        """Return the plan of a golfer who hits one strike all day, as soon as all holes tell which."""
        wind = asked.wind.wind
        kept = self._rounds.get((asked.tee, wind, asked.level), {})
        if self.session.player.can_choose or plan is not kept.get(asked.hole):
            return plan
        if kept.keys() != set(self._numbers(asked.tee)):
            return plan
        played = gather_plan(self.session, [kept[number] for number in sorted(kept)], wind)
        return next(one for one in played.tees if one.hole.number == asked.hole)

    def _numbers(self, tee: str) -> list[int]:
        """Return the holes that have such a tee."""
        return [number for number, hole in self._holes.items() if tee in {t.name for t in hole.tees}]

    def _whole_plan(self, asked: HoleAsked, wind: Wind, between: Callable[[], None]) -> TeePlan:
        """Return the plan of a tee with all the strikes that it is compared by, found once."""
        kept = self._rounds.setdefault((asked.tee, wind, asked.level), {})
        self._rounds.move_to_end((asked.tee, wind, asked.level))
        while len(self._rounds) > _ROUNDS:
            self._rounds.popitem(last=False)
        if asked.hole not in kept:
            at = asked.hole, asked.tee, wind
            if asked.level == "moving":
                kept[asked.hole] = self.session.glance(*at)
            else:
                kept[asked.hole] = self.session.plan_tee(*at, between=between)
        return kept[asked.hole]

    def _described(self, asked: HoleAsked, plan: TeePlan, level: Level) -> Answer:
        found = answers.tee_dict(plan)
        wind = {"mph": asked.wind.mph, "from_deg": asked.wind.from_deg, "text": found.pop("wind_text")}
        return {"level": level, "wind": wind, **found}

    def _aim(self, asked: AimAsked) -> Answer:
        """Return a tee with one strike held along a heading, and the others as they were answered."""
        wind = asked.wind.wind
        at = asked.hole, asked.tee, wind
        labels = [*dict.fromkeys([*(asked.strikes or ()), asked.label])]
        plan = self._shown[1] if self._shown is not None and self._shown[0] == at else None
        if plan is None or not {strike.label for strike in plan.strikes}.issuperset(labels):
            plan = self._plan(asked.model_copy(update={"level": "moving"}), labels)
        best = next((strike for strike in plan.strikes if strike.label == asked.label), None)
        if best is None:
            raise InputError(
                f"hole {asked.hole}", "", f"{asked.label} is not hit here", "choose another strike"
            )
        held = self.session.hold(asked.hole, asked.tee, wind, asked.label, asked.heading_deg * DEGREE)
        others = [s for s in plan.strikes if s is not best and (asked.strikes is None or s.label in labels)]
        strikes = sorted([held, *others], key=lambda strike: float(strike.loss.mean()))
        usual = self.session.player.usual
        decided = decide(plan.hole, plan.tee, tuple(strikes), plan.draws, usual, plan.goal)
        decided = replace(decided, wind=plan.wind, fits=plan.fits, expected=plan.expected)
        found = self._described(asked, decided, "moving")
        shown = next(strike for strike in found["strikes"] if strike["label"] == asked.label)
        shown["best_heading_deg"] = answers.heading(best, plan) / DEGREE % 360
        shown["over_best"] = abs(plan.goal.scale) * held.over(best).mean
        return found

    def _ring(self, asked: RingAsked) -> Answer:
        directions = [degrees % 360 for degrees in asked.from_deg]
        found = self.session.better_strikes(asked.hole, asked.tee, asked.mph, directions, asked.strikes)
        goal = GOALS[self.session.options.goal]
        points = [
            {"from_deg": degrees, "better": better.label, "saves": abs(goal.scale) * better.saves}
            for degrees, better in zip(asked.from_deg, found, strict=True)
        ]
        return {"mph": asked.mph, "points": points}

    def _round(self, asked: RoundAsked) -> Answer:
        wind = asked.wind.wind
        kept = self._rounds.get((asked.tee, wind, asked.level), {})
        numbers = self._numbers(asked.tee)
        if not numbers:
            raise InputError(self.session.course.file, "", f"has no {asked.tee:.40} tee", "choose another")
        plans = [kept[number] for number in numbers if number in kept]
        missing = [number for number in numbers if number not in kept]
        if not plans:
            return {"level": asked.level, **answers.round_dict([], {}, None, missing)}
        plan = gather_plan(self.session, plans, wind)
        totals, day = plan.totals[asked.tee], plan.days.get(asked.tee)
        return {"level": asked.level, **answers.round_dict(plan.tees, totals, day, missing)}


class Drawn(Protocol):
    """Courses that are being drawn."""

    def course(self, name: str, layout: str | None) -> Course | None:
        """Return a course as it is drawn now, if it was checked; None if it is not being drawn."""

    def content(self, name: str) -> bytes | None:
        """Return the content of a course file as it is drawn now; None if it is not being drawn."""


def open_files(folder: Folder, asked: OpenAsked, before: Opened | None, drawn: Drawn) -> Opened:
    """Return the course and player that a page asks for, sharing what it can with what was open before.

    A course that is being drawn is that of the drawing, saved or not.

    Raises
    ------
    InputError
        If a file or an option makes no sense.
    """
    stamps = {name: folder.stamp(name) for name in (asked.course, asked.player)}
    course = drawn.course(asked.course, asked.layout)
    if course is None:
        content = drawn.content(asked.course)
        course = read_course(folder, asked.course, asked.layout, content)
    player = read_golfer(folder, asked.player)
    options = RoundOptions(**{**asked.options, "wind_mph": 0.0, "wind_from_deg": 0.0})
    return Opened(asked, _session(course, player, options, before), stamps)


def _session(course: Course, player: Player, options: RoundOptions, before: Opened | None) -> Session:
    if before is None:
        return Session(course, player, options, room=WINDOW_ROOM)
    session = before.session
    open_now = session.course
    if (course.file, course.sha256, course.name) != (open_now.file, open_now.sha256, open_now.name):
        session = session.with_course(course)
    if (player.file, player.sha256) != (session.player.file, session.player.sha256):
        session = session.with_player(player)
    return session if session.options == options else session.changed(**dict(options))
