"""The trend of a point: what comes is a fan that ends at its limit, or goes on to the edge."""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from gaugewalk.judge.forecast import Forecast
from gaugewalk.judge.limits import Limit
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.views import Sample
from gaugewalk.web.shown import Shown
from gaugewalk.web.trend import HEIGHT, LEFT, RIGHT, TOP, WIDTH, trend_drawing

NOW = datetime(2025, 11, 20, tzinfo=UTC)
LIMIT = Limit(severity=Severity.WATCH, side="high", value=340.0, source="plant file")
SAMPLES = [Sample(seen_at=NOW - timedelta(days=30 - n), value=300.0 + n) for n in range(31)]


def days(count: float | None) -> datetime | None:
    return None if count is None else NOW + timedelta(days=count)


def drawn(low: float, when: float, high: float | None) -> str:
    coming = Forecast(
        point="bearing_temperature_de",
        sentence="",
        when=days(when),
        low=days(low),
        high=days(high),
        last=NOW,
        level=330.0,
        limit=LIMIT,
    )
    shown = Shown(now=NOW, zone=ZoneInfo("UTC"), barometric=101325.0)
    return str(
        trend_drawing(
            SAMPLES, band=None, limits=[340.0], unit="degC", shown=shown, label="x", coming=coming
        )
    )


def corners(text: str, style: str) -> list[tuple[float, float]]:
    d = re.search(rf'class="{style}" d="M([^"]+?)( Z)?"', text)
    assert d is not None
    return [tuple(map(float, pair.split(","))) for pair in d[1].split(" L")]  # type: ignore[misc]


@pytest.mark.parametrize("end", [(5.0, 8.0, 12.0), (5.0, 8.0, None), (5.0, 30.0, 60.0), (-1, 1, 2)])
def test_the_fan_opens_from_the_last_reading_and_stays_in_the_drawing(
    end: tuple[float, float, float | None],
) -> None:
    text = drawn(*end)
    edge, likeliest = corners(text, "fan"), corners(text, "likeliest")
    assert edge[0] == likeliest[0] == corners(text, "run")[-1]
    for x, y in edge + likeliest:
        assert edge[0][0] - 0.1 <= x <= WIDTH - RIGHT + 0.1
        assert TOP - 0.1 <= y <= HEIGHT
    assert edge[1][0] <= likeliest[1][0] <= max(x for x, _ in edge) + 0.1
    assert edge[-1][0] == pytest.approx(WIDTH - RIGHT, abs=0.1)


def test_a_closed_fan_ends_at_the_limit_and_an_open_one_goes_on_level() -> None:
    closed, still_open = corners(drawn(5, 8, 12), "fan"), corners(drawn(5, 8, None), "fan")
    assert closed[1][1] == closed[-1][1] < closed[0][1]  # both ends at the limit, above the level
    assert still_open[-1][1] == still_open[0][1]


def test_without_a_forecast_there_is_no_fan() -> None:
    shown = Shown(now=NOW, zone=ZoneInfo("UTC"), barometric=101325.0)
    text = trend_drawing(
        SAMPLES, band=None, limits=[], unit="degC", shown=shown, label="x", deeds=[NOW, days(-90)]
    )
    assert "fan" not in text
    assert text.count('class="deed"') == 1  # what was done before the drawing begins is not on it
    assert corners(text, "run")[0][0] == pytest.approx(LEFT, abs=0.1)
