"""The sections that tell of pumps: in trouble, under a remedy, to be watched."""

from collections.abc import Iterable, Iterator
from uuid import UUID

from gaugewalk.diagnose.diagnosis import Diagnosis
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.ahead import forecasts
from gaugewalk.watch.case import case_of, diagnosis_of
from gaugewalk.watch.handover_scene import Scene
from gaugewalk.watch.handover_view import Item
from gaugewalk.watch.pump_page import PAST
from gaugewalk.watch.telling import done_words, percent
from gaugewalk.watch.this_watch import uneasy_on
from gaugewalk.watch.trouble_past import earlier_of, line_of, lives_of, recurrence
from gaugewalk.watch.views import TroubleLine

_CAUSES = 3  # most likely ones that are named
_LEAST = 0.05  # probability under which a cause is not named
_CHECKS = 2
_AHEAD = 2  # forecasts told of one pump


def troubles(scene: Scene) -> list[Item]:
    """Return every pump in trouble by urgency, then in walking order."""
    found = []
    for tag, board in scene.boards.items():
        if board.trouble:
            lives = lives_of(scene.ledger, tag)
            line = line_of(scene.desk, tag, lives[board.trouble.id])
            found.append((line, earlier_of(scene.desk, tag, lives, line.id)))
    found.sort(key=lambda one: (-one[0].severity.rank, one[0].walk_order, one[0].tag))
    return [_trouble(scene, line, past) for line, past in found]


def _trouble(scene: Scene, line: TroubleLine, past: Iterable[TroubleLine]) -> Item:
    return Item(
        id=line.id,
        tag=line.tag,
        name=scene.name_of(line.tag),
        severity=line.severity.value,
        mark=f"since {scene.clock(line.opened_at)}",
        text=line.sentence,
        more=(
            *filter(None, [recurrence(line, past, scene.desk.zone)]),
            *_thought(scene, line),
            *_done(scene, line),
        ),
    )


def _thought(scene: Scene, line: TroubleLine) -> Iterator[str]:
    """Say what it may be, what would tell more, and what comes."""
    pump = scene.desk.pumps.get(line.tag)
    if pump is None:
        return
    case = case_of(scene.desk, scene.ledger, pump, scene.now, since=line.opened_at)
    found = diagnosis_of(scene.desk, case)
    yield from likely(found)
    checks = [check.ask for check in found.next_checks[:_CHECKS]]
    if checks:
        yield f"Would tell most: {' '.join(checks)}"
    yield from _ahead(scene, pump, line.points)


def likely(found: Diagnosis) -> Iterator[str]:
    """Name the most likely causes, or that none stands out."""
    named = [cause for cause in found.causes[:_CAUSES] if cause.probability >= _LEAST]
    told = "; ".join(f"{cause.title} ({percent(cause.probability)})" for cause in named)
    yield f"Most likely: {told}." if told else "No cause of the book stands out yet."


def _ahead(scene: Scene, pump: Pump, also: Iterable[str] = ()) -> Iterator[str]:
    """Say when the points that are not normal will reach a limit."""
    last = scene.boards[pump.tag].last
    points = {point for point, row in last.items() if row.severity != Severity.NORMAL} | set(also)
    rows = scene.ledger.glimpses(pump.tag, since=scene.now - PAST, until=scene.now, points=points)
    for one in forecasts(scene.desk, scene.ledger, pump, rows, scene.now)[:_AHEAD]:
        yield f"Ahead: {one.sentence}"


def _done(scene: Scene, line: TroubleLine) -> Iterator[str]:
    actions = scene.ledger.history(line.tag, since=line.opened_at, kinds=["action"])
    own = [entry for entry in actions if entry.body.get("trouble") == line.id]
    yield from (f"Done {words}" for words in done_words(own, scene.clock))


def remedies(scene: Scene) -> list[Item]:
    """Return every temporary remedy in force, with who put it there and when."""
    found = []
    for tag, board in scene.boards.items():
        for id, do in board.in_force.items():
            entry = scene.ledger.get(UUID(id))
            found.append(
                Item(
                    id=id,
                    tag=tag,
                    name=scene.name_of(tag),
                    text=do,
                    mark=f"since {scene.clock(entry.seen_at)}",
                    more=(f"By {entry.who}.",),
                )
            )
    return found


def to_watch(scene: Scene) -> list[Item]:
    """Return the pumps to keep an eye on, each with the number that says why."""
    own = {tag: board for tag, board in scene.boards.items() if tag in scene.desk.pumps}
    return [
        Item(
            id=f"watch {row.tag}",
            tag=row.tag,
            name=row.name,
            severity=row.severity.value,
            text=row.sentence,
            more=tuple(_ahead(scene, scene.desk.pumps[row.tag])),
        )
        for row in uneasy_on(scene.desk, own)
    ]
