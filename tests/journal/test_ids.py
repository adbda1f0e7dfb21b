from datetime import UTC, datetime, timedelta

import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.journal.ids import new_id

# RFC 9562 (2024), Appendix A.6: Tuesday, February 22, 2022 2:22:22.00 PM GMT-05:00 has
# unix_ts_ms 0x017F22E279B0, version 7, variant 10.
RFC_TIME, RFC_MS = datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC), 0x017F22E279B0


def test_time_and_version_stand_where_the_rfc_puts_them() -> None:
    made = new_id(RFC_TIME)
    assert made.int >> 80 == RFC_MS
    assert made.version == 7
    assert made.variant == "specified in RFC 4122"


def test_later_ids_sort_later_and_none_comes_twice() -> None:
    ids = [new_id(RFC_TIME + timedelta(milliseconds=n)) for n in range(500)]
    assert ids == sorted(ids)
    assert len({new_id(RFC_TIME) for _ in range(500)}) == 500


def test_naive_time_is_refused() -> None:
    with pytest.raises(ArgumentError, match="no time zone"):
        new_id(RFC_TIME.replace(tzinfo=None))
