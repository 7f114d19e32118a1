"""The picture of a hole: what it says, and that its words stay on the paper and apart."""

import pytest

from holesim.common.text_format import sentence
from holesim.pictures.hole_picture import draw_hole
from holesim.plan.estimate import sure_text
from holesim.plan.explain import doubt_text
from holesim.plan.plan import Plan
from tests.paper import check_picture, said


@pytest.mark.parametrize("metric", [False, True])
def test_the_picture_says_what_to_do(plan: Plan, *, metric: bool) -> None:
    tee = plan.tees[1]
    text = said(draw_hole(tee, plan.course, metric=metric).get_figure(root=True))
    assert "Hole 4" in text
    assert f"{tee.choice.strokes:.2f} ±" in text
    assert sentence(sure_text(tee.chance))[:-1] in text
    assert tee.doubt
    assert sentence(doubt_text(tee.doubt)) in text
    assert tee.rival is not None
    for strike in (tee.choice, tee.rival):
        assert strike.label in text
        assert strike.mark.text(metric=metric) in text
    assert ("389 m" if metric else "425 yd") in text


def test_words_stay_on_the_paper_and_apart(plan: Plan, hostile: Plan) -> None:
    for given in (plan, hostile):
        figure = draw_hole(given.tees[1], given.course).get_figure(root=True)
        assert figure is not None
        check_picture(figure)
