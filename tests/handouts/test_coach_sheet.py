"""The coach's sheet: what stands on it, and that no word lies on another."""

from collections.abc import Iterator
from math import radians, tan

import pytest
from matplotlib.figure import Figure

from holesim.handouts.coach_sheet import coach_pages
from holesim.handouts.lesson_words import policy_rows
from holesim.handouts.plan_words import compared_strikes, round_notes, sureness_text
from holesim.plan.plan_tables import PlanFile
from tests.paper import check_page, drawn_pages, said, shortened, texts


def pages(plans: list[PlanFile], *, metric: bool) -> Iterator[Figure]:
    return drawn_pages(page for plan in plans for page in coach_pages(plan, metric=metric))


@pytest.mark.parametrize("metric", [False, True])
def test_no_words_overlap_or_are_cut(plans: list[PlanFile], *, metric: bool) -> None:
    assert sum(map(check_page, pages(plans[1:], metric=metric))) > 200


def test_nothing_is_shortened_where_names_are_short(plans: list[PlanFile]) -> None:
    assert not [text for figure in pages(plans[:1], metric=True) for text in shortened(figure)]


def test_the_sheet_has_both_strikes_of_a_hole(plans: list[PlanFile]) -> None:
    _, _, *rest = pages(plans[:1], metric=False)
    whole = " ".join(text.get_text() for figure in rest for text, _ in texts(figure))
    for tee in plans[0].tees:
        shown = compared_strikes(tee)
        assert shown[0] == tee.chosen()
        # It is compared with the best of all the others.
        assert shown[1] == min((s for s in tee.strikes if s != shown[0]), key=lambda s: s.loss)
        for strike in shown:
            assert f"{strike.strokes:.2f}" in whole
            assert f"{strike.fairway:.1%}" in whole
        if not tee.choice.close:
            label, _, why = tee.reason.partition(": ")
            assert f"{label.capitalize()}: {why.split(',')[0]}" in whole
    for tee in plans[0].tees:
        assert f"{100 * tee.choice.chance:.0f} in 100" in whole or tee.choice.chance > 0.99
        assert not tee.doubt or tee.doubt[1:] in whole


def test_the_first_page_is_the_lesson_and_the_second_lies_behind_it(plans: list[PlanFile]) -> None:
    first, second, *_ = (said(figure) for figure in pages(plans[:1], metric=False))
    for words in ("What you do", "Setting up", "dynamic loft", "lightning", "qualified coach"):
        assert words in first
    for row in policy_rows(plans[0], "back"):
        assert f"{row.strokes}{f' ({row.over})' if row.over else ''} {row.words}" in second
    assert plans[0].measuring["back"].given_away >= 0.05
    (worth,) = round_notes(plans[0], "back")
    assert worth[1:] in second
    for tee in plans[0].tees:
        assert f" {tee.chosen().sight.text()} {tee.chosen().strokes:.2f} {sureness_text(tee)}" in second
    assert "Assumed" in second


@pytest.mark.parametrize("metric", [False, True])
def test_lines_are_given_in_degrees_and_at_the_distance_of_a_drive(
    plans: list[PlanFile], *, metric: bool
) -> None:
    first = said(next(pages(plans[:1], metric=metric)))
    scale, unit = (0.9144, "m") if metric else (1.0, "yd")
    for strike, degrees, way in (("up", 3.7, "right"), ("down", 2.3, "left")):
        drives = [s.total_yd for tee in plans[0].tees for s in tee.strikes if s.label == strike]
        away = 10 * round(sum(drives) / len(drives) * scale / 10)
        off = f"{away * tan(radians(degrees)):.0f} {unit} at {away} {unit}"
        assert f"line up {degrees}° ({off}) {way} of the aim" in first
