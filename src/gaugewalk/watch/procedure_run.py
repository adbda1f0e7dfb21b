"""A check-list being run: a fold over its entries, so that it can be gone on with by anyone.

The list is kept as it was when it was begun: what is changed in a file later changes no run.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from gaugewalk.errors import NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch.board import iso
from gaugewalk.watch.lookup import first_entry
from gaugewalk.watch.procedure_fit import FittedStep

DONE, SKIPPED, REOPENED = "done", "skipped", "reopened"
ENDED = ("finished", "broken off")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What became of a step."""

    state: str  # done, skipped
    who: str
    at: datetime
    reason: str = ""
    allowed_by: str = ""
    result: str = ""
    warnings: tuple[str, ...] = ()  # what to mind about what was done


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One list being run at a pump."""

    id: str
    procedure: str
    title: str
    caution: str
    sources: tuple[str, ...]
    tag: str
    steps: tuple[FittedStep, ...]
    begun_at: datetime
    who: tuple[str, ...]
    answers: Mapping[str, Answer] = field(default_factory=dict)
    ended: str = ""
    ended_at: datetime | None = None
    left_as: str = ""

    def step(self, key: str) -> FittedStep:
        """Return a step; NotFoundError where the list has none of that id."""
        found = next((step for step in self.steps if step.id == key), None)
        if found is None:
            known = ", ".join(step.id for step in self.steps)
            raise NotFoundError(f"{self.title} has no step {key[:40]!r}; it has {known}.")
        return found

    @property
    def next_step(self) -> FittedStep | None:
        """The first step without an answer, or none."""
        return next((step for step in self.steps if step.id not in self.answers), None)

    def hold_before(self, key: str) -> FittedStep | None:
        """Return the first hold before a step that nobody answered, or none."""
        for step in self.steps:
            if step.id == key:
                return None
            if step.hold and step.id not in self.answers:
                return step
        return None

    def since(self, key: str) -> datetime:
        """Return when the last answered step before this one was answered, or the begin."""
        at = self.begun_at
        for step in self.steps:
            if step.id == key:
                break
            answer = self.answers.get(step.id)
            at = max(at, answer.at) if answer else at
        return at

    def ready_at(self, key: str) -> datetime | None:
        """Return before when a step is too early; none where it asks for no waiting."""
        wait = self.step(key).wait
        return self.since(key) + timedelta(seconds=wait) if wait else None


def run_of(ledger: Ledger, run_id: str) -> Run:
    """Return a run as its entries have it; NotFoundError where there is none."""
    begun = first_entry(ledger, run_id, "procedure", "begun", "procedure under way")
    return fold_run(begun, ledger.history(begun.tag, since=begun.seen_at, kinds=["procedure"]))


def fold_run(begun: Entry, entries: Iterable[Entry]) -> Run:
    """Return a run after its entries."""
    body = begun.body
    run = Run(
        id=str(begun.id),
        procedure=str(body["procedure"]),
        title=str(body["title"]),
        caution=str(body["caution"]),
        sources=tuple(body["sources"]),
        tag=str(begun.tag),
        steps=tuple(_step_of(row) for row in body["steps"]),
        begun_at=begun.seen_at,
        who=(begun.who,),
    )
    for entry in entries:
        if entry.body["run"] == run.id and entry.id != begun.id:
            run = _after(run, entry)
    return run


def _after(run: Run, entry: Entry) -> Run:
    step, key = str(entry.body["step"]), str(entry.body.get("key", ""))
    run = replace(run, who=tuple(dict.fromkeys((*run.who, entry.who))))
    if step in ENDED:
        left_as = str(entry.body.get("left_as", ""))
        return replace(run, ended=step, ended_at=entry.seen_at, left_as=left_as)
    if step == REOPENED:
        kept = {other: answer for other, answer in run.answers.items() if other != key}
        return replace(run, answers=kept)
    answer = Answer(
        state=step,
        who=entry.who,
        at=entry.seen_at,
        reason=str(entry.body.get("reason", "")),
        allowed_by=str(entry.body.get("allowed_by", "")),
        result=str(entry.body.get("result", "")),
        warnings=tuple(entry.body.get("warnings", ())),
    )
    return replace(run, answers={**run.answers, key: answer})


def step_json(step: FittedStep) -> dict[str, Any]:
    """Return a step as plain values, without what is empty."""
    return {name: value for name, value in asdict(step).items() if value not in ("", (), 0.0)}


def _step_of(row: Mapping[str, Any]) -> FittedStep:
    empty: dict[str, Any] = {"text": "", "caution": "", "who": "", "tag": "", "look": False}
    values = {key: tuple(v) if isinstance(v, list) else v for key, v in row.items()}
    return FittedStep(**(empty | values))


# ------------------------------------------------------------------ which are under way


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """Runs not ended at one pump, and when each list was last finished: a projection."""

    open: tuple[str, ...] = ()
    finished: Mapping[str, str] = field(default_factory=dict)

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return {"open": list(self.open), "finished": dict(self.finished)}

    @classmethod
    def from_json(cls, data: Mapping[str, Any] | None) -> "UnderWay":
        """Return what `to_json` wrote."""
        return cls(open=tuple(data["open"]), finished=data["finished"]) if data else cls()


def under_way_key(tag: str) -> str:
    """Return the key under which the runs of a pump are kept."""
    return f"procedures/{tag}"


def under_way_after(before: UnderWay, entry: Entry) -> UnderWay:
    """Return what is under way after one more `procedure` entry of a pump."""
    run_id, step = str(entry.body["run"]), entry.body["step"]
    if step == "begun":
        return replace(before, open=(*before.open, run_id))
    if step not in ENDED:
        return before
    rest = tuple(one for one in before.open if one != run_id)
    if step != "finished":
        return replace(before, open=rest)
    name = str(entry.body["procedure"])
    return UnderWay(open=rest, finished={**before.finished, name: iso(entry.seen_at)})
