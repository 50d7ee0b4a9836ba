"""What being reachable needs: tries counted for all processes, one-time codes, how a session began."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.create_table(
        "tries",
        sa.Column("key", sa.String(64), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("until", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_tries"),
    )
    op.create_table(
        "codes",
        sa.Column("code_hash", sa.String(64), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=False),
        sa.Column("expires_at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("code_hash", name="pk_codes"),
        sa.ForeignKeyConstraint(
            ["account_id"], ["accounts.id"], name="fk_codes_account_id", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_codes_account_id", "codes", ["account_id"])
    op.add_column(
        "sessions", sa.Column("way", sa.String(20), nullable=False, server_default=sa.text("'password'"))
    )
