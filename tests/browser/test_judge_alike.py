"""The phone's judging is the server's: the same entries through Python and through the page's
own modules in the browser, word for word."""

import json
import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from gaugewalk.errors import UnitError
from gaugewalk.judge.charts import Charts
from gaugewalk.judge.expect import expected_band
from gaugewalk.judge.judge import judge_reading
from gaugewalk.judge.state import PointState
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Plant, Pump
from gaugewalk.plant.site import barometric
from gaugewalk.units import from_si, parse
from gaugewalk.watch.carried import point_carried
from gaugewalk.watch.point_views import units_for

pytestmark = pytest.mark.browser
START = datetime(2025, 11, 1, 6, tzinfo=UTC)
TAUGHT = 14  # readings an own normal is learned from
ODD = [
    "", "lots", "🙂", "-9999", "3.2 bar", "1,480", "1.480,5", "1 480", "1e999", "2 1/2", "½",
    "3/0", "2.8 to 4.1", "2,8-4,1", "2.8…4.1", "4.1 until 2.8", "3 to", "3 4", "\u22120.3",
    "1'000", "12 degC", "12 psig", "12 bar(g)", "0.2 bara", "20 inHg vac", "85 gpm", "140 °F",
    "0.18 in/s pk", "12 mw", "<b>3</b>", "3.2.1", "7" * 90, "it's 3", '"3"', "3 drops",
    "30 ml/min", "٣",
]  # fmt: skip
RUN = """async ({ pump, cases, root }) => {
  const { judge, read, loadUnits } = await import(`${root}/judge.js`);
  await loadUnits();
  return cases.map(({ point, text, unit, context }) => {
    try {
      return judge(pump, point, read(pump, point, text, unit), context);
    } catch (error) {
      return { error: error.message, kind: error.constructor.name };
    }
  });
}"""


def larkmoor() -> Plant:
    return load_plant(Path(str(files("gaugewalk.drill") / "larkmoor.toml")))


def taught(pump: Pump, point: str, air: float, chance: random.Random) -> PointState:
    """A state learned from quiet readings at changing duty; charts and episode wiped."""
    entry = pump.point(point)
    state = PointState()
    if entry is None or entry.usual is None:
        return state
    for n in range(TAUGHT):
        context = duty(pump, point, chance)
        value = entry.usual + (entry.usual - air * (entry.unit == "barg")) * chance.gauss(0, 0.004)
        text = f"{from_si(value, entry.unit, barometric=air):.5g}"
        quantity = parse(text, point_kind(point).kinds, default_unit=entry.unit, barometric=air)
        at = START + timedelta(hours=8 * n)
        _, state = judge_reading(
            pump, point, quantity, seen_at=at, state=state, context=context, barometric=air
        )
    return replace(state, charts=Charts(), recent=(), episode=None)


def duty(pump: Pump, point: str, chance: random.Random) -> dict[str, float]:
    """The other points' values at some duty; sometimes one is missing or the pump stands."""
    found = {
        p.point: p.usual * chance.uniform(0.97, 1.03)
        for p in pump.points
        if p.usual is not None and p.point != point and chance.random() < 0.9
    }
    running = chance.choice([1.0, 1.0, 1.0, 1.0, 1.0, 0.0, None])
    return found if running is None else {**found, "running": running}


