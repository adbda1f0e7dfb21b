"""The quieter pages: signs, the book of causes, who is on watch, about."""

from dataclasses import dataclass

from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.trade import Action, Cause, Finding
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_round import Check

STRENGTHS = {
    4: "nearly always there",
    3: "usually there",
    2: "often there",
    1: "may be there",
    -1: "speaks a little against it",
    -2: "speaks against it",
    -3: "speaks strongly against it",
}
CAUTIONS = (
    "Site procedures, local codes, permits and licensed practice come before anything shown here.",
    "Gaugewalk never says that something is safe. A pump without a mark may still be dangerous.",
    "Every cause is a guess with a number. The numbers follow from judgement and from readings "
    "that may be wrong.",
    "Keep hands, hair and cloth away from shafts and couplings. Touch nothing hot to find out "
    "whether it is hot; a thermometer is better.",
    "Never throttle the suction, never run a pump dry, never run it long against a closed valve.",
    "Tighten packing one flat at a time and wait. Tightening hard burns it.",
    "Work on a machine only when it is isolated, locked, tagged and proven dead under your own "
    "site's procedure.",
    "Use only devices that are allowed in the area you walk.",
)
WORDS = (
    ("normal", "As this pump usually is. Nothing is asked."),
    ("watch", "Keep an eye on it; look again before the round ends."),
    ("act", "Do something about it this shift, and tell whoever decides."),
    ("stop", "Make the pump safe now, under local procedure, and report it."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignGroup:
    """Signs of one kind."""

    name: str
    checks: tuple[Check, ...]
    open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SignsPage:
    """Every sign that can be told of a pump."""

    frame: Frame
    tag: str
    groups: tuple[SignGroup, ...]
    error: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseGroup:
    """Causes of one kind."""

    name: str
    causes: tuple[Cause, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CausesPage:
    """The book of causes."""

    frame: Frame
    groups: tuple[CauseGroup, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One thing a cause shows."""

    title: str
    strength: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CausePage:
    """One cause of the book."""

    frame: Frame
    what_happens: str
    prior: str
    signs: tuple[Sign, ...]
    actions: tuple[Action, ...]
    tell_apart: str
    look_alikes: tuple[tuple[str, str], ...]
    leads_to: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainPage:
    """A page whose words all stand in its template."""

    frame: Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class MorePage:
    """Who is on watch, and the way to the rest."""

    frame: Frame
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AboutPage:
    """What it is for, and the cautions."""

    frame: Frame
    cautions: tuple[str, ...]
    words: tuple[tuple[str, str], ...]
    version: str


def signs_page(frame: Frame, tag: str, knowledge: Knowledge, *, error: str = "") -> SignsPage:
    """List the signs by group; what danger looks like stands first and open."""
    asked = [finding for finding in knowledge.findings.values() if finding.asked]
    dangers = tuple(_check(f) for f in asked if f.danger in ("act", "stop"))
    groups = [SignGroup(name="Danger", checks=dangers, open=True)] if dangers else []
    names = dict.fromkeys(f.group for f in asked)
    for name in names:
        checks = tuple(_check(f) for f in asked if f.group == name and f.danger in ("", "watch"))
        if checks:
            groups.append(SignGroup(name=name, checks=checks, open=False))
    return SignsPage(frame=frame, tag=tag, groups=tuple(groups), error=error)


def _check(finding: Finding) -> Check:
    return Check(
        finding=finding.id,
        title=finding.ask or finding.title,
        how=finding.how,
        minutes=f"about {finding.minutes:g} min" if finding.minutes else "",
        caution=finding.caution,
        why="",
    )


def causes_page(frame: Frame, knowledge: Knowledge) -> CausesPage:
    """List every cause by group."""
    groups: dict[str, list[Cause]] = {}
    for cause in knowledge.causes.values():
        groups.setdefault(cause.group, []).append(cause)
    return CausesPage(
        frame=frame,
        groups=tuple(CauseGroup(name=name, causes=tuple(list_)) for name, list_ in groups.items()),
    )


def cause_page(frame: Frame, cause: Cause, knowledge: Knowledge) -> CausePage:
    """Build the page of one cause."""
    links = sorted(cause.links, key=lambda link: -link.strength)
    prior = f"{cause.prior}. {cause.prior_reason}" if cause.prior_reason else cause.prior
    return CausePage(
        frame=frame,
        what_happens=cause.what_happens,
        prior=prior,
        signs=tuple(
            Sign(
                title=knowledge.findings[link.finding].title,
                strength=STRENGTHS[link.strength],
                why=link.why,
            )
            for link in links
        ),
        actions=cause.actions,
        tell_apart=cause.tell_apart,
        look_alikes=_titled(cause.look_alikes, knowledge),
        leads_to=_titled(cause.leads_to, knowledge),
    )


def _titled(ids: tuple[str, ...], knowledge: Knowledge) -> tuple[tuple[str, str], ...]:
    return tuple((id, knowledge.causes[id].title) for id in ids if id in knowledge.causes)
