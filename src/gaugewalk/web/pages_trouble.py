"""The page of a trouble: causes with reasons, next checks, actions, what was done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup

from gaugewalk.watch.procedure_views import ProcedureLine
from gaugewalk.watch.telling import percent
from gaugewalk.watch.views import Answered, TroubleLine, TroubleView
from gaugewalk.web.events import EventLine, event_line
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_round import Check
from gaugewalk.web.pages_watch import Due, Need, due_line, need_line
from gaugewalk.web.shown import Shown
from gaugewalk.web.svg import box, figure
from gaugewalk.web.trouble_end import (
    Ending,
    Guess,
    Proof,
    ending_of,
    guess_of,
    link_of,
    proofs_of,
)

KINDS = (
    ("stop", "Make safe now, under local procedure"),
    ("now", "Now, at the pump"),
    ("temporary", "Helps only for a while"),
    ("cure", "Removes the cause"),
    ("report", "Report, and who decides"),
)
SHOWN_CAUSES = 8
LEADING = 3  # shown in full; the less likely ones fold away
MOST_ENTRIES = 150  # of the line of time; the journal has them all
_NONE: Mapping[str, str] = {}
LEAST = 0.02  # a cause less probable than this is only counted


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseLine:
    """One cause of the ranking."""

    id: str
    title: str
    percent: str
    share: Markup
    because: str
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionLine:
    """One thing to do, to tick as done."""

    do: str
    who: str
    caution: str
    verify: str
    done: str  # "done 14:05 by R. Vale", empty where not
    lists: tuple[tuple[str, str], ...]  # check-lists for it: title and address


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionGroup:
    """Actions of one kind under the words that say what they are good for."""

    kind: str
    title: str
    actions: tuple[ActionLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLine:
    """A check already answered."""

    finding: str
    title: str
    answer: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A temporary remedy in force, which keeps the trouble open until it is taken back."""

    id: str
    do: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TroublePage:
    """One trouble."""

    frame: Frame
    id: str
    tag: str
    name: str
    severity: str
    sentence: str
    since: str
    closed: str
    causes: tuple[CauseLine, ...]
    less_likely: tuple[CauseLine, ...]
    rest: str  # "No fault at all 3 %. Something not in the book 5 %."
    look_alikes: tuple[str, ...]
    checks: tuple[Check, ...]
    answered: tuple[AnswerLine, ...]
    groups: tuple[ActionGroup, ...]
    follow_ups: tuple[Due, ...]
    remedies: tuple[Remedy, ...]
    proofs: tuple[Proof, ...]
    guesses: tuple[Guess, ...]
    done: tuple[EventLine, ...]  # actions, newest first
    earlier: tuple[Need, ...]
    recurrence: str
    alike: tuple[tuple[str, str], ...]  # those that it rests on: words and address
    timeline: tuple[EventLine, ...]  # what was seen and done meanwhile, newest first
    older: int  # entries of it that are not shown
    ending: Ending | None  # once closed
    may_close: bool
    typed: Mapping[str, str]
    error: str = ""


def trouble_page(
    frame: Frame,
    view: TroubleView,
    shown: Shown,
    *,
    lists: Mapping[str, tuple[ProcedureLine, ...]],
    book: Mapping[str, str],
    may_close: bool = True,
    typed: Mapping[str, str] = _NONE,
    error: str = "",
) -> TroublePage:
    """Build the page of one trouble.

    Parameters
    ----------
    frame, view, shown
        The trouble as it stands.
    lists : mapping
        Check-lists that help with an action, by its words.
    book : mapping
        Ids of the known causes by their titles.
    may_close : bool
        Whether the reader may close it.
    typed : mapping, optional
        What was typed in a form that could not be taken.
    error : str
        Why it could not be taken.
    """
    answer: Mapping[str, Any] = view.diagnosis.to_json()
    causes = [c for c in answer["causes"] if c["probability"] >= LEAST][:SHOWN_CAUSES]
    return TroublePage(
        frame=frame,
        id=view.id,
        tag=view.pump.tag,
        name=view.pump.name,
        severity=view.severity.value,
        sentence=view.sentence,
        since=f"since {shown.clock(view.opened_at)}, {shown.ago(view.opened_at)}",
        closed=f"closed {shown.clock(view.closed_at)}" if view.closed_at else "",
        causes=tuple(_cause(cause) for cause in causes[:LEADING]),
        less_likely=tuple(_cause(cause) for cause in causes[LEADING:]),
        rest=_rest(answer),
        look_alikes=tuple(_pair(pair, view.titles) for pair in answer["look_alikes"]),
        checks=tuple(_check(check, view.titles) for check in answer["next_checks"]),
        answered=tuple(_answer(a, shown) for a in view.answered),
        groups=_groups(answer["actions"], view, shown, lists),
        follow_ups=tuple(due_line(f, shown) for f in view.follow_ups),
        remedies=tuple(Remedy(id=id, do=do) for id, do in view.remedies.items()),
        proofs=proofs_of(view, shown),
        guesses=tuple(guess_of(cause) for cause in answer["causes"]),
        done=tuple(event_line(entry, shown) for entry in reversed(view.done)),
        earlier=tuple(_before(line, shown) for line in view.earlier),
        alike=tuple(link_of(line, shown) for line in view.alike),
        recurrence=view.recurrence,
        timeline=tuple(event_line(e, shown) for e in reversed(view.timeline[-MOST_ENTRIES:])),
        older=max(len(view.timeline) - MOST_ENTRIES, 0),
        ending=ending_of(view, shown, book),
        may_close=may_close,
        typed=typed,
        error=error,
    )


