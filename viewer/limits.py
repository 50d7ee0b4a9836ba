"""Limits on how often something may be tried from one address, counted in the store for all processes."""

import ipaddress
from dataclasses import dataclass

from flask import request

from viewer.services import services

IPV6_NETWORK_BITS = 64
"""What one line is given: within it a machine takes another address whenever it likes (RFC 6177)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limiter:
    """At most ``count`` tries within ``per_s`` seconds; ``name`` keeps one kind of try from another."""

    name: str
    count: int
    per_s: float

    def take(self) -> bool:
        """Count a try of the present request; False when it is one too many."""
        return services().store.tries.take(self._key(), most=self.count, per_s=self.per_s)

    def forget(self) -> None:
        """Begin again: the tries of this address came to a good end."""
        services().store.tries.forget(self._key())

    def _key(self) -> str:
        return f"{self.name} {network_of(request.remote_addr or '')}"


def network_of(address: str) -> str:
    """The address, or of IPv6 the network that it may move in."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return address
    if found.version == 4:
        return address
    return str(ipaddress.ip_network((found, IPV6_NETWORK_BITS), strict=False))
