"""The tables. Moments are UTC as ISO 8601 text with a Z, so that SQLite and PostgreSQL sort them alike."""

from sqlalchemy import Double, ForeignKey, LargeBinary, MetaData, String, Text, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}
"""Constraint names are stated, so that a migration can name them on every database."""


class Base(DeclarativeBase):
    """What every table shares."""

    metadata = MetaData(naming_convention=NAMING)


class JobRow(Base):
    """A job as typed, notes and unfinished parts included. ``revision`` counts its saves."""

    __tablename__ = "jobs"

    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    name: Mapped[str] = mapped_column(String(200))
    document: Mapped[str] = mapped_column(Text)
    revision: Mapped[int] = mapped_column()
    created_at: Mapped[str] = mapped_column(String(32))
    changed_at: Mapped[str] = mapped_column(String(32), index=True)
    deleted_at: Mapped[str | None] = mapped_column(String(32))

    __mapper_args__ = {"version_id_col": revision}  # noqa: RUF012 - SQLAlchemy declares it so


class VersionRow(Base):
    """A state of a job that something outside relies on (an offer, a pack), by its hash."""

    __tablename__ = "versions"
    __table_args__ = (UniqueConstraint("job_id", "digest"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    digest: Mapped[str] = mapped_column(String(64))
    document: Mapped[str] = mapped_column(Text)
    kept_at: Mapped[str] = mapped_column(String(32))


class PhotoRow(Base):
    """A photo that belongs to a job, re-encoded at upload; ``purpose`` is before, sample or signed_sheet."""

    __tablename__ = "photos"

    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    purpose: Mapped[str] = mapped_column(String(20))
    media_type: Mapped[str] = mapped_column(String(40))
    data: Mapped[bytes] = mapped_column(LargeBinary)
    added_at: Mapped[str] = mapped_column(String(32))


class OfferRow(Base):
    """An offer made from a version of a job. Of its link's token only the SHA-256 is kept."""

    __tablename__ = "offers"

    id: Mapped[str] = mapped_column(String(32), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    document: Mapped[str] = mapped_column(Text)
    token_hash: Mapped[str | None] = mapped_column(String(64), unique=True)
    made_at: Mapped[str] = mapped_column(String(32))
    expires_at: Mapped[str] = mapped_column(String(32))
    revoked_at: Mapped[str | None] = mapped_column(String(32))
    signed_place: Mapped[int | None]


class EntryRow(Base):
    """One entry of a job's record. Job and place are unique: two signings at once yield one."""

    __tablename__ = "entries"
    __table_args__ = (UniqueConstraint("job_id", "place"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="RESTRICT"), index=True)
    place: Mapped[int]
    document: Mapped[str] = mapped_column(Text)


class PersonalRow(Base):
    """A personal value with its salt, apart from the chain that holds only their hash. Erasable."""

    __tablename__ = "personal"

    reference: Mapped[str] = mapped_column(String(64), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    salt: Mapped[str] = mapped_column(String(64))
    value: Mapped[str] = mapped_column(Text)


class PictureRow(Base):
    """A still of an offer, kept as it was shown; ``place`` is its number in the offer."""

    __tablename__ = "pictures"
    __table_args__ = (UniqueConstraint("offer_id", "place"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    offer_id: Mapped[str] = mapped_column(ForeignKey("offers.id", ondelete="CASCADE"), index=True)
    place: Mapped[int]
    sha256: Mapped[str] = mapped_column(String(64))
    media_type: Mapped[str] = mapped_column(String(40))
    data: Mapped[bytes] = mapped_column(LargeBinary)


class RemarkRow(Base):
    """What the client says: a comment at a place in a picture, or the wish for a change.

    ``x`` and ``y`` are shares of the picture's width and height from its upper left corner.
    """

    __tablename__ = "remarks"

    id: Mapped[int] = mapped_column(primary_key=True)
    offer_id: Mapped[str] = mapped_column(ForeignKey("offers.id", ondelete="CASCADE"), index=True)
    kind: Mapped[str] = mapped_column(String(20))
    picture: Mapped[int | None]
    x: Mapped[float | None] = mapped_column(Double)
    y: Mapped[float | None] = mapped_column(Double)
    words: Mapped[str] = mapped_column(Text)
    at: Mapped[str] = mapped_column(String(32))


class AccountRow(Base):
    """Who may sign in where the program is reachable from elsewhere. The password's argon2 hash only."""

    __tablename__ = "accounts"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    password_hash: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[str] = mapped_column(String(32))


class SessionRow(Base):
    """A signed-in browser, by the SHA-256 of its token; ``way`` is password or code."""

    __tablename__ = "sessions"

    token_hash: Mapped[str] = mapped_column(String(64), primary_key=True)
    account_id: Mapped[int] = mapped_column(ForeignKey("accounts.id", ondelete="CASCADE"), index=True)
    made_at: Mapped[str] = mapped_column(String(32))
    expires_at: Mapped[str] = mapped_column(String(32))
    way: Mapped[str] = mapped_column(String(20), server_default="password")


class CodeRow(Base):
    """A code that signs one more browser in, once and soon, by its SHA-256."""

    __tablename__ = "codes"

    code_hash: Mapped[str] = mapped_column(String(64), primary_key=True)
    account_id: Mapped[int] = mapped_column(ForeignKey("accounts.id", ondelete="CASCADE"), index=True)
    expires_at: Mapped[str] = mapped_column(String(32))


class TryRow(Base):
    """How often something was tried, by the SHA-256 of what and from where; ``until`` it begins again."""

    __tablename__ = "tries"

    key: Mapped[str] = mapped_column(String(64), primary_key=True)
    count: Mapped[int]
    until: Mapped[str] = mapped_column(String(32))
