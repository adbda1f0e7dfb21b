"""When a pump's strainers and filters want cleaning."""

from collections.abc import Iterator

from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.points import point_kind
from gaugewalk.watch.board import Last
from gaugewalk.watch.care_views import DueItem, State
from gaugewalk.watch.deeds import STRAINER_CLEANED
from gaugewalk.watch.due_basis import AtPump
from gaugewalk.watch.due_item import item
from gaugewalk.watch.strainer_care import Dirt, clean_view, dirt_of, next_cleaning, readings_of

_CARE = (
    "Isolated, drained and proven without pressure by the site's lockout-tagout procedure before "
    "it is opened."
)
_IN_A_ROW = 3  # readings that were not normal, after which one is no slip of the pen
_FILTER_CARE = "The clean side is filled and vented first, or the oil pressure drops."


def strainer_items(here: AtPump) -> Iterator[DueItem]:
    """Yield the next cleaning of each strainer and filter."""
    for dirt in dirt_of(here.pump):
        readings = readings_of(here.ledger, here.pump, dirt, here.care, here.now)
        yield _item(here, dirt, readings)


def _item(here: AtPump, dirt: Dirt, readings: list[Entry]) -> DueItem:
    last = here.care.last(dirt.deed, dirt.place)
    forecast = next_cleaning(here.desk, here.ledger, here.pump, dirt, readings, last, here.now)
    clean = clean_view(here.pump, dirt, readings, here.care)
    strainer = dirt.deed == STRAINER_CLEANED
    what = f"{dirt.place} strainer" if strainer else "oil filter"
    duplex = dirt.strainer is not None and dirt.strainer.duplex
    verb = "Change over and clean" if duplex or not strainer else "Clean"
    past = _past_limit(here, dirt)
    coming: State = here.state(forecast.when) if forecast.when else "later"
    state: State = "overdue" if past else coming
    return item(
        here,
        kind="strainer" if strainer else "oil filter",
        title=f"{verb} the {what}",
        sentence=past.sentence if past else forecast.sentence,
        state=state,
        due_at=forecast.when,
        place=dirt.place,
        deed=dirt.deed,
        procedure="strainer-cleaning" if strainer else "oil-filter-changeover",
        caution=_CARE if strainer else _FILTER_CARE,
        source=forecast.limit.source if forecast.limit else point_kind(dirt.point).how,
        remarks=(clean.sentence,) if clean.worse else (),
    )


def _past_limit(here: AtPump, dirt: Dirt) -> Last | None:
    """Return the last reading where it is past a limit to act on.

    One that may be a slip of the pen counts once others before it said the same.
    """
    last = here.board.last.get(dirt.point)
    if last is None or last.severity not in (Severity.ACT, Severity.STOP):
        return None
    return last if last.plausible or last.uneasy >= _IN_A_ROW else None
