"""The application that clients sign on in browser tests, and what its maker does before they come."""

from dataclasses import dataclass
from urllib.parse import urlsplit

from flask import Flask
from flask.testing import FlaskClient
from signoff_site import PASSWORD, make_offer, token

from viewer.services import KEY
from viewer.store.opening import Store


@dataclass(frozen=True)
class SigningSite:
    """``address`` is where it is served; what its maker does goes past the browser."""

    app: Flask
    address: str

    @property
    def store(self) -> Store:
        found: Store = self.app.extensions[KEY].store
        return found

    def maker(self) -> FlaskClient:
        """The maker, signed in past the browser."""
        maker = self.app.test_client()
        maker.environ_base["HTTP_HOST"] = urlsplit(self.address).netloc
        form = {"name": "maker", "password": PASSWORD, "form_token": token(maker, "/sign-in")}
        assert maker.post("/sign-in", data=form).status_code == 302
        return maker

    def offer(self) -> str:
        """The id of a new offer of the built-in job."""
        return make_offer(self.app, self.maker())

    def file(self, offer: str) -> bytes:
        """What the maker sends by e-mail."""
        return self.maker().get(f"/offers/{offer}/client/offer.html").data

    def link(self, offer: str) -> str:
        """The address that the client is given."""
        return f"{self.address}/link/{self.store.offers.new_link(offer)}/"
