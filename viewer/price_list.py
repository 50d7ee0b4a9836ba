"""Reading a user's price list from its file."""

from pathlib import Path

from viewer.estimate.prices import PriceList, PriceListError
from viewer.estimate.reading import LARGEST, read_prices


def price_list_of(path: Path) -> PriceList:
    """The price list in a .toml or .csv file. Raises ``PriceListError`` naming every problem by its place."""
    try:
        with path.open("rb") as file:
            data = file.read(4 * LARGEST)
    except OSError as error:
        raise PriceListError([(str(path), f"cannot be read: {error.strerror}")]) from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line, column = before.count(b"\n") + 1, error.start - before.rfind(b"\n")
        raise PriceListError(
            [(f"{path.name}, line {line}, column {column}", "expected text in UTF-8")]
        ) from None
    return read_prices(text, file_name=path.name)
