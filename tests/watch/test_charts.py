"""Charts: readable by everyone, true to their numbers."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.curve import PumpCurve, head_at
from gaugewalk.physics.oil import line_of_grade
from gaugewalk.watch.chart_file import png_of, write_chart
from gaugewalk.watch.chart_frame import LEFT, RIGHT, TEXT, WIDTH, Axis, axis_over, round_step
from gaugewalk.watch.charts import PumpPicture, oil_chart, pump_chart, strainer_chart

SVG = "{http://www.w3.org/2000/svg}"
CURVE = PumpCurve(
    speed=49.0,
    flow=np.array([0, 50, 100, 150]) / 3600,
    head=np.array([60.0, 58.0, 50.0, 35.0]),
    npshr=np.array([1.5, 2.0, 3.0, 5.0]),
)
SHOWN = PumpPicture(
    system=(20.0, 30.0 / (100 / 3600) ** 2),
    duty=100 / 3600,
    duty_low=92 / 3600,
    duty_high=107 / 3600,
    preferred=(80 / 3600, 135 / 3600),
    npsh_available=4.2,
)
HOURS = np.array([0.0, 8, 16, 24, 32]) * 3600
DROPS = np.array([0.10, 0.11, 0.125, 0.14, 0.16]) * 1e5
CHARTS = {
    "pump": pump_chart(CURVE, SHOWN),
    "oil": oil_chart(line_of_grade(68), window=(325.0, 368.0), temperature=343.0),
    "strainer": strainer_chart(HOURS, DROPS, 0.4e5),
}


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)


@pytest.mark.parametrize("name", CHARTS)
def test_everyone_can_read_it(name: str) -> None:
    root = parsed(CHARTS[name])
    assert root.get("role") == "img"
    assert root[0].tag == SVG + "title"
    assert root[1].tag == SVG + "desc"
    assert re.search(r"\d", root[1].text or "")
    assert all(float(text.get("font-size", "0")) >= 14 for text in root.iter(SVG + "text"))
    # On a phone 360 px wide the words still are 14 px high.
    assert TEXT * 360 / WIDTH >= 14


@pytest.mark.parametrize("name", CHARTS)
def test_no_color_of_its_own(name: str) -> None:
    for attribute in re.findall(r'(?:fill|stroke)="([^"]*)"', CHARTS[name]):
        assert attribute in ("currentColor", "none")
    assert "style" not in CHARTS[name]  # a strict content policy lets it through


@pytest.mark.parametrize("name", CHARTS)
def test_everything_lies_inside_the_picture(name: str) -> None:
    root = parsed(CHARTS[name])
    width, height = float(root.get("width", "0")), float(root.get("height", "0"))
    for line in root.iter(SVG + "polyline"):
        for pair in (line.get("points") or "").split():
            x, y = (float(part) for part in pair.split(","))
            assert LEFT - 0.1 <= x <= width - RIGHT + 0.1
            assert 0 <= y <= height
    for text in root.iter(SVG + "text"):
        assert 0 <= float(text.get("x", "-1")) <= width
        assert 0 <= float(text.get("y", "-1")) <= height


def test_pump_chart_says_its_numbers() -> None:
    words = parsed(CHARTS["pump"])[1].text or ""
    assert "Duty point: 100 m3/h at 50 m." in words
    assert "Its interval: 92 m3/h to 107 m3/h." in words
    assert "Preferred region: 80 m3/h to 135 m3/h." in words
    assert "NPSH margin at the duty point: 1.2 m." in words


def test_duty_point_lies_on_the_drawn_curve() -> None:
    root = parsed(CHARTS["pump"])
    dot = next(c for c in root.iter(SVG + "circle") if c.get("class") == "duty")
    line = next(p for p in root.iter(SVG + "polyline") if p.get("class") == "pump")
    points = np.array(
        [[float(v) for v in pair.split(",")] for pair in (line.get("points") or "").split()]
    )
    at = np.interp(float(dot.get("cx", "0")), points[:, 0], points[:, 1])
    assert float(dot.get("cy", "0")) == pytest.approx(at, abs=0.5)


def test_system_meets_the_pump_at_the_duty_point() -> None:
    root = parsed(CHARTS["pump"])
    dot = next(c for c in root.iter(SVG + "circle") if c.get("class") == "duty")
    line = next(p for p in root.iter(SVG + "polyline") if p.get("class") == "system")
    points = np.array(
        [[float(v) for v in pair.split(",")] for pair in (line.get("points") or "").split()]
    )
    at = np.interp(float(dot.get("cx", "0")), points[:, 0], points[:, 1])
    assert float(dot.get("cy", "0")) == pytest.approx(at, abs=0.5)


def test_american_units() -> None:
    words = parsed(pump_chart(CURVE, SHOWN, flow_unit="gpm", head_unit="ft"))[1].text or ""
    assert "440 gpm at 164 ft" in words


def test_a_bare_curve_is_enough() -> None:
    bare = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 30.0])
    root = parsed(pump_chart(bare, PumpPicture()))
    assert len(list(root.iter(SVG + "polyline"))) == 1


def test_oil_chart_window() -> None:
    words = parsed(CHARTS["oil"])[1].text or ""
    assert "too cold below, too hot above" in words
    texts = [text.text for text in parsed(CHARTS["oil"]).iter(SVG + "text")]
    assert {"too cold", "too hot"} <= set(texts)


@given(st.sampled_from([15, 32, 68, 220, 680]), st.floats(275.0, 360.0))
def test_oil_chart_for_any_oil(grade: int, temperature: float) -> None:
    parsed(oil_chart(line_of_grade(grade), temperature=temperature))


def test_strainer_chart_says_when() -> None:
    words = parsed(CHARTS["strainer"])[1].text or ""
    assert re.search(r"reaches the limit of 0.4 bar \d+(\.\d+)? h after", words)


def test_strainer_that_does_not_clog() -> None:
    falling = strainer_chart(HOURS, DROPS[::-1], 0.4e5)
    assert "does not lead to the limit" in (parsed(falling)[1].text or "")


def test_words_are_escaped() -> None:
    svg = pump_chart(CURVE, PumpPicture(), title="P-1 <b> & more")
    assert parsed(svg)[0].text == "P-1 <b> & more"


def test_files(tmp_path: Path) -> None:
    svg = pump_chart(CURVE, SHOWN, on_paper=True)
    write_chart(svg, tmp_path / "curve.svg")
    assert 'fill="white"' in (tmp_path / "curve.svg").read_text("utf-8")
    write_chart(svg, tmp_path / "curve.PNG")
    assert (tmp_path / "curve.PNG").read_bytes().startswith(b"\x89PNG")
    with pytest.raises(ArgumentError, match=r"ends in .svg or .png"):
        write_chart(svg, tmp_path / "curve.jpg")
    with pytest.raises(ArgumentError, match="expected a folder that exists"):
        write_chart(svg, tmp_path / "nowhere" / "curve.svg")


def test_png_without_the_extra_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "typst", None)
    with pytest.raises(ArgumentError, match=r"gaugewalk\[pdf\]"):
        png_of("<svg/>")


@given(st.floats(1e-6, 1e9))
def test_steps_are_round_and_not_too_small(rough: float) -> None:
    step = round_step(rough)
    assert rough * (1 - 1e-9) <= step <= 5 * rough
    assert f"{step:.1e}"[:3] in {"1.0", "2.0", "2.5", "5.0"}


@given(st.lists(st.floats(0.0, 1e6), min_size=1, max_size=5))
def test_axes_hold_their_values(values: list[float]) -> None:
    axis = axis_over("x", values)
    assert all(0 <= axis.share(value) <= 1 for value in values)
    assert 2 <= len(axis.ticks()) <= 12


def test_logarithmic_ticks() -> None:
    axis = Axis(label="", low=8.0, high=1200.0, log=True)
    assert axis.ticks() == [10, 20, 50, 100, 200, 500, 1000]
    assert axis.share(8.0) == 0


def test_curve_in_the_picture_is_the_curve_of_the_physics() -> None:
    assert float(head_at(CURVE, 100 / 3600)) == 50.0
