"""`pinset serve`: the pages and the worker, started and stopped together."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from ipaddress import ip_address
from pathlib import Path
from threading import Event
from types import FrameType

import click

from pinset.cli.answering import tell_once_it_answers
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import known_errors
from pinset.cli.serve_https import MOST_PORT, Secure, own_https
from pinset.errors import RefusedError
from pinset.services.farms.one_at_a_time import name_processes, only_one

MOST_RESTARTS = 5
MOST_WORKERS = 64
GRACE_S = 10.0
LEFT_S = 2.0
"""How long what a child left behind may take to end by itself."""
PAGES = "pinset.web.wsgi:application"
PLAIN_DOOR = "pinset.web.plain_door:application"


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=Whole(1, MOST_PORT), default=8000, show_default=True)
@click.option(
    "--workers", type=Whole(1, MOST_WORKERS), default=2, show_default=True, help="Web processes."
)
@click.option("--https", "is_https", is_flag=True, help="With the farm's own certificate.")
@click.option(
    "--http-port",
    type=Whole(0, MOST_PORT),
    default=8080,
    show_default=True,
    help="With --https: plain http here gives the certificate out and leads on; 0 for none.",
)
@click.pass_context
@known_errors
def serve(
    context: click.Context, host: str, port: int, workers: int, is_https: bool, http_port: int
) -> None:
    """Serve the pages; only to this computer unless --host says otherwise."""
    folder = open_chosen(context)
    secure = own_https(folder, port, http_port) if is_https else None
    serve_farm(folder, host=host, port=port, workers=workers, secure=secure)


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


def serve_farm(
    folder: Path, *, host: str, port: int, workers: int = 2, secure: Secure | None = None
) -> None:
    """Serve a farm until the process is interrupted.

    Raises
    ------
    RefusedError
        If the farm is served already, the door would stand open, or a part keeps failing.
    """
    refuse_open_door(host)
    environment = {
        **os.environ,
        "PINSET_FARM": str(folder),
        "DJANGO_SETTINGS_MODULE": "pinset.settings",
    }
    if secure:
        environment |= secure.environment
    commands = [
        _server(host, port, workers, PAGES, secure.options if secure else ()),
        [sys.executable, "-m", "pinset.cli.worker", str(folder)],
    ]
    if secure and secure.http_port:
        commands.append(_server(host, secure.http_port, 1, PLAIN_DOOR))
    ended = Event()
    with only_one(folder) as lock:
        click.echo("pinset is starting; it says where it is once the pages answer.")
        where = _where(host, port, secure)
        tell_once_it_answers(host, port, lambda: click.echo(where), ended, is_secure=bool(secure))
        try:
            supervise(commands, environment, lock)
        finally:
            ended.set()


def _server(
    host: str, port: int, workers: int, application: str, options: tuple[str, ...] = ()
) -> list[str]:
    return [
        *(sys.executable, "-m", "granian", "--interface", "wsgi", "--no-ws"),
        *("--host", host, "--port", str(port), "--workers", str(workers)),
        *("--blocking-threads", "1", "--log-level", "warning", "--no-access-log"),
        *options,
        application,
    ]


def _where(host: str, port: int, secure: Secure | None) -> str:
    if secure is None:
        return f"pinset is at http://{host}:{port}/  (stop it with Ctrl-C)"
    lines = [f"pinset is at https://{secure.host}:{port}/  (stop it with Ctrl-C)"]
    if secure.http_port:
        lines.append(
            f"For a new device: http://{secure.host}:{secure.http_port}/certificate/ gives the "
            "authority to install."
        )
    lines.append(f"The certificate lasts until {secure.until:%Y-%m-%d}.")
    return "\n".join(lines)


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
                _end_group(child)
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
    """End the children, and what they started: a server told to end while it starts leaves that."""
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
    for child in children:
        _end_group(child)


def _end_group(child: subprocess.Popen[bytes]) -> None:
    """End what is left of the session a child was the first of; it has ended itself."""
    until = time.monotonic() + LEFT_S
    with suppress(ProcessLookupError):  # nothing is left
        os.killpg(child.pid, signal.SIGTERM)
        while time.monotonic() < until:
            time.sleep(0.05)
            os.killpg(child.pid, 0)
        os.killpg(child.pid, signal.SIGKILL)
