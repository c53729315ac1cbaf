"""The journal: entries that are only ever added, people beside them, book and device."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables, and refuse any change of an entry in the file itself."""
    op.create_table(
        "entries",
        sa.Column("arrival", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("happened", sa.Text, nullable=False),
        sa.Column("zone", sa.Text, nullable=False),
        sa.Column("entered", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("counter", sa.Integer, nullable=False),
        sa.Column("by", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("payload", sa.Text, nullable=False),
        sa.Column("previous", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
    )
    op.create_index("entries_by_device", "entries", ["device", "counter"])
    op.create_table(
        "people",
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
    )
    op.create_table("book", sa.Column("id", sa.Text, primary_key=True))
    op.create_table(
        "device",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("place", sa.Text, nullable=False, unique=True),
        sa.Column("since", sa.Text, nullable=False),
    )
    for change in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER entries_no_{change.lower()} BEFORE {change} ON entries "
            "BEGIN SELECT RAISE(ABORT, 'entries are only ever added'); END"
        )
