"""Who saw it and when: what every entry carries, whichever door it came through."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from gaugewalk.errors import ArgumentError, ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.journal.ledger import Ledger

# A clock ahead of ours by more than this is wrong: its entries are dated now, and it is noted.
_AHEAD = timedelta(minutes=5)
_LONGEST_NAME = 80
# Outside these no clock was right, and a time zone could lead out of what a date can be.
_FIRST, _LAST = datetime(1970, 1, 1, tzinfo=UTC), datetime(9999, 12, 30, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """Id, name and times of an entry about to be made."""

    id: UUID
    who: str
    seen_at: datetime
    now: datetime
    clock_said: str | None = None  # by a clock that was ahead
    made_here: bool = False  # the id is new: what it signs cannot have come before

    def entry(self, kind: str, body: Mapping[str, Any], **fields: Any) -> Entry:
        """Make an entry signed with this stamp."""
        said = {"clock_said": self.clock_said} if self.clock_said else {}
        return Entry(
            id=self.id,
            kind=kind,
            who=self.who,
            seen_at=self.seen_at,
            body={**body, **said},
            **fields,
        )

    def another(self) -> "Stamp":
        """Return the same stamp with a new id, for an entry that follows from this one."""
        return Stamp(
            id=new_id(self.now),
            who=self.who,
            seen_at=self.seen_at,
            now=self.now,
            made_here=True,
        )


def stamp(
    who: str, *, now: datetime, seen_at: datetime | None = None, id: UUID | None = None
) -> Stamp:
    """Make a stamp; an entry without a time of its own was seen now.

    Raises
    ------
    ArgumentError
        For an empty or very long name, a time without its zone, or one before 1970.

    Examples
    --------
    >>> noon = datetime(2025, 11, 3, 12, tzinfo=UTC)
    >>> stamp(" r.  vale ", now=noon).who
    'r. vale'
    >>> ahead = stamp("r. vale", now=noon, seen_at=noon + timedelta(hours=2))
    >>> ahead.seen_at == noon, ahead.clock_said
    (True, '2025-11-03T14:00:00+00:00')
    """
    name = " ".join(who.split())
    if not name or len(name) > _LONGEST_NAME:
        raise ArgumentError(
            f"who = {who[:20]!r}; expected a name or a watch of 1 to {_LONGEST_NAME} characters."
        )
    seen = now if seen_at is None else seen_at
    if seen.tzinfo is None or now.tzinfo is None:
        raise ArgumentError(
            f"seen_at = {seen.isoformat()} has no time zone; write it as in "
            f"{now.astimezone(UTC).isoformat(timespec='minutes')}."
        )
    if not _FIRST <= seen <= _LAST:
        raise ArgumentError(f"seen_at = {seen.isoformat()}; expected a time from 1970 to now.")
    ahead = seen > now + _AHEAD
    return Stamp(
        id=id or new_id(now),
        who=name,
        seen_at=now if ahead else seen,
        now=now,
        clock_said=seen.astimezone(UTC).isoformat() if ahead else None,
        made_here=id is None,
    )


def sent_before(ledger: Ledger, draft: Entry) -> Entry | None:
    """Return the entry that was stored when this draft came the first time, if it came before.

    A draft is what the door sent; what was stored may say more, such as the verdict.

    Raises
    ------
    ConflictError
        The id is known, but with something else.
    """
    stored = ledger.find([draft.id]).get(draft.id)
    if stored is None or _is_of(stored, draft):
        return stored
    raise ConflictError(
        f"The record {draft.id} is in the journal with other content (by {stored.who}, "
        f"{stored.entered or stored.kind}). Send this one under a new id, or as a correction."
    )


def _is_of(stored: Entry, draft: Entry) -> bool:
    said = "clock_said" in draft.body  # its time was set to now, which differs each time it is sent
    names = ["kind", "tag", "point", "entered", "who", "corrects", *([] if said else ["seen_at"])]
    return all(getattr(stored, name) == getattr(draft, name) for name in names) and all(
        stored.body.get(key) == value for key, value in draft.body.items()
    )
