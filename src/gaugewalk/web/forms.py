"""What a form sends, read and handed to the watch: the way without any script."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fastapi import Request

from gaugewalk.errors import ArgumentError, GaugewalkError
from gaugewalk.watch.service import Watch
from gaugewalk.watch.states import answers_of
from gaugewalk.web.fields import Typed

PRESENT = {"yes": True, "no": False, "unknown": None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """What could not be taken: at a field, or as a message for the whole page."""

    error: GaugewalkError
    typed: Typed | None = None

    @property
    def message(self) -> str:
        """The message where no field shows it."""
        return "" if self.typed else str(self.error)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """A form as it came in."""

    fields: Mapping[str, str]
    who: str
    now: datetime
    tag: str
    round_id: str | None = None

    def text(self, name: str) -> str:
        """Return a field's text without blanks around it."""
        return self.fields.get(name, "").strip()

    def uuid(self, name: str) -> UUID | None:
        """Return a field as an id; none where it is empty."""
        text = self.text(name)
        try:
            return UUID(text) if text else None
        except ValueError as error:
            raise ArgumentError(f"{name} = {text[:40]!r}; expected a UUID.") from error


async def fields_of(request: Request) -> dict[str, str]:
    """Return the text fields of a posted form."""
    async with request.form(max_files=0, max_fields=50) as form:
        return {name: value for name, value in form.items() if isinstance(value, str)}


def take(watch: Watch, sent: Sent) -> Rejected | None:
    """Hand a form to the watch; return what was wrong with it, with what was typed."""
    what = sent.text("what")
    taker = _TAKERS.get(what)
    if taker is None:
        return Rejected(error=ArgumentError(f"what = {what[:40]!r}; expected {_known()}."))
    try:
        taker(watch, sent)
    except GaugewalkError as error:
        return Rejected(error=error, typed=_typed(sent, error))
    return None


def _known() -> str:
    return ", ".join(_TAKERS)


def _typed(sent: Sent, error: GaugewalkError) -> Typed | None:
    """A field that was typed in shows the message beside it."""
    if sent.text("what") not in ("reading", "skip") or not sent.text("point"):
        return None
    return Typed(
        point=sent.text("point"),
        text=sent.fields.get("text", ""),
        unit=sent.text("unit"),
        message=str(error),
    )


def _reading(watch: Watch, sent: Sent) -> None:
    text = sent.text("text")
    if not text:
        raise ArgumentError("Nothing was typed. Type a number, or say why it was not taken.")
    corrected = sent.uuid("corrects")
    if corrected is not None:
        watch.correct(
            corrected,
            with_unit(text, sent.text("unit")),
            who=sent.who,
            now=sent.now,
            id=sent.uuid("id"),
            with_checks=False,  # the page asks for them by itself
        )
        return
    watch.take_reading(
        sent.tag,
        sent.text("point"),
        text,
        who=sent.who,
        seen_at=sent.now,
        now=sent.now,
        id=sent.uuid("id"),
        unit=sent.text("unit") or None,
        round_id=sent.round_id,
        with_checks=False,
    )


def with_unit(text: str, unit: str) -> str:
    """Add the chosen unit to a number typed without one.

    Examples
    --------
    >>> with_unit("2.8 to 4.1", "barg"), with_unit("45 psig", "barg"), with_unit("3,1", "")
    ('2.8 to 4.1 barg', '45 psig', '3,1')
    """
    return f"{text} {unit}" if unit and text[-1:].isdigit() else text


def _skip(watch: Watch, sent: Sent) -> None:
    watch.skip(
        sent.tag,
        sent.text("point"),
        sent.text("reason"),
        who=sent.who,
        seen_at=sent.now,
        now=sent.now,
        id=sent.uuid("id"),
        round_id=sent.round_id,
    )


def _observation(watch: Watch, sent: Sent) -> None:
    answer = sent.text("present")
    if answer not in PRESENT:
        raise ArgumentError(f"present = {answer[:20]!r}; expected yes, no or unknown.")
    watch.observe(
        sent.tag,
        sent.text("finding"),
        PRESENT[answer],
        who=sent.who,
        seen_at=sent.now,
        now=sent.now,
        with_checks=False,
    )


def _state(watch: Watch, sent: Sent) -> None:
    pump = watch.desk.pump(sent.tag)
    for finding, present in answers_of(pump, sent.text("look"), sent.text("words")).items():
        watch.observe(sent.tag, finding, present, who=sent.who, seen_at=sent.now, now=sent.now)


def _note(watch: Watch, sent: Sent) -> None:
    watch.note(sent.tag, sent.text("text"), who=sent.who, seen_at=sent.now, now=sent.now)


def _event(watch: Watch, sent: Sent) -> None:
    watch.event(sent.tag, sent.text("event"), who=sent.who, seen_at=sent.now, now=sent.now)


_TAKERS = {
    "reading": _reading,
    "skip": _skip,
    "observation": _observation,
    "state": _state,
    "note": _note,
    "event": _event,
}
