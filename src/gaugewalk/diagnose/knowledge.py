"""What the house knows of causes and findings, with the numbers made from it.

The files stand in `knowledge/`, grouped as the operator thinks. A plant may add its own file, which
extends or overrides: see `load_knowledge`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TypeVar

import numpy as np

from gaugewalk.diagnose.knowledge_file import read_files
from gaugewalk.diagnose.network import (
    PRIOR,
    WITHOUT_CAUSE,
    Floats,
    Network,
    strengths_to_numbers,
)
from gaugewalk.diagnose.reading_rules import ReadingRule
from gaugewalk.diagnose.trade import Cause, Danger, DoneRule, Finding
from gaugewalk.errors import NotFoundError, nearest_word

ODD = 0.04  # what an unknown trouble shows of each finding by itself (judgement, no source)
_Known = TypeVar("_Known")


@dataclass(frozen=True, slots=True, kw_only=True)
class Knowledge:
    """Everything of the knowledge files, with the network of numbers made from it."""

    causes: Mapping[str, Cause]
    findings: Mapping[str, Finding]
    done_rules: tuple[DoneRule, ...]
    reading_rules: tuple[ReadingRule, ...]
    dangers: tuple[Danger, ...]
    sources: Mapping[str, str]
    network: Network

    def cause(self, id: str) -> Cause:
        """Return the cause of that id.

        Raises
        ------
        NotFoundError
            Names the nearest known cause.
        """
        return _get(self.causes, id, "cause")

    def finding(self, id: str) -> Finding:
        """Return the finding of that id.

        Raises
        ------
        NotFoundError
            Names the nearest known finding.
        """
        return _get(self.findings, id, "finding")

    def prior(self, facts: Mapping[str, object], shares: Mapping[str, float]) -> Floats:
        """Return the prior of every cause for a pump of which these facts are known.

        Parameters
        ----------
        facts : mapping
            What is known of the pump. What is not known is possible, with the share of the
            prior that the cause names for it; a fact that contradicts `applies` leaves another.
        shares : mapping of cause to float
            Factors on the prior odds, as learned from this plant's closed troubles.
        """
        fits = np.array([_share(cause, facts) for cause in self.causes.values()])
        learned = np.array([shares.get(id, 1.0) for id in self.causes])
        odds = fits * learned * self.network.prior / (1.0 - self.network.prior)
        return np.asarray(odds / (1.0 + odds))


def _get(known: Mapping[str, _Known], id: str, what: str) -> _Known:
    if (found := known.get(id)) is not None:
        return found
    near = nearest_word(id, known)
    hint = f" Did you mean {near!r}?" if near else ""
    raise NotFoundError(f"no {what} {id[:60]!r}.{hint}")


def _share(cause: Cause, facts: Mapping[str, object]) -> float:
    """Return the factor on the odds of a cause for a pump of which these facts are known."""
    dirt = cause.in_dirt if facts.get("dirty") else 1.0
    return dirt * _applies(cause, facts)


def _applies(cause: Cause, facts: Mapping[str, object]) -> float:
    known = [facts[key] in allowed for key, allowed in cause.applies.items() if key in facts]
    if not all(known):
        return cause.otherwise
    return 1.0 if len(known) == len(cause.applies) else cause.unknown


def build_network(causes: Mapping[str, Cause], findings: Mapping[str, Finding]) -> Network:
    """Turn words and strengths into numbers (see `network`)."""
    column = {finding: place for place, finding in enumerate(findings)}
    strengths = np.zeros((len(causes), len(findings)), dtype=int)
    for row, cause in enumerate(causes.values()):
        for link in cause.links:
            strengths[row, column[link.finding]] = link.strength
    row_of = {cause: row for row, cause in enumerate(causes)}
    leads = np.zeros((len(causes), len(causes)), dtype=bool)
    for row, cause in enumerate(causes.values()):
        leads[row, [row_of[other] for other in cause.leads_to]] = True
    shows, calms = strengths_to_numbers(strengths)
    leak = np.array([WITHOUT_CAUSE[finding.without] for finding in findings.values()])
    return Network(
        causes=tuple(causes),
        findings=tuple(findings),
        prior=np.array([PRIOR[cause.prior] for cause in causes.values()]),
        shows=shows,
        calms=calms,
        leak=leak,
        odd=1.0 - (1.0 - leak) * (1.0 - ODD),
        leads=leads,
        innocent=np.array([cause.innocent for cause in causes.values()]),
    )


def _build(extra: Path | None) -> Knowledge:
    read = read_files(extra)
    return Knowledge(
        causes=read.causes,
        findings=read.findings,
        done_rules=read.done_rules,
        reading_rules=read.reading_rules,
        dangers=read.dangers,
        sources=read.sources,
        network=build_network(read.causes, read.findings),
    )


@cache
def _built_in() -> Knowledge:
    return _build(None)


def load_knowledge(extra: Path | None = None) -> Knowledge:
    """Return the knowledge, with a plant's own file laid over it where one is given.

    Parameters
    ----------
    extra : Path, optional
        A TOML file of the same form. A `[[cause]]` or `[[finding]]` with a known id changes only
        the fields it names (its findings are added or changed one by one, its actions replace all
        of that cause); with a new id it adds one.

    Raises
    ------
    FileError
        Lists every fault of the plant's file.
    NotFoundError
        There is no such file.

    Examples
    --------
    >>> load_knowledge().cause("air-trapped").prior
    'very common'
    """
    return _built_in() if extra is None else _build(extra)
