"""Every setting, read once at start from the environment (``SLATWRIGHT_*`` only).

A wrong value, or a name that is no setting, is a named error at start: a setting that is silently not obeyed
is worse than a program that does not start.
"""

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Literal
from urllib.parse import urlsplit

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    SecretStr,
    ValidationError,
    ValidationInfo,
    field_validator,
)

from viewer.job.accepted import nearest
from viewer.paths import cache_home, data_home, state_home
from viewer.zones import known_zone, machine_zone

PREFIX = "SLATWRIGHT_"
MAIL_ADDRESS = re.compile(r"[!#-'*+\-./0-9=?A-Z^-~]{1,64}@[0-9A-Za-z](?:[0-9A-Za-z.-]*)\.[0-9A-Za-z-]{2,63}")
"""One plain address (RFC 5321): no name, no list, nothing that ends a line."""
LOCAL_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})


class SettingsError(ValueError):
    """Settings that cannot be used: one (variable, message) pair a problem."""

    def __init__(self, problems: list[tuple[str, str]]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{name}: {message}" for name, message in problems))


class Settings(BaseModel):
    """The settings with their defaults; ``Field(description=…)`` is what ``slatwright settings`` prints."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    host: Annotated[str, Field(min_length=1, description="address that the web application listens on")] = (
        "127.0.0.1"
    )
    port: Annotated[
        int,
        Field(ge=0, le=65535, description="port of the web application; 0 takes a free one"),
    ] = 8517
    data_dir: Annotated[Path, Field(description="folder of jobs, photos, records and keys")] = Path()
    cache_dir: Annotated[Path, Field(description="folder of what can be made again (light layers)")] = Path()
    state_dir: Annotated[Path, Field(description="folder of the log of unexpected failures")] = Path()
    catalogue: Annotated[
        tuple[Path, ...],
        Field(description="folders of further catalogue files, separated by a colon"),
    ] = ()
    prices: Annotated[
        Path | None, Field(description="price list; without one, prices are named as missing")
    ] = None
    log_level: Annotated[
        Literal["debug", "info", "warning", "error"],
        Field(description="least severity that is logged"),
    ] = "info"
    cache_mb: Annotated[
        int, Field(ge=0, le=1_000_000, description="size that the cache of light layers may reach, in MB")
    ] = 2000
    prove_seconds: Annotated[
        int,
        Field(
            ge=0, le=600, description="seconds that proving a cutting plan may take; 0 keeps the first plan"
        ),
    ] = 10
    secret_key: Annotated[
        SecretStr | None,
        Field(description="key that signs cookies; without one, a key made once in the data folder"),
    ] = None
    database_url: Annotated[
        SecretStr | None,
        Field(
            description="address of the database (sqlite:///FILE or postgresql://…); left out, "
            "DATABASE_URL, or without that a SQLite file in the data folder"
        ),
    ] = None
    time_zone: Annotated[
        str,
        Field(
            description="IANA zone, such as Europe/London, of the days and times on pages; "
            "left out, that of this machine"
        ),
    ] = "UTC"
    public_url: Annotated[
        str | None,
        Field(
            description="address (https://HOST) under which clients reach the program; only then are there "
            "links to offers, and an owner's account is needed"
        ),
    ] = None

    smtp_host: Annotated[
        str | None, Field(description="mail server that offers are sent by; without one nothing is sent")
    ] = None
    smtp_port: Annotated[int, Field(ge=1, le=65535, description="port of the mail server")] = 587
    smtp_tls: Annotated[
        Literal["starttls", "tls"],
        Field(description="whether encryption starts on the way (port 587) or at once (port 465)"),
    ] = "starttls"
    smtp_user: Annotated[str | None, Field(description="who the mail server knows this program as")] = None
    smtp_password: Annotated[SecretStr | None, Field(description="that user's password")] = None
    smtp_from: Annotated[
        str | None,
        Field(description="e-mail address that offers come from", validate_default=True),
    ] = None

    @field_validator("smtp_from")
    @classmethod
    def _with_a_server(cls, value: str | None, info: ValidationInfo) -> str | None:
        if value is None and info.data.get("smtp_host"):
            raise ValueError("left out, though SLATWRIGHT_SMTP_HOST is set")
        if value is not None and not MAIL_ADDRESS.fullmatch(value):
            raise ValueError(f"{value} is no address such as maker@walls.example")
        return value

    @field_validator("catalogue", mode="before")
    @classmethod
    def _folders(cls, value: Any) -> Any:
        return tuple(part for part in value.split(":") if part) if isinstance(value, str) else value

    @field_validator("catalogue")
    @classmethod
    def _folders_exist(cls, value: tuple[Path, ...]) -> tuple[Path, ...]:
        for folder in value:
            if not folder.is_dir():
                raise ValueError(f"{folder} is no folder")
        return value

    @field_validator("prices")
    @classmethod
    def _file_exists(cls, value: Path | None) -> Path | None:
        if value is not None and not value.is_file():
            raise ValueError(f"{value} is no file")
        return value

    @field_validator("time_zone")
    @classmethod
    def _a_zone(cls, value: str) -> str:
        return known_zone(value).key

    @field_validator("public_url")
    @classmethod
    def _an_origin(cls, value: str | None) -> str | None:
        if value is None:
            return None
        parts = urlsplit(value.rstrip("/"))
        if parts.scheme not in ("http", "https") or not parts.hostname or parts.path or parts.query:
            raise ValueError(f"{value} is no address such as https://walls.example")
        return f"{parts.scheme}://{parts.netloc.lower()}"

    @property
    def reachable(self) -> bool:
        """Whether anybody but a person at this machine can ask: then an account guards everything."""
        return self.public_url is not None or self.host.lower() not in LOCAL_NAMES

    @field_validator("secret_key")
    @classmethod
    def _long_enough(cls, value: SecretStr | None) -> SecretStr | None:
        if value is not None and len(value.get_secret_value()) < 32:
            raise ValueError("shorter than the 32 characters that a key needs")
        return value


def variable(name: str) -> str:
    """The environment variable of a setting."""
    return PREFIX + name.upper()


def _accepted(name: str) -> str:
    node = Settings.model_json_schema()["properties"][name]
    if "enum" in node:
        return f"one of {', '.join(node['enum'])}"
    if node.get("type") == "integer":
        return f"a whole number from {node['minimum']} to {node['maximum']}"
    return str(node["description"])


def _problem(name: str, kind: str, message: str) -> tuple[str, str]:
    if kind == "value_error":
        return variable(name), f"{message.partition(', ')[2]}; expected: {_accepted(name)}"
    return variable(name), f"expected {_accepted(name)}"


def load(environment: Mapping[str, str] | None = None) -> Settings:
    """The settings of an environment (this process's, if left out); all problems in one ``SettingsError``."""
    environment = os.environ if environment is None else environment
    given: dict[str, Any] = {
        "data_dir": data_home(environment),
        "cache_dir": cache_home(environment),
        "state_dir": state_home(environment),
        "time_zone": machine_zone(environment),
    }
    if environment.get("DATABASE_URL"):  # what hosting services set
        given["database_url"] = environment["DATABASE_URL"]
    problems = []
    for key in sorted(environment):
        if not key.startswith(PREFIX):
            continue
        name = key.removeprefix(PREFIX).lower()
        if key == variable(name) and name in Settings.model_fields:
            given[name] = environment[key]
        else:
            known = [variable(field) for field in Settings.model_fields]
            close = nearest(key, known)
            problems.append((key, f"no such setting; the nearest is {close}" if close else "no such setting"))
    try:
        settings = Settings.model_validate(given)
    except ValidationError as error:
        for detail in error.errors(include_url=False, include_input=False):
            problems.append(_problem(str(detail["loc"][0]), detail["type"], detail["msg"]))
        raise SettingsError(problems) from None
    if problems:
        raise SettingsError(problems)
    return settings


def shown(settings: Settings, environment: Mapping[str, str] | None = None) -> dict[str, dict[str, Any]]:
    """Every setting by variable: value (secrets masked), whether it was set, and what it is for."""
    environment = os.environ if environment is None else environment
    table = {}
    for name, field in Settings.model_fields.items():
        value = getattr(settings, name)
        if isinstance(value, SecretStr):
            value = "********"
        elif isinstance(value, Path):
            value = str(value)
        elif isinstance(value, tuple):
            value = [str(item) for item in value]
        table[variable(name)] = {
            "value": value,
            "set": variable(name) in environment,
            "meaning": field.description,
        }
    return table
