"""A random month at three pumps, and a book of its own of what was opened and not yet ended."""

import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from uuid import UUID

from gaugewalk.errors import ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.service import Watch

from .watch_day import MORNING

TAGS = ("C1A", "C1B", "S3")
USUAL = {"C1A": 3.1, "C1B": 3.1, "S3": 1.2}
SHARES = (0.62, 0.75, 0.97, 1.0, 1.0, 1.0, 1.02)  # of the usual pressure, some of them bad


@dataclass
class Month:
    """What happens, and what must be told: kept apart from the program's own books."""

    watch: Watch
    dice: random.Random
    now: datetime = MORNING
    troubles: dict[str, str] = field(default_factory=dict)  # tag -> id
    remedies: dict[str, tuple[str, str | None]] = field(default_factory=dict)  # id -> tag, trouble
    follow_ups: set[str] = field(default_factory=set)
    lists: set[str] = field(default_factory=set)
    isolated: set[str] = field(default_factory=set)
    notes: set[str] = field(default_factory=set)
    limits: set[str] = field(default_factory=set)
    good: dict[str, UUID] = field(default_factory=dict)  # normal reading since the trouble

    def step(self) -> None:
        """Let one thing happen, some hours on."""
        self.now += timedelta(minutes=self.dice.randint(5, 860))
        self.dice.choice(STEPS)(self, self.dice.choice(TAGS))

    @property
    def stamp(self) -> dict[str, object]:
        return {"who": self.dice.choice(("r. vale", "s. marsh")), "now": self.now}

    def asked(self) -> set[str]:
        """Follow-ups in the journal that nobody answered, by a count of their entries."""
        entries = list(self.watch.journal.entries(kinds=["follow_up"]))
        answered = {e.body["follow_up"] for e in entries if e.body["step"] == "answered"}
        return {str(e.body["follow_up"]) for e in entries} - answered


def read(month: Month, tag: str) -> None:
    value = USUAL[tag] * month.dice.choice(SHARES)
    taken = month.watch.take_reading(tag, "discharge_pressure", f"{value:.3g}", **month.stamp)  # type: ignore[arg-type]
    if taken.trouble_id:
        month.troubles[tag] = taken.trouble_id
    if taken.verdict.severity is Severity.NORMAL:
        month.good[tag] = taken.entry.id
    else:
        month.good.pop(tag, None)


def notice(month: Month, tag: str) -> None:
    seen = month.dice.choice(("gland-smoke", "noise-hiss"))
    found = month.watch.observe(tag, seen, month.dice.random() < 0.5, **month.stamp)  # type: ignore[arg-type]
    if found.trouble_id:
        month.troubles[tag] = found.trouble_id
        month.good.pop(tag, None)


def complain(month: Month, tag: str) -> None:
    word = month.dice.choice((Severity.WATCH, Severity.ACT))
    month.troubles[tag] = month.watch.open_trouble(tag, "It rattles.", word, **month.stamp)  # type: ignore[arg-type]
    month.good.pop(tag, None)


def patch(month: Month, tag: str) -> None:
    trouble = month.troubles.get(tag) if month.dice.random() < 0.6 else None
    done = month.watch.act(tag, trouble, "Wedged", kind="temporary", **month.stamp)  # type: ignore[arg-type]
    month.remedies[str(done.id)] = (tag, trouble)


def advise(month: Month, tag: str) -> None:
    """Do what the knowledge names; where it says how to verify, it asks to look again."""
    actions = [a for c in month.watch.knowledge.causes.values() for a in c.actions]
    action = month.dice.choice([a for a in actions if a.verify and a.kind != "temporary"])
    tag = month.dice.choice(sorted(month.troubles) or [tag])
    trouble = month.troubles.get(tag)
    done = month.watch.act(tag, trouble, action.do, **month.stamp)  # type: ignore[arg-type]
    if done.body["action"] == "temporary":  # the same words are a temporary remedy elsewhere
        month.remedies[str(done.id)] = (tag, trouble)


