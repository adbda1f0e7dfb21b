"""What travels with a pump's page so that a phone judges a reading by itself, and alike.

Plain values, SI inside: what `judge.judge_reading` would look at, without the past readings
themselves. Drift and stuck gauges are judged here when the reading arrives.
"""

from collections.abc import Mapping
from typing import Any

from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.drivers import drivers_of, is_counter, is_static, rise_only
from gaugewalk.judge.expect import expected_band
from gaugewalk.judge.limits import limits_of
from gaugewalk.judge.state import PointState
from gaugewalk.judge.verdict import Band
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.care import TURNING_SHARE
from gaugewalk.watch.desk import Desk, unit_of
from gaugewalk.watch.first_help import first_help
from gaugewalk.watch.point_views import ordered
from gaugewalk.watch.remembered import point_key


def carried(desk: Desk, tag: str) -> dict[str, Any]:
    """Return everything a phone needs to judge the readings of one pump.

    Raises
    ------
    NotFoundError
        There is no such pump.
    """
    pump = desk.pump(tag)
    help_at = first_help(desk, pump)
    with desk.journal.reading() as ledger:
        board = Board.from_json(ledger.load_state(board_key(tag)))
        states = _states(ledger, tag)
    return {
        "tag": tag,
        "barometric": desk.barometric,
        "turning": _turning(pump),
        "told": _told(board),
        "last": {
            point: {"value": last.value, "at": last.seen_at, "plausible": last.plausible}
            for point, last in board.last.items()
        },
        "points": {
            point: {
                **point_carried(pump, point, states.get(point, {}), barometric=desk.barometric),
                "help": help_at.get(point, {}),
            }
            for point in ordered(pump, board.last)
        },
    }


def point_carried(
    pump: Pump, point: str, state: Mapping[str, Any], *, barometric: float
) -> dict[str, Any]:
    """Return what one point is judged by, from what is remembered of it (`PointState.to_json`)."""
    kind, entry = point_kind(point), pump.point(point)
    known = PointState.from_json({**state, "samples": [], "recent": []} if state else {})
    drivers = [(d, point_kind(d.point)) for d in drivers_of(point)] if known.fit else []
    band = None if known.fit else expected_band(pump, point, known, {}, barometric=barometric)
    return {
        "label": kind.label,
        "kinds": list(kind.kinds),
        "unit": unit_of(pump, point),
        "static": is_static(point),
        "counter": is_counter(point),
        "rise_only": rise_only(point),
        "limits": [[x.severity.value, x.side, x.value, x.source] for x in limits_of(pump, point)],
        "gauge": {name: getattr(entry, name) for name in ("range_low", "range_high", "accuracy")}
        if entry
        else None,
        "fit": state["fit"] if known.fit else None,
        "drivers": [
            {"point": d.point, "power": d.power, "label": k.label, "unit": k.default_unit}
            for d, k in drivers
        ],
        "band": _band(band),
        "samples": len(state["samples"]) if state else 0,
        "before": state["recent"][-1][1] if state and state["recent"] else None,
        "episode": known.episode is not None,
    }


def _states(ledger: Ledger, tag: str) -> dict[str, Mapping[str, Any]]:
    prefix = point_key(tag, "")
    rows = ledger.load_states(prefix)
    return {key.removeprefix(prefix): row["state"] for key, row in rows.items()}


def _turning(pump: Pump) -> list[list[Any]]:
    """The points that tell whether it turns, each with the value above which it does."""
    rated = (("motor_current", pump.driver.current), ("speed", pump.driver.speed))
    return [[point, TURNING_SHARE * (value or 1.0)] for point, value in rated]


def _told(board: Board) -> dict[str, Any] | None:
    """What was last said of its running, by a person."""
    if board.running is None:
        return None
    return {"running": board.running, "at": board.running_at}


def _band(band: Band | None) -> dict[str, Any] | None:
    return {**band.to_json(), "scale": band.scale} if band else None
