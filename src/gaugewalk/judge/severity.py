"""How urgent a thing is, in four plain words."""

from enum import StrEnum


class Severity(StrEnum):
    """The only four words: normal, watch (recheck), act (this shift), stop (make safe now).

    Examples
    --------
    >>> Severity.ACT.rank, str(worst(Severity.NORMAL, Severity.ACT, Severity.WATCH))
    (2, 'act')
    """

    NORMAL = "normal"
    WATCH = "watch"
    ACT = "act"
    STOP = "stop"

    @property
    def rank(self) -> int:
        """Place in the order of urgency: 0 for normal to 3 for stop."""
        return _RANKS[self]


_RANKS = {severity: rank for rank, severity in enumerate(Severity)}


def worst(*severities: Severity) -> Severity:
    """Return the most urgent of the given words; normal where none is given."""
    return max(severities, key=lambda severity: severity.rank, default=Severity.NORMAL)
