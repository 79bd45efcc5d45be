"""Serving the site as a good static host does: types, policy, caching."""

import contextlib
import errno
import functools
import http.server
import socket
import sys
from pathlib import Path
from typing import Any

from site_src.make.ground import Trouble

MIME = {
    ".css": "text/css",
    ".html": "text/html; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript",
    ".mp4": "video/mp4",
    ".js": "text/javascript",
    ".packed": "application/octet-stream",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
}
POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self' data: blob:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "worker-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
    )
)  # the pages' own; as a header it binds workers too
HEADERS = {
    "Content-Security-Policy": f"{POLICY}; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "camera=(self), screen-wake-lock=(self), microphone=(), geolocation=(), "
    "display-capture=(), payment=(), usb=(), midi=(), gyroscope=(), accelerometer=(), magnetometer=()",
}


class Handler(http.server.SimpleHTTPRequestHandler):
    """Static files with the right types and what `_headers` says for all of them, as such hosts do.

    The browser asks again each time whether a file has changed.
    """

    extensions_map = http.server.SimpleHTTPRequestHandler.extensions_map | MIME

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")
        mark = self.mark()
        if mark:
            self.send_header("ETag", mark)
        for name, value in self.told():
            self.send_header(name, value)
        super().end_headers()

    def told(self) -> list[tuple[str, str]]:
        path = Path(self.directory) / "_headers"
        lines = path.read_text().splitlines()[1:] if path.is_file() else []
        return [(name.strip(), value) for name, _, value in (line.partition(": ") for line in lines)]

    def mark(self) -> str:
        """What changes with the file, also within one second."""
        path = Path(self.translate_path(self.path))
        path = path / "index.html" if path.is_dir() else path
        if not path.is_file():
            return ""
        facts = path.stat()
        return f'"{facts.st_mtime_ns:x}-{facts.st_size:x}"'

    def send_head(self) -> Any:
        mark = self.mark()
        if not mark or self.headers["If-None-Match"] != mark:
            return super().send_head()
        self.send_response(304)
        self.end_headers()
        return None

    def list_directory(self, path: object) -> None:
        self.send_error(404, "Not found")

    def log_message(self, *_: object) -> None:
        pass


class Server(http.server.ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        if not isinstance(sys.exc_info()[1], ConnectionError):  # a browser may hang up in the middle
            super().handle_error(request, client_address)


def make_server(folder: Path, port: int, host: str = "", handler: type[Handler] = Handler) -> Server:
    """A server of the folder at the port, or at the first free one of the twenty after it (0: any)."""
    for candidate in range(port, port + 20):
        try:
            return Server((host, candidate), functools.partial(handler, directory=str(folder)))
        except OSError as error:
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            print(f"· port {candidate} is taken, trying {candidate + 1}", flush=True)
    raise Trouble(
        f"ports {port} to {port + 19} are taken; choose another: python3 build.py serve --port 9000"
    )


def lan_address() -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, contextlib.suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # a documentation address: only asks which way out; nothing is sent
        return str(probe.getsockname()[0])
    return None
