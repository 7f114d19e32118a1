"""The coach's desk: what it tells and makes is what the commands tell and make."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from holesim.course.course_file import load_course
from holesim.errors import InputError
from holesim.handouts import batch
from holesim.plan.round_options import RoundOptions
from holesim.plan.round_tees import find_own_tees
from holesim.plan.session import Session
from holesim.shot.club_speeds import load_player
from holesim.study.face_change import glance_at_change, plan_change
from holesim.study.variants import scale_face_spread
from holesim.window.coach.sheets_order import SheetsOrder
from holesim.window.coach.study_orders import BreakEvenOrder, PracticeOrder
from holesim.window.folder import Folder
from tests.app.conftest import WorkersHere
from tests.browser import FingerHand, Hand, MouseHand, console, resize
from tests.conftest import Run
from tests.window.axe import violations
from tests.window.reader import START, Reader
from tests.window.running import Said, Window, fill, running

FEW = {"draws": 256}
MEASURED = "\n[measured]\ndrives = 40\nsessions = ['2026-05-31', '2026-06-14']\n"


@pytest.fixture(scope="module")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    folder = fill(tmp_path_factory.mktemp("folder"))
    vale = (folder / "vale.toml").read_text(encoding="utf-8")
    (folder / "marrin.toml").write_text(
        vale.replace("C\u00f8rin Vale", "Hal Marrin") + MEASURED, encoding="utf-8"
    )
    (folder / "lund.toml").write_text(vale.replace("C\u00f8rin Vale", "Bo Lund"), encoding="utf-8")
    with running(folder) as started:
        yield started


def not_told(_done: int, _total: int) -> None:
    pass


def test_the_table_has_every_golfer_and_the_last_session(window: Window) -> None:
    _, answer = window.ask_json("GET", "/api/coach/golfers")
    golfers = {golfer["name"]: golfer for golfer in answer["golfers"]}
    assert golfers.keys() == {"vale.toml", "marrin.toml", "lund.toml"}
    assert (golfers["marrin.toml"]["last"], golfers["vale.toml"]["last"]) == ("2026-06-14", None)
    player = load_player(window.folder / "vale.toml")
    assert golfers["vale.toml"]["strikes"] == [strike.label for strike in player.drivers]
    assert golfers["vale.toml"]["handicap"] == player.handicap
    assert golfers["vale.toml"]["speed_mph"] == pytest.approx(player.club_speed / 0.44704)


@pytest.fixture(scope="module")
def practice(window: Window) -> dict[str, Any]:
    """What the desk tells of a golfer's practice on two holes."""
    told: list[tuple[int, int]] = []
    order = PracticeOrder(kind="practice", course="petrel.geojson", players=["vale.toml"], options=FEW)
    found = order.answer(Folder(window.folder), lambda done, total: told.append((done, total)))
    assert told[-1][0] == told[-1][1]
    return dict(found["players"]["vale.toml"])


def test_practice_is_that_of_the_command(window: Window, practice: dict[str, Any], run: Run) -> None:
    files = [str(window.folder / name) for name in ("petrel.geojson", "vale.toml")]
    assert run("practice", *files, "--draws", "256", "--json")[1] == practice["json"]
    assert practice["best"] == max(
        json.loads(practice["json"])["changes"], key=lambda change: float(change["saved"])
    )
    assert practice["text"].startswith("Petrel Ground, for C\u00f8rin Vale: ")


def test_the_break_even_is_that_of_the_command(window: Window, run: Run) -> None:
    files = [str(window.folder / name) for name in ("links.geojson", "vale.toml")]
    order = BreakEvenOrder(kind="tipping", course="links.geojson", player="vale.toml", hole=1, options=FEW)
    even = order.answer(Folder(window.folder), not_told)
    words = ("--over", "club-speed", "--hole", "1", "--draws", "256")
    assert run("tipping", *files, *words)[1] == even["text"] + "\n"
    assert even["sentences"] == [curve["said"] for curve in json.loads(even["json"])["curves"]]
    assert len(even["pictures"]) == 1


