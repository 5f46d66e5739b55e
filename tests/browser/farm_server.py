"""A farm in a folder of its own, served by the server a grower gets."""

from __future__ import annotations

import os
import random
import shutil
import socket
import sqlite3
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

TESTS = Path(__file__).parents[1]
PASSWORD = "three small words"  # noqa: S105  (of the invented farm)
READY_S = 40.0
PORTS = range(20_000, 30_000)

BUILD = """
import json, sys
from pathlib import Path
from pinset.services.farms import opening
opening.create_farm(Path(sys.argv[1]))
from web import answers, cooked, shed
built = shed.build()
heat = {**cooked.judged_and_waiting(built.day), **cooked.watched()}
heat |= answers.answered_and_waiting(built.day)
lots = {"grain": built.jars, "fruiting_lot": built.fruiting, "today": built.day.isoformat()}
lots |= {"plates": built.plates, "blocks": built.blocks}
print(json.dumps({**built.jobs, **heat, **lots}))
"""
WORK = """
import sys
from pathlib import Path
from pinset.services.farms import opening
opening.use_farm(Path(sys.argv[1]))
from pinset.services.plans import work
sys.exit(0 if work.work_once() else 1)
"""


class Server:
    """The server a grower gets, for a folder and a port."""

    def __init__(self, folder: Path, port: int, *, is_secure: bool = False) -> None:
        self.folder, self.port = folder, port
        self.is_secure = is_secure
        self.application = "pinset.web.wsgi:application"
        self.first = "/sign-in/"  # the address that is asked for until it answers
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait until it answers."""
        command = [sys.executable, "-m", "granian", "--interface", "wsgi", "--no-ws"]
        command += ["--workers", "1", "--host", "127.0.0.1", "--port", str(self.port)]
        environment = _environment(self.folder)
        if self.is_secure:
            kept = self.folder / "https"
            command += ["--ssl-certificate", str(kept / "server.crt")]
            command += ["--ssl-keyfile", str(kept / "server-key.pem")]
            environment |= {"PINSET_HTTPS": "own", "PINSET_HOST_NAME": "farm.lan"}
        with (self.folder / "server.log").open("a") as log:
            self.process = subprocess.Popen(
                [*command, self.application],
                env=environment,
                stdout=log,
                stderr=subprocess.STDOUT,
            )
        scheme = "https" if self.is_secure else "http"
        _wait(f"{scheme}://127.0.0.1:{self.port}", self.folder, self.first)

    def stop(self) -> None:
        """Stop it, if it runs."""
        if self.process is not None:
            self.process.terminate()
            self.process.wait(20)
        self.process = None


@dataclass(frozen=True)
class Served:
    """Where the farm is served and what stands in it."""

    base: str
    folder: Path
    codes: dict[str, str]
    server: Server

    @contextmanager
    def away(self) -> Iterator[None]:
        """Let nobody answer at the farm's address meanwhile."""
        self.server.stop()
        yield
        self.server.start()

    def entries(self, kind: str) -> int:
        """Return how many entries of a kind the ledger holds."""
        with sqlite3.connect(self.folder / "farm.sqlite3") as database:
            [[count]] = database.execute("SELECT count(*) FROM farm_entry WHERE kind=?", [kind])
        return int(count)

    @contextmanager
    def working(self) -> Iterator[None]:
        """Let the worker do its next piece of work meanwhile."""
        command = [sys.executable, "-c", WORK, str(self.folder)]
        with subprocess.Popen(command, env=_environment()) as worker:
            yield
            assert worker.wait(timeout=90) == 0

    def work_once(self) -> None:
        """Let the worker do its next piece of work, as `pinset serve` has one do."""
        subprocess.run(
            [sys.executable, "-c", WORK, str(self.folder)],
            check=True,
            env=_environment(),
            timeout=90,
        )


