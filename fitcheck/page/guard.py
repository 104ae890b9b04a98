"""Only pages that this machine opened itself may talk to the live sheet."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import urlsplit

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

NAMES = ("127.0.0.1", "localhost")


class Guard:
    """Refuses what asks for another host, or comes from another site's page.

    A page elsewhere can make a browser send to 127.0.0.1, but not without its own site in Origin; a name that
    somebody points at 127.0.0.1 comes in Host. (RFC 6454; RFC 9110, section 7.2.)
    """

    def __init__(self, app: App, port: int) -> None:
        self._app = app
        self._hosts = {f"{name}:{port}" for name in NAMES}

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass on what may come in; answer 403 to the rest, or close its socket."""
        if scope["type"] not in ("http", "websocket") or self.allows(_headers(scope)):
            await self._app(scope, receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        else:
            await send(
                {"type": "http.response.start", "status": 403, "headers": [(b"content-type", b"text/plain")]}
            )
            await send({"type": "http.response.body", "body": b"only from this machine's own page\n"})

    def allows(self, headers: dict[str, str]) -> bool:
        """Tell whether a request with these headers may come in."""
        origin = headers.get("origin")
        return headers.get("host") in self._hosts and (
            origin is None or urlsplit(origin).netloc in self._hosts
        )


def _headers(scope: Message) -> dict[str, str]:
    return {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
