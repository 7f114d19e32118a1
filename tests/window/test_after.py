"""After the round: what is entered is the round's file, reviewed and learnt from as the command does it."""

import json
import time
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
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.shot.club_speeds import load_player
from holesim.window.folder import Folder
from holesim.window.rounds.review_order import ReviewOrder
from tests.browser import FingerHand, Hand, MouseHand, console, resize
from tests.conftest import Run
from tests.window.axe import violations
from tests.window.reader import Reader
from tests.window.running import Page, Said, Window, fill, running, sha256

PLAN = "plans/links-vale/plan.json"
PLAYED = "rounds/2026-05-31 Vale.csv"
HEAD = "date,round,hole,tee,club,strike,lie,total_yd,side_yd,score"
ROWS = [
    f"2026-05-31,plans/links-vale,{hole},back,driver,up,{lie},{total},{side},{score}"
    for hole, lie, total, side, score in (
        (1, "rough", 262, "31 R", 5),
        (2, "fairway", 240, "12 R", 4),
        (3, "rough", 251, "22 R", 5),
        (4, "rough", 233, "3 L", 6),
        (5, "trees", 270, "48 R", 7),
    )
]
HOLES = 6


@pytest.fixture(scope="module")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    """A window on a folder with a plan whose six holes are alike."""
    folder = fill(tmp_path_factory.mktemp("folder"))
    course, player = load_course(folder / "links.geojson"), load_player(folder / "vale.toml")
    plan = json.loads(make_plan(course, player, RoundOptions(draws=256), tees=["back"]).to_json())
    for key in ("holes", "tees"):
        plan[key] = [{**plan[key][0], "hole": number + 1} for number in range(HOLES)]
    (folder / PLAN).parent.mkdir(parents=True)
    (folder / PLAN).write_text(json.dumps(plan), encoding="utf-8")
    with running(folder, "--demo") as started:
        yield started


def keep(window: Window, text: str) -> None:
    (window.folder / "rounds").mkdir(exist_ok=True)
    (window.folder / PLAYED).write_text(text, encoding="utf-8")


def ask(window: Window, what: str, **words: object) -> tuple[int, Any]:
    return window.ask_json("GET", f"/api/rounds/{what}" + (f"?{urlencode(words)}" if words else ""))


def finish(window: Window, hole: int, label: str, **where: object) -> Said:
    status, answer = ask(window, "finish", plan=PLAN, hole=hole, tee="back", label=label, **where)
    assert status == 200, answer
    return dict(answer)


def review(window: Window, **order: object) -> Said:
    """Return what a page is told of a review."""
    with window.page() as page:
        status, answer = window.ask_json(
            "POST", "/api/jobs", {"kind": "review", "plan": PLAN, "played": PLAYED, **order}
        )
        assert status == 200, answer
        return end_of(page)


def review_here(window: Window, player: str | None = None) -> Said:
    """Return the same without a process of its own."""
    order = ReviewOrder(kind="review", plan=PLAN, played=PLAYED, player=player)
    return order.answer(Folder(window.folder), lambda _done, _total: None)


def end_of(page: Page) -> Said:
    while True:
        said = page.wait_for("job")
        if "done" not in said:
            return said


def test_a_review_is_that_of_the_command_and_the_golfer_learns_the_same(
    window: Window, run: Run, tmp_path: Path
) -> None:
    keep(window, "\n".join([HEAD, *ROWS]) + "\n")
    before = (window.folder / "vale.toml").read_bytes()
    found = review(window, player="vale.toml")["answer"]
    files = [str(window.folder / name) for name in (PLAN, PLAYED)]
    assert run("review", *files)[1] == found["text"] + "\n"
    assert run("review", *files, "--json")[1] == found["json"]
    assert all(" ".join(line.split()) in " ".join(found["text"].split()) for line in found["sentences"])
    out = tmp_path / "out"
    assert run("review", *files, "--player", str(window.folder / "vale.toml"), "--out", str(out))[0] == 0

    learnt = {"player": "vale.toml", "seen": found["seen"], "played": PLAYED, "text": found["learnt"]}
    assert window.ask_json("POST", "/api/rounds/learn", learnt | {"seen": "0" * 64})[0] == 412
    assert (
        window.ask_json("POST", "/api/rounds/learn", learnt | {"player": "demo/good_amateur.toml"})[0] == 400
    )
    assert window.ask_json("POST", "/api/rounds/learn", learnt | {"text": "hand = 3"})[0] == 422
    assert (window.folder / "vale.toml").read_bytes() == before
    status, answer = window.ask_json("POST", "/api/rounds/learn", learnt)
    assert (status, answer["sha256"]) == (200, sha256((out / "player.toml").read_bytes()))
    assert (window.folder / "vale.toml").read_bytes() == (out / "player.toml").read_bytes()
    (kept,) = {path.read_bytes() for path in (window.folder / ".holesim/versions/vale.toml").iterdir()}
    assert kept == before
    assert review_here(window, player="vale.toml")["learnt_before"] == "vale.toml"
    (window.folder / "vale.toml").write_bytes(before)


