"""Which check-lists help with an action of the knowledge: found by the words of the action.

Stopping in danger has no list here: nobody reads one before that.
"""

import re
from collections.abc import Collection, Mapping
from types import MappingProxyType

_KINDS = ("now", "temporary", "cure")  # a report is written, a stop is made at once

# The order is that in which they are offered.
_WORDS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        id: re.compile(words, re.IGNORECASE)
        for id, words in {
            "changeover": r"\bchange over\b|to the standby pump|standby( pump)? in service"
            r"|start the standby",
            "venting": r"(?<!continuous )\bvent\b|\bprime\b|one good venting",
            "strainer-changeover": r"clean basket|to the (clean|other) side(?! after filling)",
            "strainer-cleaning": r"clean the (basket|element)|new basket|tap or back-flush",
            "oil-filter-changeover": r"clean side after filling|^new element; look",
            "packing-adjustment": r"\bflats?\b|\bboth nuts\b|by small steps|more leak-off",
            "repacking-request": r"\brepack|new packing|new sleeve",
            "seal-leak": r"judge the hazard first|new seal\b|highest wet spot",
            "grease": r"set amount",
            "oil-top-up": r"top up",
            "oil-change": r"fresh oil|oil change|change the oil|drain, flush",
            "oil-sample": r"take a( small)? sample|draw a( small)? sample",
            "oil-temperature": r"water valve|more water\b|second cooler|more cooling",
            "freezing-weather": r"\bthaw\b|\btracing\b",
            "isolation": r"lock(ed)? out|pump isolated|overhaul",
        }.items()
    }
)


def lists_for_action(do: str, kind: str, fitting: Collection[str]) -> tuple[str, ...]:
    """Return the ids of the check-lists that help with an action.

    A bearing with too much grease leads to no list for greasing.

    Parameters
    ----------
    do : str
        What is to be done, in the words of the knowledge.
    kind : str
        Kind of the action; a report or a stop has no list.
    fitting : collection of str
        The lists that fit the pump.

    Examples
    --------
    >>> lists_for_action("Change over and report", "now", {"changeover", "venting"})
    ('changeover',)
    >>> lists_for_action("Report lost seal water and every venting", "report", {"venting"})
    ()
    """
    if kind not in _KINDS:
        return ()
    if do.startswith("Stop at once"):
        return ()
    return tuple(id for id, words in _WORDS.items() if id in fitting and words.search(do))


def lists_named() -> tuple[str, ...]:
    """Return the ids of all lists that are offered beside actions."""
    return tuple(_WORDS)
