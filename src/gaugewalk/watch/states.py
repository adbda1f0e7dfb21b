"""What is seen, heard and felt at every visit, in plain words, and which findings each word means.

One press answers several findings at once: who says "drops" has seen that the leak-off is neither
gone nor a stream. A word never answers more than was looked at.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from gaugewalk.errors import NotFoundError
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.desk import Desk

Findings = Mapping[str, bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer in plain words: the findings that are there with it, and those that are not."""

    words: str
    findings: Findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One thing that is looked at, listened to or felt at a visit."""

    id: str
    question: str
    choices: tuple[Choice, ...]
    how: str = ""
    caution: str = ""

    def choice(self, words: str) -> Choice:
        """Return the answer of those words.

        Raises
        ------
        NotFoundError
            It is none of the answers.
        """
        found = next((choice for choice in self.choices if choice.words == words), None)
        if found is None:
            known = ", ".join(choice.words for choice in self.choices)
            raise NotFoundError(f"No answer {words[:40]!r} to {self.question!r}: {known}.")
        return found


def _look(
    id: str,
    question: str,
    answers: Mapping[str, tuple[str, ...]],
    *,
    how: str = "",
    caution: str = "",
) -> Look:
    """Make a question of which each answer tells which of the same few findings is there."""
    asked = dict.fromkeys(finding for present in answers.values() for finding in present)
    choices = tuple(
        Choice(words=words, findings={finding: finding in present for finding in asked})
        for words, present in answers.items()
    )
    return Look(id=id, question=question, choices=choices, how=how, caution=caution)


_LEAK_OFF = _look(
    "leak-off",
    "Leak-off at the gland",
    {"none": ("leak-off-none",), "drops": (), "stream": ("leak-off-high",)},
)
_GLAND = _look(
    "gland",
    "The gland",
    {"as usual": (), "hot": ("gland-hot",), "smokes": ("gland-smoke", "gland-hot")},
    caution="Beside a turning shaft: look, and measure from a distance; do not touch.",
)
_SEAL = _look(
    "seal",
    "Mechanical seal",
    {"dry": (), "drips": ("seal-dripping",), "sprays": ("seal-spraying", "seal-dripping")},
    caution="Stay out of the spray; the liquid may be hot or harmful.",
)
_NOISE = _look(
    "noise",
    "Noise",
    {
        "as usual": (),
        "rattles steadily": ("noise-rattle-steady",),
        "crackles now and then": ("noise-rattle-intermittent",),
        "knocks": ("noise-knock",),
        "whines at a bearing": ("noise-bearing",),
        "grinds": ("noise-grinding",),
        "very quiet": ("noise-quiet-hum",),
        "otherwise unusual": ("noise-unusual",),
    },
)
_VIBRATION = _look(
    "vibration",
    "Vibration by hand on the baseplate or bearing housing",
    {
        "as usual": (),
        "more": ("vibration-radial-high",),
        "feet or bolts move": ("vibration-radial-high", "vibration-at-feet"),
    },
    caution="Flat hand, away from shaft and coupling, and only where it is not hot.",
)
_WARMTH = _look(
    "warmth",
    "Bearing housings, by the back of the hand held near",
    {
        "as usual": (),
        "warmer": ("bearing-temperature-high",),
        "smells burnt or smokes": ("bearing-smoke", "bearing-temperature-high"),
    },
    caution="A thermometer is better. Do not touch a housing to find out whether it is hot.",
)
_OIL = _look(
    "oil",
    "Oil in the glass",
    {
        "clear": (),
        "dark": ("oil-dark",),
        "milky": ("oil-milky",),
        "foams": ("oil-foam",),
        "glitters": ("oil-metal",),
    },
)


def looks_at(pump: Pump) -> tuple[Look, ...]:
    """Return what is looked at on each visit to this pump, by what it is fitted with.

    Examples
    --------
    >>> from gaugewalk.plant.pump import Lubrication, PlantLiquid, ShaftSeal
    >>> pump = Pump(tag="P", name="p", liquid=PlantLiquid(name="water"),
    ...             seal=ShaftSeal(kind="packing"), lubrication=Lubrication(kind="grease"))
    >>> [look.id for look in looks_at(pump)]
    ['leak-off', 'gland', 'noise', 'vibration', 'warmth']
    """
    seal = (_LEAK_OFF, _GLAND) if pump.seal.kind == "packing" else (_SEAL,)
    oil = (_OIL,) if "grease" not in pump.lubrication.kind else ()
    return (*seal, _NOISE, _VIBRATION, _WARMTH, *oil)


def answers_of(pump: Pump, id: str, words: str) -> Findings:
    """Return the findings that an answer in plain words means.

    Raises
    ------
    NotFoundError
        There is no such question at this pump, or no such answer.
    """
    look = next((one for one in looks_at(pump) if one.id == id), None)
    if look is None:
        raise NotFoundError(f"Pump {pump.tag} has nothing to look at under {id[:40]!r}.")
    return look.choice(words).findings


def answered(desk: Desk, pump: Pump, since: datetime) -> dict[str, str]:
    """Return what was answered since a moment: the words, by the question's id."""
    with desk.journal.reading() as ledger:
        entries = ledger.history(pump.tag, since=since, kinds=["observation"])
    last = {str(entry.point): entry.body.get("present") for entry in entries}
    found = {}
    for look in looks_at(pump):
        for choice in look.choices:
            if all(last.get(finding) is present for finding, present in choice.findings.items()):
                found[look.id] = choice.words
    return found
