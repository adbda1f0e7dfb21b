"""Standby pumps: their own round, their run, and the changeover that evens out run hours."""

from collections.abc import Iterator
from datetime import timedelta

from gaugewalk.watch.care_views import DueItem
from gaugewalk.watch.deeds import STANDBY_LOOKED, TEST_RUN
from gaugewalk.watch.due_basis import AtPump, again, moment
from gaugewalk.watch.due_item import item
from gaugewalk.watch.pair_hours import DAY, Proposal, hours_of, idle_days, propose

_RUN_CARE = "By the list for starting, with the control room; never while it turns backward."
_LOOK_CARE = "It may start by itself: hands and tools away unless it is locked out."
_CHANGE_CARE = "The standby is proven before the running pump is stopped."


def standby_items(here: AtPump) -> Iterator[DueItem]:
    """Yield what a standing pump asks for, if others rely on it."""
    if here.care.isolated or not is_standby(here):
        return
    yield _run(here)
    if here.pump.partner is not None:
        yield _look(here)


def is_standby(here: AtPump) -> bool:
    """Whether a pump that stands, or of which nobody said that it runs, is relied on."""
    relied_on = here.pump.partner is not None or here.pump.service == "critical"
    return relied_on and here.care.clock.running is not True


def _run(here: AtPump) -> DueItem:
    idle = idle_days(here.care, here.at)
    setting = here.given.settings["standby_run_every"]
    due_at = None
    sentence = "Nobody recorded whether it runs or stands, and since when."
    if idle is not None:
        due_at = here.now + timedelta(days=setting.low / DAY - idle)
        sentence = f"Not started for {idle:.0f} days; wanted at least every {setting.words}."
    with_partner = f", standby for {here.pump.partner}" if here.pump.partner else ""
    return item(
        here,
        kind="standby run",
        title=f"Run it for {here.given.settings['test_run'].words}{with_partner}",
        sentence=sentence,
        state=here.state(due_at),
        due_at=due_at,
        deed=TEST_RUN,
        procedure="changeover" if here.pump.partner else "start-up",
        unit="min",
        caution=_RUN_CARE,
        source=setting.source,
        beside=setting.note,
    )


def _look(here: AtPump) -> DueItem:
    setting = here.given.settings["standby_look_every"]
    when = again(here, here.care.last(STANDBY_LOOKED), running=None, calendar=setting.low)
    return item(
        here,
        kind="standby round",
        title="Round of the standby pump: suction open, vented, oil, tracing, turned by hand",
        sentence=when.words,
        state=here.state(when.due_at),
        due_at=when.due_at,
        deed=STANDBY_LOOKED,
        procedure="round-standby",
        caution=_LOOK_CARE,
        source=setting.source,
    )


def proposal_of(here: AtPump, other: AtPump) -> Proposal | None:
    """Return the changeover between two pumps of a pair that run hours ask for, or none."""
    return propose(
        hours_of(here.pump.tag, here.care, here.at),
        hours_of(other.pump.tag, other.care, other.at),
        after=here.setting("equalize_after"),
        keep_apart=here.setting("keep_apart"),
    )


def changeover_item(here: AtPump, proposal: Proposal) -> DueItem:
    """Return a proposed changeover as an item at the pump that runs."""
    return item(
        here,
        kind="changeover",
        title=f"Change over to {proposal.start}",
        sentence=proposal.sentence,
        state="soon",
        due_at=moment(here.at + here.setting("due_soon")),
        procedure="changeover",
        caution=_CHANGE_CARE,
        source=here.given.settings["equalize_after"].source,
    )
