"""A small invented pump for the judge's tests."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from gaugewalk.judge.judge import judge_reading
from gaugewalk.judge.state import PointState
from gaugewalk.judge.verdict import Verdict
from gaugewalk.plant.pump import Lubrication, PlantLiquid, Point, Pump, ShaftSeal
from gaugewalk.units import parse

AIR = 101325.0
START = datetime(2026, 3, 1, 6, 0, tzinfo=UTC)
Judge = Callable[..., tuple[Verdict, PointState]]


def gauge(bar: float) -> float:
    return bar * 1e5 + AIR


def pump_with(*points: Point) -> Pump:
    return Pump(
        tag="P-101",
        name="test pump",
        liquid=PlantLiquid(name="water"),
        seal=ShaftSeal(kind="packing"),
        lubrication=Lubrication(kind="oil sump"),
        points=points,
    )


@pytest.fixture
def pump() -> Pump:
    return pump_with(
        Point(
            point="discharge_pressure",
            unit="barg",
            watch_low=gauge(2.5),
            watch_high=gauge(4.0),
            act_low=gauge(2.0),
            stop_high=gauge(8.0),
            range_low=gauge(0.0),
            range_high=gauge(10.0),
            accuracy=0.05e5,
        ),
        Point(point="bearing_temperature_de", unit="degC"),
        Point(point="flow", unit="m3/h", usual=50 / 3600),
    )


@pytest.fixture
def judge(pump: Pump) -> Judge:
    def one(
        text: str,
        state: PointState | None = None,
        *,
        point: str = "discharge_pressure",
        kind: str = "pressure",
        hours: float = 0.0,
        **context: float,
    ) -> tuple[Verdict, PointState]:
        return judge_reading(
            pump,
            point,
            parse(text, kind, barometric=AIR),
            seen_at=START + timedelta(hours=hours),
            state=state or PointState(),
            context=context,
            barometric=AIR,
        )

    return one


@pytest.fixture
def history(judge: Judge) -> Callable[..., PointState]:
    """Return a function that reads a list of texts eight hours apart and returns what is kept."""

    def many(texts: list[str], state: PointState | None = None, **how: object) -> PointState:
        for i, text in enumerate(texts):
            _, state = judge(text, state, hours=8.0 * i, **how)
        return state or PointState()

    return many
