"""What a handover says: sections of items, remarks of the outgoing, and two signatures.

All texts are ready to be shown, in the plant's time; the page, the paper and the plain text show
the same ones.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

GENERAL = "general"  # the remark that belongs to no section


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing the next watch must know.

    `id` is of the trouble, the follow-up or the entry that it tells of. `mark` is what stands in
    the margin: a time, or the word of a severity where there is one.
    """

    id: str
    text: str
    tag: str = ""
    name: str = ""
    severity: str = ""
    mark: str = ""
    late: bool = False
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """What the outgoing added in own words."""

    text: str
    who: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Items of one kind; an empty one says so, because silence could mean that nobody looked."""

    id: str
    title: str
    items: tuple[Item, ...] = ()
    remark: Remark | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """Who signed and when; the incoming also which troubles were read, and what they say."""

    id: str
    who: str
    at: datetime
    read: tuple[str, ...] = ()
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover:
    """The handover of one shift, open, signed by the outgoing, or taken over.

    `news` is what came up after it was signed; `gone` what no longer stands. `to_read` are the
    troubles that the incoming confirms one by one.
    """

    plant: str
    time_zone: str
    began_at: datetime
    ends_at: datetime
    written_at: datetime
    sections: tuple[Section, ...]
    general: Remark | None = None
    signed: Signature | None = None
    taken: Signature | None = None
    news: tuple[Item, ...] = ()
    gone: tuple[Item, ...] = ()
    to_read: tuple[Item, ...] = ()

    def section(self, id: str) -> Section:
        """Return one section."""
        return next(section for section in self.sections if section.id == id)


def to_json(handover: Handover) -> dict[str, Any]:
    """Return plain values; times in ISO 8601."""
    plain: dict[str, Any] = _plain(asdict(handover))
    return plain


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    return [_plain(one) for one in value] if isinstance(value, list | tuple) else value


def sections_json(sections: tuple[Section, ...]) -> list[dict[str, Any]]:
    """Return sections as they are kept with a signature."""
    kept: list[dict[str, Any]] = _plain([asdict(section) for section in sections])
    return kept


def sections_from(rows: list[dict[str, Any]]) -> tuple[Section, ...]:
    """Return what `sections_json` wrote."""
    return tuple(
        Section(
            id=row["id"],
            title=row["title"],
            items=tuple(Item(**{**one, "more": tuple(one["more"])}) for one in row["items"]),
            remark=remark_from(row["remark"]),
        )
        for row in rows
    )


def remark_from(row: Mapping[str, Any] | None) -> Remark | None:
    """Return a remark as it was kept, or none."""
    return Remark(**row) if row else None