def _environment(folder: Path | None = None) -> dict[str, str]:
    paths = os.pathsep.join(filter(None, (str(TESTS), os.environ.get("PYTHONPATH"))))
    kept = {**os.environ, "PYTHONPATH": paths, "PINSET_DATABASE": ""}
    kept.setdefault("PINSET_TODAY", datetime.now(UTC).date().isoformat())  # whatever the hour
    kept.pop("DJANGO_SETTINGS_MODULE", None)
    if folder is not None:
        kept |= {"PINSET_FARM": str(folder), "DJANGO_SETTINGS_MODULE": "pinset.settings"}
    return kept


def build(folder: Path) -> dict[str, str]:
    """Write the small farm into a folder and return the codes of its jobs and lots."""
    import json

    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(folder)],
        check=True,
        env=_environment(),
        capture_output=True,
        text=True,
        timeout=120,
    )
    codes: dict[str, str] = json.loads(done.stdout.strip().splitlines()[-1])
    return codes


def _free_port() -> int:
    """Return a port nobody listens at, below those the system lends to what connects.

    A port lent by the system (bind to 0) may be lent again, to a browser's connection, before the
    server has it or while the server is away.
    """
    for port in random.sample(PORTS, 50):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                continue
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise AssertionError("no port is free among fifty")


def served(model: Path, folder: Path, codes: dict[str, str]) -> Served:
    """Serve a copy of the farm until its server is stopped."""
    shutil.copytree(model, folder)
    return _started(Server(folder, _free_port()), "http://127.0.0.1", codes)


def served_securely(model: Path, folder: Path, codes: dict[str, str]) -> Served:
    """Serve a copy of the farm over https, by its own certificate and under its name."""
    from pinset.services.https import own_certificate

    shutil.copytree(model, folder)
    own_certificate.make(folder, "farm.lan", [])
    return _started(Server(folder, _free_port(), is_secure=True), "https://farm.lan", codes)


def _started(server: Server, at: str, codes: dict[str, str]) -> Served:
    try:
        server.start()
    except BaseException:
        server.stop()
        raise
    return Served(f"{at}:{server.port}", server.folder, codes, server)


class Stable:
    """Farms that are served already when a test asks for one: the next starts meanwhile."""

    def __init__(self, start: Callable[[Path], Served], under: Path) -> None:
        """Start farms by ``start``, each in a folder of its own below ``under``."""
        self._start, self._under = start, under
        self._starter = ThreadPoolExecutor(max_workers=1)
        self._next: Future[Served] | None = None
        self._count = 0

    def _begin(self) -> Future[Served]:
        self._count += 1
        return self._starter.submit(self._start, self._under / f"farm-{self._count}" / "farm")

    @contextmanager
    def farm(self) -> Iterator[Served]:
        """Lend a farm nobody else had; its server is stopped afterwards."""
        mine = self._next or self._begin()
        self._next = self._begin()
        lent = mine.result()
        try:
            yield lent
        finally:
            lent.server.stop()

    def close(self) -> None:
        """Stop the one that nobody asked for any more."""
        if self._next is not None:
            self._next.result().server.stop()
        self._starter.shutdown()


@contextmanager
def plain_door(farm: Served) -> Iterator[str]:
    """Serve what answers on plain http beside the farm's https; return its address."""
    server = Server(farm.folder, _free_port())
    server.application, server.first = "pinset.web.plain_door:application", "/certificate/"
    try:
        server.start()
        yield f"http://127.0.0.1:{server.port}"
    finally:
        server.stop()


def _wait(base: str, folder: Path, first: str) -> None:
    until = time.monotonic() + READY_S
    while time.monotonic() < until:
        try:
            trusting = None
            if base.startswith("https"):
                trusting = ssl.create_default_context(cafile=folder / "https" / "authority.crt")
            asked = urllib.request.urlopen(  # noqa: S310  (our own)
                f"{base}{first}", timeout=5, context=trusting
            )
            asked.close()
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            time.sleep(0.1)
        else:
            return
    raise AssertionError(f"not served: {(folder / 'server.log').read_text()[-2000:]}")
