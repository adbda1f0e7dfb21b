"""Run hours of a pair, and whether a changeover would even them out; idle pumps."""

from dataclasses import dataclass

from gaugewalk.units import show
from gaugewalk.watch.care import Care
from gaugewalk.watch.deeds import TEST_RUN
from gaugewalk.watch.run_clock import RunClock

DAY = 86400.0  # [s]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """How long one pump ran, and since when it runs or stands; spans in [s], times since 1970."""

    tag: str
    ran: float
    running: bool | None  # none: nobody ever said
    since: float | None
    first: float | None
    starts: int
    source: str
    meter: float | None = None  # last reading of the hour meter
    isolated: bool = False


def hours_of(tag: str, care: Care, now: float) -> Hours:
    """Return the run hours of a pump up to a moment [s since 1970]."""
    clock = care.clock
    return Hours(
        tag=tag,
        ran=clock.ran(now),
        running=clock.running,
        since=clock.since,
        first=clock.first,
        starts=clock.starts,
        source=_source(clock),
        meter=clock.meter.value if clock.meter else None,
        isolated=care.isolated,
    )


def _source(clock: RunClock) -> str:
    if clock.first is None:
        return "nobody recorded whether it runs"
    if clock.last_meter is not None:
        return "hour meter, and starts and stops since"
    return "starts, stops and gauges seen at the rounds"


def idle_days(care: Care, now: float) -> float | None:
    """Return for how many days a pump has stood; none where it runs, or where nobody said.

    A test run counts as running, also where its start and stop were not recorded.
    """
    clock = care.clock
    if clock.running is not False or clock.since is None:
        return None
    test = care.last(TEST_RUN)
    since = max(clock.since, test.at if test else clock.since)
    return (now - since) / DAY


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A changeover that would even out run hours, from the pump that runs to its standby."""

    stop: str
    start: str
    lead: float  # of the running one, [s]
    sentence: str


def propose(first: Hours, second: Hours, *, after: float, keep_apart: float) -> Proposal | None:
    """Return the changeover that run hours ask for, or none.

    Parameters
    ----------
    first, second : Hours
        Of the two pumps of a pair.
    after : float
        From so much more than the lead that is kept. [s]
    keep_apart : float
        Lead that is kept on purpose. [s]

    Notes
    -----
    Proposed only where exactly one of them runs and neither is isolated: what is not known is not
    changed over.
    """
    if {first.running, second.running} != {True, False} or first.isolated or second.isolated:
        return None
    on, off = (first, second) if first.running else (second, first)
    lead = on.ran - off.ran
    if lead <= after + keep_apart:
        return None
    kept = f", {show(keep_apart, 'h')} of it on purpose" if keep_apart else ""
    return Proposal(
        stop=on.tag,
        start=off.tag,
        lead=lead,
        sentence=(
            f"{on.tag} ran {show(on.ran, 'h')}, {off.tag} {show(off.ran, 'h')} in the same time: "
            f"{show(lead, 'h')} ahead{kept}. Change over to {off.tag} at a quiet time."
        ),
    )
