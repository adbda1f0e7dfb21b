"""A large plant for measuring: 2,000 pumps, of which a few have three years of history.

Larkmoor's 25 pumps stand here many times over, block by block, each block with its own tags, areas
and rounds. The entries are those of the demo plant, which were judged one by one as a person's
are; they are copied with new ids, and the projections with them. Some pumps get the same 60 days
again and again, back to three years ago.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import islice
from pathlib import Path
from typing import Any
from uuid import UUID

from gaugewalk.drill.larkmoor import create, plant_text
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.store import Journal
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.form import form

DAYS = 30  # of the demo plant's history
LATELY = timedelta(days=2)  # how much of it every block has
OLD_TAGS = ("W21A", "B11A", "E21A")  # pumps of the first block with a long history
TROUBLED_EVERY = 8  # blocks; in the others only the pumps without a trouble were ever read
AT_ONCE = 2000  # entries added in one transaction
_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_LOW_62 = (1 << 62) - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Works:
    """Where the plant and its journal are, and which pumps are worth measuring."""

    plant: Path
    journal: Path
    pumps: int
    old_tags: tuple[str, ...]
    entries: int


def block_name(block: int) -> str:
    """Return what a block is called."""
    return f"{block + 1:02d}"


def tag_in(block: int, tag: str) -> str:
    """Return the tag of a pump in a block."""
    return f"{tag}-{block_name(block)}"


def make(folder: Path, *, now: datetime, blocks: int = 80, years: float = 3.0) -> Works:
    """Make the plant file and the journal in a folder; what is there already is used again."""
    folder.mkdir(parents=True, exist_ok=True)
    base = folder / "base"
    if not (base / "plant.toml").exists():
        create(base, now=now, days=DAYS)
    plant, file = folder / "plant.toml", folder / "watch.db"
    if not plant.exists():
        file.unlink(missing_ok=True)
        _fill(base / "watch.db", file, blocks, years)
        plant.write_text(large_plant_text(blocks), "utf-8")
    journal = Journal.open(file)
    entries = journal.last_seq()
    journal.close()
    return Works(
        plant=plant,
        journal=file,
        pumps=25 * blocks,
        old_tags=tuple(tag_in(0, tag) for tag in OLD_TAGS),
        entries=entries,
    )


def large_plant_text(blocks: int) -> str:
    """Return the plant file: every block has its own pumps and one round over them."""
    head, first, pumps = plant_text().partition("\n[[pump]]")
    plant = head.partition("\n[[round]]")[0]
    areas = list(dict.fromkeys(re.findall(r'^area = "(.+)"$', pumps, flags=re.MULTILINE)))
    rounds, texts = [], []
    for block in range(blocks):
        name = block_name(block)
        listed = ", ".join(f'"{area} {name}"' for area in areas)
        rounds.append(f'\n[[round]]\nname = "block {name}"\nevery = "4 h"\nareas = [{listed}]\n')
        texts.append(_renamed(first + pumps, block))
    return "\n".join([plant, *rounds, *texts])


def _renamed(text: str, block: int) -> str:
    name = block_name(block)
    text = re.sub(r'^(tag|partner) = "(.+)"$', rf'\1 = "\2-{name}"', text, flags=re.MULTILINE)
    text = re.sub(r'^area = "(.+)"$', rf'area = "\1 {name}"', text, flags=re.MULTILINE)
    return re.sub(
        r"^walk_order = (\d+)$",
        lambda found: f"walk_order = {1000 * block + int(found[1])}",
        text,
        flags=re.MULTILINE,
    )


# ------------------------------------------------------------------ the journal


def _fill(base: Path, file: Path, blocks: int, years: float) -> None:
    source, journal = Journal.open(base), Journal.open(file)
    entries = [entry for entry in source.entries() if entry.kind != "round"]
    states = {k: v for k, v in source.load_states("").items() if not k.startswith("plan/")}
    newest = max(entry.seen_at for entry in entries)
    lately = [entry for entry in entries if entry.seen_at >= newest - LATELY]
    old = [entry for entry in entries if entry.tag in OLD_TAGS]
    troubled = {tag for tag in _tags(states) if _is_troubled(states[board_key(tag)])}
    for back in range(round(years * 365 / DAYS) - 1, -1, -1):
        copier = _Copier(block=0, salt=1 + back, back=timedelta(days=DAYS * back))
        _append(journal, map(copier.entry, old))
    for block in range(blocks):
        copier = _Copier(block=block, salt=1 if block == 0 else 1000 + block)
        out = set(OLD_TAGS) if block == 0 else set()
        skipped = troubled if block % TROUBLED_EVERY else set()
        _append(journal, (copier.entry(e) for e in lately if e.tag not in out | skipped))
        kept = {key: body for key, body in states.items() if key.split("/")[1] not in skipped}
        with journal.writing() as ledger:
            ledger.save_states(dict(copier.state(key, body) for key, body in kept.items()))
    with journal.writing() as ledger:
        ledger.note_form(form())
    source.close()
    journal.close()


def _tags(states: Mapping[str, Any]) -> set[str]:
    prefix = board_key("")
    return {key.removeprefix(prefix) for key in states if key.startswith(prefix)}


def _is_troubled(board: Mapping[str, Any]) -> bool:
    return Board.from_json(board).severity is not Severity.NORMAL


def _append(journal: Journal, entries: Iterator[Entry]) -> None:
    while batch := list(islice(entries, AT_ONCE)):
        journal.append(batch, recorded_at=batch[-1].seen_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Copier:
    """Copies what belongs to Larkmoor into a block: new ids, its tags, and as long ago as asked."""

    block: int
    salt: int
    back: timedelta = timedelta(0)

    def entry(self, old: Entry) -> Entry:
        """Return an entry of the block."""
        return replace(
            old,
            id=self._id(old.id),
            tag=tag_in(self.block, old.tag) if old.tag else None,
            corrects=self._id(old.corrects) if old.corrects else None,
            seen_at=old.seen_at - self.back,
            body=self._renewed(old.body),
            recorded_at=None,
            seq=0,
        )

    def state(self, key: str, body: Mapping[str, Any]) -> tuple[str, Any]:
        """Return a projection of the block."""
        kind, tag, *more = key.split("/")
        return "/".join([kind, tag_in(self.block, tag), *more]), self._renewed(body)

    def _renewed(self, body: Any) -> Any:
        """Return the body with every id in it made anew."""
        if isinstance(body, Mapping):
            return {self._renewed(key): self._renewed(value) for key, value in body.items()}
        if isinstance(body, str) and len(body) == 36 and _ID.fullmatch(body):
            return str(self._id(UUID(body)))
        return body

    def _id(self, old: UUID) -> UUID:
        return UUID(int=old.int ^ (self.salt * 0x9E3779B97F4A7C15 & _LOW_62))
