"""The page of `watch`, on this machine only: a frame that follows, and the files of the pack.

Bound to the loopback address; a request that names another host is refused, so that a page from
elsewhere cannot reach it by a name of its own. Nothing but GET is answered, and only paths of the
last good pack, from memory: no path on disk can be asked for.
"""

from __future__ import annotations

import json
import threading
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from typing import Any, ClassVar
from urllib.parse import parse_qs, unquote, urlsplit

from recipes.cli.watch_rebuild import Round

LOOPBACK = "127.0.0.1"

#: How long a page that asks for news is kept waiting before it asks again, seconds.
PATIENCE = 20.0

_KINDS = {
    "html": "text/html; charset=utf-8",
    "svg": "image/svg+xml",
    "pdf": "application/pdf",
    "json": "application/json",
    "md": "text/plain; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "toml": "text/plain; charset=utf-8",
    "dxf": "image/vnd.dxf",
}


class Board:
    """The latest round and the last good pack, shared between the rebuilding and the pages."""

    def __init__(self) -> None:
        """Begin with nothing."""
        self._news = threading.Condition()
        self._number = 0
        self._state: dict[str, Any] = {
            "number": 0,
            "name": "",
            "findings": [],
            "seconds": 0.0,
            "pack": 0,
        }
        self.files: dict[str, bytes] = {}
        self.closing = False

    def post(self, round_: Round) -> None:
        """Put up a round; pages that wait for news get it."""
        with self._news:
            self._number += 1
            if round_.files:
                self.files = round_.files
            pack = self._number if round_.files else self._state["pack"]
            self._state = {
                "number": self._number,
                "name": round_.name,
                "findings": round_.findings,
                "seconds": round(round_.seconds, 3),
                "pack": pack,
            }
            self._news.notify_all()

    def state_after(self, number: int, patience: float = PATIENCE) -> dict[str, Any]:
        """Return the state, as soon as it is newer than `number` or patience ends."""
        with self._news:
            self._news.wait_for(lambda: self._number > number or self.closing, patience)
            return self._state

    def close(self) -> None:
        """Let every page that waits go."""
        with self._news:
            self.closing = True
            self._news.notify_all()


def server(board: Board, port: int) -> ThreadingHTTPServer:
    """Return a server for the board, bound to the loopback address.

    Args:
        board: what to show.
        port: 0 for any that is free.

    Raises:
        OSError: the port is taken.
    """

    class Handler(_Handler):
        shown = board

    made = ThreadingHTTPServer((LOOPBACK, port), Handler)
    made.daemon_threads = True
    return made


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    timeout = 2 * PATIENCE  # of a connection that sends nothing more, seconds
    shown: ClassVar[Board]

    def do_GET(self) -> None:  # the name that the library calls
        """Answer with the frame, the state or a file of the pack."""
        host, port = self.headers.get("Host", ""), self.connection.getsockname()[1]
        if host not in (f"{LOOPBACK}:{port}", f"localhost:{port}"):
            self._send(HTTPStatus.FORBIDDEN, b"this page is for this machine only\n", "text/plain")
            return
        url = urlsplit(self.path)
        if url.path == "/":
            self._send(HTTPStatus.OK, frame(), _KINDS["html"])
        elif url.path == "/state":
            text = parse_qs(url.query).get("after", ["0"])[0]
            state = self.shown.state_after(int(text) if text.isdecimal() else 0)
            self._send(HTTPStatus.OK, json.dumps(state).encode(), _KINDS["json"])
        else:
            name = unquote(url.path).removeprefix("/pack/")
            data = self.shown.files.get(name)
            kind = _KINDS.get(name.rsplit(".", 1)[-1], "application/octet-stream")
            if data is None:
                self._send(
                    HTTPStatus.NOT_FOUND, b"there is no such file in the pack\n", "text/plain"
                )
            else:
                self._send(HTTPStatus.OK, data, kind)

    def _send(self, status: HTTPStatus, data: bytes, kind: str) -> None:
        try:
            self.send_response(status)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(data)))
            self.send_header("Cache-Control", "no-store")
            self.send_header("X-Content-Type-Options", "nosniff")
            self.end_headers()
            self.wfile.write(data)
        except (BrokenPipeError, ConnectionResetError):
            self.close_connection = True  # the page was closed while it waited

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing: the terminal belongs to the builder."""


def frame() -> bytes:
    """Return the page that holds the build sheet and asks for news."""
    return files("recipes.cli").joinpath("frame.html").read_bytes()
