"""`rodhand trust`: the certificate by which phones and tablets keep the rig's pages themselves."""

from __future__ import annotations

import io
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.cli.serve import PORT
from rodhand.words import say


def trust(
    book: BookFolder = DEFAULT_BOOK,
    port: Annotated[int, typer.Option("--port", help=say("trust.help_port"))] = PORT,
) -> None:
    """Make this machine's certificate, and tell how each device comes to trust it."""
    import segno

    from rodhand.web.door import own_addresses
    from rodhand.web.trust import trust_of

    found = trust_of(book)
    print(say("trust.made", path=str(found.issuer)))
    print(say("trust.names", names=", ".join(found.names)))
    print(say("trust.fingerprint", fingerprint=found.fingerprint))
    own = own_addresses()
    if not own:
        print(say("trust.no_network"))
        return
    address = f"http://{own[0]}:{port}/trust.crt"
    print(say("trust.step_open", address=address))
    drawn = io.StringIO()
    segno.make(address, micro=False).terminal(out=drawn, compact=True)
    print(drawn.getvalue())
    for device in ("android", "apple", "windows"):
        print(say(f"trust.step_{device}"))
    print(say("trust.step_serve", address=f"https://{own[0]}:{port}/rig-day"))
