"""When something is due again: by running time, by the calendar, whichever comes first."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show
from gaugewalk.watch.board import Board
from gaugewalk.watch.care import Care, Deed
from gaugewalk.watch.care_views import State
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.lubrication import Conditions

_DAY = timedelta(days=1)
_LEAST_SHARE = 0.02  # of the time; a pump that runs less has no due date by running


@dataclass(frozen=True, slots=True, kw_only=True)
class AtPump:
    """Everything that the program of one pump rests on."""

    desk: Desk
    ledger: Ledger
    pump: Pump
    care: Care
    board: Board
    given: Conditions
    now: datetime

    @property
    def at(self) -> float:
        """Now. [s since 1970]"""
        return self.now.timestamp()

    def setting(self, name: str) -> float:
        """Return a setting of this pump, or the low end of a band. [SI]"""
        return self.given.settings[name].low

    def state(self, due_at: datetime | None) -> State:
        """Return the word for something that is due at a time."""
        return state_at(due_at, self.now, timedelta(seconds=self.setting("due_soon")))

    def day(self, at: float) -> str:
        """Write a day in the plant's own time."""
        return f"{self.desk.local(moment(at)):%d %b %Y}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """When something is due again, and in words what that rests on."""

    due_at: datetime | None
    words: str


def state_at(due_at: datetime | None, now: datetime, soon: timedelta) -> State:
    """Return the word for something that is due at a time.

    Examples
    --------
    >>> noon = datetime(2025, 11, 3, 12, tzinfo=UTC)
    >>> [state_at(noon + timedelta(days=d), noon, timedelta(days=7)) for d in (-2, 0, 5, 30)]
    ['overdue', 'due', 'soon', 'later']
    >>> state_at(None, noon, timedelta(days=7))
    'not known'
    """
    if due_at is None:
        return "not known"
    if now > due_at + _DAY:
        return "overdue"
    if now >= due_at - _DAY:
        return "due"
    return "soon" if now >= due_at - soon else "later"


def moment(at: float) -> datetime:
    """Return a moment of so many seconds since 1970."""
    return datetime.fromtimestamp(at, UTC)


def again(
    here: AtPump, last: Deed | None, *, running: float | None, calendar: float | None
) -> Again:
    """Return when a deed is due again.

    Parameters
    ----------
    here : AtPump
    last : Deed, optional
        The last time; with none, it is counted from the first that is known of the pump.
    running : float, optional
        Interval of running time. [s]
    calendar : float, optional
        Interval by the calendar, running or not. [s]
    """
    clock = here.care.clock
    start = last.at if last else clock.first
    if start is None:
        return Again(due_at=None, words="Neither the last time nor any running is on record.")
    ran = clock.ran(here.at) - (last.ran if last else 0.0)
    dates = []
    if calendar is not None:
        dates.append(start + calendar)
    if running is not None and (date := _by_running(here, running - ran)) is not None:
        dates.append(date)
    parts = [f"Last {here.day(start)}" if last else f"Never recorded; since {here.day(start)}"]
    if running is not None:
        parts.append(f"ran {_hours(ran)} of {_hours(running)}")
    if calendar is not None:
        parts.append(f"at the latest after {_days(calendar)}")
    return Again(due_at=moment(min(dates)) if dates else None, words=", ".join(parts) + ".")


def _by_running(here: AtPump, left: float) -> float | None:
    """Return when so much more running is over, as the pump has run so far. [s since 1970]"""
    share = share_of_time(here)
    return None if share < _LEAST_SHARE else here.at + left / share


def share_of_time(here: AtPump) -> float:
    """Return the share of the time on record in which the pump ran."""
    clock = here.care.clock
    if clock.first is None:
        return 0.0
    span = here.at - clock.first
    if span < _DAY.total_seconds():
        return 1.0 if clock.running else 0.0
    return min(max(clock.ran(here.at) / span, 0.0), 1.0)


def _hours(seconds: float) -> str:
    return show(max(seconds, 0.0), "h")


def _days(seconds: float) -> str:
    """Write a long span in days or months.

    Examples
    --------
    >>> _days(7 * 86400.0), _days(6 * 30.4375 * 86400.0)
    ('7 days', '6 months')
    """
    days = seconds / _DAY.total_seconds()
    return f"{days:.0f} days" if days < 60 else f"{days / 30.4375:.0f} months"
