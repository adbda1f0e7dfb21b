"""What will reach its limit, and when: the forecasts of all points of a pump."""

from collections.abc import Iterable
from datetime import datetime

from gaugewalk.journal.glimpse import Glimpse
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.forecast import Forecast, Past, look_ahead
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.remembered import Remembered, load_points


def forecasts(
    desk: Desk, ledger: Ledger, pump: Pump, readings: Iterable[Glimpse], now: datetime
) -> tuple[Forecast, ...]:
    """Return those points of a pump that will reach a limit, the soonest first.

    Parameters
    ----------
    desk, ledger, pump
        Of which pump.
    readings : iterable of Glimpse
        Its readings in the order seen; those that cannot be, or of a standing pump, are left out.
    now : datetime
        From when the spans in the sentences count.
    """
    states = load_points(ledger, pump.tag, fits_only=True)
    past: dict[str, list[Past]] = {}
    for one in readings:
        if one.plausible and one.context.get("running") != 0.0:
            row = Past(at=one.seen_at.timestamp(), value=one.value, context=one.context)
            past.setdefault(one.point, []).append(row)
    found = [
        look_ahead(
            pump,
            point,
            rows,
            now=now,
            barometric=desk.barometric,
            fit=states.get(point, Remembered()).state.fit,
        )
        for point, rows in past.items()
    ]
    due = [(one.when, one) for one in found if one.when is not None]
    return tuple(one for _, one in sorted(due, key=lambda pair: pair[0]))
