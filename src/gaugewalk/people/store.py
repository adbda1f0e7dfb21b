"""Where the people are kept: a small database beside the journal, or tables in the same PostgreSQL.

The rooms `journal` and `people` are the only two that speak SQL.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from gaugewalk.errors import StorageError
from gaugewalk.journal.dialect import DRIVER_ERRORS, engine_for, lock_writers
from gaugewalk.journal.failing import storage_error
from gaugewalk.people import schema

FILE_NAME = "people.db"


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """The open database of the people; safe to use from many threads."""

    engine: sa.Engine

    @classmethod
    def open(cls, where: str | Path) -> "Store":
        """Open the database at a path or a URL; make or upgrade it where needed.

        Raises
        ------
        StorageError
            It cannot be opened, or was written by a newer version.
        """
        if "://" not in str(where):
            _make_private(Path(where))
        store = cls(engine=engine_for(where))
        try:
            store._bring_up_to_date()
        except BaseException:
            store.close()
            raise
        return store

    def _bring_up_to_date(self) -> None:
        with self.reading() as connection:
            if schema.current_version(connection) == schema.VERSION:
                return
        with self.writing() as connection:
            found = schema.current_version(connection)
            if found is not None and found > schema.VERSION:
                raise StorageError(
                    f"The people have schema {found}; this program knows up to {schema.VERSION}. "
                    "Use the newer program that wrote it."
                )
            if found != schema.VERSION:
                schema.upgrade(connection)

    @contextmanager
    def reading(self) -> Iterator[sa.Connection]:
        """Ask questions."""
        try:
            with self.engine.connect() as connection:
                yield connection
        except DRIVER_ERRORS as error:
            raise _storage_error("read", error) from error

    @contextmanager
    def writing(self) -> Iterator[sa.Connection]:
        """Read and change in one transaction that no other program can come between."""
        try:
            with self.engine.connect() as plain:
                connection = plain.execution_options(writes=True)
                with connection.begin():
                    lock_writers(connection)
                    yield connection
        except DRIVER_ERRORS as error:
            raise _storage_error("changed", error) from error

    def close(self) -> None:
        """Close all connections."""
        self.engine.dispose()


def _make_private(file: Path) -> None:
    """Make the file for its owner alone; what SQLite puts beside it takes the same rights."""
    try:
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
    except OSError as error:
        raise StorageError(f"The people could not be opened: {error}.") from error


def _storage_error(doing: str, error: Exception) -> StorageError:
    return storage_error(f"be {doing}", error, what="The accounts")
