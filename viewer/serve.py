"""Listening: the application behind waitress, on this machine alone unless a setting says otherwise."""

import errno
import ipaddress
import logging
import signal
import socket
import sys
from collections.abc import Callable
from typing import Any

from flask import Flask

from viewer.log import event
from viewer.services import KEY
from viewer.settings import LOCAL_NAMES, Settings

THREADS = 8
"""Requests answered at once. Pictures are made elsewhere, so these threads only wait and serialise."""


class PortBusyError(OSError):
    """The wanted port is taken by another program."""


class NoLocalNetworkError(OSError):
    """This machine has no address in a local network, or only one that the whole world reaches."""


def lan_address() -> str:
    """The address by which the local network reaches this machine. Raises ``NoLocalNetworkError``.

    A datagram socket that is connected sends nothing; it only asks which way a packet would leave by.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(
                ("192.0.2.1", 9)
            )  # RFC 5737: nobody's, so it lies behind the way out of the network
            found = ipaddress.ip_address(asking.getsockname()[0])
        except OSError as error:
            raise NoLocalNetworkError(error.errno, "this machine is in no network") from None
    if found.is_loopback or not found.is_private:
        raise NoLocalNetworkError(errno.EADDRNOTAVAIL, f"{found} is no address of a local network")
    return str(found)


def _bound(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    found = socket.socket(family, socket.SOCK_STREAM)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((host, port))
        # a second socket may bind to a port that is bound but not yet listened on; listening settles it
        found.listen(64)
    except OSError:
        found.close()
        raise
    return found


def listening_socket(host: str, port: int, *, or_free: bool) -> socket.socket:
    """A socket that listens on host and port, or with ``or_free`` on any free port if that one is taken.

    Raises ``PortBusyError`` for a taken port and ``OSError`` for an address that is not this machine's.
    """
    try:
        return _bound(host, port)
    except OSError as error:
        if error.errno not in (errno.EADDRINUSE, errno.EACCES):
            raise
        if or_free:
            return _bound(host, 0)
        raise PortBusyError(
            error.errno, "is taken by another program or not allowed", f"port {port}"
        ) from None


def address_of(listening: socket.socket) -> str:
    """The address to open in a browser."""
    host, port = listening.getsockname()[:2]
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def _proxy(settings: Settings) -> dict[str, Any]:
    """Behind a proxy on this machine, who asks is whom the proxy saw: limits count by that."""
    if settings.public_url is None or settings.host.lower() not in LOCAL_NAMES:
        return {}
    return {
        "trusted_proxy": settings.host if settings.host != "localhost" else "127.0.0.1",
        "trusted_proxy_count": 1,
        "trusted_proxy_headers": {"x-forwarded-for"},
        "clear_untrusted_proxy_headers": True,
    }


def serve(app: Flask, settings: Settings, listening: socket.socket, *, say: Callable[[str], None]) -> None:
    """Serve until interrupted. ``say`` gets the address once the socket listens."""
    from waitress import create_server

    logging.getLogger("waitress").setLevel(logging.ERROR)  # its "Serving on" is said better below
    # a shell that starts us in the background has made us deaf to Ctrl-C; both signals end us the same way
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.default_int_handler)
    server = create_server(
        app, sockets=[listening], threads=THREADS, ident=None, channel_timeout=60, **_proxy(settings)
    )
    say(address_of(listening))
    sys.stdout.flush()
    event("listening", host=settings.host, port=listening.getsockname()[1])
    try:
        server.run()  # ends by the interrupt, which waitress takes as the wish to stop
    finally:
        server.close()
        listening.close()
        app.extensions[KEY].close()
