"""``slatwright ballpark``: a range before anything is measured."""

from pathlib import Path

import click

from viewer.cli.options import prices_of, prices_option, print_json, settings_of
from viewer.cli.refusal import RefusedError


@click.command()
@click.option("--length", required=True, metavar="METRES", help="Length of the wall, about.")
@click.option("--height", required=True, metavar="METRES", help="Its height, about.")
@click.option("--timber", required=True, metavar="CLASS", help="softwood, hardwood or board.")
@click.option("--openings", default="0", show_default=True, metavar="N", help="Sockets, switches, doors …")
@prices_option
def ballpark(length: str, height: str, timber: str, openings: str, prices: Path | None) -> None:
    """Print between which sums a wall will cost, from four numbers and your prices. This is no offer."""
    from viewer.answers.ballpark import ballpark_answer

    given = {"length": length, "height": height, "timber": timber, "openings": openings}
    answer, problems = ballpark_answer(given, prices_of(prices or settings_of().prices))
    if answer is None:
        raise RefusedError((f"--{field}", message) for field, message in problems)
    print_json(answer)