def test_too_few_drives_teach_nothing_and_say_so(window: Window) -> None:
    keep(window, "\n".join([HEAD, *ROWS[:1]]) + "\n")
    found = review_here(window, player="vale.toml")
    assert found["learnt"] is None
    assert found["not_learnt"] == "too few drives with the driver have a side"


def test_a_round_that_goes_with_no_plan_is_one_line(window: Window) -> None:
    keep(window, f"{HEAD}\n2026-05-31,,9,back,driver,up,rough,262,31 R,5\n")
    with pytest.raises(InputError, match="'9' is not in the plan"):
        review_here(window)
    with pytest.raises(InputError, match="is not in this folder"):
        ReviewOrder(kind="review", plan=PLAN, played="rounds/none.csv").check(Folder(window.folder))
    keep(window, "\n".join([HEAD, ROWS[0], ROWS[0]]) + "\n")
    status, answer = ask(window, f"played/{PLAYED.replace(' ', '%20')}", plan=PLAN)
    assert (status, "a second drive on hole 1" in answer["error"]) == (422, True)


def test_a_round_comes_back_from_its_file(window: Window) -> None:
    other = "2026-05-31,plans/links-vale,6,back,putter,,,,,4"
    keep(window, "\n".join([HEAD, *ROWS, other]) + "\n")
    _, answer = ask(window, f"played/{PLAYED.replace(' ', '%20')}", plan=PLAN)
    assert (answer["date"], answer["tee"]) == ("2026-05-31", "back")
    first, last = answer["rows"]["1"], answer["rows"]["6"]
    assert (first["label"], first["total_yd"], first["side_yd"], first["score"]) == ("up", 262, 31, 5)
    assert (last["label"], last["score"], last["at"]) == ("putter", 4, None)
    _, place = ask(
        window, "finish", plan=PLAN, hole=1, tee="back", label="up", at=f"{first['at'][0]},{first['at'][1]}"
    )
    assert (place["total_yd"], place["side_yd"]) == (262, 31)
    assert {"name": PLAYED, "plan": "plans/links-vale"} in window.ask_json("GET", "/api/rounds")[1]["rounds"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"at": "a,b"}, "is not in numbers"),
        ({"at": "nan,0"}, "finish"),
        ({"at": "1e9,0"}, "finish"),
        ({"total_yd": "30", "side_yd": "-31"}, "31 yards to the side are more than"),
        ({"total_yd": "200"}, "has no place"),
        ({"at": "0,0", "hole": "77"}, "has no back tee"),
        ({"at": "0,0", "plan": "../x"}, "is not a name in this folder"),
    ],
)
def test_a_finish_that_makes_no_sense_is_one_line(window: Window, words: dict[str, str], said: str) -> None:
    status, answer = ask(
        window, "finish", **({"plan": PLAN, "hole": 1, "tee": "back", "label": "up"} | words)
    )
    assert 400 <= status < 500
    assert said in answer["error"]
    assert "\n" not in answer["error"]


# --- the page -------------------------------------------------------------------------------------


def go_on(chrome: Chrome, window: Window) -> Reader:
    """Return the reader of a page that goes on with the round that is kept."""
    chrome.get("about:blank")
    chrome.get(window.address)
    reader = Reader(chrome, window.origin)
    reader.find("button", "After the round").click()
    reader.until_text("Go on with a round")
    assert violations(chrome) == []
    reader.find("button", "2026-05-31 Vale").click()
    return reader


def pick(reader: Reader, group: str, text: str) -> None:
    """Choose one of the choices of a group."""
    reader.chrome.execute_script(
        """for (const one of document.querySelectorAll('main:not([hidden]) fieldset'))
             if (one.querySelector('legend')?.textContent === arguments[0])
               for (const label of one.querySelectorAll('label'))
                 if (label.textContent.trim().startsWith(arguments[1])) label.control.click();""",
        group,
        text,
    )


def held(window: Window) -> dict[str, list[str]]:
    """Return the cells of each hole from the only round's file of today."""
    (path,) = [one for one in (window.folder / "rounds").glob("*.csv") if "Vale" in one.name]
    lines = [line.split(",") for line in path.read_text(encoding="utf-8").splitlines()[1:]]
    return {line[2]: line[3:] for line in lines}