def unpatch(month: Month, _tag: str) -> None:
    if month.remedies:
        id = month.dice.choice(sorted(month.remedies))
        tag, trouble = month.remedies.pop(id)
        open_one = trouble if month.troubles.get(tag) == trouble else None
        month.watch.act(tag, open_one, "Wedge out", ends=UUID(id), **month.stamp)  # type: ignore[arg-type]


def ask(month: Month, tag: str) -> None:
    due = month.now + timedelta(hours=month.dice.choice((1, 7, 30, 200)))
    month.watch.add_follow_up(tag, "Look again", due, **month.stamp)  # type: ignore[arg-type]


def answer(month: Month, _tag: str) -> None:
    if waiting := sorted(month.asked()):
        month.watch.answer_follow_up(month.dice.choice(waiting), "as it should", **month.stamp)  # type: ignore[arg-type]


def close(month: Month, _tag: str) -> None:
    proven = sorted(month.troubles.keys() & month.good.keys())
    if not proven:
        return
    tag = month.dice.choice(proven)
    held = any(trouble == month.troubles[tag] for _, trouble in month.remedies.values())
    given = {"cause": "found", "cure": "cured", "proof": month.good[tag]}
    try:
        month.watch.close_trouble(month.troubles[tag], **given, **month.stamp)  # type: ignore[arg-type]
    except ConflictError:
        assert held, "only a remedy in force may keep it open"
    else:
        assert not held
        del month.troubles[tag]


def begin_list(month: Month, tag: str) -> None:
    lists = month.watch.program.procedures(tag)
    run = month.watch.program.begin(month.dice.choice(lists).id, tag, **month.stamp)  # type: ignore[arg-type]
    month.lists.add(run.id)


def end_list(month: Month, _tag: str) -> None:
    if month.lists:
        id = month.dice.choice(sorted(month.lists))
        month.watch.program.break_off(id, reason="called away", left_as="as it was", **month.stamp)  # type: ignore[arg-type]
        month.lists.discard(id)


def isolate(month: Month, tag: str) -> None:
    out = tag in month.isolated
    month.watch.program.did(tag, "back in service" if out else "isolated", **month.stamp)  # type: ignore[arg-type]
    month.isolated ^= {tag}


def note(month: Month, tag: str) -> None:
    if month.notes and month.dice.random() < 0.4:
        id = month.dice.choice(sorted(month.notes))
        month.watch.note(None, "No longer so.", ends=UUID(id), **month.stamp)  # type: ignore[arg-type]
        month.notes.discard(id)
        return
    standing = month.dice.random() < 0.7
    written: Entry = month.watch.note(tag, "Mind the step.", standing=standing, **month.stamp)  # type: ignore[arg-type]
    if standing:
        month.notes.add(str(written.id))


def set_limit(month: Month, tag: str) -> None:
    given = {"point": "discharge_pressure", "why": "new duty", **month.stamp}
    if tag in month.limits:
        month.watch.program.restore_limit(tag, "watch_high", **given)  # type: ignore[arg-type]
    else:
        month.watch.program.change_limit(tag, "watch_high", "3.9 barg", **given)  # type: ignore[arg-type]
    month.limits ^= {tag}


STEPS: tuple[Callable[[Month, str], None], ...] = (
    read, read, read, read, notice, complain, patch, advise, advise, unpatch, unpatch, ask, answer,
    answer, close, close, begin_list, end_list, isolate, note, set_limit,
)  # fmt: skip


def without(watch: Watch, tag: str) -> Watch:
    """The same journal under a plant file that has lost a pump."""
    pumps = tuple(pump for pump in watch.plant.pumps if pump.tag != tag)
    return Watch(
        plant=replace(watch.plant, pumps=pumps), journal=watch.journal, knowledge=watch.knowledge
    )