def texts(
    pump: Pump, point: str, state: PointState, air: float, chance: random.Random
) -> list[Any]:
    """Entries around everything that a verdict may turn on, and nonsense."""
    entry = pump.point(point)
    assert entry is not None
    band = expected_band(pump, point, state, {}, barometric=air)
    middle = band.middle if band else (entry.usual or 1.0)
    half = (band.scale * 4.0 if band and band.scale else abs(middle) * 0.1) or 1.0
    made: list[Any] = []
    for steps in (0, 0.5, -0.9, 1.1, -1.1, 2, -2.9, 3.2, -3.2, 10, -20):
        number = from_si(middle + steps * half, entry.unit, barometric=air)
        made.append((f"{number:.4g}", ""))
    usual = from_si(middle, entry.unit, barometric=air)
    made += [(f"{usual * factor:.4g}", "") for factor in (10, 0.1, 100, 0.01, -1)]
    made.append((f"{usual:.4g}"[::-1].strip("."), ""))
    made.append((f"{usual * 0.9:.4g} to {usual * 1.2:.4g}", ""))
    units = units_for(point_kind(point).kinds)
    for unit in chance.sample(units, min(3, len(units))):
        made.append((f"{from_si(middle, unit, barometric=air):.5g} {unit}", ""))
        made.append((f"{usual:.3g}", unit))
    made += [(text, "") for text in chance.sample(ODD, 6)]
    return made


def by_python(pump: Pump, point: str, text: str, unit: str, state: PointState,
              context: dict[str, float], air: float) -> dict[str, Any]:  # fmt: skip
    entry = pump.point(point)
    assert entry is not None
    try:
        quantity = parse(
            text, point_kind(point).kinds, default_unit=unit or entry.unit, barometric=air
        )
    except UnitError as error:
        # Which known unit is spelled most alike only the server says.
        return {"error": str(error).partition(" Did you mean")[0], "kind": "UnitError"}
    verdict, _ = judge_reading(
        pump, point, quantity, seen_at=START + timedelta(days=30), state=state, context=context,
        barometric=air,
    )  # fmt: skip
    wanted = ("severity", "sentence", "reasons", "plausible", "suspicion", "band", "rests_on",
              "deviation")  # fmt: skip
    return {key: value for key, value in verdict.to_json().items() if key in wanted}


def alike(mine: Any, theirs: Any) -> bool:
    if isinstance(mine, float) and isinstance(theirs, int | float):
        return theirs == pytest.approx(mine, rel=1e-9, abs=1e-15)
    if isinstance(mine, dict) and isinstance(theirs, dict):
        return mine.keys() == theirs.keys() and all(alike(mine[k], theirs[k]) for k in mine)
    if isinstance(mine, list) and isinstance(theirs, list):
        return len(mine) == len(theirs) and all(map(alike, mine, theirs))
    return bool(mine == theirs)


@pytest.mark.parametrize("learned", [True, False], ids=["own normal", "plant file only"])
def test_the_phone_judges_as_the_server_does(desk: Page, static: str, learned: bool) -> None:
    plant, chance = larkmoor(), random.Random(20251120)
    air = barometric(plant)
    desk.goto("/about")
    different: list[str] = []
    words: set[str] = set()
    count = 0
    for pump in plant.pumps[:: 6 if learned else 2]:
        states = {
            p.point: taught(pump, p.point, air, chance) if learned else PointState()
            for p in pump.points
        }
        carried = {
            "barometric": air,
            "points": {
                point: point_carried(pump, point, state.to_json(), barometric=air)
                for point, state in states.items()
            },
        }
        cases = [
            {"point": point, "text": text, "unit": unit, "context": duty(pump, point, chance)}
            for point, state in states.items()
            for text, unit in texts(pump, point, state, air, chance)
        ]
        told = desk.evaluate(
            RUN, {"pump": json.loads(json.dumps(carried)), "cases": cases, "root": static}
        )
        for case, theirs in zip(cases, told, strict=True):
            state = states[case["point"]]
            mine = by_python(pump, case["point"], case["text"], case["unit"], state,
                             case["context"], air)  # fmt: skip
            count += 1
            words.add(str(mine.get("severity", "refused")))
            if not alike(mine, theirs):
                different.append(f"{pump.tag} {case}\n  server {mine}\n  phone  {theirs}")
    assert not different, f"{len(different)} of {count}:\n" + "\n".join(different[:5])
    assert count > 1000
    assert words == {"normal", "watch", "act", "stop", "refused"}
