"""One guarded request to a data service: what comes back is whole, of the right kind, and bounded.

Certificates are always verified, and nothing can turn that off. Redirects stay on the host. Sizes
are counted on the wire and unpacked, times as a whole. A key in the query never leaves this module:
not in messages, not in a chain of exceptions, not in a library's log. What does not belong here:
which service, and what its replies mean (``services``).
"""

from __future__ import annotations

import json
import logging
import queue
import re
import threading
import time
import zlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, quote_plus, urljoin, urlsplit

from vanclimate import __version__
from vanclimate.errors import FetchError

TRIES = 4
LARGEST_WAIT = 30.0
"""Longest time between two tries [s]; a service that asks for more is left alone."""

LARGEST_REDIRECTS = 3
BUSY = (429, 500, 502, 503, 504)
"""Answers that say 'later' rather than 'no'."""

_THREAD = "vanclimate-download"
_PIECE = 16_384
_LONGEST_WORDS = 160
_LOOPBACK = ("127.0.0.1", "::1", "localhost")


@dataclass(frozen=True)
class Limits:
    """Bounds of a request: times [s] to connect, between two bytes, and of all tries; bytes."""

    connect: float = 10.0
    read: float = 60.0
    whole: float = 240.0
    size: int = 20_000_000


class _Stop(Exception):
    """A reply that is refused; its text is safe to show."""


class _Later(_Stop):
    """The same, but another try may help, after ``wait`` seconds where the service says so."""

    def __init__(self, words: str, wait: float = 0.0) -> None:
        super().__init__(words)
        self.wait = wait


def get(
    url: str,
    params: Mapping[str, str],
    limits: Limits | None = None,
    *,
    service: str,
    accept: tuple[str, ...],
    hide: tuple[str, ...] = (),
    sleep: Callable[[float], None] = time.sleep,
) -> bytes:
    """Return the body of a service's reply.

    Parameters
    ----------
    url, params : address without a query, and the query
    service : name of the service, for messages
    accept : content types that are taken, such as 'application/json'
    hide : texts that are never shown, such as the user's key
    sleep : waits between two tries; tests put their own

    Raises
    ------
    FetchError
        one line without the query; nothing hangs on it (no cause, no context)
    """
    limits = limits or Limits()
    until = time.monotonic() + limits.whole
    words = ""
    for attempt in range(TRIES):
        body, fault = _within(until, limits, url, params, accept)
        if body is not None:
            return body
        words = _clean(str(fault), hide)
        wait = max(2.0**attempt, fault.wait) if isinstance(fault, _Later) else -1.0
        if wait < 0.0 or wait > LARGEST_WAIT or attempt == TRIES - 1:
            break
        if time.monotonic() + wait >= until:
            break
        sleep(wait)
    # raised outside of any except block, so that no other exception hangs on it
    raise FetchError(service, words)


def _within(
    until: float, limits: Limits, url: str, params: Mapping[str, str], accept: tuple[str, ...]
) -> tuple[bytes | None, _Stop]:
    """Return the body, or why there is none, at `until` at the latest.

    Time-outs of the library are between two bytes only, and none bounds the search for the host's
    address; so the request runs in a thread of its own, which is left behind when time is up.
    """
    answer: queue.SimpleQueue[tuple[bytes | None, _Stop]] = queue.SimpleQueue()

    def work() -> None:
        try:
            answer.put((_once(url, params, limits, accept, until), _Stop("")))
        except _Stop as stop:
            answer.put((None, stop))
        except Exception as fault:  # a library's message may hold the query: only its kind is told
            answer.put((None, _Stop(f"the request failed ({type(fault).__name__})")))

    threading.Thread(target=work, daemon=True, name=_THREAD).start()
    try:
        return answer.get(timeout=max(0.0, until - time.monotonic()))
    except queue.Empty:
        return None, _Stop(f"no whole reply within {limits.whole:g} s")


