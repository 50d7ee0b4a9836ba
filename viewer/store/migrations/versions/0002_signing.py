"""What signing needs: an offer's pictures and remarks, accounts and their sessions."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "pictures",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("offer_id", sa.String(32), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("media_type", sa.String(40), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_pictures"),
        sa.ForeignKeyConstraint(["offer_id"], ["offers.id"], name="fk_pictures_offer_id", ondelete="CASCADE"),
        sa.UniqueConstraint("offer_id", "place", name="uq_pictures_offer_id_place"),
    )
    op.create_table(
        "remarks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("offer_id", sa.String(32), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("picture", sa.Integer(), nullable=True),
        sa.Column("x", sa.Double(), nullable=True),
        sa.Column("y", sa.Double(), nullable=True),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_remarks"),
        sa.ForeignKeyConstraint(["offer_id"], ["offers.id"], name="fk_remarks_offer_id", ondelete="CASCADE"),
    )
    op.create_table(
        "accounts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(100), nullable=False),
        sa.Column("password_hash", sa.String(200), nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_accounts"),
        sa.UniqueConstraint("name", name="uq_accounts_name"),
    )
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("expires_at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("token_hash", name="pk_sessions"),
        sa.ForeignKeyConstraint(
            ["account_id"], ["accounts.id"], name="fk_sessions_account_id", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_pictures_offer_id", "pictures", ["offer_id"])
    op.create_index("ix_remarks_offer_id", "remarks", ["offer_id"])
    op.create_index("ix_sessions_account_id", "sessions", ["account_id"])
