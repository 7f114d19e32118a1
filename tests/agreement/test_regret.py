"""What the trial of whole decisions found, by golfers that the tests draw themselves.

The trial takes an hour, so `python -m tests.searches.find_regret` runs it and writes the file.
"""

from math import hypot

import pandas as pd
import pytest

from tests.agreement.table import Agreement
from tests.searches.find_regret import SUMMARY

SOURCE = (
    "golfers drawn by the tests' own code from the stated population, known for sure "
    "(tests/searches/find_regret.py)"
)
PART = "the job"
STAGES = {"bare": "by speed and handicap alone", "measured": "after 40 measured drives of each strike"}


@pytest.fixture(scope="module")
def found() -> pd.DataFrame:
    return pd.read_csv(SUMMARY).set_index(["stage", "quantity"])


def mean(found: pd.DataFrame, stage: str, quantity: str) -> float:
    return float(found["mean"].loc[stage].to_dict()[quantity])


def golfers(found: pd.DataFrame, stage: str) -> str:
    return f"{found['golfers'].loc[stage].max()} {SOURCE}"


@pytest.mark.parametrize("stage", STAGES)
def test_intervals_hold_the_truth_as_often_as_they_say(
    agree: Agreement, found: pd.DataFrame, stage: str
) -> None:
    for quantity in found.loc[stage].index:
        if quantity.startswith("interval holds the truth"):
            where = quantity.removeprefix("interval holds the truth, ").replace("these", "these four")
            agree.between(
                PART,
                f"{STAGES[stage]}: 95 % intervals of down less up that hold the truth, {where}",
                100 * mean(found, stage, quantity),
                90,
                98,
                unit=" %",
                source=golfers(found, stage),
            )


@pytest.mark.parametrize("stage", STAGES)
def test_a_plan_gives_away_no_more_than_the_usual_strike(
    agree: Agreement, found: pd.DataFrame, stage: str
) -> None:
    for how in ("by hole", "all day"):
        agree.below(
            PART,
            f"{STAGES[stage]}, chosen {how}: strokes a round given away, beside always up's",
            mean(found, stage, f"regret, {how}"),
            mean(found, stage, f"regret of always up, {how}"),
            source=golfers(found, stage),
        )


def test_measuring_saves_what_is_forecast(agree: Agreement, found: pd.DataFrame) -> None:
    bare, measured = (mean(found, stage, "regret, by hole") for stage in STAGES)
    errors = [float(found["se"].loc[stage].to_dict()["regret, by hole"]) for stage in STAGES]
    assert measured < bare
    agree.near(
        PART,
        "chosen by hole: strokes a round that 40 drives of each strike save",
        bare - measured,
        mean(found, "bare", "forecast saved by 40 drives, by hole"),
        round(2 * hypot(*errors), 2),
        source="what the plan by the bare file forecasts; ± two standard errors of the golfers tried",
    )
