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
from pathlib import Path

import pytest

from cli.conftest import PINSET, Terminal
from pinset.errors import RefusedError
from pinset.services.farms.one_at_a_time import LOCK, name_processes, only_one

WAIT_S = 40.0

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


def test_whoever_is_refused_learns_who_holds_the_lock(tmp_path: Path) -> None:
    with only_one(tmp_path) as lock:
        name_processes(lock, [4711, 4712])
        with pytest.raises(RefusedError, match=r"\(process 4711, 4712\)"), only_one(tmp_path):
            raise AssertionError("two hold it")
    assert is_free(tmp_path)


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
