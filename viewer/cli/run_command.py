"""``slatwright run``: the web application, on this machine or for the phones of the network it is in."""

import io

import click

from viewer.cli import record_commands
from viewer.cli.options import catalogue_with, prices_of, settings_of
from viewer.cli.refusal import NO_ACCESS, RefusedError
from viewer.settings import LOCAL_NAMES, Settings


@click.command()
@click.option("--demo", is_flag=True, help="Open the built-in job (also what is opened without this).")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    help="Port to listen on, 0 for a free one; left out, the setting's or, if that is taken, a free one.",
)
@click.option(
    "--lan",
    is_flag=True,
    help="Let the phones and tablets of this local network in; needs the owner's account, prints a code.",
)
def run(demo: bool, port: int | None, lan: bool) -> None:
    """Open the web application on this machine and print its address."""
    from viewer import create_app
    from viewer.log import configure
    from viewer.serve import address_of, listening_socket, serve

    chosen = settings_of()
    if lan:
        chosen = chosen.model_copy(update={"host": _lan_host(chosen)})
        click.get_current_context().find_root().obj = chosen
    catalogue_with(())
    prices_of(chosen.prices)
    configure(chosen.log_level)
    record_commands.ready_store(demo=demo)
    listening = listening_socket(chosen.host, chosen.port if port is None else port, or_free=port is None)
    if lan and chosen.public_url is None:
        chosen = chosen.model_copy(update={"public_url": address_of(listening).rstrip("/")})
    path = "jobs/demo/" if demo else ""
    app = create_app(chosen)

    def say(address: str) -> None:
        click.echo(f"{address}{path}")
        if lan:
            from viewer.services import KEY

            code = app.extensions[KEY].store.accounts.new_code()
            click.echo(_invitation(f"{chosen.public_url}/sign-in/{code}"))

    serve(app, chosen, listening, say=say)


def _lan_host(settings: Settings) -> str:
    from viewer.serve import NoLocalNetworkError, lan_address

    if settings.host.lower() not in LOCAL_NAMES:
        return settings.host
    try:
        return lan_address()
    except NoLocalNetworkError as error:
        problem = f"{error.strerror}; SLATWRIGHT_HOST names an address to listen on"
        raise RefusedError([("--lan", problem)], code=NO_ACCESS) from None


def _invitation(address: str) -> str:
    """What a terminal shows for the phone: a QR, and the same address in letters."""
    import segno

    drawn = io.StringIO()
    segno.make(address, error="l").terminal(drawn, compact=True)
    return (
        "Everybody in this network can reach that address; what goes over it is not encrypted. To sign one "
        f"phone in, once, within ten minutes:\n\n{drawn.getvalue()}\n{address}"
    )
