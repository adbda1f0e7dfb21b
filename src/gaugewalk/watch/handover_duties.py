"""The sections that tell of work: overdue, due, unfinished, changed, left out, noted."""

from collections.abc import Callable
from datetime import datetime

from gaugewalk.journal.entry import Entry
from gaugewalk.watch.care import Care, care_key
from gaugewalk.watch.care_views import DueItem
from gaugewalk.watch.deeds import ISOLATED
from gaugewalk.watch.due import due_view
from gaugewalk.watch.due_basis import moment
from gaugewalk.watch.follow_up import due_of
from gaugewalk.watch.handover_scene import Scene
from gaugewalk.watch.handover_view import Item
from gaugewalk.watch.limit_change import limits_view
from gaugewalk.watch.procedure_run import ENDED, UnderWay, run_of, under_way_key
from gaugewalk.watch.procedure_show import passed_holds
from gaugewalk.watch.quality import coverage, remarks, round_qualities
from gaugewalk.watch.round_plan import rounds_due
from gaugewalk.watch.telling import event_words, label_of
from gaugewalk.watch.views import FollowUp, RoundDue

# ------------------------------------------------------------------ what is due


def overdue(scene: Scene) -> list[Item]:
    """Return the checks and rounds that should have been made by now."""
    return _due(scene, lambda at: at < scene.now)


def due(scene: Scene) -> list[Item]:
    """Return the checks and rounds that come due before the next watch ends."""
    return _due(scene, lambda at: scene.now <= at <= scene.horizon)


def later(scene: Scene) -> list[Item]:
    """Return the checks that come due after the next watch."""
    return [_check(scene, row) for row in _checks(scene) if row.due_at > scene.horizon]


def _due(scene: Scene, inside: Callable[[datetime], bool]) -> list[Item]:
    checks = [(row.due_at, _check(scene, row)) for row in _checks(scene) if inside(row.due_at)]
    rounds = [
        (row.due_at, _round_due(scene, row))
        for row in rounds_due(scene.desk, scene.now)
        if inside(row.due_at)
    ]
    return [item for _, item in sorted([*checks, *rounds], key=lambda pair: pair[0])]


def care(scene: Scene) -> list[Item]:
    """Return what the program asks for: overdue, due, or due before the next watch ends."""
    asked: dict[tuple[str, bool], list[DueItem]] = {}
    for one in due_view(scene.desk, scene.now).items:
        soon = one.state == "soon" and one.due_at is not None and one.due_at <= scene.horizon
        if soon or one.state in ("overdue", "due"):
            asked.setdefault((one.tag, one.state == "overdue"), []).append(one)
    return [_care(scene, rows, late) for (_, late), rows in asked.items()]


def _checks(scene: Scene) -> list[FollowUp]:
    rows = [row for tag, board in scene.boards.items() for row in due_of(tag, board)]
    return sorted(rows, key=lambda row: row.due_at)


def _check(scene: Scene, row: FollowUp) -> Item:
    return Item(
        id=row.id,
        tag=row.tag,
        name=scene.name_of(row.tag),
        text=row.what,
        mark=scene.clock(row.due_at),
        late=row.due_at < scene.now,
    )


def _round_due(scene: Scene, row: RoundDue) -> Item:
    last = f"last begun {scene.clock(row.last_at)}" if row.last_at else "never walked yet"
    return Item(
        id=f"round {row.name}",
        text=f"Round {row.name}, {row.pumps} pumps; {last}.",
        mark=scene.clock(row.due_at),
        late=row.due_at < scene.now,
    )


def _care(scene: Scene, rows: list[DueItem], late: bool) -> Item:
    """Tell together what a pump asks for, so that the next watch makes one way of it."""
    first = min((row.due_at for row in rows if row.due_at), default=None)
    return Item(
        id=f"care {rows[0].tag} {'overdue' if late else 'due'}",
        tag=rows[0].tag,
        name=rows[0].name,
        text="; ".join(row.title for row in rows) + ".",
        mark=scene.clock(first) if first else "due",
        late=late,
        more=(" ".join(dict.fromkeys(row.sentence for row in rows)),),
    )


# ------------------------------------------------------------------ what is begun, what is changed


def unfinished(scene: Scene) -> list[Item]:
    """Return check-lists under way, rounds being walked and pumps that maintenance has."""
    lists = [_list(scene, tag, id) for tag in scene.boards for id in _under_way(scene, tag)]
    rounds = [
        Item(
            id=str(row.open_id), text=f"Round {row.name} is being walked.", mark=_begun(scene, row)
        )
        for row in rounds_due(scene.desk, scene.now)
        if row.open_id
    ]
    return [*lists, *_isolated(scene), *rounds]


def _begun(scene: Scene, row: RoundDue) -> str:
    return f"since {scene.clock(row.last_at)}" if row.last_at else ""