def test_another_face_spread_is_planned_as_practice_plans_it(
    window: Window, practice: dict[str, Any]
) -> None:
    course, player = load_course(window.folder / "petrel.geojson"), load_player(window.folder / "vale.toml")
    session, places = (
        Session(course, player, RoundOptions(draws=256)),
        find_own_tees(course, player, None, None),
    )
    changes = {change["name"]: change["saved"] for change in json.loads(practice["json"])["changes"]}
    saved = plan_change(session, 0.8, places).saved.mean
    assert saved == pytest.approx(changes["a fifth less face error"], abs=1e-12)
    assert saved > 0
    glance = glance_at_change(session, 0.8, places)
    anew = session.with_player(scale_face_spread(player, 0.8)).glance(2, places[1][1].name)
    assert glance.after[1].choice.strokes == anew.choice.strokes  # the holes' expected strokes are shared
    assert glance_at_change(session, 1.0, places).saved.mean == 0


def face(window: Window, **words: object) -> tuple[int, Said]:
    usual = {"course": "petrel.geojson", "player": "vale.toml", "percent": 20, "hole": 1}
    return window.ask_json("GET", f"/api/coach/face?{urlencode({**usual, **words})}")


def test_what_makes_no_sense_is_one_line(window: Window) -> None:
    for words, status in (
        ({"percent": "much"}, 422),
        ({"percent": "nan"}, 422),
        ({"percent": 60}, 422),
        ({"hole": 9}, 422),
        ({"player": "none.toml"}, 404),
    ):
        found, answer = face(window, **words)
        assert (found, "\n" in answer["error"]) == (status, False), answer
    found, answer = face(window, hole=1)
    assert (found, answer["text"].startswith("A face spread 20 % wider")) == (200, True)
    order = SheetsOrder(
        kind="sheets", name="sheets/x", course="none.geojson", players=["vale.toml"], sheets=["pocket"]
    )
    with pytest.raises(InputError, match="is not in this folder"):
        order.check(Folder(window.folder))


def test_sheets_of_a_golfer_whose_file_is_at_fault_are_not_made_by_halves(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "Workers", WorkersHere)
    folder = Folder(fill(tmp_path / "folder"))
    (folder.root / "odd.toml").write_text('name = "Odd"\nhand = "right"\n', encoding="utf-8")
    order = SheetsOrder(
        kind="sheets", name="sheets/x", course="links.geojson", players=["odd.toml"], sheets=["pocket"]
    )
    with pytest.raises(InputError, match=r"was not made: odd\.toml on links\.geojson"):
        order.make(folder, tmp_path / "made", not_told)


def files_of(folder: Path) -> dict[str, bytes]:
    found = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    return {name: path.read_bytes() for name, path in found.items() if name != ".batch-lock"}


class DeskPage:
    """The coach's desk on a page, and a hand on it."""

    def __init__(self, chrome: Chrome, window: Window, hand: Hand, wide: int) -> None:
        resize(chrome, wide)
        chrome.get("about:blank")
        chrome.get(window.address)
        self.reader, self.hand, self.folder = Reader(chrome, window.origin), hand, window.folder
        self.tap("button", "Coach")
        self.reader.until_text("Golfers of the folder")

    def tap(self, role: str, name: str) -> None:
        self.hand.press(self.reader.middle(self.reader.find(role, name)))
        self.hand.lift()

    def tick(self, sheet: str) -> None:
        """Choose a kind of sheet, or no longer."""
        label = f"//label[normalize-space()='{sheet}']"
        self.hand.press(self.reader.middle(self.reader.chrome.find_element(By.XPATH, label)))
        self.hand.lift()

    def begin_and_cancel(self, work: str) -> None:
        """Begin a piece of work, and cancel it once it can be."""
        self.tap("button", work)
        self.reader.until_so(lambda: next(self.reader.controls("button", "Cancel"), None))
        self.tap("button", "Cancel")

    def made(self) -> list[str]:
        """Return the sheets that the desk says it made."""
        self.reader.until_text("The sheets are in sheets/", START)
        found = self.reader.chrome.find_elements(By.CSS_SELECTOR, "#coach-desk .links button")
        return [one.accessible_name for one in found]


