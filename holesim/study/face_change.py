"""What another spread of the driver's face would save: at a glance, and by all drives of every club."""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np

from holesim.course.holes import Hole, Tee
from holesim.plan.estimate import Estimate, estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.session import Session
from holesim.plan.tee_plan import TeePlan
from holesim.study.practice import play_round
from holesim.study.variants import scale_face_spread

Places = Sequence[tuple[Hole, Tee]]


class FaceChange(NamedTuple):
    """What a change in the spread of the face saves.

    Attributes
    ----------
    saved
        Strokes saved on all the tees.
    before, after
        The plan of each tee, today and after the change.
    """

    saved: Estimate
    before: tuple[TeePlan, ...]
    after: tuple[TeePlan, ...]


def glance_at_change(
    session: Session, factor: float, places: Places, between: Callable[[], None] = lambda: None
) -> FaceChange:
    """Find, by few drives of the driver's strikes, what a face spread times `factor` saves.

    Strike and aim are chosen again, for the fewest strokes on each tee by itself.

    Parameters
    ----------
    session
        Of the golfer as they are.
    between
        Called after each tee; what it raises ends the work.
    """
    changed = session.with_driving(scale_face_spread(session.player, factor))

    def plans(one: Session) -> Iterable[TeePlan]:
        for hole, tee in places:
            yield one.glance(hole.number, tee.name)
            between()

    return _compare(plans(session), plans(changed))


def plan_change(session: Session, factor: float, places: Places) -> FaceChange:
    """Find, by all drives of every club, what a face spread times `factor` saves.

    It is what `holesim practice` finds for the same change.
    """
    options = session.options

    def plans(factor: float) -> list[TeePlan]:
        golfer = scale_face_spread(session.player, factor) if factor != 1 else session.player
        conditions, draws, seed = options.conditions, options.draws, options.seed
        evaluator = Evaluator(session.course, golfer, conditions, MEAN, draws, seed, ground=session.ground)
        return play_round(evaluator, places).tees

    return _compare(plans(1.0), plans(factor))


def _compare(before: Iterable[TeePlan], after: Iterable[TeePlan]) -> FaceChange:
    was, comes = tuple(before), tuple(after)
    losses = [b.choice.loss - a.choice.loss for b, a in zip(was, comes, strict=True)]
    return FaceChange(estimate(np.sum(losses, axis=0)), was, comes)
