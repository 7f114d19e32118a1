"""What not knowing a golfer costs, and whether plans know how sure they are.

    python -m tests.searches.find_regret [FIRST [GOLFERS [STEP [STAGE ...]]]]

Golfers are drawn by code of the tests' own (`golfers`). Each is planned for twice, by their bare file and by
one measured from 40 drives of each strike on a launch monitor; the truth is the plan of the same golfer known
for sure. Each golfer's result is kept beside the maps (`store`), so that the run can go on, by several
processes of a STEP each; with a step of 1 the summary is written to notebooks/regret.csv.
"""

import json
import sys
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import numpy as np
import pandas as pd

from holesim.common import disk_cache
from holesim.common.toml_tables import checked
from holesim.course.course import Course
from holesim.course.course_file import load_course
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole
from holesim.data.examples import COURSE, find
from holesim.errors import InputError
from holesim.measure.drives_table import load_drives
from holesim.measure.measure import fit_player, format_player_file
from holesim.plan.aiming import score_tee
from holesim.plan.conditions import Conditions, map_in
from holesim.plan.decision import as_played, decide
from holesim.plan.doubt import DRIVES, worth_of_measuring
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.posterior_draws import known_for_sure
from holesim.plan.tee_on_hole import Aim, HoleValues
from holesim.plan.tee_plan import TeePlan
from holesim.player.make_player import make_player
from holesim.player.player import Player, Strike
from holesim.player.player_file import PlayerFile, read_player
from holesim.shot.air import make_air
from holesim.shot.flight import QUINTAVALLA
from tests.searches.golfers import Golfer, comes_down, golfer, monitored

Found = dict[str, Any]
"""What came of a golfer's trial, by stage, as JSON has it; holes by their numbers in words."""

TEES: Final = {"tight": 4, "dogleg": 5, "open": 13, "water": 14}
"""Holes by what makes them what they are, from the back tee."""
DRAWS: Final = 4096
STAGES: Final = "truth", "bare", "measured"
WAYS: Final = "by hole", "all day"
"""How a golfer may choose the driver's strike."""
MEASURED: Final = 40
"""Drives of each strike on the launch monitor."""
SUMMARY: Final = Path(__file__).parents[2] / "notebooks" / "regret.csv"

_TRUTH_SEED: Final = 10**6
"""Added to a golfer's number, so that truth and plans share no drives."""


@cache
def _ground() -> tuple[Course, GroundMap]:
    course = load_course(find(COURSE))
    return course, map_in(course, Conditions(air=make_air()))


def _bench(player: Player, seed: int, conditions: Conditions | None = None) -> Evaluator:
    course, ground = _ground()
    conditions = conditions or Conditions(air=make_air())
    return Evaluator(course, player, conditions, MEAN, DRAWS, seed, ground=ground)


def _holes(numbers: Sequence[int] | None) -> list[Hole]:
    """Return the holes of a trial: every par 4 and 5 by default."""
    holes = _ground()[0].holes
    return [h for h in holes if (h.par > 3 if numbers is None else h.number in numbers)]


# --- one golfer -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Truth:
    """A golfer known for sure on a workbench, and what is known of each hole, by its number."""

    golfer: Golfer
    evaluator: Evaluator
    known: dict[int, HoleValues]

    def costs(self, hole: Hole, aims: Sequence[tuple[str, float]]) -> dict[str, float]:
        """Return the strokes of strikes along headings, by label."""
        places = {strike.label: k for k, strike in enumerate(self.evaluator.player.strikes)}
        wanted = [Aim(places[label], heading) for label, heading in aims]
        at = self.evaluator.on_tee(hole, hole.tees[0], self.known[hole.number])
        found = self.evaluator.score(wanted, at)
        return {aimed.plan.label: aimed.plan.strokes for aimed in found}


def trial(number: int, stages: Iterable[str], holes: Sequence[int] | None = None) -> Found:
    """Return what is true of a golfer, or what a plan says by their bare file, or a measured one.

    Parameters
    ----------
    stages
        Which of these: "truth", "bare", "measured".
    holes
        By number; every par 4 and 5 by default.
    """
    with TemporaryDirectory() as folder:
        who = golfer(number, Path(folder))
        bare = _bench(who.bare, number)
        played = _holes(holes)
        known = {hole.number: bare.value_hole(hole) for hole in played}
        ball = Conditions(air=make_air(), ball=who.ball)
        truth = Truth(who, _bench(known_for_sure(who.true), number + _TRUTH_SEED, ball), known)
        found: Found = {}
        for stage in stages:
            if stage == "truth":
                found[stage] = {str(hole.number): _truth(truth, hole) for hole in played}
            elif stage == "bare":
                found[stage] = _stage(truth, bare, played)
            else:
                try:
                    fitted = measured_player(who, Path(folder), number)
                    found[stage] = _stage(truth, _bench(fitted, number), played)
                except InputError as error:
                    found[stage] = {"failed": str(error)}
        return found


