"""Tables of the people: accounts, sessions, tokens, failed tries, sign-ins under way.

They stand apart from the journal, which is only ever added to: an account changes and a session
ends. Names begin with `people_` so that a PostgreSQL database can hold both.
"""

from pathlib import Path

import sqlalchemy as sa

VERSION = "0001"
VERSION_TABLE = "people_version"

metadata = sa.MetaData()

# Times are seconds since 1970 in UTC.
accounts = sa.Table(
    "people_accounts",
    metadata,
    sa.Column("folded", sa.Text, primary_key=True),  # one name in whatever spelling
    sa.Column("name", sa.Text, nullable=False),  # as it stands in the journal
    sa.Column("role", sa.Text, nullable=False),
    sa.Column("password", sa.Text),  # argon2id; none: signs in elsewhere
    sa.Column("openid", sa.Text, unique=True),  # the name that the provider tells
    sa.Column("closed", sa.Boolean, nullable=False),
    sa.Column("made_at", sa.Double, nullable=False),
)

sessions = sa.Table(
    "people_sessions",
    metadata,
    sa.Column("digest", sa.Text, primary_key=True),
    sa.Column("account", sa.Text, nullable=False, index=True),
    sa.Column("made_at", sa.Double, nullable=False),
    sa.Column("used_at", sa.Double, nullable=False),
    sa.Column("ends_at", sa.Double, nullable=False),
)

tokens = sa.Table(
    "people_tokens",
    metadata,
    sa.Column("digest", sa.Text, primary_key=True),
    sa.Column("folded", sa.Text, nullable=False, unique=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("role", sa.Text, nullable=False),
    sa.Column("made_at", sa.Double, nullable=False),
    sa.Column("ends_at", sa.Double, nullable=False),
    sa.Column("ended", sa.Boolean, nullable=False),
)

tries = sa.Table(
    "people_tries",
    metadata,
    sa.Column("key", sa.Text, primary_key=True),
    sa.Column("failures", sa.Integer, nullable=False),
    sa.Column("last_at", sa.Double, nullable=False),
)

under_way = sa.Table(
    "people_under_way",
    metadata,
    sa.Column("digest", sa.Text, primary_key=True),  # of the state sent to the provider
    sa.Column("nonce", sa.Text, nullable=False),
    sa.Column("verifier", sa.Text, nullable=False),
    sa.Column("going_to", sa.Text, nullable=False),
    sa.Column("ends_at", sa.Double, nullable=False),
)


def current_version(connection: sa.Connection) -> str | None:
    """Return the version that the open database has, or none for an empty one."""
    if not sa.inspect(connection).has_table(VERSION_TABLE):
        return None
    table = sa.table(VERSION_TABLE, sa.column("version_num", sa.Text))
    return connection.execute(sa.select(table.c.version_num)).scalar()


def upgrade(connection: sa.Connection) -> None:
    """Bring the database to `VERSION` inside the caller's transaction."""
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    script = ScriptDirectory(str(Path(__file__).with_name("migrations")))

    def steps(revision: str | tuple[str, ...], _context: MigrationContext) -> list[object]:
        return list(script._upgrade_revs(VERSION, revision))  # type: ignore[arg-type]

    environment = EnvironmentContext(Config(), script)
    environment.configure(connection=connection, fn=steps, version_table=VERSION_TABLE)
    environment.run_migrations()