def _once(
    url: str, params: Mapping[str, str], limits: Limits, accept: tuple[str, ...], until: float
) -> bytes:
    """Make one request, follow its redirects on the same host, and return the body."""
    import requests

    class Direct(requests.Session):
        """Even where it follows no redirect, the library would read a redirect's whole body."""

        def get_redirect_target(self, resp: Any) -> None:
            return None

    _keep_out_of_logs()
    with Direct() as session:
        # proxies and certificates' places come from the environment, but no password file's entry
        session.auth = _no_credentials
        session.headers.update({
            "User-Agent": f"vanclimate/{__version__}",
            "Accept": ", ".join(accept),
            "Accept-Encoding": "identity",
        })  # fmt: skip
        address, query = url, dict(params)
        for _ in range(LARGEST_REDIRECTS + 1):
            _check_address(address)
            with _request(session, address, query, limits) as reply:
                if reply.status_code in (301, 302, 303, 307, 308):
                    address, query = _next_address(address, reply.headers.get("Location", "")), {}
                    continue
                if reply.status_code != 200:
                    _refused(reply, until)
                kind = reply.headers.get("Content-Type", "").partition(";")[0].strip().lower()
                if kind not in accept:
                    allowed = " or ".join(accept)
                    raise _Stop(f"the reply is of type '{kind}', expected {allowed}")
                return _body(reply, limits.size, until)
        raise _Stop(f"more than {LARGEST_REDIRECTS} redirects")


def _no_credentials(request: Any) -> Any:
    return request


class _Deaf(logging.Filter):
    """Drops the records of a library that come from this module's threads."""

    def filter(self, record: logging.LogRecord) -> bool:
        return record.threadName != _THREAD


_DEAF = _Deaf()


def _keep_out_of_logs() -> None:
    """Silence the library's log of our requests, which holds whole addresses with their query."""
    for name in ("connectionpool", "connection", "response", "util.retry", "poolmanager"):
        logging.getLogger(f"urllib3.{name}").addFilter(_DEAF)  # a second time changes nothing


def _check_address(address: str) -> None:
    parts = urlsplit(address)
    plain = parts.scheme == "http" and parts.hostname in _LOOPBACK
    if not plain and parts.scheme != "https":
        raise _Stop("not an address of a secure connection (https)")


def _next_address(address: str, location: str) -> str:
    """Return where a redirect leads; only the same host, port and scheme are followed."""
    if not location:
        raise _Stop("a redirect without a goal")
    try:
        target = urljoin(address, location)
        old, new = urlsplit(address), urlsplit(target)
        same = (old.scheme, old.hostname, old.port) == (new.scheme, new.hostname, new.port)
        if same and not new.username and not new.password:
            return target
    except ValueError:
        pass  # no address at all
    raise _Stop("a redirect to another host, which is not followed")


@contextmanager
def _request(session: Any, address: str, query: Mapping[str, str], limits: Limits) -> Iterator[Any]:
    """Send a request; faults of the connection are worth another try, a certificate's is not."""
    import requests
    import urllib3

    try:
        with session.get(
            address,
            params=query,
            timeout=(limits.connect, limits.read),
            allow_redirects=False,
            stream=True,
            verify=True,
        ) as reply:
            yield reply
    except requests.exceptions.SSLError:
        raise _Stop("its certificate cannot be trusted, or its secure connection failed") from None
    except requests.exceptions.ProxyError:
        raise _Later("the proxy of this computer does not let it through") from None
    except (requests.exceptions.Timeout, urllib3.exceptions.TimeoutError):
        raise _Later("no answer in time") from None
    except (requests.exceptions.ConnectionError, urllib3.exceptions.NewConnectionError):
        raise _Later("no connection") from None
    except (requests.exceptions.ChunkedEncodingError, urllib3.exceptions.HTTPError):
        raise _Later("the reply was cut short") from None


