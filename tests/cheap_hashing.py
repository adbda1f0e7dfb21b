"""Passwords hashed with little effort, for tests that sign in again and again."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from argon2 import PasswordHasher

from gaugewalk.people import passwords

REAL_HASHER = passwords._hasher


@contextmanager
def cheap_hashing() -> Iterator[None]:
    cheap = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passwords, "_hasher", lambda: cheap)
        passwords._stand_in.cache_clear()
        yield
    passwords._stand_in.cache_clear()
