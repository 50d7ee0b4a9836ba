"""The first tables: jobs, versions, photos, offers, record entries, personal values."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _moment(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.String(32), nullable=nullable)


def _of_job(name: str, on_delete: str) -> tuple[sa.Column[str], sa.ForeignKeyConstraint]:
    return (
        sa.Column("job_id", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=f"fk_{name}_job_id", ondelete=on_delete),
    )


def upgrade() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        _moment("created_at"),
        _moment("changed_at"),
        _moment("deleted_at", nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
    )
    op.create_index("ix_jobs_changed_at", "jobs", ["changed_at"])
    op.create_table(
        "versions",
        sa.Column("id", sa.Integer(), nullable=False),
        *_of_job("versions", "CASCADE"),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        _moment("kept_at"),
        sa.PrimaryKeyConstraint("id", name="pk_versions"),
        sa.UniqueConstraint("job_id", "digest", name="uq_versions_job_id_digest"),
    )
    op.create_table(
        "photos",
        sa.Column("id", sa.String(32), nullable=False),
        *_of_job("photos", "CASCADE"),
        sa.Column("purpose", sa.String(20), nullable=False),
        sa.Column("media_type", sa.String(40), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        _moment("added_at"),
        sa.PrimaryKeyConstraint("id", name="pk_photos"),
    )
    op.create_table(
        "offers",
        sa.Column("id", sa.String(32), nullable=False),
        *_of_job("offers", "CASCADE"),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("token_hash", sa.String(64), nullable=True),
        _moment("made_at"),
        _moment("expires_at"),
        _moment("revoked_at", nullable=True),
        sa.Column("signed_place", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_offers"),
        sa.UniqueConstraint("token_hash", name="uq_offers_token_hash"),
    )
    op.create_table(
        "entries",
        sa.Column("id", sa.Integer(), nullable=False),
        *_of_job("entries", "RESTRICT"),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_entries"),
        sa.UniqueConstraint("job_id", "place", name="uq_entries_job_id_place"),
    )
    op.create_table(
        "personal",
        sa.Column("reference", sa.String(64), nullable=False),
        *_of_job("personal", "CASCADE"),
        sa.Column("salt", sa.String(64), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("reference", name="pk_personal"),
    )
    for table in ("versions", "photos", "offers", "entries", "personal"):
        op.create_index(f"ix_{table}_job_id", table, ["job_id"])
