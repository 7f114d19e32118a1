"""The course card: what stands on it, a page for each set of tees, and the same bytes each time."""

from dataclasses import replace
from pathlib import Path

import pytest

from holesim.common.text_format import distance
from holesim.course.course import Course
from holesim.handouts.course_card import card_pages, write_card
from holesim.plan import explain
from holesim.plan.plan import Plan, make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.make_player import typical_player
from holesim.units import MPH
from tests.paper import check_page, drawn_pages, said, shortened

LONG = r"$\alpha$ <b>Æ</b> ../../x \frac{1}{0} of a name that goes on for longer than any line"


@pytest.mark.parametrize("metric", [False, True])
def test_eighteen_holes_stand_on_a_page(plan: Plan, *, metric: bool) -> None:
    (page,) = drawn_pages(card_pages(plan, metric=metric))
    check_page(page)
    assert not shortened(page)
    text = said(page)
    for tee in plan.tees:
        assert f"{tee.hole.number} par {tee.hole.par} {distance(tee.tee.length, metric=metric)}" in text
        assert f"{tee.choice.label} {explain.sureness_of(tee)}".strip() in text
        assert tee.choice.mark.text(metric=metric) in text
    for total in plan.totals["back"].values():
        assert f"{total.strokes:.2f}" in text
    assert "\N{MINUS SIGN}0.00" not in text
    assert all(caution in text for caution in explain.CAUTIONS)


@pytest.mark.parametrize(("handicap", "mph"), [(54.0, 70), (36.0, 62), (1.0, 112)])
@pytest.mark.parametrize("wind", [0, 18])
def test_eighteen_holes_stay_on_a_page_at_any_handicap(
    demo_course: Course, handicap: float, mph: float, wind: float
) -> None:
    player = replace(typical_player("Ana Reith", "woman", handicap, mph * MPH), name=LONG)
    options = RoundOptions(draws=256, table=True, wind_mph=wind, wind_from_deg=250)
    made = make_plan(replace(demo_course, name=LONG), player, options)
    for metric in (False, True):
        (page,) = drawn_pages(card_pages(made, metric=metric))
        check_page(page)
        assert ("Left out so that this stays one page" in said(page)) == (
            "felt wind that would change" not in said(page)
        )


def test_each_set_of_tees_has_its_page_and_names_stay_text(plan: Plan) -> None:
    some = [replace(tee, tee=replace(tee.tee, name=LONG)) for tee in plan.tees[:4]]
    named = replace(
        plan,
        course=replace(plan.course, name=LONG),
        player=replace(plan.player, name=LONG),
        tees=(*some, *plan.tees[4:]),
        totals={LONG: plan.totals["back"]} | dict(plan.totals),
    )
    pages = list(drawn_pages(card_pages(named, metric=False)))
    assert len(pages) == 2
    for page in pages:
        check_page(page)


def test_the_same_plan_gives_the_same_bytes(plan: Plan, tmp_path: Path) -> None:
    for name in ("once.pdf", "again.pdf"):
        write_card(plan, tmp_path / name)
    once = (tmp_path / "once.pdf").read_bytes()
    assert once == (tmp_path / "again.pdf").read_bytes()
    assert once.count(b"/Type /Page ") == 1