def _before(line: TroubleLine, shown: Shown) -> Need:
    """Write an earlier trouble with what was found and what cured it."""
    found = ", ".join(part.rstrip(".") for part in (line.cause, line.cure) if part)
    need = need_line(line, shown)
    return replace(need, sentence=f"{need.sentence} It was: {found}." if found else need.sentence)


def _cause(cause: Mapping[str, Any]) -> CauseLine:
    probability = float(cause["probability"])
    return CauseLine(
        id=cause["cause"],
        title=cause["title"],
        percent=percent(probability),
        share=_share(probability),
        because=cause["because"],
        speaks_for=tuple(_reason(r) for r in cause["for"]),
        speaks_against=tuple(_reason(r) for r in cause["against"]),
    )


def _reason(reason: object) -> str:
    if isinstance(reason, Mapping):
        return str(reason.get("text") or reason.get("title") or reason.get("finding") or "")
    return str(reason)


def _share(probability: float) -> Markup:
    drawn = box(0, 0, 200, 8, "rail") + box(0, 0, 200 * probability, 8, "part")
    return figure(drawn, 200, 8, percent(probability), "share", preserveAspectRatio="none")


def _rest(answer: Mapping[str, Any]) -> str:
    return (
        f"No fault at all: {percent(answer['no_fault'])}. "
        f"Something the book of causes does not explain: {percent(answer['unexplained'])}. "
        "The percentages follow from judgement about how often causes show what, not from counts."
        + _learned(answer["learned"])
    )


def _learned(learned: Sequence[Mapping[str, Any]]) -> str:
    if not learned:
        return ""
    said = ", ".join(f"{one['title']} (counted {one['count']:.2g})" for one in learned)
    return (
        f" Found here and at pumps of its kind before: {said}. Naming another cause "
        "in a closed trouble takes its count back."
    )


def _pair(pair: Sequence[str], titles: Mapping[str, str]) -> str:
    return " and ".join(titles.get(cause, cause) for cause in pair)


def _check(check: Mapping[str, Any], titles: Mapping[str, str]) -> Check:
    finding = str(check["finding"])
    minutes = check.get("minutes")
    return Check(
        finding=finding,
        title=str(check.get("ask") or check.get("title") or titles.get(finding, finding)),
        how=str(check.get("how") or ""),
        minutes=f"about {float(minutes):g} min" if minutes else "",
        caution=str(check.get("caution") or ""),
        why="",
    )


def _answer(answered: Answered, shown: Shown) -> AnswerLine:
    word = {True: "Seen", False: "Not there", None: "Could not look"}[answered.present]
    return AnswerLine(
        finding=answered.finding,
        title=answered.title,
        answer=word,
        when=f"{shown.clock(answered.seen_at)} by {answered.who}",
    )


def _groups(
    actions: Sequence[Mapping[str, Any]],
    view: TroubleView,
    shown: Shown,
    lists: Mapping[str, tuple[ProcedureLine, ...]],
) -> tuple[ActionGroup, ...]:
    done = {
        str(entry.body.get("do", "")): f"done {shown.clock(entry.seen_at)} by {entry.who}"
        for entry in view.done
    }
    made = []
    for kind, title in KINDS:
        lines = tuple(
            ActionLine(
                do=str(action["do"]),
                who=str(action.get("who") or ""),
                caution=str(action.get("caution") or ""),
                verify=str(action.get("verify") or ""),
                done=done.get(str(action["do"]), ""),
                lists=tuple(
                    (one.title, f"/pump/{view.pump.tag}/check-lists/{one.id}")
                    for one in lists.get(str(action["do"]), ())
                ),
            )
            for action in actions
            if action["kind"] == kind
        )
        if lines:
            made.append(ActionGroup(kind=kind, title=title, actions=lines))
    return tuple(made)
