"""Accounts and their sessions, for a program that is reachable from elsewhere.

Passwords are kept as argon2id hashes (RFC 9106) with the library's recommended cost; a session's token as its
SHA-256. Signing out or changing the password ends sessions at once: they live here, not in the cookie.
"""

import hashlib
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from argon2 import PasswordHasher
from argon2.exceptions import VerificationError
from sqlalchemy import Engine, delete, select
from sqlalchemy.orm import Session

from viewer.store.jobs import moment
from viewer.store.tables import AccountRow, SessionRow

SESSION_LASTS = timedelta(hours=12)
LEAST_LETTERS, MOST_LETTERS = 12, 200
"""Of a password: long enough to resist guessing (ASVS 5.0, 6.2.1 asks for 8 and advises 15)."""

HASHER = PasswordHasher()
_NOBODY = HASHER.hash(secrets.token_hex(16))
"""Checked for unknown names, so that an answer takes as long whether the name exists or not."""


class PasswordError(ValueError):
    """The password cannot be used; the message says what would be accepted."""


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountStore:
    """Accounts of one database."""

    engine: Engine
    now: Callable[[], datetime]

    def any(self) -> bool:
        """Whether anybody could sign in."""
        with Session(self.engine) as session:
            return session.scalar(select(AccountRow.id).limit(1)) is not None

    def set_password(self, name: str, password: str) -> None:
        """Make the account or give it another password; its sessions end. Raises ``PasswordError``."""
        if not LEAST_LETTERS <= len(password) <= MOST_LETTERS:
            raise PasswordError(f"expected {LEAST_LETTERS} to {MOST_LETTERS} characters")
        if password.casefold() == name.casefold() or len(set(password)) < 5:
            raise PasswordError("expected more than the name or a few repeated characters")
        hashed = HASHER.hash(password)
        with Session(self.engine) as session, session.begin():
            row = session.scalar(select(AccountRow).where(AccountRow.name == name))
            if row is None:
                session.add(AccountRow(name=name, password_hash=hashed, made_at=moment(self.now())))
                return
            row.password_hash = hashed
            session.execute(delete(SessionRow).where(SessionRow.account_id == row.id))

    def sign_in(self, name: str, password: str) -> str | None:
        """A new session's token, or None for a wrong name or password."""
        with Session(self.engine) as session, session.begin():
            row = session.scalar(select(AccountRow).where(AccountRow.name == name))
            try:
                HASHER.verify(row.password_hash if row else _NOBODY, password[:MOST_LETTERS])
            except VerificationError:
                return None
            if row is None:
                return None
            now = self.now()
            session.execute(delete(SessionRow).where(SessionRow.expires_at < moment(now)))
            token = secrets.token_urlsafe(24)
            session.add(
                SessionRow(
                    token_hash=_hash(token),
                    account_id=row.id,
                    made_at=moment(now),
                    expires_at=moment(now + SESSION_LASTS),
                )
            )
            return token

    def signed_in(self, token: str | None) -> bool:
        """Whether a token belongs to a session that has not ended."""
        if not token:
            return False
        with Session(self.engine) as session:
            row = session.get(SessionRow, _hash(token))
            return row is not None and row.expires_at >= moment(self.now())

    def sign_out(self, token: str) -> None:
        """End a session."""
        with Session(self.engine) as session, session.begin():
            session.execute(delete(SessionRow).where(SessionRow.token_hash == _hash(token)))
