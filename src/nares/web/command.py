"""``nares serve``: the pages on this machine, and the seats of a line-up for others on the network."""

from pathlib import Path

import click


@click.command()
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    help="0.0.0.0 lets phones on this network take seats at a line-up; the record stays on this machine.",
)
@click.option("--port", type=click.IntRange(1, 65535), default=8431, show_default=True)
@click.option("--data", type=click.Path(file_okay=False, path_type=Path), default=None, envvar="NARES_DATA")
@click.option("--by", default=None, help="Who works here until the page is told otherwise.")
def serve(host: str, port: int, data: Path | None, by: str | None = None) -> None:
    """Serve the pages; stop with Ctrl-C."""
    from nares.app.desk import open_desk
    from nares.web.server import serve as serve_pages
    from nares.web.settings import seats_at

    with open_desk(data or Path("nares-data"), person=by) as desk:
        click.echo(f"Serving on http://127.0.0.1:{port}/ — stop with Ctrl-C.", err=True)
        seats = seats_at(host, port)
        if seats:
            click.echo(
                f"Others on the network reach the seats of line-ups and nothing else, {' or '.join(seats)}; "
                "this is plain http: whoever can listen to the network can read along and take over a seat.",
                err=True,
            )
        serve_pages(desk, host=host, port=port)
