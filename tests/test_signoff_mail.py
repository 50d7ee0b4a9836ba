"""An offer by e-mail: over TLS to a server that is trusted, and never without; without settings, no form."""

import email
import email.policy
import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from mail_server import PASSWORD, USER, MailServer, mail_server
from signoff_site import make_offer, site, token

from viewer import log
from viewer.mail import Letter, MailError, address_of, send
from viewer.services import KEY
from viewer.settings import SettingsError, load, shown

pytestmark = pytest.mark.usefixtures("plain_view")


@pytest.fixture
def server(tmp_path: Path) -> Iterator[MailServer]:
    with mail_server(tmp_path) as served:
        yield served


@pytest.fixture
def app(tmp_path: Path, server: MailServer, monkeypatch: pytest.MonkeyPatch) -> Iterator[Flask]:
    monkeypatch.setenv("SSL_CERT_FILE", str(server.certificate))
    made = site(
        tmp_path,
        smtp_host="127.0.0.1",
        smtp_port=str(server.port),
        smtp_user=USER,
        smtp_password=PASSWORD,
        smtp_from="maker@walls.example",
    )
    yield made
    made.extensions[KEY].close()


def mail(client: FlaskClient, offer: str, **changed: str) -> tuple[int, str]:
    form = {"to": "client@home.example", "words": "Please look.\n\nYours", "way": "file", **changed}
    form["form_token"] = token(client, f"/offers/{offer}/")
    answer = client.post(f"/offers/{offer}/mail", data=form)
    return answer.status_code, answer.text


def test_the_file_is_sent_over_tls_and_nothing_of_it_is_logged(
    app: Flask, client: FlaskClient, server: MailServer
) -> None:
    offer = make_offer(app, client)
    stream = io.StringIO()
    log.configure("debug", stream)
    try:
        assert mail(client, offer)[0] == 302
    finally:
        log.LOGGER.handlers[:] = []
    assert "Handed over" in client.get(f"/offers/{offer}/?sent=yes").text
    (letter,) = server.letters
    message = email.message_from_bytes(letter, policy=email.policy.default)
    assert (message["From"], message["To"]) == ("maker@walls.example", "client@home.example")
    assert message["Subject"] == "Offer: Reading room, north wall"
    assert message["Message-ID"].endswith("@walls.example>")
    body = message.get_body(("plain",))
    assert body is not None
    assert body.get_content().splitlines() == ["Please look.", "", "Yours"]
    (attached,) = message.iter_attachments()
    assert attached.get_filename() == "offer.html"
    assert "Content-Security-Policy" in attached.get_content()
    # credentials and letter went through the encrypted part only
    began = server.said.index("STARTTLS")
    assert all(not line.startswith(("AUTH", "MAIL", "RCPT")) for line in server.said[:began])
    assert server.said[0] == "ehlo walls.example"
    assert '"event": "mail_sent"' in stream.getvalue()
    assert "home.example" not in stream.getvalue()


@pytest.mark.parametrize("trusts", [True, False])
def test_a_letter_goes_to_a_server_that_is_encrypted_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, trusts: bool
) -> None:
    """RFC 8314: implicit TLS, as on port 465."""
    with mail_server(tmp_path, at_once=True) as server:
        monkeypatch.setenv("SSL_CERT_FILE", str(server.certificate) if trusts else "/dev/null")
        settings = load(
            {
                "SLATWRIGHT_SMTP_HOST": "127.0.0.1",
                "SLATWRIGHT_SMTP_PORT": str(server.port),
                "SLATWRIGHT_SMTP_TLS": "tls",
                "SLATWRIGHT_SMTP_FROM": "maker@walls.example",
            }
        )
        letter = Letter(to="client@home.example", subject="Offer", words="Please look.")
        if trusts:
            send(settings, letter)
            assert "STARTTLS" not in server.said
            assert b"Please look." in server.letters[0]
        else:
            with pytest.raises(MailError, match="cannot be trusted"):
                send(settings, letter)
            assert server.letters == []