def measured_player(who: Golfer, folder: Path, seed: int) -> Player:
    """Return the player of the file that is measured from a golfer's drives.

    The club speed of the file stays that of the bare one, which tells how far they hit other clubs and what
    is left after a drive: so every plan of a golfer is by the same expected strokes. The strikes have their
    own.
    """
    path = folder / "drives.csv"
    monitored(who, MEASURED).to_csv(path, index=False)
    before, _ = read_player(folder / f"{who.number}.toml")
    found = fit_player(load_drives(path, balls="course"), before, seed=seed)
    told = checked(
        tomllib.loads(format_player_file(found, before)), PlayerFile, file="measured", kind="player"
    )
    return make_player(told.model_copy(update={"club_speed_mph": who.kind.mph}), "measured", "")


def _truth(truth: Truth, hole: Hole) -> dict[str, Any]:
    """Return what each strike costs the golfer, aimed as is best for them, and by each replicate."""
    aimed = score_tee(truth.evaluator, truth.evaluator.on_tee(hole, hole.tees[0], truth.known[hole.number]))
    plans = {a.plan.label: a.plan for a in aimed}
    over = plans["down"].over(plans["up"])
    return {
        "strokes": {label: plan.strokes for label, plan in plans.items()},
        "halves": {label: plan.strokes_by_draw.mean(axis=0).tolist() for label, plan in plans.items()},
        "over": over.mean,
        "sampling": over.sampling,
    }


def _stage(truth: Truth, evaluator: Evaluator, holes: Sequence[Hole]) -> dict[str, Any]:
    """Return what a plan has for each hole, and what the golfer it is for makes of it."""
    names = _names(evaluator.player)
    tees, plans = {}, []
    for hole in holes:
        aimed = score_tee(evaluator, evaluator.on_tee(hole, hole.tees[0], truth.known[hole.number]))
        found = [(names.get(a.plan.label, a.plan.label), a) for a in aimed]
        plan = decide(
            hole, hole.tees[0], tuple(a.plan for a in aimed), DRAWS, evaluator.player.usual, evaluator.goal
        )
        plans.append(plan)
        own = {strike.label: strike for strike in truth.evaluator.player.strikes}
        # Besides the driver's strikes what the plan may choose: the best of the clubs.
        club = next(label for label, a in found if a.plan.club != "driver")
        headings = [
            (label, a.aim.heading + _turn(truth.golfer, evaluator.player.strikes[a.aim.strike], own[label]))
            for label, a in found
            if label in ("up", "down", club)
        ]
        by_label = {label: a.plan for label, a in found}
        over = by_label["down"].over(by_label["up"])
        tees[str(hole.number)] = {
            "strokes": {label: a.plan.strokes for label, a in found},
            "true": truth.costs(hole, headings),
            "over": over.mean,
            "interval": list(over.interval),
            "se": over.se,
            "sampling": over.sampling,
            "choice": names.get(plan.choice.label, plan.choice.label),
        }
    return {"tees": tees} | {
        way: _as_played(plans, evaluator, names, can_choose=can_choose)
        for way, can_choose in (("by hole", True), ("all day", False))
    }


def _as_played(
    plans: Sequence[TeePlan], evaluator: Evaluator, names: dict[str, str], *, can_choose: bool
) -> dict[str, Any]:
    """Return what is hit on each hole, and what measuring is said to be worth."""
    group, day = as_played(plans, replace(evaluator.player, can_choose=can_choose))
    worth = worth_of_measuring(group, day, evaluator.unknowns)
    return {
        "choices": {str(p.hole.number): names.get(p.choice.label, p.choice.label) for p in group},
        "given_away": worth.given_away,
        "saved": worth.saved[max(DRIVES)],
    }


def _names(player: Player) -> dict[str, str]:
    """Return the true names of strikes by those of a plan: measuring may call one of them level."""
    higher, lower = sorted(player.drivers, key=lambda strike: -strike.attack)
    return {higher.label: "up", lower.label: "down"}


def _turn(who: Golfer, planned: Strike, true: Strike) -> float:
    """Return how much farther right the golfer aims than planned, to come down where it was meant [rad]."""
    return comes_down(planned, who.true, QUINTAVALLA) - comes_down(true, who.true, who.ball)


# --- all of them ----------------------------------------------------------------------------------


