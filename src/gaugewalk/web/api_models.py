"""What programs send and get under /api/v1/; every text and number is bounded."""

from typing import Annotated, Any
from uuid import UUID

from pydantic import AwareDatetime, BaseModel, BeforeValidator, ConfigDict, Field

Short = Annotated[str, Field(min_length=1, max_length=80)]
Words = Annotated[str, Field(min_length=1, max_length=2000)]


def _only_text(value: object) -> object:
    """A number would be taken as seconds since 1970, which nobody means."""
    if not isinstance(value, str):
        raise ValueError("expected a text such as 2025-11-20T09:30:00+01:00")
    return value


Moment = Annotated[AwareDatetime, BeforeValidator(_only_text)]


class Told(BaseModel):
    """What every record carries: who, when, and an id made where the thing was seen."""

    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)

    id: UUID | None = Field(
        default=None, description="Made by the sender; the same id twice is one record."
    )
    who: Short | None = Field(default=None, description="Else the name kept in the cookie.")
    seen_at: Moment | None = Field(
        default=None, description="When it was seen, with its time zone; else now."
    )


class ReadingIn(Told):
    """A reading as it was typed."""

    tag: Short
    point: Short
    text: Short = Field(description='A number, a swing ("2.8 to 4.1"), with or without a unit.')
    unit: Short | None = Field(default=None, description="Unit of a bare number.")
    round: UUID | None = None


class ObservationIn(Told):
    """A finding that was seen, not there, or could not be looked at (null)."""

    tag: Short
    finding: Short
    present: bool | None
    note: Annotated[str, Field(max_length=2000)] = ""


class SkipIn(Told):
    """A point that was not taken, because…"""

    tag: Short
    point: Short
    reason: Annotated[str, Field(min_length=1, max_length=200)]
    round: UUID | None = None


class NoteIn(Told):
    """Something worth writing down."""

    tag: Short
    text: Words


class ActionIn(Told):
    """An action of a trouble that was done."""

    trouble: UUID
    do: Words


class CorrectionIn(Told):
    """A reading that was wrong, with what it should have been; both stay."""

    corrects: UUID
    text: Short
    unit: Short | None = None


class EventIn(Told):
    """A pump was started, stopped or overhauled."""

    tag: Short
    event: Short


class FollowUpAnswerIn(Told):
    """What was found when something was looked at again."""

    follow_up: UUID
    result: Annotated[str, Field(min_length=1, max_length=300)]


class RecheckIn(Told):
    """Something to look at again in a while."""

    tag: Short
    what: Annotated[str, Field(min_length=1, max_length=300)]
    in_seconds: Annotated[float, Field(ge=60, le=7 * 86400)]


class FinishIn(Told):
    """A round that is finished; points left open need a reason."""

    round: UUID
    reason: Annotated[str, Field(max_length=200)] = ""


class ClockIn(Told):
    """By how much a phone's clock was wrong."""

    ahead: Annotated[float, Field(ge=-1e10, le=1e10)] = Field(
        description="Seconds by which it was ahead of the clock here; negative: behind."
    )


class ProblemOut(BaseModel):
    """An error: what was wrong, what was given, what is expected, what to do."""

    error: str
    given: str
    expected: str
    do: str


class TakenOut(BaseModel):
    """What became of a reading."""

    id: UUID
    tag: str
    point: str
    value: float = Field(description="SI; pressures absolute.")
    low: float | None
    high: float | None
    unit: str
    shown: str = Field(description="As a page writes it, in the point's own unit.")
    verdict: dict[str, Any]
    trouble: str | None
    extra_checks: list[dict[str, Any]]


class KeptOut(BaseModel):
    """A record was written down."""

    id: UUID
    kind: str
    tag: str | None


class BatchOut(BaseModel):
    """One answer for each record of a batch, in order; a bad one does not stop the others."""

    results: list[TakenOut | ProblemOut]
    refused: int
