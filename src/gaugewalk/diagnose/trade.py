"""What a cause, a finding and an action are: frozen data, filled from the knowledge files."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

ActionKind = Literal["now", "temporary", "cure", "report", "stop"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A cause shows a finding (4 always, 3 usually, 2 often, 1 may) or speaks against it (< 0)."""

    finding: str
    strength: int
    why: str = ""
    source: str = "practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One thing to do: by whom, with what care, and how to see that it worked."""

    kind: ActionKind
    do: str
    who: str
    caution: str
    verify: str = ""
    within: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One cause, or one innocent reason for the same signs."""

    id: str
    title: str
    group: str
    what_happens: str
    prior: str
    prior_reason: str = ""
    urgency: Literal["normal", "watch", "act", "stop"] = "watch"
    applies: Mapping[str, tuple[object, ...]] = field(default_factory=dict)
    otherwise: float = 0.0  # share of the prior left where `applies` does not hold
    unknown: float = 1.0  # share of the prior left where it is not known whether it holds
    in_dirt: float = 1.0  # factor on the odds where the liquid brings solids
    links: tuple[Link, ...] = ()
    actions: tuple[Action, ...] = ()
    leads_to: tuple[str, ...] = ()
    look_alikes: tuple[str, ...] = ()
    tell_apart: str = ""
    innocent: bool = False

    def strength(self, finding: str) -> int:
        """Return the strength of the link to a finding, 0 where there is none."""
        return next((link.strength for link in self.links if link.finding == finding), 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that can be seen, heard, felt, read or remembered at a pump."""

    id: str
    group: str
    title: str
    ask: str
    how: str
    tool: str = ""
    minutes: float = 1.0
    hazard: Literal["none", "some", "high"] = "none"
    caution: str = ""
    danger: Literal["", "watch", "act", "stop"] = ""
    without: str = "seldom"  # how often it is there though no cause shows it
    points: tuple[str, ...] = ()
    state: Literal["", "low", "high", "swinging", "zero"] = ""
    excludes: tuple[str, ...] = ()
    implies: tuple[str, ...] = ()
    asked: bool = True  # false for what is computed and never asked
    needs: Mapping[str, tuple[object, ...]] = field(default_factory=dict)  # to be looked for at all


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneRule:
    """What a trial and its result say: the finding they make, and whether it is there."""

    action: str
    result: str
    finding: str
    present: bool
    times: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """How a reading becomes a finding, as written: quantities as text with their unit."""

    finding: str
    points: tuple[str, ...]
    quantity: str  # kind of quantity the rule is for
    state: Literal["", "low", "high", "swinging", "zero"]
    change: Literal["", "ratio", "difference"] = ""
    by: str = ""  # change from usual at which it is as likely there as not
    spread: str = ""  # how sharp that is
    least: str = ""  # smallest scale a ratio is taken of
    limit: str = ""  # value at which it is as likely there as not, whatever is usual
    limit_spread: str = ""
    act: str = ""  # value from which it is for this shift
    stop: str = ""  # value from which the pump is to be made safe
    source: str = "practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Danger:
    """Signs that together set the least urgent word: all of `all` and, if any are named, one."""

    word: Literal["watch", "act", "stop"]
    all: tuple[str, ...]
    any: tuple[str, ...] = ()
    why: str
    source: str = "practice"
