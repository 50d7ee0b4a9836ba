"""The built-in job: an invented reading room. Its people, names and prices do not exist."""

from pathlib import Path

JOB_FILE = Path(__file__).parent / "job.json"
PRICES_FILE = Path(__file__).parent / "prices.toml"


def demo_bytes() -> bytes:
    """The demo job's file as it stands."""
    return JOB_FILE.read_bytes()
