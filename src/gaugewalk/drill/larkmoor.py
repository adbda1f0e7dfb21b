"""Make the Larkmoor Oilseed Works: its plant file, and a journal with two months of rounds.

The history is entered through the same use cases that a person's entries go through, so that each
reading was judged when it was taken and each trouble opened when it showed.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from uuid import UUID

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.drill.history import records
from gaugewalk.drill.seen import Record
from gaugewalk.errors import ArgumentError, FileError
from gaugewalk.journal.store import Journal
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.plant_file import check_plant_text
from gaugewalk.plant.pump import Plant
from gaugewalk.watch import correct, record, take, trouble, upkeep
from gaugewalk.watch.board import Board, OpenTrouble
from gaugewalk.watch.deeds import DEEDS
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.form import is_kept
from gaugewalk.watch.round_plan import Walked, plan_key, plan_named, pumps_of, walked_after
from gaugewalk.watch.sitting import Sitting, together
from gaugewalk.watch.stamp import Stamp, stamp

PLANT_NAME, JOURNAL_NAME = "plant.toml", "watch.db"
_QUIET_VISITS = 2  # all normal at so many visits in a row: a trouble that was dealt with is closed
_BY_ITSELF = ("not found", "nothing done; normal again at two visits in a row")


def plant_text() -> str:
    """Return the plant file of Larkmoor."""
    return files("gaugewalk.drill").joinpath("larkmoor.toml").read_text(encoding="utf-8")


def larkmoor() -> Plant:
    """Return the plant."""
    plant, problems = check_plant_text(plant_text(), "larkmoor.toml")
    if plant is None:
        raise FileError("larkmoor.toml", problems)
    return plant


def create(
    folder: Path,
    *,
    now: datetime,
    seed: int = 7,
    days: int = 60,
    progress: Callable[[float], None] | None = None,
) -> Path:
    """Make the plant and its history in a folder; return the path of the plant file.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    now : datetime
        With its time zone; the history ends here.
    seed : int
        The same seed and now give the same readings.
    days : int
        How long the history is, 1 to 60.
    progress : callable, optional
        Called with the share done, 0 to 1.

    Raises
    ------
    ArgumentError
        There is a plant or a journal in the folder already, or days outside 1 to 60.
    """
    if not 1 <= days <= 60:
        raise ArgumentError(f"days = {days}; expected 1 to 60, as long as the stories go back.")
    path, journal_path = folder / PLANT_NAME, folder / JOURNAL_NAME
    for there in (path, journal_path):
        if there.exists():
            raise ArgumentError(f"{there} exists already; name another folder, or remove it first.")
    folder.mkdir(parents=True, exist_ok=True)
    plant = larkmoor()
    journal = Journal.open(journal_path)
    try:
        desk = Desk(plant=plant, journal=journal, knowledge=load_knowledge())
        is_kept(desk)
        write(desk, records(plant, now=now, seed=seed, days=days), progress=progress)
    finally:
        journal.close()
    # Last, so that a folder with a plant file is a demo made to its end.
    path.write_text(plant_text(), encoding="utf-8")
    return path


def write(
    desk: Desk, written: list[Record], *, progress: Callable[[float], None] | None = None
) -> None:
    """Enter records into the journal of a desk, in their order."""
    if not written:
        return
    with together(desk, written[0].seen_at) as work:
        clerk = _Clerk(desk=desk, work=work)
        for number, line in enumerate(written):
            clerk.enter(line)
            if progress is not None and number % 200 == 0:
                progress(number / len(written))
        clerk.leave()
    if progress is not None:
        progress(1.0)


@dataclass(slots=True, kw_only=True)
class _Clerk:
    """Enters one record after the other, and closes the troubles that were dealt with."""

    desk: Desk
    work: Sitting
    _at: str = ""  # the pump at hand
    _by: Stamp | None = None
    _rounds: dict[int, str] = field(default_factory=dict)
    _walked: dict[str, Walked] = field(default_factory=dict)
    _quiet: dict[str, int] = field(default_factory=dict)
    _cured: dict[str, tuple[str, str]] = field(default_factory=dict)
    _newest: UUID | None = None  # the reading entered last

    def enter(self, line: Record) -> None:
        """Enter one record."""
        if line.tag != self._at:
            self.leave()
        self._at = line.tag
        self._by = stamp(line.who, now=line.seen_at)
        _ENTER[line.kind](self, line, self._by)

    def leave(self) -> None:
        """Turn away from one pump, and close its trouble if that is over."""
        if not self._at or self._by is None:
            return
        board = self.work.board(self._at)
        calm = board.trouble is not None and _all_normal(board)
        self._quiet[self._at] = self._quiet.get(self._at, 0) + 1 if calm else 0
        if board.trouble is not None and self._quiet[self._at] >= _QUIET_VISITS:
            self._close(board, board.trouble, self._by)

    def _close(self, board: Board, open_one: OpenTrouble, by: Stamp) -> None:
        later = [x for x in board.last.values() if x.seen_at > open_one.opened_at]
        if not later:
            return
        proof = max(later, key=lambda last: last.seen_at)
        cause, cure = self._cured.pop(self._at, _BY_ITSELF)
        self.work.flush()
        trouble.close_trouble(
            self.desk, open_one.id, cause=cause, cure=cure, proof=UUID(proof.id), by=by.another()
        )

    def _round(self, line: Record, by: Stamp) -> None:
        """Begin or finish a round, and store what was entered before."""
        self.work.flush()
        if line.point == "finished":
            round_id = self._rounds[line.round_no]
            body: dict[str, object] = {"round": round_id, "step": "finished", "name": line.text}
        else:
            tags = [pump.tag for pump in pumps_of(self.desk, plan_named(self.desk, line.text))]
            self._rounds[line.round_no] = str(by.id)
            body = {"round": str(by.id), "step": "begun", "name": line.text, "tags": tags}
        entry = self.work.add(by.entry("round", body))
        walked = walked_after(self._walked.get(line.text, Walked()), entry)
        self._walked[line.text] = walked
        self.work.keep(plan_key(line.text), walked.to_json())

    def _reading(self, line: Record, by: Stamp) -> None:
        if line.corrects and self._newest is not None:
            self.work.flush()
            correct.correct(self.desk, self._newest, line.text, by, why="slip of the pen")
            return
        quantity = take.read_text(self.desk, line.tag, line.point, line.text)
        round_id = self._rounds.get(line.round_no)
        judged = take.take_into(self.work, line.tag, line.point, quantity, by, round_id=round_id)
        self._newest = judged.entry.id

    def _skipped(self, line: Record, by: Stamp) -> None:
        round_id = self._rounds.get(line.round_no)
        record.skip(self.desk, line.tag, line.point, line.text, by, round_id=round_id)

    def _observation(self, line: Record, by: Stamp) -> None:
        record.observe(self.desk, line.tag, line.finding, line.present, by)

    def _note(self, line: Record, by: Stamp) -> None:
        record.note(self.desk, line.tag, line.text, by)

    def _event(self, line: Record, by: Stamp) -> None:
        record.event(self.desk, line.tag, line.text, by)

    def _care(self, line: Record, by: Stamp) -> None:
        """Record care without the looks that must follow it: nobody is there to take them."""
        pump, quantity = self.desk.pump(line.tag), upkeep.amount_of(line.what, line.amount)
        upkeep.keep(
            self.work, pump, line.what, by,
            place=line.place, quantity=quantity, found=line.text, ask=False,
        )  # fmt: skip
        if line.cause:
            self._cured[line.tag] = (line.cause, f"{DEEDS[line.what].words}: {line.text}")

    def _action(self, line: Record, by: Stamp) -> None:
        open_one = self.work.board(line.tag).trouble
        trouble.act(
            self.desk,
            line.tag,
            open_one.id if open_one else None,
            line.text,
            by,
            trial=line.trial,
            result=line.result,
        )
        if line.cause:
            self._cured[line.tag] = (line.cause, line.text)


_ENTER: dict[str, Callable[[_Clerk, Record, Stamp], None]] = {
    "round": _Clerk._round,
    "reading": _Clerk._reading,
    "skipped": _Clerk._skipped,
    "observation": _Clerk._observation,
    "note": _Clerk._note,
    "event": _Clerk._event,
    "action": _Clerk._action,
    "care": _Clerk._care,
}


def _all_normal(board: Board) -> bool:
    return all(last.severity == Severity.NORMAL for last in board.last.values())
