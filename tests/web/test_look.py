"""The look keeps its promises: contrast, sizes, nothing from elsewhere (docs/look.md)."""

import re
from pathlib import Path

import pytest

import gaugewalk.web

STATIC = Path(gaugewalk.web.__file__).parent / "static"
DAY = (STATIC / "look.css").read_text()
LOOKS = {
    "day": DAY,
    "night": (STATIC / "look-night.css").read_text(),
    "strong": (STATIC / "look-strong.css").read_text(),
}
# Text on its ground: WCAG 2.2 AA 1.4.3 asks 4.5:1.
TEXT = [
    ("ink", "paper"), ("ink", "sheet"), ("soft", "paper"), ("soft", "sheet"), ("link", "sheet"),
    ("link", "paper"), ("plate-ink", "plate"), ("plate-soft", "plate"), ("watch", "watch-fill"),
    ("act", "act-fill"), ("stop-ink", "stop-fill"), ("watch", "sheet"), ("act", "sheet"),
    ("stop", "sheet"), ("soft", "watch-fill"), ("soft", "act-fill"), ("ink", "watch-fill"),
    ("ink", "act-fill"), ("sheet", "ink"), ("ink", "metal"), ("soft", "metal"),
    ("plate-ink", "plate-edge"),
]  # fmt: skip
# Frames, shapes and focus against what is beside them: 1.4.11 asks 3:1.
SHAPES = [("edge", "sheet"), ("margin", "sheet"), ("focus", "sheet"), ("focus", "paper"),
          ("oil-line", "sheet"), ("liquid-line", "sheet"), ("hot", "sheet")]  # fmt: skip


def variables(look: str) -> dict[str, str]:
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", DAY))
    return found | dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", LOOKS[look]))


def luminance(color: str) -> float:
    """Relative luminance, WCAG 2.2 definition."""
    channels = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


def test_the_measure_itself() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    # #767676 on white is the classic gray that just passes 4.5:1 (WebAIM's checker: 4.54).
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("look", LOOKS)
def test_text_reaches_its_contrast(look: str) -> None:
    colors = variables(look)
    low = {f"{a} on {b}": round(contrast(colors[a], colors[b]), 2) for a, b in TEXT}
    assert {pair: ratio for pair, ratio in low.items() if ratio < 4.5} == {}


@pytest.mark.parametrize("look", LOOKS)
def test_shapes_reach_theirs(look: str) -> None:
    colors = variables(look)
    low = {f"{a} on {b}": round(contrast(colors[a], colors[b]), 2) for a, b in SHAPES}
    assert {pair: ratio for pair, ratio in low.items() if ratio < 3.0} == {}


def test_night_spares_dark_adapted_eyes() -> None:
    """No blue to speak of, and no large bright ground (our own measure; no source)."""
    colors = variables("night")
    mine = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", LOOKS["night"]))
    assert all(int(c[5:7], 16) <= int(c[1:3], 16) * 0.6 for c in mine.values())
    assert all(luminance(colors[ground]) < 0.03 for ground in ("paper", "sheet", "plate", "metal"))


def test_every_look_sets_every_color() -> None:
    wanted = set(re.findall(r"--([a-z-]+): #", DAY))
    for name in ("night", "strong"):
        assert set(re.findall(r"--([a-z-]+): #", LOOKS[name])) == wanted, name


def test_no_text_under_16_px_and_nothing_from_elsewhere() -> None:
    for file in STATIC.glob("*.css"):
        text = file.read_text()
        rem = [float(x) for x in re.findall(r"font(?:-size)?:[^;]*?([\d.]+)rem", text)]
        pixels = [float(x) for x in re.findall(r"font(?:-size)?:[^;]*?([\d.]+)px", text)]
        assert all(x >= 1 for x in rem), file.name
        assert all(x >= 16 for x in pixels), file.name
        assert "http" not in text, file.name
        assert "@import" not in text, file.name


def test_every_variable_that_is_used_is_set() -> None:
    used = {
        v for f in STATIC.glob("*.css") for v in re.findall(r"var\(--([a-z-]+)\)", f.read_text())
    }
    assert used <= set(re.findall(r"--([a-z-]+):", DAY))
