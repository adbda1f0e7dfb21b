"""The first tables of the people."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "people_accounts",
        sa.Column("folded", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("password", sa.Text),
        sa.Column("openid", sa.Text, unique=True),
        sa.Column("closed", sa.Boolean, nullable=False),
        sa.Column("made_at", sa.Double, nullable=False),
    )
    op.create_table(
        "people_sessions",
        sa.Column("digest", sa.Text, primary_key=True),
        sa.Column("account", sa.Text, nullable=False, index=True),
        sa.Column("made_at", sa.Double, nullable=False),
        sa.Column("used_at", sa.Double, nullable=False),
        sa.Column("ends_at", sa.Double, nullable=False),
    )
    op.create_table(
        "people_tokens",
        sa.Column("digest", sa.Text, primary_key=True),
        sa.Column("folded", sa.Text, nullable=False, unique=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("made_at", sa.Double, nullable=False),
        sa.Column("ends_at", sa.Double, nullable=False),
        sa.Column("ended", sa.Boolean, nullable=False),
    )
    op.create_table(
        "people_tries",
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("failures", sa.Integer, nullable=False),
        sa.Column("last_at", sa.Double, nullable=False),
    )
    op.create_table(
        "people_under_way",
        sa.Column("digest", sa.Text, primary_key=True),
        sa.Column("nonce", sa.Text, nullable=False),
        sa.Column("verifier", sa.Text, nullable=False),
        sa.Column("going_to", sa.Text, nullable=False),
        sa.Column("ends_at", sa.Double, nullable=False),
    )
