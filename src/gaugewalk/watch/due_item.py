"""Make one item of the due list at a pump."""

from typing import Any

from gaugewalk.watch.care_views import DueItem
from gaugewalk.watch.due_basis import AtPump


def item(here: AtPump, **values: Any) -> DueItem:
    """Return an item with the pump's tag, name and place in the walk."""
    pump = here.pump
    return DueItem(
        tag=pump.tag, name=pump.name, area=pump.area, walk_order=pump.walk_order, **values
    )
