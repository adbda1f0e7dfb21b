"""What a check-list is made of: steps in our own words, each with its care, and where it fits.

A list is data (`procedures/*.toml`); what a plant's own file says stands in its place. Numbers in
the texts are settings with their source, because sites and books differ.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from gaugewalk.errors import NotFoundError, nearest_word
from gaugewalk.units import Quantity, parse

WORDS = "words"  # kind of a setting that is no quantity
_DASH = re.compile(r"(?<=\d)\s*[-–]\s*(?=\d)")  # between the ends of a band

Applies = Mapping[str, tuple[str, ...]]
"""Facts of a pump and the words each of them may have; all must fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A waiting time, a band or an amount that a site may set, with its source.

    `kind` is a kind of quantity of `units.toml`, or `words`.
    """

    id: str
    what: str
    kind: str
    value: str
    source: str
    note: str = ""  # what else is found in the books
    own: bool = False  # set by the plant

    @property
    def quantity(self) -> Quantity:
        """The value in SI; a band has low and high."""
        return parse(self.value, self.kind)

    @property
    def low(self) -> float:
        """The value, or the low end of a band. [SI]"""
        quantity = self.quantity
        return quantity.value if quantity.low is None else quantity.low

    @property
    def high(self) -> float:
        """The value, or the high end of a band. [SI]"""
        quantity = self.quantity
        return quantity.value if quantity.high is None else quantity.high

    @property
    def words(self) -> str:
        """The value as a text of a step shows it: as it was written, a band with "to".

        Examples
        --------
        >>> Setting(id="a", what="wait", kind="duration", value="10-15 min", source="s").words
        '10 to 15 min'
        """
        return _DASH.sub(" to ", self.value.strip())


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a list.

    `readings` are observation points; one that ends in `*` stands for all such points of the pump.
    `wait` names a setting: so long after the step before. `hold` says why the list stops here: it
    is passed by name only. `event` is recorded when the step is done; `trial` with one of
    `results` is evidence. `again` names a setting: after so long `again_what` is asked for.
    """

    id: str
    text: str
    caution: str = ""
    who: str = ""  # else as the list
    look: bool = False  # only looked, read or told: needs no caution
    readings: tuple[str, ...] = ()
    wait: str = ""
    hold: str = ""
    event: str = ""
    partner: bool = False  # readings and event belong to the other pump of the pair
    trial: str = ""
    results: tuple[str, ...] = ()
    again: str = ""
    again_what: str = ""
    applies: Applies = field(default_factory=dict)
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """One check-list."""

    id: str
    title: str
    group: str
    when: str
    who: str
    caution: str
    steps: tuple[Step, ...]
    sources: tuple[str, ...]
    applies: Applies = field(default_factory=dict)
    own: bool = False  # the plant's own


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedures:
    """All lists, settings and sources: the house's with the plant's own laid over them."""

    lists: Mapping[str, Procedure]
    settings: Mapping[str, Setting]
    sources: Mapping[str, str]

    def named(self, id: str) -> Procedure:
        """Return a list; NotFoundError names the nearest one."""
        found = self.lists.get(id)
        if found is None:
            near = nearest_word(id, self.lists)
            hint = f"Did you mean {near!r}?" if near else "`gaugewalk procedure` lists them."
            raise NotFoundError(f"No procedure {id[:40]!r}. {hint}")
        return found

    def setting(self, id: str) -> Setting:
        """Return a setting that the program itself names."""
        return self.settings[id]
