"""``nares serve``: the pages on this machine."""

from pathlib import Path

import click

from nares.base.errors import Refused

LOOPBACK = ("127.0.0.1", "localhost", "::1")


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", type=click.IntRange(1, 65535), default=8431, show_default=True)
@click.option("--data", type=click.Path(file_okay=False, path_type=Path), default=None, envvar="NARES_DATA")
@click.option("--by", default=None, help="Who works here until the page is told otherwise.")
def serve(host: str, port: int, data: Path | None, by: str | None = None) -> None:
    """Serve the pages; stop with Ctrl-C."""
    from nares.app.desk import open_desk
    from nares.web.server import serve as serve_pages

    if host not in LOOPBACK:
        raise Refused(
            f"Serving on {host} would let everybody on the network read and write this record: there are no "
            "accounts yet. Serve on 127.0.0.1."
        )
    with open_desk(data or Path("nares-data"), person=by) as desk:
        click.echo(f"Serving on http://{host}:{port}/ — stop with Ctrl-C.", err=True)
        serve_pages(desk, host=host, port=port)
