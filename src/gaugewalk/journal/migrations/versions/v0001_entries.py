"""The first journal: append-only entries chained by hash, and projections."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_REFUSE = """CREATE TRIGGER entries_no_{verb} BEFORE {verb} ON entries BEGIN
    SELECT RAISE(ABORT, 'The journal is append-only: add a correction, both records stay.'); END"""

_REFUSE_POSTGRESQL = (
    """CREATE FUNCTION entries_append_only() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
    RAISE EXCEPTION 'The journal is append-only: add a correction, both records stay.'; END $$""",
    """CREATE TRIGGER entries_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON entries
    FOR EACH STATEMENT EXECUTE FUNCTION entries_append_only()""",
)


def upgrade() -> None:
    """Make the tables, their indexes, and the triggers that refuse to change an entry."""
    op.create_table(
        "entries",
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
    op.create_index("entries_point", "entries", ["tag", "point", "seen_at"])
    op.create_index("entries_tag", "entries", ["tag", "seen_at"])
    op.create_index("entries_kind", "entries", ["kind", "seq"])
    corrected = sa.text("corrects IS NOT NULL")
    op.create_index(
        "entries_corrects",
        "entries",
        ["tag", "corrects"],
        sqlite_where=corrected,
        postgresql_where=corrected,
    )
    op.create_table(
        "states",
        sa.Column(
            "key", sa.Text().with_variant(sa.Text(collation="C"), "postgresql"), primary_key=True
        ),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("seq", sa.BigInteger, nullable=False),
    )
    _guard()


def _guard() -> None:
    if op.get_bind().dialect.name == "sqlite":
        statements = tuple(_REFUSE.format(verb=verb) for verb in ("UPDATE", "DELETE"))
    else:
        statements = _REFUSE_POSTGRESQL
    for statement in statements:
        op.execute(statement)
