"""Every published row of liquids and hydraulics; the rows stand with their sources in TOML."""

from typing import Any

import pytest

from . import published_rows as published

LIQUIDS, HYDRAULICS = published.rows("liquids.toml"), published.rows("hydraulics.toml")


@pytest.mark.parametrize("row", LIQUIDS, ids=published.label)
def test_liquid(row: dict[str, Any]) -> None:
    published.check(row)


@pytest.mark.parametrize("row", HYDRAULICS, ids=published.label)
def test_hydraulics(row: dict[str, Any]) -> None:
    published.check(row)


def test_every_row_names_its_source_and_why_its_tolerance() -> None:
    for row in LIQUIDS + HYDRAULICS:
        assert all(row[key] for key in ("source", "tolerance", "status")), row["id"]
        assert row["status"] in {"published", "library", "derived", "memory", "common-practice"}


def test_a_wrong_answer_is_seen() -> None:
    row = HYDRAULICS[0]
    with pytest.raises(AssertionError, match=row["id"]):
        published.check({**row, "expected": row["expected"] * 1.01})
