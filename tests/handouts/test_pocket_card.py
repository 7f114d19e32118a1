"""The pocket card: what a strip says, that strips are true to scale, and that no word lies on another."""

from collections.abc import Iterator

import numpy as np
import pytest
from matplotlib.figure import Figure

from holesim.handouts.plan_words import sureness_text
from holesim.handouts.pocket_card import _BOTTOM, _TOP, pocket_pages
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.paper import LEFT, PAGE, RIGHT
from holesim.plan.plan_tables import PlanFile
from tests.paper import check_page, drawn_pages, said, shortened, texts


def pages(plans: list[PlanFile], *, metric: bool) -> Iterator[Figure]:
    return drawn_pages(page for plan in plans for page in pocket_pages(plan, metric=metric))


@pytest.mark.parametrize("metric", [False, True])
def test_no_words_overlap_or_are_cut(plans: list[PlanFile], *, metric: bool) -> None:
    assert sum(map(check_page, pages(plans[1:], metric=metric))) > 200


def test_nothing_is_shortened_where_names_are_short(plans: list[PlanFile]) -> None:
    assert not [text for figure in pages(plans[:1], metric=True) for text in shortened(figure)]


def test_a_strips_words_stay_between_its_folds(plans: list[PlanFile]) -> None:
    folds = np.linspace(LEFT, RIGHT, 4)
    for figure in pages(plans, metric=False):
        for text, box in texts(figure):
            if PAGE[1] - _BOTTOM < box.y0 < PAGE[1] - _TOP:
                assert np.searchsorted(folds, box.x0) == np.searchsorted(folds, box.x1), text.get_text()


def test_a_strip_says_what_to_do(plans: list[PlanFile]) -> None:
    words = [text.get_text() for figure in pages(plans[:1], metric=False) for text, _ in texts(figure)]
    for tee in plans[0].tees:
        assert str(tee.hole) in words
        assert tee.chosen().label in words
    whole = " ".join(words)
    for tee in plans[0].tees:
        assert tee.chosen().sight.text() in whole
        rival = tee.choice_rival()
        assert rival is None or f"{rival.label} " in whole
        assert rival is None or sureness_text(tee) in words
        assert sureness_text(tee).startswith(tee.choice.sure.removeprefix("a "))
    pond = next(r for t in plans[0].tees if t.hole == 12 for r in t.chosen().in_the_way if r.way == "clear")
    assert f"carry {pond.far_yd:.0f}: penalty area" in whole
    assert "Rule 4.3a" in whole
    assert "lightning" in whole


def test_tee_height_and_ball_position_stand_once_on_a_page(plans: list[PlanFile]) -> None:
    for figure in pages(plans[:1], metric=False):
        whole = said(figure)
        for up in plans[0].set_up:
            words = f"{up.strike}: tee it {up.tee_height_mm:.0f} mm high, ball {up.ball}"
            assert whole.lower().count(words) == 1


def test_a_hole_is_true_to_scale(plans: list[PlanFile]) -> None:
    for figure in pages(plans[:1], metric=False):
        for ax in figure.axes:
            (left, bottom), (right, top) = ax.transData.transform([(0, 0), (100, 100)])
            assert right - left == pytest.approx(top - bottom, rel=1e-3)


def test_the_strikes_differ_by_shape(plans: list[PlanFile]) -> None:
    """In grey a colour says nothing."""
    chosen = {tee.chosen().label: tee.chosen() for tee in plans[0].tees if tee.chosen().club == "driver"}
    assert len({strike_style(strike).marker for strike in chosen.values()}) == len(chosen) > 1
