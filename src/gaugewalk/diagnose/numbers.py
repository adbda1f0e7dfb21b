"""What can be worked out from the readings: numbers with formula and source, and what they say."""

from dataclasses import dataclass

from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.evidence import Piece, soft
from gaugewalk.diagnose.reading_rules import logistic

# Judgement, no source: half the best flow and less is far below, a fifth above is far above.
FAR_BELOW, FAR_BELOW_SPREAD = 0.5, 0.06
FAR_ABOVE, FAR_ABOVE_SPREAD = 1.2, 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One worked-out number, in the unit shown."""

    quantity: str
    value: float
    unit: str
    formula: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedOut:
    """Numbers, the evidence they make, and what had to be left out."""

    numbers: tuple[Number, ...]
    pieces: tuple[Piece, ...]
    notes: tuple[str, ...]


def work_out(case: Case) -> WorkedOut:
    """Return what can be worked out from this case, and what could not and why."""
    numbers: list[Number] = []
    pieces: list[Piece] = []
    flow, rated = case.readings.get("flow"), case.rated.get("flow")
    if flow is not None and rated is not None and rated > 0:
        ratio = flow.value / rated
        numbers.append(
            Number(
                quantity="flow as a share of the rated flow",
                value=100.0 * ratio,
                unit="%",
                formula="Q / Q_rated",
                source="definition",
            )
        )
        text = f"flow at {100.0 * ratio:.0f} % of the rated flow"
        below = logistic((FAR_BELOW - ratio) / FAR_BELOW_SPREAD)
        above = logistic((ratio - FAR_ABOVE) / FAR_ABOVE_SPREAD)
        pieces.append(soft("flow-far-below-best", below, text, "worked out"))
        pieces.append(soft("flow-far-above-best", above, text, "worked out"))
    return WorkedOut(numbers=tuple(numbers), pieces=tuple(pieces), notes=())
