"""Roles by their names."""

import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.people.rights import Role, role_named


@pytest.mark.parametrize(
    ("text", "role"),
    [("operator", Role.OPERATOR), (" Shift  Lead", Role.SHIFT_LEAD), ("READER", Role.READER)],
)
def test_by_name(text: str, role: Role) -> None:
    assert role_named(text) is role


def test_an_unknown_one_is_told_with_all_and_the_nearest() -> None:
    with pytest.raises(ArgumentError, match=r"shift-lead, engineer\. Did you mean 'engineer'"):
        role_named("enginer")
