"""A farm in a folder of its own, served by the server a grower gets."""

from __future__ import annotations

import os
import random
import shutil
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
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

    def __init__(self, folder: Path, port: int) -> None:
        self.folder, self.port = folder, port
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait until it answers."""
        command = [sys.executable, "-m", "granian", "--interface", "wsgi", "--no-ws"]
        command += ["--workers", "1", "--host", "127.0.0.1", "--port", str(self.port)]
        with (self.folder / "server.log").open("a") as log:
            self.process = subprocess.Popen(
                [*command, "pinset.web.wsgi:application"],
                env=_environment(self.folder),
                stdout=log,
                stderr=subprocess.STDOUT,
            )
        _wait(f"http://127.0.0.1:{self.port}", self.folder)

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


@contextmanager
def serve(model: Path, folder: Path, codes: dict[str, str]) -> Iterator[Served]:
    """Serve a copy of the farm until the block ends."""
    shutil.copytree(model, folder)
    server = Server(folder, _free_port())
    try:
        server.start()
        yield Served(f"http://127.0.0.1:{server.port}", folder, codes, server)
    finally:
        server.stop()


def _wait(base: str, folder: Path) -> None:
    until = time.monotonic() + READY_S
    while time.monotonic() < until:
        try:
            urllib.request.urlopen(f"{base}/sign-in/", timeout=5).close()  # noqa: S310  (our own)
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            time.sleep(0.1)
        else:
            return
    raise AssertionError(f"not served: {(folder / 'server.log').read_text()[-2000:]}")
