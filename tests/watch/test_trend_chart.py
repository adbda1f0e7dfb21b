"""The picture of a point's course says what its readings say."""

import re
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from xml.etree import ElementTree as ET
from zoneinfo import ZoneInfo

import pytest

from gaugewalk.judge.severity import Severity
from gaugewalk.watch.trend_chart import Course, trend_picture
from gaugewalk.watch.views import Sample

ZONE = ZoneInfo("Europe/Paris")
START = datetime(2025, 10, 24, 12, 0, tzinfo=UTC)
SVG = "{http://www.w3.org/2000/svg}"


def course(values: list[float], every_h: float = 4.0, **other: object) -> Course:
    samples = [
        Sample(seen_at=START + timedelta(hours=every_h * n), value=v, severity=Severity.NORMAL)
        for n, v in enumerate(values)
    ]
    given: dict[str, object] = {"title": "Discharge pressure", "unit": "barg", "samples": samples}
    return Course(**(given | other))  # type: ignore[arg-type]


def drawn(made: Course) -> ET.Element:
    return ET.fromstring(trend_picture(made, ZONE, barometric=101325.0, on_paper=True))


def points(root: ET.Element, name: str) -> list[tuple[float, float]]:
    lines = root.findall(f".//{SVG}polyline[@class='{name}']")
    pairs = (pair.split(",") for line in lines for pair in line.attrib["points"].split())
    return [(float(x), float(y)) for x, y in pairs]


def texts(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def test_a_higher_reading_stands_higher_and_a_later_one_further_right() -> None:
    run = points(drawn(course([3.0e5, 3.4e5, 3.2e5])), "run")
    assert [x for x, _ in run] == sorted(x for x, _ in run)
    assert run[1][1] < run[2][1] < run[0][1]
    # Half way in value is half way on paper.
    assert run[2][1] == pytest.approx((run[0][1] + run[1][1]) / 2, abs=0.11)


def test_limits_and_words_stand_where_they_are_near() -> None:
    made = course([3.0e5, 3.4e5], limits=[("act", 3.5e5), ("stop", 90.0e5)])
    root = drawn(made)
    assert "act" in texts(root)
    assert "stop" not in texts(root)
    limit, run = points(root, "limit"), points(root, "run")
    assert limit[0][1] == limit[1][1] < min(y for _, y in run)


def test_what_is_not_normal_is_told_by_shape() -> None:
    odd = [Sample(seen_at=START + timedelta(hours=n), value=3e5 + n, severity=word)
           for n, word in enumerate((Severity.WATCH, Severity.ACT, Severity.STOP))]  # fmt: skip
    shapes = drawn(course([], samples=odd)).findall(f".//{SVG}polygon")
    assert [len(s.attrib["points"].split()) for s in shapes] == [4, 3, 8]


def test_days_begin_at_midnight_of_the_plant_also_when_the_clocks_change() -> None:
    # 26 October 2025 has 25 hours in Paris; its tick spans an hour more.
    root = drawn(course([3e5] * 30))
    named = [t for t in texts(root) if re.fullmatch(r"\d+ Oct", t)]
    assert named == ["25 Oct", "26 Oct", "27 Oct", "28 Oct", "29 Oct"]
    marks = [float(t.attrib["x"]) for t in root.iter(f"{SVG}text") if t.text in named]
    gaps = [b - a for a, b in pairwise(marks)]
    assert gaps[1] / gaps[0] == pytest.approx(25 / 24, rel=0.01)


def test_a_short_course_has_hours() -> None:
    assert any(re.fullmatch(r"\d\d:00", t) for t in texts(drawn(course([3e5] * 8, every_h=1.0))))


def test_one_reading_makes_no_picture() -> None:
    assert trend_picture(course([3e5]), ZONE, barometric=101325.0, on_paper=True) == ""


def test_an_open_band_ends_at_the_frame() -> None:
    root = drawn(course([3.0e5, 3.4e5], band=(2.9e5, float("inf"))))
    (band,) = root.findall(f".//{SVG}rect[@class='own-band']")
    (frame,) = root.findall(f".//{SVG}rect[@class='frame']")
    assert float(band.attrib["y"]) == float(frame.attrib["y"])
    assert 0 < float(band.attrib["height"]) < float(frame.attrib["height"]) + 0.1
