"""What is seen, heard and felt at a visit, as large buttons in plain words."""

import json
from collections.abc import Mapping
from dataclasses import dataclass

from gaugewalk.plant.pump import Pump
from gaugewalk.watch.states import Look, looks_at


@dataclass(frozen=True, slots=True, kw_only=True)
class LookButton:
    """One answer."""

    words: str
    findings: str  # as JSON, for the phone
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LookLine:
    """One question with its answers."""

    id: str
    question: str
    caution: str
    buttons: tuple[LookButton, ...]


def look_lines(pump: Pump, answered: Mapping[str, str]) -> tuple[LookLine, ...]:
    """List what is looked at on a visit; what was answered already is pressed."""
    return tuple(_line(look, answered.get(look.id, "")) for look in looks_at(pump))


def _line(look: Look, chosen: str) -> LookLine:
    buttons = tuple(
        LookButton(
            words=choice.words,
            findings=json.dumps(dict(choice.findings)),
            chosen=choice.words == chosen,
        )
        for choice in look.choices
    )
    return LookLine(id=look.id, question=look.question, caution=look.caution, buttons=buttons)
