"""The farm's lock stands as long as anything serves it, however the supervisor ends."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Event, Thread

import pytest

from cli.conftest import PINSET, Terminal
from pinset.cli.answering import tell_once_it_answers
from pinset.errors import RefusedError
from pinset.services.farms import one_at_a_time
from pinset.services.farms.one_at_a_time import LOCK, name_processes, only_one

WAIT_S = 180.0

# A child that lives on after its supervisor was killed; it is told nothing about the lock.
SUPERVISOR = """
import sys
from pathlib import Path
from pinset.cli.serve import supervise
from pinset.services.farms.one_at_a_time import only_one
with only_one(Path(sys.argv[1])) as lock:
    print("held", flush=True)
    supervise([[sys.executable, "-c", "import time; time.sleep(600)"]], {}, lock)
"""


def wait_until(said: Callable[[], bool]) -> None:
    until = time.monotonic() + WAIT_S
    while not said():
        assert time.monotonic() < until, "it took too long"
        time.sleep(0.05)


def processes(folder: Path) -> list[int]:
    return [int(word) for word in (folder / LOCK).read_text().split()]


def end(numbers: list[int]) -> None:
    for number in numbers:
        with suppress(ProcessLookupError):
            os.kill(number, signal.SIGKILL)


def is_free(folder: Path) -> bool:
    try:
        with only_one(folder):
            return True
    except RefusedError:
        return False


def test_the_lock_outlives_a_killed_supervisor(tmp_path: Path) -> None:
    supervisor = subprocess.Popen(
        [sys.executable, "-c", SUPERVISOR, tmp_path], stdout=subprocess.PIPE
    )
    assert supervisor.stdout is not None
    assert supervisor.stdout.readline() == b"held\n"
    wait_until(lambda: len(processes(tmp_path)) == 2)
    _, child = processes(tmp_path)
    try:
        supervisor.kill()
        supervisor.wait()
        supervisor.stdout.close()
        refused = pytest.raises(RefusedError, match=rf"end what is left of it.*\b{child}\b")
        with refused, only_one(tmp_path):
            raise AssertionError("the child still serves")
    finally:
        end([child])
    wait_until(lambda: is_free(tmp_path))


def test_whoever_is_refused_learns_who_holds_the_lock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(one_at_a_time, "_with_open", lambda _path: iter(()))  # nothing is told
    with only_one(tmp_path) as lock:
        name_processes(lock, [4711, 4712])
        with pytest.raises(RefusedError, match=r"\(process 4711, 4712\)"), only_one(tmp_path):
            raise AssertionError("two hold it")
    assert is_free(tmp_path)


# Starts another process and ends at once when told to, as a web server does that is still starting.
LEAVES_ONE = """
import signal, subprocess, sys, time
from pathlib import Path
signal.signal(signal.SIGTERM, signal.SIG_DFL)
code = "import signal, time; {}; time.sleep(600)"
left = subprocess.Popen([sys.executable, "-c", code.format(sys.argv[2])], close_fds=False)
Path(sys.argv[1]).write_text(str(left.pid))
time.sleep(600)
"""
LEAVING = """
import os, sys
from pathlib import Path
from pinset.cli.serve import supervise
from pinset.services.farms.one_at_a_time import only_one
with only_one(Path(sys.argv[1])) as lock:
    os.set_inheritable(lock, True)
    supervise([[sys.executable, "-c", *sys.argv[2:]]], {}, lock)
"""


@pytest.mark.parametrize(
    "deaf", ["pass", "signal.signal(signal.SIGTERM, signal.SIG_IGN)"], ids=["hears", "deaf"]
)
def test_told_to_stop_nothing_of_it_lives_on(tmp_path: Path, deaf: str) -> None:
    told = tmp_path / "left"
    supervisor = subprocess.Popen([sys.executable, "-c", LEAVING, tmp_path, LEAVES_ONE, told, deaf])
    wait_until(lambda: told.exists() and bool(told.read_text()))
    left = int(told.read_text())
    try:
        with pytest.raises(RefusedError, match=rf"\b{left}\b"), only_one(tmp_path):
            raise AssertionError("it serves")
        time.sleep(0.5)  # what is deaf has said so
        supervisor.terminate()
        supervisor.wait(timeout=WAIT_S)
        wait_until(lambda: not is_running(left))
        assert is_free(tmp_path)
    finally:
        end([left, supervisor.pid])


class _Slow(BaseHTTPRequestHandler):
    """A page that is not there yet."""

    def do_GET(self) -> None:
        self.send_response(503)
        self.end_headers()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  (its own name)
        """Say nothing."""


@pytest.mark.parametrize("host", ["127.0.0.1", "0.0.0.0", "localhost"])  # noqa: S104
def test_it_says_where_it_is_once_a_page_answers(host: str) -> None:
    told: list[str] = []
    ended, answered = Event(), Event()
    with socket.socket() as listening:  # as a server does whose pages are still being read
        listening.bind(("127.0.0.1", 0))
        port = listening.getsockname()[1]

        def tell() -> None:
            told.append("here")
            answered.set()

        waiting = tell_once_it_answers(host, port, tell, ended, is_secure=False)
        time.sleep(1.0)
        assert told == []
    with ThreadingHTTPServer(("127.0.0.1", port), _Slow) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        assert answered.wait(WAIT_S)
        server.shutdown()
    waiting.join(WAIT_S)
    assert told == ["here"]


def test_nobody_waits_for_pages_that_were_ended() -> None:
    ended = Event()
    waiting = tell_once_it_answers("127.0.0.1", 9, lambda: None, ended, is_secure=False)
    ended.set()
    waiting.join(WAIT_S)
    assert not waiting.is_alive()


@pytest.fixture
def served(pinset: Terminal) -> Iterator[subprocess.Popen[bytes]]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = {k: v for k, v in os.environ.items() if k != "PINSET_DATABASE"}
    server = subprocess.Popen(
        [PINSET, "--farm", pinset.farm, "serve", "--port", str(port), "--workers", "1"],
        env={**environment, "PINSET_TODAY": pinset.today},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )

    def answers() -> bool:
        with socket.socket() as client:
            return client.connect_ex(("127.0.0.1", port)) == 0

    numbers: list[int] = []
    try:
        wait_until(answers)
        numbers = processes(pinset.farm)
        yield server
    finally:
        server.terminate()
        server.wait(timeout=WAIT_S)
        end(numbers)


def test_what_a_killed_server_leaves_is_named_and_keeps_restore_out(
    pinset: Terminal, served: subprocess.Popen[bytes], tmp_path: Path
) -> None:
    pinset("backup", tmp_path / "farm.backup")
    _, web, worker = processes(pinset.farm)
    served.kill()
    served.wait()
    wait_until(lambda: not is_running(worker))  # the worker ends by itself, the pages go on
    assert is_running(web)
    for command in (["restore", tmp_path / "farm.backup", "--yes"], ["serve", "--port", "8099"]):
        said = pinset(*command, status=1)
        assert "is being served" in said
        assert str(web) in said
    os.kill(web, signal.SIGTERM)
    wait_until(lambda: is_free(pinset.farm))
    pinset("restore", tmp_path / "farm.backup", "--yes")


def is_running(number: int) -> bool:
    try:
        state = Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"
