"""What the application works with, made once at its start and found through ``services()``."""

import json
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from functools import cached_property
from threading import Lock
from typing import TYPE_CHECKING, Any, cast

from flask import Flask, current_app

from viewer.catalogue import catalogue_of, names_of
from viewer.demo import demo_bytes
from viewer.job.check import CheckResult, check_job, check_text
from viewer.kept import Kept, one_each
from viewer.settings import Settings

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue
    from viewer.cuttings_service import CuttingsService
    from viewer.estimate.prices import PriceList
    from viewer.stills_service import StillsService
    from viewer.store.opening import Store

KEY = "slatwright"
STATES_KEPT = 16
"""Checked states of jobs that are held at once."""


class Services:
    """Settings, catalogue and the jobs that are open."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self._opening = Lock()
        """Held while a service is made, so that first requests share one: ``cached_property`` locks nothing
        since Python 3.12."""
        self._states: Kept[CheckResult] = Kept(STATES_KEPT, one_each)

    def init_app(self, app: Flask) -> None:
        """Put these services into an application. A catalogue or price list with faults stops the start."""
        app.extensions[KEY] = self
        self.names  # noqa: B018 # read now, not at somebody's first request
        self.prices  # noqa: B018

    @cached_property
    def catalogue(self) -> "Catalogue":
        """The catalogue with the folders of the settings."""
        return catalogue_of(self.settings.catalogue, self.settings.cache_dir)

    @property
    def stills(self) -> "StillsService":
        """Pictures on order; nothing is started before the first."""
        with self._opening:
            return self._stills

    @cached_property
    def _stills(self) -> "StillsService":
        from viewer.stills_service import StillsService  # brings everything that pictures need

        return StillsService(self.settings)

    @property
    def cuttings(self) -> "CuttingsService":
        """Cutting plans proven in the background; nothing is started before the first."""
        with self._opening:
            return self._cuttings

    @cached_property
    def _cuttings(self) -> "CuttingsService":
        from viewer.cuttings_service import CuttingsService  # brings everything that cutting needs

        return CuttingsService(self.settings.prove_seconds)

    @property
    def store(self) -> "Store":
        """Jobs, offers and records; opened and migrated by whoever asks first."""
        with self._opening:
            return self._store

    @cached_property
    def _store(self) -> "Store":
        from viewer.clock import utc_now
        from viewer.store.opening import open_store  # SQLAlchemy and alembic, where something is kept

        address = self.settings.database_url
        return open_store(self.settings.data_dir, address.get_secret_value() if address else None, utc_now)

    def close(self) -> None:
        """End what runs beside the application."""
        if "_store" in self.__dict__:
            self._store.close()
        if "_cuttings" in self.__dict__:
            self._cuttings.close()
        if "_stills" in self.__dict__:
            self._stills.close()

    @cached_property
    def names(self) -> dict[str, tuple[str, ...]]:
        """The catalogue's names by kind."""
        return names_of(self.catalogue)

    def check(self, data: object) -> CheckResult:
        """Plain data as a job, checked against this catalogue."""
        return check_job(data, names=self.names)

    def check_state(self, document: Mapping[str, Any]) -> CheckResult:
        """A document that the store holds, checked once for all requests that read the same state of it."""
        written = json.dumps(document)
        found = self._states.get(written, lambda: self.check(json.loads(written)))
        return replace(found, document=deepcopy(found.document))

    def check_text(self, source: bytes) -> CheckResult:
        """The bytes of a job file, checked against this catalogue."""
        return check_text(source, names=self.names)

    @cached_property
    def prices(self) -> "PriceList | None":
        """The price list of the settings; raises ``PriceListError``."""
        if self.settings.prices is None:
            return None
        from viewer.price_list import price_list_of

        return price_list_of(self.settings.prices)

    @cached_property
    def demo(self) -> CheckResult:
        """The built-in job. It always checks: a test says so."""
        return self.check_text(demo_bytes())


def services() -> Services:
    """The services of the application that answers the present request."""
    return cast(Services, current_app.extensions[KEY])