@pytest.mark.parametrize(("hand", "wide"), [(MouseHand, 1280), (FingerHand, 820)], ids=["mouse", "finger"])
def test_a_coach_asks_what_a_better_face_saves(
    chrome: Chrome, window: Window, hand: type[MouseHand] | type[FingerHand], wide: int
) -> None:
    desk = DeskPage(chrome, window, hand(chrome), wide)
    desk.tap("button", "C\u00f8rin Vale")
    desk.reader.until_text("With today's face spread")
    desk.tap("button", "a fifth narrower")
    desk.reader.until_text("A face spread 20 % narrower")
    desk.reader.until_text("4,096 drives a strike")
    _, answer = face(window, course="links.geojson", percent=-20, level="rest")
    assert answer["text"] in desk.reader.text
    chrome.find_element(By.ID, "coach-face").send_keys(Keys.ARROW_LEFT)
    desk.reader.until_text("A face spread 25 % narrower")
    assert violations(chrome) == []


def test_cancelled_work_keeps_nothing_and_other_work_follows(chrome: Chrome, window: Window) -> None:
    desk, before = DeskPage(chrome, window, MouseHand(chrome), 1280), files_of(window.folder)
    desk.tap("button", "C\u00f8rin Vale")
    desk.reader.until_text("With today's face spread")
    for work, says in (
        ("What would practice pay all?", "Cancelled: nothing was kept."),
        ("Find it on hole 1", "Cancelled."),
        ("Make the sheets", "Cancelled: nothing was kept."),
        ("Find it on hole 1", "Cancelled."),
    ):
        desk.begin_and_cancel(work)
        desk.reader.until_text(says)
        assert files_of(window.folder) == before
    assert chrome.find_elements(By.CSS_SELECTOR, "#coach img, #coach details, #coach .links") == []


def test_sheets_for_one_are_those_of_batch(
    chrome: Chrome, window: Window, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = DeskPage(chrome, window, MouseHand(chrome), 1280)
    desk.tap("checkbox", "C\u00f8rin Vale")
    desk.reader.until_text("sheets for 1")
    desk.tick("lesson")
    desk.tap("button", "Make the sheets")
    assert desk.made() == ["vale.pocket.pdf"]
    (made,) = (window.folder / "sheets").iterdir()
    jobs = tmp_path / "jobs.toml"
    names = [json.dumps([str(window.folder / name)]) for name in ("links.geojson", "vale.toml")]
    jobs.write_text(f'courses = {names[0]}\nplayers = {names[1]}\nsheets = ["pocket"]\n', encoding="utf-8")
    monkeypatch.setattr(batch, "Workers", WorkersHere)
    assert run("batch", str(jobs), "--out", str(tmp_path / "out"))[0] == 0
    assert files_of(made) == files_of(tmp_path / "out")
    assert "links/vale.pocket.pdf" in files_of(made)
    desk.tap("button", "vale.pocket.pdf")
    with desk.reader.new_tab():
        desk.reader.until_pdf()
    assert not [line for line in console(chrome) if line["level"] == "SEVERE"]


def test_lessons_and_cards_for_some_are_made_by_finger(chrome: Chrome, window: Window) -> None:
    desk = DeskPage(chrome, window, FingerHand(chrome), 820)
    for golfer in ("C\u00f8rin Vale", "Hal Marrin"):
        desk.tap("checkbox", golfer)
    desk.reader.until_text("sheets for 2")
    desk.tap("button", "Make the sheets")
    desk.reader.until_so(lambda: next(desk.reader.controls("progressbar"), None))
    assert violations(chrome) == []
    assert desk.made() == [f"{who}.{what}.pdf" for who in ("marrin", "vale") for what in ("lesson", "pocket")]
    desk.tap("button", "marrin.lesson.pdf")
    with desk.reader.new_tab():
        desk.reader.until_pdf()
    assert not [line for line in console(chrome) if line["level"] == "SEVERE"]
