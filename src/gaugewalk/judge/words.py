"""The one sentence of a verdict, with numbers in the units of the point."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gaugewalk.judge.display import span
from gaugewalk.judge.limits import Limit
from gaugewalk.judge.normal import BAND
from gaugewalk.judge.plausible import Doubt
from gaugewalk.judge.verdict import Band, Change
from gaugewalk.plant.points import point_kind
from gaugewalk.units import Quantity, show


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Says things about one point in its own unit."""

    point: str
    unit: str
    barometric: float

    def value(self, value: float) -> str:
        """Write an SI value in the point's unit."""
        return show(value, self.unit, barometric=self.barometric)

    def between(self, low: float, high: float) -> str:
        """Write two SI values with their unit once."""
        return span(low, high, self.unit, barometric=self.barometric)

    def reading(self, quantity: Quantity) -> str:
        """Write the point's name and what was read, a swing with both ends."""
        label = point_kind(self.point).label
        if quantity.low is None or quantity.high is None:
            return f"{label} {self.value(quantity.value)}"
        return f"{label} {self.between(quantity.low, quantity.high)}"

    def beyond(self, quantity: Quantity, limit: Limit, band: Band | None) -> str:
        """Say which limit is passed, and what is usual here."""
        side = "below" if limit.side == "low" else "above"
        text = f"{self.reading(quantity)} is {side} the {limit.severity} limit "
        text += f"{self.value(limit.value)} ({limit.source})"
        usual = f"; {band.sentence}" if band and band.source == "own normal" else ""
        return f"{text}{usual}."

    def outside(self, quantity: Quantity, band: Band) -> str:
        """Say on which side of the usual band it is."""
        side = "below" if quantity.value < band.middle else "above"
        return f"{self.reading(quantity)} is {side} {band.sentence}."

    def far(self, quantity: Quantity, band: Band) -> str:
        """Say by how much it is beyond the usual band, and why that is for this shift."""
        side = "below" if quantity.value < band.middle else "above"
        times = abs(quantity.value - band.middle) / (BAND * band.scale)
        return (
            f"{self.reading(quantity)} is far {side} {band.sentence}: more than {int(times)} times "
            "as far from its middle as it usually goes, so act in this shift."
        )

    def inside(self, quantity: Quantity, band: Band | None, readings: int) -> str:
        """Say what it was compared to, or that there is nothing to compare it to."""
        if band is not None:
            return f"{self.reading(quantity)} is inside {band.sentence}."
        return (
            f"{self.reading(quantity)} is kept; there is no limit and no own normal yet "
            f"({readings} of 8 readings)."
        )

    def standing(self, quantity: Quantity) -> str:
        """Say that a standing pump is not judged by its running normal."""
        return f"{self.reading(quantity)}: the pump stands, so its running normal does not apply."

    def swing(self, quantity: Quantity, values: Sequence[float], band: Band | None) -> str:
        """Say between what it swings, and how wide it usually scatters."""
        text = f"{self.reading(quantity)} swings"
        if quantity.low is None and values:
            reach = self.between(min(values), max(values))
            text += f": the last {len(values)} readings jump to and fro, from {reach}"
        return f"{text}, compared with {band.sentence}." if band else f"{text}."

    def frozen(self, quantity: Quantity, run: int) -> str:
        """Say how often the same value came in a row."""
        return (
            f"{self.reading(quantity)} came {run} times in a row without moving, which this gauge "
            "does not usually do: is it stuck?"
        )

    def moved(
        self,
        quantity: Quantity,
        values: Sequence[float],
        change: Change,
        band: Band | None,
        *,
        below: bool,
    ) -> str:
        """Say from where to where it moved inside its band."""
        half = max(len(values) // 3, 1)
        before, after = np.median(values[:half]), np.median(values[-half:])
        usual = f", still inside {band.sentence}" if band else ""
        if change in ("step", "drift"):
            how = "has stepped" if change == "step" else "is drifting"
            moved = f" from about {self.between(float(before), float(after))}"
        else:
            side = "below" if below else "above"
            how = (
                f"has mostly been {side} its usual {self.value(band.middle)}" if band else "is off"
            )
            moved = ""
        return f"{self.reading(quantity)} {how}{moved} over the last {len(values)} readings{usual}."

    def doubted(self, doubt: Doubt, limit: str) -> str:
        """Ask for a second look; a limit that the value would pass is named with it."""
        again = "read again at once" if limit else "check the entry"
        stop = "" if doubt.words.endswith("?") else "."
        words = doubt.words[:1].upper() + doubt.words[1:]
        return f"{words}{stop} Please {again}. {limit}".strip()