def _under_way(scene: Scene, tag: str) -> tuple[str, ...]:
    return UnderWay.from_json(scene.ledger.load_state(under_way_key(tag))).open


def _list(scene: Scene, tag: str, id: str) -> Item:
    run = run_of(scene.ledger, id)
    following = run.next_step
    return Item(
        id=id,
        tag=tag,
        name=scene.name_of(tag),
        text=f"{run.title}: {len(run.answers)} of {len(run.steps)} steps answered.",
        mark=f"since {scene.clock(run.begun_at)}",
        more=(
            f"Next: {following.text}" if following else "Every step is answered; it is not ended.",
            f"By {', '.join(run.who)}.",
            *passed_holds(run),
        ),
    )


def _isolated(scene: Scene) -> list[Item]:
    found = []
    for tag in scene.boards:
        care = Care.from_json(scene.ledger.load_state(care_key(tag)))
        out = care.last(ISOLATED)
        if care.isolated and out is not None:
            item = Item(
                id=out.id,
                tag=tag,
                name=scene.name_of(tag),
                text="Isolated for maintenance; not back in service.",
                mark=f"since {scene.clock(moment(out.at))}",
                more=(f"By {out.who}.",),
            )
            found.append(item)
    return found


def limits(scene: Scene) -> list[Item]:
    """Return the limits and data in force that are not those of the plant file."""
    changed = [tag for tag in scene.desk.pumps if scene.desk.changes.get(tag)]
    return [
        Item(
            id=f"{tag} {line.point or ''} {line.field}",
            tag=tag,
            name=scene.name_of(tag),
            text=f"{line.title}: {line.shown}; the plant file has {line.filed_shown}.",
            mark=f"since {scene.clock(line.changed_at)}",
            more=(f"By {line.changed_by}: {line.why}",),
        )
        for tag in changed
        for line in limits_view(scene.desk, tag, scene.now).lines
        if line.changed_at
    ]


def changes(scene: Scene) -> list[Item]:
    """Return what was started, stopped, done, set and corrected in this shift."""
    return [_entry(scene, entry) for entry in scene.recorded if _is_change(entry)]


def _is_change(entry: Entry) -> bool:
    if entry.kind == "action":
        return entry.body.get("trouble") is None
    if entry.kind == "procedure":
        return entry.body["step"] in ENDED or bool(entry.body.get("allowed_by"))
    return entry.kind in ("event", "correction", "limit")


def closed(scene: Scene) -> list[Item]:
    """Return the troubles that were closed in this shift, with cause and cure."""
    return [
        _entry(scene, entry)
        for entry in scene.recorded
        if entry.kind == "trouble" and entry.body["step"] == "closed"
    ]


def _entry(scene: Scene, entry: Entry) -> Item:
    return Item(
        id=str(entry.id),
        tag=entry.tag or "",
        name=scene.name_of(entry.tag) if entry.tag else "",
        text=event_words(entry),
        mark=scene.clock(entry.seen_at),
        more=(f"By {entry.who}.",),
    )


# ------------------------------------------------------------------ rounds and notes


def skipped(scene: Scene) -> list[Item]:
    """Return the points that were not taken in this shift, those of one reason together."""
    together: dict[tuple[str, str], list[Entry]] = {}
    for entry in scene.recorded:
        if entry.kind == "skipped":
            key = str(entry.tag), str(entry.body["reason"])
            together.setdefault(key, []).append(entry)
    return [
        Item(
            id=str(rows[0].id),
            tag=tag,
            name=scene.name_of(tag),
            text=f"{', '.join(dict.fromkeys(label_of(e.point) for e in rows))}: {reason}",
            mark=scene.clock(rows[-1].seen_at),
        )
        for (tag, reason), rows in together.items()
    ]


def rounds(scene: Scene) -> list[Item]:
    """Return how the rounds of this shift went; a quality of the round, not of a person."""
    found = round_qualities(scene.desk, scene.ledger, scene.began, scene.now)
    return [
        Item(
            id=one.walk.id,
            text=f"{one.walk.name}: {coverage(one)}",
            mark=scene.clock(one.walk.begun_at),
            more=tuple(remarks(one)),
        )
        for one in found
    ]


def notes(scene: Scene) -> list[Item]:
    """Return the standing notes, which are told until another note ends them."""
    written = list(scene.ledger.entries(kinds=["note"]))
    ended = {entry.body.get("ends") for entry in written}
    return [
        Item(
            id=str(entry.id),
            tag=entry.tag or "",
            name=scene.name_of(entry.tag) if entry.tag else "",
            text=str(entry.body["text"]),
            mark=scene.clock(entry.seen_at),
            more=(f"By {entry.who}.",),
        )
        for entry in written
        if entry.body.get("standing") and str(entry.id) not in ended
    ]
