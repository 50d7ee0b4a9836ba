"""Sending an offer by e-mail, where the settings name a mail server. Always by TLS, certificates checked."""

import smtplib
import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime, make_msgid
from gettext import gettext as _

from viewer.clock import utc_now
from viewer.log import event
from viewer.settings import MAIL_ADDRESS, Settings

TIMEOUT_S = 20.0
"""A person waits for the answer; a mail server that takes longer is told as not answering."""
LONGEST_ADDRESS = 254
"""RFC 5321, 4.5.3.1.3: 256 with the angle brackets."""


class MailError(Exception):
    """The message could not be handed over; the sentence says why, for the maker."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What is sent. ``to`` is one address, already looked at by ``address_of``."""

    to: str
    subject: str
    words: str
    attached: tuple[str, bytes] | None = None


def address_of(given: str) -> str | None:
    """One plain address, or None for anything else: no names, no lists, no line breaks."""
    given = given.strip()
    return given if len(given) <= LONGEST_ADDRESS and MAIL_ADDRESS.fullmatch(given) else None


def send(settings: Settings, letter: Letter) -> None:
    """Hand a letter over to the mail server. Raises ``MailError``; nothing of the letter is logged."""
    assert settings.smtp_host is not None
    assert settings.smtp_from is not None
    message = _message(settings.smtp_from, letter)
    try:
        with _server(settings) as server:
            if settings.smtp_user and settings.smtp_password:
                server.login(settings.smtp_user, settings.smtp_password.get_secret_value())
            server.send_message(message)
    except smtplib.SMTPAuthenticationError as error:
        raise _failed(error, _("the mail server refuses user and password of the settings")) from None
    except smtplib.SMTPRecipientsRefused as error:
        raise _failed(error, _("the mail server does not take this address")) from None
    except ssl.SSLError as error:
        raise _failed(error, _("the mail server's certificate or encryption cannot be trusted")) from None
    except smtplib.SMTPException as error:
        raise _failed(error, _("the mail server refuses the message")) from None
    except OSError as error:
        raise _failed(error, _("the mail server does not answer")) from None
    event("mail_sent")


def _failed(error: Exception, words: str) -> MailError:
    event("mail_failed", kind=type(error).__name__)
    return MailError(words)


@contextmanager
def _server(settings: Settings) -> Iterator[smtplib.SMTP]:
    host, own = settings.smtp_host or "", (settings.smtp_from or "").rpartition("@")[2]
    trusted = ssl.create_default_context()
    if settings.smtp_tls == "tls":
        with smtplib.SMTP_SSL(host, settings.smtp_port, own, timeout=TIMEOUT_S, context=trusted) as server:
            yield server
        return
    with smtplib.SMTP(host, settings.smtp_port, own, timeout=TIMEOUT_S) as server:
        server.starttls(context=trusted)
        yield server


def _message(sender: str, letter: Letter) -> EmailMessage:
    message = EmailMessage(policy=SMTP)
    message["From"], message["To"] = sender, letter.to
    message["Subject"] = " ".join(letter.subject.split())
    message["Date"] = format_datetime(utc_now())
    message["Message-ID"] = make_msgid(
        domain=sender.rpartition("@")[2]
    )  # else this machine's name stands there
    message.set_content(letter.words)
    if letter.attached is not None:
        name, data = letter.attached
        message.add_attachment(data, maintype="text", subtype="html", filename=name)
    return message
