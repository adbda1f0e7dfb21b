"""Does a pump use more oil than it used to? What was topped up against how long it lasted.

What is added now replaces what was lost since the oil was last at its mark; so each top-up but the
first gives a rate. The newest rate is held against the usual one of those before.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from gaugewalk.units import show
from gaugewalk.watch.care import Deed

DAY = 86400.0  # [s]
_AS_ONE = 6 * 3600.0  # [s]; two top-ups this close were one
_FEWEST = 2  # rates before, for a usual one


@dataclass(frozen=True, slots=True, kw_only=True)
class OilUse:
    """Oil use of one bath or reservoir; rates in [m3/s], or in top-ups a second where unmeasured.

    `grew` is the newest rate over the usual one; none where there are too few top-ups to say.
    """

    count: int
    rate: float | None
    usual: float | None
    grew: float | None
    growing: bool
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fill:
    """The oil was at its mark: after a top-up, or after a change, which tells no use."""

    at: float
    amount: float | None
    topped_up: bool


def oil_use(
    top_ups: Sequence[Deed], changes: Sequence[Deed], growth: float, *, now: float
) -> OilUse:
    """Return what the top-ups of one place say.

    Parameters
    ----------
    top_ups, changes : sequence of Deed
        Oldest first; amounts in [m3], or none where nobody measured.
    growth : float
        From so many times the usual rate on, it is a finding. [-]
    now : float
        When it lasted longer since than it usually does, it no longer grows. [s since 1970]

    Notes
    -----
    Where an amount is missing at any of them, only their spacing counts. A trend over single rates
    is not asked for: oil is topped up in cans and at marks, so single amounts scatter widely.
    Common practice, no source.

    Examples
    --------
    >>> def top_up(day, liters):
    ...     return Deed(id=str(day), at=day * DAY, ran=0.0, who="v", amount=liters / 1e3)
    >>> use = oil_use([top_up(0, 1), top_up(10, 1), top_up(20, 1), top_up(24, 1)], [], 1.5,
    ...               now=25 * DAY)
    >>> use.growing, round(use.grew, 2)
    (True, 2.5)
    """
    rows = _joined(top_ups, changes)
    given = [row.amount for row in rows if row.topped_up]
    measured = all(amount is not None for amount in given)
    spans = [(old.at, new) for old, new in pairwise(rows) if new.topped_up]
    rates = [((new.amount or 0.0) if measured else 1.0) / (new.at - at) for at, new in spans]
    usual = median(rates[:-1]) if len(rates) > _FEWEST else None
    grew = rates[-1] / usual if usual else None
    growing = grew is not None and grew >= growth and _not_over(spans, now)
    last = spans[-1][1].at - spans[-1][0] if spans else None
    said = _rates_in_words(rates[-1], usual, measured) if usual else ""
    return OilUse(
        count=len(given),
        rate=rates[-1] if rates else None,
        usual=usual,
        grew=grew,
        growing=growing,
        sentence=_sentence(len(given), last, said, growing),
    )


def _not_over(spans: Sequence[tuple[float, _Fill]], now: float) -> bool:
    """Tell whether the oil has not yet lasted as long again as it did before it grew."""
    lasted = median(fill.at - before for before, fill in spans[:-1])
    return now - spans[-1][1].at <= lasted


def _joined(top_ups: Sequence[Deed], changes: Sequence[Deed]) -> list[_Fill]:
    """Return every time the oil was at its mark, with what was added in two goes as one."""
    fills = [_Fill(at=d.at, amount=d.amount, topped_up=True) for d in top_ups]
    fills += [_Fill(at=d.at, amount=None, topped_up=False) for d in changes]
    rows: list[_Fill] = []
    for fill in sorted(fills, key=lambda one: one.at):
        before = rows[-1] if rows else None
        if before is None or fill.at - before.at >= _AS_ONE:
            rows.append(fill)
        elif before.topped_up and fill.topped_up:
            known = before.amount is not None and fill.amount is not None
            both = (before.amount or 0.0) + (fill.amount or 0.0)
            rows[-1] = _Fill(at=fill.at, amount=both if known else None, topped_up=True)
        else:  # beside a change, what was added tells nothing
            rows[-1] = _Fill(at=fill.at, amount=None, topped_up=False)
    return rows


def _rates_in_words(rate: float, usual: float, measured: bool) -> str:
    if measured:
        return f"{show(rate * DAY, 'mL')} a day, usually {show(usual * DAY, 'mL')} a day"
    return f"once in {1 / rate / DAY:.1f} days, usually once in {1 / usual / DAY:.1f} days"


def _sentence(count: int, last: float | None, said: str, growing: bool) -> str:
    if last is None:
        return "Topped up once." if count else "Not topped up."
    if not said:
        times = "once" if count == 1 else f"{count} times"
        return f"Topped up {times}, the last after {last / DAY:.1f} days; too few to compare."
    more = ". The oil goes somewhere: look for it and report it." if growing else "."
    return f"Topped up after {last / DAY:.1f} days: {said}{more}"
