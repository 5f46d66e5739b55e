"""`pinset serve`: the pages and the worker, started and stopped together."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from ipaddress import ip_address
from pathlib import Path
from types import FrameType

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import known_errors
from pinset.errors import InputError, RefusedError
from pinset.services.farms.one_at_a_time import name_processes, only_one

MOST_RESTARTS = 5
GRACE_S = 10.0


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8000, show_default=True)
@click.option("--workers", default=2, show_default=True, help="Web processes.")
@click.pass_context
@known_errors
def serve(context: click.Context, host: str, port: int, workers: int) -> None:
    """Serve the pages; only to this computer unless --host says otherwise."""
    folder = open_chosen(context)
    serve_farm(folder, host=host, port=port, workers=workers)


def is_this_computer(host: str) -> bool:
    """Say whether an address reaches only this computer."""
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def refuse_open_door(host: str) -> None:
    """Refuse to listen on the network while the owner has no password.

    Raises
    ------
    RefusedError
        If nobody who may change settings has a password and the address is not this computer's.
    """
    from pinset.services.farms import people

    if not is_this_computer(host) and not people.owner_has_password():
        raise RefusedError(
            f"The owner has no password yet, so pinset does not listen on {host}.",
            "Set one: pinset password PERSON.",
        )


def serve_farm(folder: Path, *, host: str, port: int, workers: int = 2) -> None:
    """Serve a farm until the process is interrupted.

    Raises
    ------
    InputError
        If the port cannot be.
    RefusedError
        If the farm is served already, the door would stand open, or a part keeps failing.
    """
    if not 1 <= port <= 65535:  # noqa: PLR2004  (ports)
        raise InputError("--port", port, "1 to 65535")
    refuse_open_door(host)
    environment = {
        **os.environ,
        "PINSET_FARM": str(folder),
        "DJANGO_SETTINGS_MODULE": "pinset.settings",
    }
    web = [
        *(sys.executable, "-m", "granian", "--interface", "wsgi", "--no-ws"),
        *("--host", host, "--port", str(port), "--workers", str(workers)),
        *("--blocking-threads", "1", "--log-level", "warning", "--no-access-log"),
        "pinset.web.wsgi:application",
    ]
    worker = [sys.executable, "-m", "pinset.cli.worker", str(folder)]
    with only_one(folder) as lock:
        click.echo(f"pinset is at http://{host}:{port}/  (stop it with Ctrl-C)")
        supervise([web, worker], environment, lock)


def supervise(commands: list[list[str]], environment: dict[str, str], lock: int) -> None:
    """Keep the commands running; end all of them when one keeps failing or we are told to stop.

    They hold the farm's lock with us, so that it stands as long as one of them lives, even if we
    are killed and cannot end them.
    """
    asked: list[int] = []

    def stop(number: int, _frame: FrameType | None) -> None:
        asked.append(number)

    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, stop)
    children = [_start(command, environment, lock) for command in commands]
    name_processes(lock, [os.getpid(), *(child.pid for child in children)])
    restarts = [0] * len(commands)
    try:
        while not asked:
            time.sleep(0.2)
            for i, child in enumerate(children):
                if child.poll() is None or asked:
                    continue
                restarts[i] += 1
                if restarts[i] > MOST_RESTARTS:
                    raise RefusedError(
                        f"A part of pinset keeps ending with status {child.returncode}.",
                        "What it said stands above.",
                    )
                time.sleep(min(5.0, 0.5 * restarts[i]))
                children[i] = _start(commands[i], environment, lock)
                name_processes(lock, [os.getpid(), *(each.pid for each in children)])
    finally:
        _end(children)


def _start(command: list[str], environment: dict[str, str], lock: int) -> subprocess.Popen[bytes]:
    # Our own program; in a session of its own, so that Ctrl-C reaches us only.
    return subprocess.Popen(  # noqa: S603
        command, env=environment, start_new_session=True, pass_fds=(lock,)
    )


def _end(children: list[subprocess.Popen[bytes]]) -> None:
    for child in children:
        if child.poll() is None:
            child.terminate()
    until = time.monotonic() + GRACE_S
    for child in children:
        try:
            child.wait(timeout=max(0.1, until - time.monotonic()))
        except subprocess.TimeoutExpired:
            child.kill()
            child.wait()
