"""A web server on this machine with real sockets: pages set by the test, and what was asked of it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

Answer = Callable[[BaseHTTPRequestHandler], None]


@dataclass
class Site:
    """Pages by path, and the headers of every request."""

    address: str = ""
    pages: dict[str, Answer] = field(default_factory=dict)
    asked: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    stop: threading.Event = field(default_factory=threading.Event)
    """Set at the end: endless pages leave when it is."""

    def serve(
        self,
        path: str,
        body: bytes = b"",
        status: int = 200,
        headers: Mapping[str, str] | None = None,
        length: int | None = None,
    ) -> str:
        """Set a page; its whole address."""

        def answer(handler: BaseHTTPRequestHandler) -> None:
            handler.send_response(status)
            for name, value in (headers or {}).items():
                handler.send_header(name, value)
            handler.send_header("Content-Length", str(len(body) if length is None else length))
            handler.end_headers()
            handler.wfile.write(body)

        self.pages[path] = answer
        return self.address + path

    def serve_tagged(self, path: str, body: bytes, etag: str, changed: str) -> str:
        """A page that answers 304 to one who has it (RFC 9110, 13.1.2)."""
        self.serve(path, body, headers={"ETag": etag, "Last-Modified": changed, "Content-Type": "application/xml"})
        whole = self.pages[path]

        def answer(handler: BaseHTTPRequestHandler) -> None:
            if handler.headers.get("If-None-Match") == etag:
                handler.send_response(304)
                handler.end_headers()
            else:
                whole(handler)

        self.pages[path] = answer
        return self.address + path


@contextmanager
def site() -> Iterator[Site]:
    """Serve until the block ends."""
    told = Site()

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            self.close_connection = True
            told.asked.append((self.path, dict(self.headers.items())))
            page = told.pages.get(self.path)
            try:
                if page:
                    page(self)
                else:
                    self.send_error(404)
            except OSError:  # the client went away, as it should from an endless page
                pass

        def log_message(self, format: str, *args: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    told.address = f"http://127.0.0.1:{server.server_address[1]}"
    try:
        yield told
    finally:
        told.stop.set()
        server.shutdown()
        server.server_close()
        thread.join()
