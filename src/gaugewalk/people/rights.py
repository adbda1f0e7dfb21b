"""Roles of the people and machines of a plant, and what each may do."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from gaugewalk.errors import ArgumentError, nearest_word


class Right(StrEnum):
    """One thing that may be allowed."""

    READ = "read"
    RECORD = "record"  # readings, findings, notes, actions, rounds
    LIMITS = "change limits"
    CLOSE = "close troubles"
    SIGN = "sign the handover"
    SHAPE = "change the plant and its knowledge"


class Role(StrEnum):
    """What somebody is in the plant."""

    READER = "reader"
    OPERATOR = "operator"
    SHIFT_LEAD = "shift-lead"
    ENGINEER = "engineer"


RIGHTS: Mapping[Role, frozenset[Right]] = MappingProxyType(
    {
        Role.READER: frozenset({Right.READ}),
        Role.OPERATOR: frozenset({Right.READ, Right.RECORD}),
        Role.SHIFT_LEAD: frozenset(
            {Right.READ, Right.RECORD, Right.LIMITS, Right.CLOSE, Right.SIGN}
        ),
        # The handover is signed by those who were on watch.
        Role.ENGINEER: frozenset(
            {Right.READ, Right.RECORD, Right.LIMITS, Right.CLOSE, Right.SHAPE}
        ),
    }
)


def role_named(text: str) -> Role:
    """Return the role of that name.

    Raises
    ------
    ArgumentError
        There is none; the message has them all.

    Examples
    --------
    >>> role_named("Shift lead")
    <Role.SHIFT_LEAD: 'shift-lead'>
    """
    word = "-".join(text.casefold().split())
    if word in list(Role):
        return Role(word)
    near = nearest_word(word, [role.value for role in Role])
    hint = f" Did you mean {near!r}?" if near else ""
    raise ArgumentError(f"role = {text[:40]!r}; expected one of {', '.join(Role)}.{hint}")


def roles_with(right: Right) -> tuple[Role, ...]:
    """Return who may do something.

    Examples
    --------
    >>> [str(role) for role in roles_with(Right.SIGN)]
    ['shift-lead']
    """
    return tuple(role for role in Role if right in RIGHTS[role])