def _refused(reply: Any, until: float) -> None:
    """Raise what a reply other than 200 means."""
    status = int(reply.status_code)
    if status in BUSY:
        text = reply.headers.get("Retry-After", "")
        wait = float(text) if re.fullmatch(r"\d{1,9}", text) else 0.0
        busy = "too many requests for now" if status == 429 else "out of order for now"
        asks = f", it asks to wait {wait:.0f} s" if wait else ""
        raise _Later(f"{busy} (status {status}{asks})", wait)
    try:
        said = _service_words(_body(reply, 65_536, until))
    except _Stop:
        said = ""
    raise _Stop(f"refused the request (status {status})" + (f": {said}" if said else ""))


def _service_words(body: bytes) -> str:
    """Return the short message in a service's reply of refusal, or '' for a page of markup."""
    text = body.decode("utf-8", "replace").strip()
    try:
        told = json.loads(text)
    except (ValueError, RecursionError):
        return "" if text.startswith("<") else text
    for _ in range(3):
        if isinstance(told, dict):
            keys = ("message", "messages", "errors", "error", "detail")
            told = next((told[key] for key in keys if key in told), "")
    if isinstance(told, list):
        told = "; ".join(item for item in told if isinstance(item, str))
    return told if isinstance(told, str) else ""


def mask(text: str, hide: tuple[str, ...]) -> str:
    """Return a text without what is hidden, as it is or as an address writes it.

    >>> mask("x?mail=a%40b.org", ("a@b.org",))
    'x?mail=…'
    """
    for secret in hide:
        for form in {secret, quote(secret), quote(secret, safe=""), quote_plus(secret)}:
            if form:
                text = re.sub(re.escape(form), "…", text, flags=re.IGNORECASE)
    return text


def _clean(words: str, hide: tuple[str, ...]) -> str:
    """Return words in one short printable line, without queries and without what is hidden."""
    words = mask(words, hide)
    words = "".join(c if c.isprintable() else " " for c in words)
    plain = ["…" if "://" in w or ("?" in w and "=" in w) else w for w in words.split()]
    words = " ".join(plain)
    return words[: _LONGEST_WORDS - 1] + "…" if len(words) > _LONGEST_WORDS else words


def _body(reply: Any, largest: int, until: float) -> bytes:
    """Return the unpacked body, read piece by piece and never more than `largest` bytes of it."""
    told = reply.headers.get("Content-Length", "")
    too_large = _Stop(f"the reply is larger than {largest / 1e6:g} MB")
    if re.fullmatch(r"\d+", told) and (len(told) > 15 or int(told) > largest):
        raise too_large
    packing = reply.headers.get("Content-Encoding", "identity").strip().lower() or "identity"
    if packing not in ("identity", "gzip", "x-gzip", "deflate"):
        raise _Stop("the reply is packed in a way that is not read")
    # 32: the header tells gzip from zlib
    unpacker = None if packing == "identity" else zlib.decompressobj(zlib.MAX_WBITS | 32)
    wire, pieces, size = 0, [], 0
    for piece in reply.raw.stream(_PIECE, decode_content=False):
        if time.monotonic() > until:
            raise _Stop("no whole reply in time")
        wire += len(piece)
        if unpacker is not None:
            piece = _unpacked(unpacker, piece, largest - size + 1)
        size += len(piece)
        if wire > largest or size > largest:
            raise too_large
        pieces.append(piece)
    if unpacker is not None and not unpacker.eof:
        raise _Later("the reply was cut short")
    return b"".join(pieces)


def _unpacked(unpacker: Any, piece: bytes, largest: int) -> bytes:
    """Return the unpacked piece, at most `largest` bytes: enough to see that it is too much."""
    try:
        unpacked: bytes = unpacker.decompress(piece, largest)
    except zlib.error:
        raise _Stop("the reply is packed badly") from None
    if unpacker.unused_data:
        raise _Stop("the reply is packed badly")
    return unpacked
