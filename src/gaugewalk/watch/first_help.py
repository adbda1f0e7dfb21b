"""What a reading that is off may come from, by this sign alone: for a phone without a network.

No diagnosis: only the causes in the book that usually or often show the sign at such a pump, the
likelier first. The diagnosis follows when the reading is sent.
"""

from collections.abc import Iterator, Mapping

from gaugewalk.diagnose.case import case_from_pump, facts_of
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.network import SHOWS
from gaugewalk.diagnose.trade import Finding
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.desk import Desk

FirstHelp = dict[str, dict[str, list[list[str]]]]
_MOST = 4
_OFTEN = 2  # strength of a link from which a cause is named


def first_help(desk: Desk, pump: Pump) -> FirstHelp:
    """Return causes by point and by how its reading is off: `low`, `high`, `swinging`, `zero`.

    Each cause is its id and its title. Pumps of one kind have the same, so it is worked out once.
    """
    facts = facts_of(case_from_pump(pump))
    key = repr(sorted(facts.items()))
    if key not in desk.first_helps:
        desk.first_helps[key] = _worked_out(desk.knowledge, facts)
    return desk.first_helps[key]


def _worked_out(knowledge: Knowledge, facts: Mapping[str, object]) -> FirstHelp:
    prior = dict(zip(knowledge.causes, knowledge.prior(facts, {}), strict=True))
    found: FirstHelp = {}
    for finding in knowledge.findings.values():
        causes = [[id, knowledge.causes[id].title] for id in _causes(knowledge, finding, prior)]
        for point in finding.points if finding.state and causes else ():
            found.setdefault(point, {})[finding.state] = causes
    return found


def _causes(knowledge: Knowledge, finding: Finding, prior: dict[str, float]) -> Iterator[str]:
    shown = [(cause, cause.strength(finding.id)) for cause in knowledge.causes.values()]
    strong = [(c, s) for c, s in shown if s >= _OFTEN and prior[c.id] > 0.0]
    ranked = sorted(strong, key=lambda pair: -prior[pair[0].id] * SHOWS[pair[1]])
    yield from (cause.id for cause, _ in ranked[:_MOST])
