"""A mail server for tests: RFC 5321 as far as an offer needs it, STARTTLS with a certificate of its own."""

import base64
import datetime
import ipaddress
import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import NameOID

USER, PASSWORD = "maker", "an invented mail password"


@dataclass
class MailServer:
    """``letters`` are the messages that were handed over, ``said`` the commands; ``refuses`` a recipient."""

    port: int
    certificate: Path
    letters: list[bytes] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    refuses: str = ""
    at_once: bool = False
    """Encrypted from the first byte, as on port 465."""

    def secured(self, client: socket.socket) -> ssl.SSLSocket:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(self.certificate)
        return context.wrap_socket(client, server_side=True)


def certificate(folder: Path) -> Path:
    """Key and certificate of 127.0.0.1 in one file."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "invented mail server")])
    now = datetime.datetime.now(datetime.UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(now - datetime.timedelta(days=1))
        .not_valid_after(now + datetime.timedelta(days=1))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]), critical=False
        )
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    path = folder / "mail.pem"
    path.write_bytes(
        key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()) + made.public_bytes(Encoding.PEM)
    )
    return path


@contextmanager
def mail_server(folder: Path, *, at_once: bool = False) -> Iterator[MailServer]:
    """Serve one client after the other until the end of the block."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        served = MailServer(listening.getsockname()[1], certificate(folder), at_once=at_once)
        thread = threading.Thread(target=_serve, args=(listening, served), daemon=True)
        thread.start()
        yield served
        listening.shutdown(socket.SHUT_RDWR)
    thread.join(timeout=5)


def _serve(listening: socket.socket, served: MailServer) -> None:
    while True:
        try:
            client, _address = listening.accept()
        except OSError:  # the end of the block
            return
        client.settimeout(10)
        try:
            _talk(client, served)
        except (OSError, ssl.SSLError):  # a client that trusts nobody hangs up
            client.close()


def _talk(client: socket.socket, served: MailServer) -> None:
    if served.at_once:
        client = served.secured(client)
    lines = client.makefile("rb")

    def answer(*said: str) -> None:
        client.sendall("".join(f"{line}\r\n" for line in said).encode())

    answer("220 invented")
    while line := lines.readline():
        command = line.decode().strip()
        served.said.append(command)
        match command.upper().split(" ")[0]:
            case "EHLO":
                secure = isinstance(client, ssl.SSLSocket)
                answer("250-invented", "250 AUTH PLAIN" if secure else "250 STARTTLS")
            case "STARTTLS":
                answer("220 go on")
                client = served.secured(client)
                lines = client.makefile("rb")
            case "AUTH":
                right = base64.b64encode(f"\0{USER}\0{PASSWORD}".encode()).decode()
                answer("235 welcome" if command == f"AUTH PLAIN {right}" else "535 no")
            case "RCPT":
                answer("550 nobody" if served.refuses and served.refuses in command else "250 well")
            case "DATA":
                answer("354 go on")
                body = b""
                while not body.endswith(b"\r\n.\r\n"):
                    body += lines.readline()
                served.letters.append(body[:-5])
                answer("250 kept")
            case "QUIT":
                answer("221 bye")
                break
            case _:
                answer("250 well")
    client.close()
