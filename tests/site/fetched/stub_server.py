"""A small web server on loopback that misbehaves in whichever way a test wants."""

from __future__ import annotations

import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlsplit

Answer = Callable[["Handler"], None]


class Handler(BaseHTTPRequestHandler):
    """Hands every GET to the answer that the test has set for its path."""

    protocol_version = "HTTP/1.1"
    server: Server

    def do_GET(self) -> None:
        parts = urlsplit(self.path)
        query = {key: values[-1] for key, values in parse_qs(parts.query).items()}
        self.server.seen.append((parts.path, query, dict(self.headers)))
        self.close_connection = True
        with suppress(OSError):  # the client has hung up
            self.server.answers[parts.path](self)

    @property
    def query(self) -> dict[str, str]:
        return self.server.seen[-1][1]

    def send(
        self,
        body: bytes | str = b"",
        status: int = 200,
        kind: str = "application/json",
        **headers: Any,
    ) -> None:
        """Send a reply; ``Content_Length=None`` leaves a header out, other values replace it."""
        content = body.encode() if isinstance(body, str) else body
        lines = {"Content-Type": kind, "Content-Length": len(content), "Connection": "close"}
        lines |= {name.replace("_", "-"): value for name, value in headers.items()}
        self.send_response(status)
        for name, value in lines.items():
            if value is not None:
                self.send_header(name, str(value))
        self.end_headers()
        self.wfile.write(content)
        self.wfile.flush()

    def chunk(self, content: bytes) -> None:
        self.wfile.write(f"{len(content):x}\r\n".encode() + content + b"\r\n")
        self.wfile.flush()

    def log_message(self, format: str, *args: Any) -> None:
        pass


class Server(ThreadingHTTPServer):
    """The server with its answers and the requests that it saw."""

    daemon_threads = True
    block_on_close = False

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.answers: dict[str, Answer] = {}
        self.seen: list[tuple[str, dict[str, str], dict[str, str]]] = []

    def handle_error(self, request: Any, client_address: Any) -> None:
        pass  # a refused handshake is what some tests want


@dataclass
class Stub:
    """What a test holds of the server."""

    server: Server
    scheme: str = "http"
    over: threading.Event = field(default_factory=threading.Event)

    def url(self, path: str = "/", host: str = "127.0.0.1") -> str:
        return f"{self.scheme}://{host}:{self.server.server_port}{path}"

    def on(self, path: str, answer: Answer) -> str:
        self.server.answers[path] = answer
        return self.url(path)

    @property
    def seen(self) -> list[tuple[str, dict[str, str], dict[str, str]]]:
        return self.server.seen


@contextmanager
def running(context: ssl.SSLContext | None = None) -> Iterator[Stub]:
    """Run a server, over TLS where a context is given, for as long as the block lasts."""
    server = Server()
    if context is not None:
        server.socket = context.wrap_socket(
            server.socket, server_side=True, do_handshake_on_connect=False
        )
    stub = Stub(server, "http" if context is None else "https")
    thread = threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True)
    thread.start()
    try:
        yield stub
    finally:
        stub.over.set()
        server.shutdown()
        thread.join()
        server.server_close()
