"""Which rounds the plan has, when each was last walked, and which is being walked."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from gaugewalk.errors import NotFoundError, nearest_word
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.pump import Pump, RoundPlan
from gaugewalk.watch.board import iso
from gaugewalk.watch.clock import round_due
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.views import RoundDue


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """What is known of one round of the plan: a fold over its entries."""

    begun_at: str | None = None  # the last time it was begun, finished or not
    finished_at: str | None = None
    open_id: str | None = None

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return asdict(self)


def plan_key(name: str) -> str:
    """Return the key under which a round of the plan is kept."""
    return f"plan/{name}"


def walked_after(walked: Walked, entry: Entry) -> Walked:
    """Return what is known of a round after one more entry of it."""
    round_id = str(entry.body["round"])
    if entry.body["step"] == "begun":
        return replace(walked, begun_at=iso(entry.seen_at), open_id=round_id)
    if walked.open_id == round_id:
        return replace(walked, finished_at=iso(entry.seen_at), open_id=None)
    return walked


def walked_of(ledger: Ledger, name: str) -> Walked:
    """Return what is known of a round of the plan."""
    stored: Mapping[str, Any] = ledger.load_state(plan_key(name)) or {}
    return Walked(**stored)


def plan_named(desk: Desk, name: str) -> RoundPlan:
    """Return a round of the plant file; NotFoundError names the nearest one."""
    plans = {plan.name: plan for plan in desk.plant.rounds}
    if name in plans:
        return plans[name]
    near = nearest_word(name, plans)
    hint = f"Did you mean {near!r}?" if near else f"The plant file has: {', '.join(plans) or '-'}."
    raise NotFoundError(f"No round {name[:40]!r} in {desk.plant.name}. {hint}")


def pumps_of(desk: Desk, plan: RoundPlan) -> list[Pump]:
    """Return the pumps of a round in walking order: those named, those of its areas, or all."""
    return list(desk.routes[plan.name])


def rounds_due(desk: Desk, now: datetime) -> tuple[RoundDue, ...]:
    """Return every round of the plan, the one due first at the top."""
    with desk.journal.reading() as ledger:
        stored = ledger.load_states(plan_key(""))
    rows = [(plan, Walked(**stored.get(plan_key(plan.name), {}))) for plan in desk.plant.rounds]
    due = [_due(desk, plan, walked, now) for plan, walked in rows]
    return tuple(sorted(due, key=lambda row: row.due_at))


def _due(desk: Desk, plan: RoundPlan, walked: Walked, now: datetime) -> RoundDue:
    last = datetime.fromisoformat(walked.begun_at) if walked.begun_at else None
    return RoundDue(
        name=plan.name,
        due_at=round_due(desk.plant, plan.every, last, now),
        last_at=last,
        pumps=len(pumps_of(desk, plan)),
        open_id=walked.open_id,
    )