def until(window: Window, hole: str, *cells: str) -> list[str]:
    """Return a hole's cells in the file once they end so."""
    end = time.monotonic() + 20
    while tuple((found := held(window)).get(hole, [""])[-len(cells) :]) != cells:
        assert time.monotonic() < end, found[hole]
        time.sleep(0.1)
    return found[hole]


@pytest.mark.parametrize(("hands", "wide"), [(MouseHand, 1280), (FingerHand, 820)], ids=["mouse", "finger"])
def test_a_tap_says_where_the_drive_finished_and_a_reload_loses_nothing(
    chrome: Chrome, window: Window, hands: type[Any], wide: int
) -> None:
    keep(window, "\n".join([HEAD, *ROWS]) + "\n")
    resize(chrome, wide)
    reader = go_on(chrome, window)
    reader.until_text("262 yards, 31 right of the aim, rough")
    reader.find("button", "hole 6").click()
    reader.until_text("Tap on the map where the drive finished")
    hand: Hand = hands(chrome)
    x, y = reader.middle(chrome.find_element(By.ID, "after-map"))
    hand.press((x + 20, y - 40))
    hand.lift()
    reader.until_text("of the aim, rough")
    assert violations(chrome) == []
    pick(reader, "score", "4")
    tapped = until(window, "6", "4")
    assert tapped[:4] == ["back", "driver", "up", "rough"]

    ring = chrome.find_element(By.ID, "after-finish")
    at = reader.middle(ring)
    hand.press(at)
    for step in range(1, 6):
        hand.move((at[0] + 8 * step, at[1] + 4 * step))
    hand.lift()
    end = time.monotonic() + 20
    while (dragged := held(window)["6"]) == tapped:
        assert time.monotonic() < end
        time.sleep(0.1)
    ring.send_keys(Keys.ARROW_UP)
    moved = until(window, "6", str(int(dragged[4]) + 1), dragged[5], "4")
    pick(reader, "it lay in", "out or lost")
    until(window, "6", "out", *moved[4:])

    chrome.refresh()
    reader.until_text(f"{moved[4]} yards")
    assert reader.find("textbox", "how far").get_attribute("value") == moved[4]
    plan = json.loads((window.folder / PLAN).read_text(encoding="utf-8"))
    assert plan["tees"][5]["hole"] == 6
    typed = reader.find("textbox", "off the aim")
    typed.clear()
    typed.send_keys("20 L", Keys.TAB)
    until(window, "6", "20 L", "4")
    pick(reader, "hit", "down")  # whose aim is another
    end = time.monotonic() + 20
    while (changed := held(window)["6"])[2] != "down":
        assert time.monotonic() < end
        time.sleep(0.1)
    _, place = ask(
        window, "finish", plan=PLAN, hole=6, tee="back", label="up", total_yd=moved[4], side_yd=-20
    )
    _, same = ask(
        window, "finish", plan=PLAN, hole=6, tee="back", label="down", at=",".join(map(str, place["at"]))
    )
    assert changed[4] == str(same["total_yd"])
    assert not [line for line in console(chrome) if line["level"] == "SEVERE"]


def test_a_click_puts_what_was_taught_into_the_golfers_file(chrome: Chrome, window: Window) -> None:
    keep(window, "\n".join([HEAD, *ROWS]) + "\n")
    before = (window.folder / "vale.toml").read_bytes()
    for note in (window.folder / ".holesim/learnt").glob("*"):
        note.unlink()
    resize(chrome, 1280)
    reader = go_on(chrome, window)
    reader.until_text("Review 5 of 6 holes")
    reader.find("button", "Review 5 of 6 holes").click()
    reader.until_text("What to practise first")
    reader.find("button", "Put what it taught into vale.toml").click()
    reader.until_text("vale.toml has learnt from this round.")
    assert violations(chrome) == []
    learnt = (window.folder / "vale.toml").read_bytes()
    assert learnt.startswith(b"# Made by holesim review from 5 drives")
    reader.find("button", "Review 5 of 6 holes").click()
    reader.until_text("vale.toml has learnt from this round already.")
    # Another program writes the file meanwhile: nothing is lost unseen.
    (window.folder / PLAYED).write_text("\n".join([HEAD, *ROWS[:4]]) + "\n", encoding="utf-8")
    pick(reader, "score", "8")
    reader.until_text("was changed outside this window")
    assert (window.folder / PLAYED).read_text(encoding="utf-8").count("\n") == 5
    reader.find("button", "Read the file anew").click()
    reader.until_text("Review 4 of 6 holes")
    (window.folder / "vale.toml").write_bytes(before)