def kept_trial(number: int, stages: Sequence[str]) -> Found:
    """Return a golfer's trial, what was made before from disk."""
    folder = disk_cache.folder() / "regret"
    places = {stage: folder / f"{number}_{stage}.json" for stage in stages}
    missing = [stage for stage, place in places.items() if not place.is_file()]
    if missing:
        folder.mkdir(parents=True, exist_ok=True)
        for stage, found in trial(number, missing).items():
            places[stage].write_text(json.dumps(found))
    return {stage: json.loads(place.read_text()) for stage, place in places.items()}


def summary(trials: Sequence[Found]) -> pd.DataFrame:
    """Return what came of trials: for each stage and quantity the mean over golfers and its standard error.

    Regret is in strokes a round, over the holes of the trial.
    """
    tables = []
    for stage in ("bare", "measured"):
        some = pd.DataFrame([_seen(found, stage) for found in trials if "tees" in found.get(stage, {})])
        if some.empty:
            continue
        table = pd.DataFrame({"mean": some.mean(), "se": some.sem()}).round(4).rename_axis("quantity")
        tables.append(table.assign(stage=stage, golfers=len(some)).reset_index())
    return pd.concat(tables)[["stage", "golfers", "quantity", "mean", "se"]]


def _seen(found: Found, stage: str) -> dict[str, float]:
    """Return every quantity of the summary for a golfer."""
    tees = found[stage]["tees"]
    held = {hole: _held(found, stage, hole) for hole in tees}
    named = {name: str(hole) for name, hole in TEES.items() if str(hole) in tees}
    seen = {f"interval holds the truth, hole {hole} ({name})": held[hole] for name, hole in named.items()}
    seen["interval holds the truth, these"] = float(np.mean([held[hole] for hole in named.values()]))
    seen["interval holds the truth, all tees"] = float(np.mean(list(held.values())))
    seen["standard error of down minus up"] = float(np.mean([tee["se"] for tee in tees.values()]))
    for way in WAYS:
        choices = dict(found[stage][way]["choices"])
        seen[f"regret, {way}"] = regret(found, choices, stage, way)
        seen[f"of it by aims, {way}"] = _by_aims(found, choices, stage)
        seen[f"forecast given away, {way}"] = found[stage][way]["given_away"]
        seen[f"forecast saved by {MEASURED} drives, {way}"] = found[stage][way]["saved"]
        for strike in ("up", "down"):
            seen[f"regret of always {strike}, {way}"] = regret(found, dict.fromkeys(tees, strike), stage, way)
    return seen


def _held(found: Found, stage: str, hole: str) -> float:
    low, high = found[stage]["tees"][hole]["interval"]
    return float(low <= found["truth"][hole]["over"] <= high)


def regret(found: Found, choices: dict[str, str], stage: str, way: str) -> float:
    """Return what choices along a plan's aims cost a round more than those of one who knows."""
    tees = found[stage]["tees"]
    return float(sum(tees[hole]["true"][label] for hole, label in choices.items())) - knowing(found, way)


def _by_aims(found: Found, choices: dict[str, str], stage: str) -> float:
    """Return what a plan's aims cost over a round more than the golfer's own best ones of these strikes."""
    tees, truth = found[stage]["tees"], found["truth"]
    lost = (
        tees[hole]["true"][label] - truth[hole]["strokes"][label]
        for hole, label in choices.items()
        if label in truth[hole]["strokes"]  # not where it is hopeless
    )
    return float(sum(lost))


def knowing(found: Found, way: str) -> float:
    """Return a round's strokes of one who knows the golfer, by the hole or with one driver strike all day.

    They choose by one half of the drives and are held to the other, lest luck be taken for knowledge.
    """
    halves = [tee["halves"] for tee in found["truth"].values()]
    left_out = [""] if way == "by hole" else ["up", "down"]
    totals = []
    for seen, judged in ((0, 1), (1, 0)):
        rounds = []
        for other in left_out:
            best = [
                min((both[seen], both[judged]) for label, both in tee.items() if label != other)
                for tee in halves
            ]
            rounds.append(np.sum(best, axis=0))
        totals.append(min(rounds, key=lambda both: float(both[0]))[1])
    return float(np.mean(totals))


def main(first: int = 0, golfers: int = 200, step: int = 1, stages: Sequence[str] = STAGES) -> None:
    trials = []
    for number in range(first, first + golfers, step):
        trials.append(kept_trial(number, stages))
        print(number, flush=True)  # noqa: T201 - a script's progress
    if step == 1:
        table = summary(trials)
        table.to_csv(SUMMARY, index=False)
        print(table.to_string(index=False))  # noqa: T201 - a script's result


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:4]] + [0, 200, 1][len(sys.argv[1:4]) :]
    main(numbers[0], numbers[1], numbers[2], sys.argv[4:] or STAGES)
