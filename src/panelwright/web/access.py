"""Who may come in: this machine alone, or whoever on the shop's network knows the passphrase."""

from __future__ import annotations

import hashlib
import hmac
import ipaddress
import re
import secrets
import socket
import threading
import time
from dataclasses import dataclass, field

#: Rounds of scrypt (RFC 7914): some 60 ms for one guess.
_ROUNDS = {"n": 2**14, "r": 8, "p": 1, "maxmem": 64 * 2**20}
LEAST_PASSPHRASE = 10
#: Wrong guesses that are taken in a window of time, s.
GUESSES, WINDOW = 5, 60.0
#: How long a browser stays let in, s.
STAYS = 12 * 3600.0

#: A name or an address, one of six parts in brackets, and a port.
_HOST = re.compile(r"(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+))(?::\d{1,5})?")
LOOPBACK = frozenset({"127.0.0.1", "::1", "localhost"})

IN_THE_CLEAR = (
    "The workshop is served by plain HTTP: the passphrase keeps others on the network out of the "
    "pages, but whoever can listen on the network reads all that goes over it, the passphrase "
    "included. Use it on a network you trust, or behind a server that speaks HTTPS."
)


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode(), other.encode())


def _hashed(passphrase: str, salt: bytes) -> bytes:
    return hashlib.scrypt(passphrase.encode(), salt=salt, **_ROUNDS)


@dataclass
class Access:
    """The keys of one run of the server. Without a passphrase only this machine is served."""

    passphrase: str | None = None
    key: bytes = field(default_factory=lambda: secrets.token_bytes(32))
    _salt: bytes = field(default_factory=lambda: secrets.token_bytes(16))
    _hash: bytes = b""
    _wrong: list[float] = field(default_factory=list)
    _one_guess: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        if self.passphrase is not None:
            self._hash = _hashed(self.passphrase, self._salt)
            self.passphrase = ""  # is not kept

    @property
    def open_to_network(self) -> bool:
        """Whether others than this machine are served."""
        return bool(self._hash)

    def guess(self, guess: str) -> bool | None:
        """Whether a guess is the passphrase, in the same time either way; None for one too many.

        One at a time: guesses that come together are counted as those that come one by one.
        """
        with self._one_guess:
            since = time.monotonic() - WINDOW
            self._wrong = [when for when in self._wrong if when > since]
            if len(self._wrong) >= GUESSES:
                return None
            right = hmac.compare_digest(_hashed(guess, self._salt), self._hash)
            if not right:
                self._wrong.append(time.monotonic())
            return right

    # What a browser carries ---------------------------------------------------------------------

    def _signed(self, kind: str, text: str) -> str:
        return hmac.new(self.key, f"{kind}|{text}".encode(), hashlib.sha256).hexdigest()

    def visit(self, let_in: bool) -> str:
        """A new value of the cookie by which a browser is known again."""
        text = f"{secrets.token_urlsafe(18)}.{int(time.time())}.{int(let_in)}"
        return f"{text}.{self._signed('visit', text)}"

    def reads(self, cookie: str) -> tuple[bool, bool]:
        """Whether a cookie was given here, and whether who bears it is let in."""
        text, _, mark = cookie.rpartition(".")
        if not text or not _same(mark, self._signed("visit", text)):
            return False, False
        _, since, let_in = text.split(".")
        fresh = time.time() - float(since) < STAYS
        return fresh, fresh and (let_in == "1" or not self.open_to_network)

    def form_mark(self, cookie: str) -> str:
        """What every form of a visit carries: shows that it came from a page of ours."""
        return self._signed("form", cookie)

    def is_own_form(self, cookie: str, mark: str) -> bool:
        """Whether a form carries the mark of its visit."""
        return _same(mark, self.form_mark(cookie))


def names_here() -> frozenset[str]:
    """Names by which this machine may be asked for on its network."""
    name = socket.gethostname().lower()
    return frozenset({name, f"{name}.local", *LOOPBACK})


def _is_address(host: str) -> bool:
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def host_of(header: str) -> str:
    """The name in a Host header without its port; empty for what is none."""
    named = _HOST.fullmatch(header.strip().lower())
    return (named[1] or named[2]) if named else ""


def is_welcome(header: str, to_network: bool) -> bool:
    """Whether a Host header names this machine: a name of elsewhere that leads here is refused."""
    host = host_of(header)
    return host in LOOPBACK or (to_network and (_is_address(host) or host in names_here()))
