"""Lists and runs as the doors show them."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.deed_places import places_at
from gaugewalk.watch.deeds import DEEDS
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.point_views import Span, point_views
from gaugewalk.watch.procedure import Procedure, Procedures, Setting
from gaugewalk.watch.procedure_fit import (
    Fitted,
    FittedStep,
    fitted,
    lists_for,
    must_fit,
    settings_for,
)
from gaugewalk.watch.procedure_run import Answer, Run, UnderWay, run_of, under_way_key
from gaugewalk.watch.procedure_views import (
    ProcedureLine,
    ProcedureView,
    RunLine,
    RunView,
    StepState,
    StepView,
)
from gaugewalk.watch.views import PointView

_STATES: Mapping[str, StepState] = {"done": "done", "skipped": "skipped"}


def procedure_lines(book: Procedures, pump: Pump | None = None) -> tuple[ProcedureLine, ...]:
    """Return the lists, those that fit a pump where one is named."""
    lists = lists_for(book, pump) if pump else tuple(book.lists.values())
    return tuple(_line(book, one) for one in lists)


def _line(book: Procedures, one: Procedure) -> ProcedureLine:
    return ProcedureLine(
        id=one.id,
        title=one.title,
        group=one.group,
        when=one.when,
        who=one.who,
        steps=len(one.steps),
        own=one.own,
        sources=tuple(book.sources[key] for key in one.sources),
    )


def procedure_view(desk: Desk, id: str, tag: str | None) -> ProcedureView:
    """Return a list as text; at a pump with the runs of it that are under way there.

    Raises
    ------
    NotFoundError
        There is no such list or pump.
    ArgumentError
        The list does not fit the pump.
    """
    if tag is None:
        return list_view(desk.procedures, id, None, None)
    pump = desk.pump(tag)
    must_fit(desk.procedures.named(id), pump)
    view = list_view(desk.procedures, id, pump, desk.pumps.get(pump.partner or ""))
    with desk.journal.reading() as ledger:
        lines = run_lines(desk, ledger, tag)
    return replace(view, running=tuple(line for line in lines if line.procedure == id))


def list_view(book: Procedures, id: str, pump: Pump | None, partner: Pump | None) -> ProcedureView:
    """Return a list as text; fitted to a pump where one is named."""
    made = fitted(book, book.named(id), pump, partner)
    settings = {one.id: one for one in made.settings}
    steps = (_step(n, step, settings, pump) for n, step in enumerate(made.steps, 1))
    return _list_view(book, made, pump, tuple(steps))


def _list_view(
    book: Procedures, made: Fitted, pump: Pump | None, steps: tuple[StepView, ...]
) -> ProcedureView:
    one = made.procedure
    return ProcedureView(
        id=one.id,
        title=one.title,
        group=one.group,
        when=one.when,
        who=one.who,
        caution=one.caution,
        own=one.own,
        sources=tuple(book.sources[key] for key in one.sources),
        pump=pump,
        steps=steps,
        settings=made.settings,
    )


def setting_words(setting: Setting) -> str:
    """Say a setting with its source.

    Examples
    --------
    >>> setting_words(Setting(id="a", what="Wait", kind="duration", value="5 min", source="Sheet"))
    'Wait: 5 min (Sheet).'
    """
    own = ", this plant's own" if setting.own else ""
    note = f" Also found: {setting.note}" if setting.note and not setting.own else ""
    return f"{setting.what}: {setting.words} ({setting.source}{own}).{note}"


def _step(
    number: int, step: FittedStep, settings: Mapping[str, Setting], pump: Pump | None
) -> StepView:
    deed = DEEDS.get(step.event)
    return StepView(
        id=step.id,
        number=number,
        text=step.text,
        caution=step.caution,
        who=step.who,
        look=step.look,
        tag=step.tag,
        hold=step.hold,
        wait=step.wait,
        wait_words=step.wait_words,
        readings=step.readings,
        results=step.results,
        event=step.event,
        places=places_at(pump, step.event) if deed and pump else deed.places if deed else (),
        amount_unit=deed.unit if deed else "",
        only=step.only,
        sources=step.sources,
        settings=tuple(setting_words(settings[id]) for id in step.settings if id in settings),
    )


# ------------------------------------------------------------------ runs


def run_view(desk: Desk, run_id: str, now: datetime) -> RunView:
    """Return a run as it stands, with the points that its next step asks to read.

    Raises
    ------
    NotFoundError
        There is no such run.
    """
    with desk.journal.reading() as ledger:
        run = run_of(ledger, run_id)
        pump = desk.pump(run.tag)
        following = run.next_step
        points = _points(desk, ledger, run, now) if following and not run.ended else ()
    settings = settings_for(desk.procedures, pump)
    steps = [_run_step(desk, run, n, step, settings, points) for n, step in enumerate(run.steps, 1)]
    return RunView(
        id=run.id,
        procedure=run.procedure,
        title=run.title,
        caution=run.caution,
        pump=pump,
        who=run.who,
        started_at=run.begun_at,
        steps=tuple(steps),
        sources=run.sources,
        ended_at=run.ended_at,
        ended=run.ended,
        left_as=run.left_as,
        passed_holds=passed_holds(run),
    )


def passed_holds(run: Run) -> tuple[str, ...]:
    """Return a sentence for each hold that was passed without being done."""
    said = []
    for step in run.steps:
        answer = run.answers.get(step.id)
        if step.hold and answer and answer.state == "skipped":
            said.append(
                f"{run.title} at {run.tag}: {step.hold}: passed by {answer.who}, allowed by "
                f"{answer.allowed_by}: {answer.reason}"
            )
    return tuple(said)


def _points(desk: Desk, ledger: Ledger, run: Run, now: datetime) -> tuple[PointView, ...]:
    """Return what the next step asks to read; taken is what was read since the step before."""
    step = run.next_step
    if step is None or not step.readings or step.tag not in desk.pumps:
        return ()
    span = Span(since=run.since(step.id))
    views = point_views(desk, ledger, desk.pumps[step.tag], now, span=span)
    return tuple(view for view in views if view.point in step.readings)


def _run_step(
    desk: Desk,
    run: Run,
    number: int,
    step: FittedStep,
    settings: Mapping[str, Setting],
    points: tuple[PointView, ...],
) -> StepView:
    plain = _step(number, step, settings, desk.pumps.get(step.tag))
    answer = run.answers.get(step.id)
    following = run.next_step
    is_next = following is not None and following.id == step.id and not run.ended
    hold = run.hold_before(step.id)
    return _answered(
        plain,
        answer,
        points=points if is_next else (),
        ready_at=None if answer else run.ready_at(step.id),
        blocked_by=hold.id if hold and not answer else "",
        is_next=is_next,
    )


def _answered(plain: StepView, answer: Answer | None, **more: object) -> StepView:
    if answer is not None:
        more |= {
            "state": _STATES[answer.state],
            "who_did": answer.who,
            "at": answer.at,
            "result": answer.result,
            "reason": answer.reason,
            "allowed_by": answer.allowed_by,
            "warnings": answer.warnings,
        }
    return replace(plain, **more)  # type: ignore[arg-type]  # fields of StepView, by name


def run_lines(desk: Desk, ledger: Ledger, tag: str | None = None) -> tuple[RunLine, ...]:
    """Return the lists under way, at one pump or at all in walking order."""
    tags = [tag] if tag else list(desk.pumps)
    keys = {under_way_key(one): one for one in tags}
    stored = ledger.find_states(keys) if tag else ledger.load_states(under_way_key(""))
    found = [
        _run_line(desk, run_of(ledger, run_id))
        for key in keys
        for run_id in UnderWay.from_json(stored.get(key)).open
    ]
    return tuple(found)


def _run_line(desk: Desk, run: Run) -> RunLine:
    following = run.next_step
    return RunLine(
        id=run.id,
        procedure=run.procedure,
        title=run.title,
        tag=run.tag,
        name=desk.pumps[run.tag].name,
        who=", ".join(run.who),
        started_at=run.begun_at,
        done=len(run.answers),
        of=len(run.steps),
        next_text=following.text if following else "All steps have an answer; finish it.",
        waiting_until=run.ready_at(following.id) if following else None,
    )
