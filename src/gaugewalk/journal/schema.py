"""Tables of the journal and the way to the newest of them.

`entries` is append-only and chained by hash; `states` holds projections that can be made again
from the entries at any time. The tables are written out a second time in `migrations/`, one step
per version, because a migration must not change when this file does; a test compares the two.
"""

from pathlib import Path

import sqlalchemy as sa

VERSION = "0002"  # newest migration; a file that says so is opened without further ado

VERSION_TABLE = "alembic_version"

metadata = sa.MetaData()

# Times are microseconds since 1970 in UTC: exact, compact, and the same in every database.
entries = sa.Table(
    "entries",
    metadata,
    sa.Column("seq", sa.BigInteger, primary_key=True, autoincrement=False),
    sa.Column("id", sa.Text, nullable=False, unique=True),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("tag", sa.Text),
    sa.Column("point", sa.Text),
    sa.Column("value", sa.Double),
    sa.Column("low", sa.Double),
    sa.Column("high", sa.Double),
    sa.Column("quantity", sa.Text),
    sa.Column("unit", sa.Text),
    sa.Column("entered", sa.Text),
    sa.Column("who", sa.Text, nullable=False),
    sa.Column("seen_at", sa.BigInteger, nullable=False),
    sa.Column("recorded_at", sa.BigInteger, nullable=False),
    sa.Column("corrects", sa.Text),
    sa.Column("body", sa.Text, nullable=False),
    sa.Column("hash", sa.Text, nullable=False),
)
sa.Index("entries_point", entries.c.tag, entries.c.point, entries.c.seen_at)
sa.Index("entries_tag", entries.c.tag, entries.c.seen_at)
sa.Index("entries_kind", entries.c.kind, entries.c.seq)
sa.Index("entries_recorded", entries.c.recorded_at, entries.c.seq)
_corrected = entries.c.corrects.isnot(None)
sa.Index(
    "entries_corrects",
    entries.c.tag,
    entries.c.corrects,
    sqlite_where=_corrected,
    postgresql_where=_corrected,
)

states = sa.Table(
    "states",
    metadata,
    sa.Column(
        "key", sa.Text().with_variant(sa.Text(collation="C"), "postgresql"), primary_key=True
    ),
    sa.Column("body", sa.Text, nullable=False),
    sa.Column("seq", sa.BigInteger, nullable=False),  # the last entry it reflects
)


def current_version(connection: sa.Connection) -> str | None:
    """Return the version that the open database has, or none for an empty one."""
    if not sa.inspect(connection).has_table(VERSION_TABLE):
        return None
    return connection.execute(sa.text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()  # noqa: S608  # a name of ours


def upgrade(connection: sa.Connection, to: str = VERSION) -> None:
    """Bring the database to a version inside the caller's transaction.

    alembic is imported here because a journal that is up to date does not need it.
    """
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    script = ScriptDirectory(str(Path(__file__).with_name("migrations")))

    def steps(revision: str | tuple[str, ...], _context: MigrationContext) -> list[object]:
        return list(script._upgrade_revs(to, revision))  # type: ignore[arg-type]

    environment = EnvironmentContext(Config(), script)
    environment.configure(connection=connection, fn=steps)
    environment.run_migrations()
