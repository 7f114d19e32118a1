"""The captain's sheet and page: nothing on them is cut or overlaps, and names do no harm."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.text import Text

from holesim.handouts.captain_page import captain_page, write_captain_files
from holesim.handouts.captain_sheet import captain_pages
from holesim.handouts.captain_sheet_blocks import BODY_BOTTOM, pack
from holesim.pictures.paper import PAGE
from holesim.pictures.typesetting import matplotlib_defaults
from holesim.plan.sights import Mark, Sight
from holesim.team.benefit import Benefit
from holesim.team.team_plan import Change, HolePlan, PlannedDrive, SidePlan, Standings, TeamPlan
from tests.paper import check_words, drawn, drawn_pages, texts
from tests.team.teams import in_a_row, team_of

HARMFUL = "<script>alert('x')</script> & \"Sons\" of the Very Long Name"
AIM = Mark(Sight("the left edge of the right bunker", 0.0, 230.0), -9.0)
COURSE = in_a_row(*(((4, 400), (3, 160), (5, 520)) * 6))


def plan(names: list[str], *, one_ball: bool = False, matched: bool = False) -> TeamPlan:
    """Return a plan as long as any, made up, for players of these names."""
    size = 2 if one_ball else 1
    sides = []
    for first in range(0, len(names), size):
        side = tuple(names[first : first + size])
        holes = tuple(
            HolePlan(
                hole=hole, tees=hole.tees * size, pars=(hole.par,) * size, received=(k % 3 == 0,),
                drives=(
                    PlannedDrive(
                        who=side[k % size], strike=("up", "down", "level", "4-hybrid, soft")[k % 4], mark=AIM,
                        worth=Benefit(
                            choice="strike", value=0.2, low=-0.1, high=0.5, chance=0.5 + 0.4 * (k % 2),
                            unit="strokes",
                        ),
                    ),
                ),
                first=side[k % size] if one_ball else "",
                changes=(Change(who=side[k % size], strike="down", when=Standings((-2,), 3)),) * (k % 3 == 0),
            )
            for k, hole in enumerate(COURSE.holes)
        )  # fmt: skip
        sides.append(
            SidePlan(
                names=side, received=(12,), holes=holes, strokes=81.234, sd=3.2,
                against=tuple(f"Rival of {name}" for name in side) if matched else (),
                they_receive=((1, 0) * 9,) if matched else (),
                result=(0.5, 0.2, 0.3) if matched else None,
            )
        )  # fmt: skip
    rows = tuple(side.names for side in sides)
    return TeamPlan(
        team=replace(team_of(), name=names[0]), course=replace(COURSE, name=f"Links of {names[0]}"),
        format="foursomes" if one_ball else "singles", net=True, count=None, sides=tuple(sides),
        players=[],
        benefits=(
            Benefit(choice="pairs", value=0.01, low=-0.1, high=0.12, chance=0.6,
                 unit="strokes"),
        ),
        total=6.5, sd=1.1, unit="points" if matched else "strokes",
        options={"wind_mph": 12.0, "wind_from_deg": 250.0, "ground": "medium"}, seed=1, draws=256,
        assumed=("Corin Vale: spread.at_mph: 106",) * 300, rows=rows if matched else (),
        opponents=rows if matched else (), one_strike=(), misfits=(),
        points=((0.5,) * len(rows),) * len(rows) if matched else (),
    )  # fmt: skip


LONG_NAMES = [f"Bartholomew Featherstonehaugh-Cholmondeley the {k}th of his Name" for k in range(12)]
SHORT_NAMES = [f"Player {k}" for k in range(12)]


@pytest.mark.parametrize("one_ball", [False, True])
@pytest.mark.parametrize("names", [SHORT_NAMES, LONG_NAMES], ids=["short", "long"])
def test_no_words_overlap_or_are_cut(names: list[str], *, one_ball: bool) -> None:
    count = 0
    with matplotlib_defaults():
        for figure in captain_pages(plan(names, one_ball=one_ball, matched=True)):
            boxes = texts(drawn(figure))
            check_words(boxes)
            for text, _ in boxes:
                if names is SHORT_NAMES:
                    assert "\N{HORIZONTAL ELLIPSIS}" not in text.get_text()
            count += len(boxes)
    assert count > 12 * 18


@given(st.lists(st.floats(1.0, 100.0), max_size=30), st.floats(0.0, 100.0))
def test_blocks_are_packed_tallest_first_where_they_first_fit(heights: list[float], first: float) -> None:
    pages = pack(heights, first, 100.0)
    assert sorted(block for page in pages for block in page) == list(range(len(heights)))
    rooms = [first] + [100.0] * (len(pages) - 1)
    for page, room in zip(pages, rooms, strict=True):
        assert sum(heights[block] for block in page) <= room + 1e-9
    for later, page in enumerate(pages):
        for block in page:
            for earlier, room in zip(pages[:later], rooms[:later], strict=True):
                before = sum(heights[other] for other in earlier if heights[other] >= heights[block])
                assert before + heights[block] > room - 1e-9


@pytest.mark.parametrize("count", [2, 6, 12])
def test_no_page_but_the_last_is_half_empty(count: int) -> None:
    *full, _ = drawn_pages(captain_pages(plan(SHORT_NAMES[:count], matched=True)))
    for figure in full:
        foot = PAGE[1] - BODY_BOTTOM  # cautions
        assert min(box.y0 for _, box in texts(figure) if box.y0 > foot) < PAGE[1] / 2


def test_heads_say_what_is_on_each_page() -> None:
    pages = drawn_pages(captain_pages(plan(SHORT_NAMES, one_ball=True, matched=True)))
    heads = [max(texts(figure), key=lambda one: one[1].y1)[0].get_text() for figure in pages]
    assert len(set(heads)) == len(heads) > 2
    assert all(sum(name in re.split("[;:] ", head) for head in heads) == 1 for name in SHORT_NAMES[1:])


def test_every_player_has_every_hole() -> None:
    words = ""
    for figure in captain_pages(plan(SHORT_NAMES, one_ball=True)):
        words += "\n".join(t.get_text() for t in figure.findobj(Text) if isinstance(t, Text))
    assert words.count("partner drives") == 6 * 18  # of the two one drives
    assert words.count("10 yd left of the left edge") == 6 * 18
    assert words.count("\n~\n") == words.count("\n0.20\n") == 6 * 9
    assert "less than the 0.02 that matter" in words
    assert "Rule 4.3a" in words


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        assert not any(value and value.startswith("http") for _, value in attrs)


def test_the_page_is_whole_and_names_stay_text() -> None:
    page = captain_page(plan([HARMFUL, *SHORT_NAMES[1:]], matched=True))
    parsed = _Words()
    parsed.feed(page)
    assert parsed.tags.count("script") == 1  # the page's own
    assert len(re.findall("<h3 ", page)) == 12 + 12  # matches and strips
    assert len(re.findall(r'<th scope="row">\d', page)) == (12 + 12) * 18
    assert "default-src 'none'" in page


def test_the_same_plan_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        write_captain_files(plan(SHORT_NAMES[:3], matched=True), tmp_path / name)
    for name in ("captain.pdf", "captain.html", "strip-player-2.html"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
