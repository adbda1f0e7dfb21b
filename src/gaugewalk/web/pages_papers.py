"""Pages that are printed or looked at by the shift lead: work request, quality of rounds."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gaugewalk.watch.quality import RoundQuality, coverage, remarks
from gaugewalk.watch.work_request import WorkRequest
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown, span_of


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRequestPage:
    """One work request with its pictures."""

    frame: Frame
    request: WorkRequest
    charts: tuple[Markup, ...]
    closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundRow:
    """One round: when, how long, what was taken, what is worth a second look."""

    href: str
    name: str
    when: str
    took: str
    coverage: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundsPage:
    """The last rounds, the newest first."""

    frame: Frame
    days: int
    rounds: tuple[RoundRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing to choose, with what it is good for."""

    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportPage:
    """Tables to take along."""

    frame: Frame
    since: str
    tables: tuple[Choice, ...]
    forms: tuple[Choice, ...]
    tags: tuple[Choice, ...]


_TABLES = (
    ("readings", "Readings, each with its unit, its word and what was typed"),
    ("troubles", "Troubles, with cause and cure"),
    ("rounds", "Rounds, with what was taken and what was not"),
)
_FORMS = (
    ("csv", "CSV, for any program"),
    ("xlsx", "XLSX, for a spreadsheet"),
    ("json", "JSON, for a program"),
    ("parquet", "Parquet, for a large table"),
)


def export_page(frame: Frame, since: str, tags: Sequence[tuple[str, str]]) -> ExportPage:
    """Build the page of tables to take along."""
    return ExportPage(
        frame=frame,
        since=since,
        tables=tuple(Choice(value=value, words=words) for value, words in _TABLES),
        forms=tuple(Choice(value=value, words=words) for value, words in _FORMS),
        tags=tuple(Choice(value=value, words=words) for value, words in tags),
    )


def work_request_page(
    frame: Frame, request: WorkRequest, charts: Sequence[str], *, closed: bool
) -> WorkRequestPage:
    """Build the page of one work request."""
    # Made by our own chart; every text in it is escaped there.
    drawn = tuple(Markup(svg) for svg in charts if svg)  # noqa: S704
    return WorkRequestPage(frame=frame, request=request, charts=drawn, closed=closed)


def rounds_page(
    frame: Frame, found: Sequence[RoundQuality], shown: Shown, *, days: int
) -> RoundsPage:
    """Build the page of the last rounds."""
    return RoundsPage(
        frame=frame, days=days, rounds=tuple(_row(one, shown) for one in reversed(found))
    )


def _row(one: RoundQuality, shown: Shown) -> RoundRow:
    walk = one.walk
    took = span_of((walk.until - walk.begun_at).total_seconds())
    return RoundRow(
        href=f"/round/{walk.id}",
        name=walk.name,
        when=shown.clock(walk.begun_at),
        took=f"took {took}" if walk.finished else "not finished",
        coverage=coverage(one),
        remarks=tuple(remarks(one)),
    )
