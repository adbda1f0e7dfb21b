"""Views of the watch as plain JSON."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.watch.views import (
    FollowUp,
    PointView,
    PumpView,
    RoundDue,
    TroubleLine,
    TroubleView,
    WatchView,
)


def watch_json(view: WatchView) -> dict[str, Any]:
    """Return this watch."""
    return {
        "plant": view.plant,
        "now": view.now.isoformat(),
        "troubles": [_line(trouble) for trouble in view.troubles],
        "follow_ups": [_follow_up(follow_up) for follow_up in view.follow_ups],
        "rounds": [_round(due) for due in view.rounds],
    }


def pump_json(view: PumpView) -> dict[str, Any]:
    """Return one pump with its points; the plant file itself is not repeated."""
    return {
        "tag": view.pump.tag,
        "name": view.pump.name,
        "severity": view.severity.value,
        "sentence": view.sentence,
        "running": view.running,
        "points": [_point(point) for point in view.points],
        "troubles": [_line(trouble) for trouble in view.troubles],
        "follow_ups": [_follow_up(follow_up) for follow_up in view.follow_ups],
        "forecasts": list(view.forecasts),
    }


def trouble_json(view: TroubleView) -> dict[str, Any]:
    """Return one trouble with its diagnosis."""
    return {
        "id": view.id,
        "tag": view.pump.tag,
        "severity": view.severity.value,
        "sentence": view.sentence,
        "opened_at": view.opened_at.isoformat(),
        "closed_at": view.closed_at.isoformat() if view.closed_at else None,
        "diagnosis": dict(view.diagnosis.to_json()),
        "answered": [
            asdict(answer) | {"seen_at": answer.seen_at.isoformat()} for answer in view.answered
        ],
        "follow_ups": [_follow_up(follow_up) for follow_up in view.follow_ups],
    }


def _line(trouble: TroubleLine) -> dict[str, Any]:
    return asdict(trouble) | {
        "severity": trouble.severity.value,
        "opened_at": trouble.opened_at.isoformat(),
    }


def _follow_up(follow_up: FollowUp) -> dict[str, Any]:
    return asdict(follow_up) | {"due_at": follow_up.due_at.isoformat()}


def _round(due: RoundDue) -> dict[str, Any]:
    last = due.last_at.isoformat() if due.last_at else None
    return asdict(due) | {"due_at": due.due_at.isoformat(), "last_at": last}


def _point(view: PointView) -> dict[str, Any]:
    return {
        "point": view.point,
        "label": view.label,
        "unit": view.unit,
        "last": entry_json(view.last) if view.last else None,
        "verdict": dict(view.verdict.to_json()) if view.verdict else None,
        "expected": view.expected.to_json() if view.expected else None,
    }


def entry_json(entry: Entry) -> Mapping[str, Any]:
    """Return a record of the journal, without what the journal itself adds."""
    return entry.content()