def test_everything_that_is_wrong_is_said_and_nothing_is_sent(
    app: Flask, client: FlaskClient, server: MailServer
) -> None:
    offer = make_offer(app, client)
    status, text = mail(client, offer, to="client", words="x" * 2001, way="link")
    assert status == 422
    for words in ("expected one e-mail address", "at most 2000 characters", "SLATWRIGHT_PUBLIC_URL"):
        assert words in text
    server.refuses = "gone@home.example"
    status, text = mail(client, offer, to="gone@home.example")
    assert (status, "does not take this address" in text) == (422, True)
    assert 'value="gone@home.example"' in text
    assert server.letters == []


def test_a_server_that_is_not_trusted_gets_no_password(
    app: Flask, client: FlaskClient, server: MailServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    offer = make_offer(app, client)
    monkeypatch.setenv("SSL_CERT_FILE", "/dev/null")
    status, text = mail(client, offer)
    assert (status, "cannot be trusted" in text) == (422, True)
    assert not any(line.startswith("AUTH") for line in server.said)


def test_wrong_passwords_and_silent_servers_are_sentences(
    tmp_path: Path, server: MailServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", str(server.certificate))
    given = {"smtp_host": "127.0.0.1", "smtp_from": "maker@walls.example", "smtp_user": USER}
    for more, words in (
        ({"smtp_port": str(server.port), "smtp_password": "wrong"}, "refuses user and password"),
        ({"smtp_port": "9"}, "does not answer"),
    ):
        app = site(tmp_path, **given, **more)
        client = app.test_client()
        status, text = mail(client, make_offer(app, client))
        assert (status, words in text) == (422, True)
        app.extensions[KEY].close()


def test_a_link_goes_out_where_clients_reach_the_program(
    tmp_path: Path, reachable: Flask, owner: FlaskClient, server: MailServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", str(server.certificate))
    services = reachable.extensions[KEY]
    given = {"smtp_host": "127.0.0.1", "smtp_port": server.port, "smtp_from": "maker@walls.example"}
    monkeypatch.setattr(services, "settings", services.settings.model_copy(update=given))
    offer = make_offer(reachable, owner)
    assert mail(owner, offer, way="link")[0] == 302
    (letter,) = server.letters
    found = re.search(rb"https://walls\.example(/link/[\w-]+/)", letter.replace(b"=\r\n", b""))
    assert found
    assert reachable.test_client().get(found[1].decode(), base_url="https://walls.example").status_code == 200


def test_without_settings_there_is_no_form_and_nothing_breaks(tmp_path: Path) -> None:
    app = site(tmp_path)
    client = app.test_client()
    offer = make_offer(app, client)
    assert "Send the offer" not in client.get(f"/offers/{offer}/").text
    assert mail(client, offer)[0] == 409
    app.extensions[KEY].close()


@pytest.mark.parametrize(
    "given",
    [
        "",
        "client",
        "a@b",
        "a@b.c, d@e.f",
        "A <a@b.c>",
        "a@b.c\nBcc: d@e.f",
        "a@b.co\r\n",
        "ä@b.co",
        "@b.co",
        "a@-b.co",
    ],
)
def test_one_plain_address_or_none(given: str) -> None:
    assert address_of(given) == (given.strip() if given == "a@b.co\r\n" else None)


def test_settings_of_mail_are_checked_together_and_masked() -> None:
    with pytest.raises(SettingsError) as caught:
        load({"SLATWRIGHT_SMTP_HOST": "mail.example", "SLATWRIGHT_SMTP_TLS": "none"})
    assert [name for name, _words in caught.value.problems] == ["SLATWRIGHT_SMTP_TLS", "SLATWRIGHT_SMTP_FROM"]
    environment = {"SLATWRIGHT_SMTP_PASSWORD": "secret enough"}
    assert shown(load(environment), environment)["SLATWRIGHT_SMTP_PASSWORD"]["value"] == "********"
