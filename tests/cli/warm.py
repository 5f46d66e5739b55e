"""Runs `pinset` again and again, each time in a process of its own, begun where imports are done.

A process that has imported what every command needs (numbers, planning, Django unopened) forks one
child for each command: it gets arguments, environment and standard streams of its own and ends with
its own status, as when a shell starts it, without a second of imports each time.
"""

from __future__ import annotations

import atexit
import json
import os
import pkgutil
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path

PURE = ("chain", "learning", "planning", "science", "tables", "files")
OTHERS = ("scipy.optimize", "scipy.stats", "scipy.sparse", "django.core.management", "jinja2")
READY = "ready"


class Warm:
    """The process that forks; begun at the first command and ended with the tests."""

    def __init__(self) -> None:
        """Begin nothing yet."""
        self._process: subprocess.Popen[str] | None = None

    def run(
        self, program: Path, words: Sequence[str], environment: Mapping[str, str], typed: str
    ) -> subprocess.CompletedProcess[str]:
        """Run one command to its end."""
        process = self._begun()
        assert process.stdin is not None
        assert process.stdout is not None
        with tempfile.TemporaryDirectory() as folder:
            streams = {name: str(Path(folder) / name) for name in ("typed", "out", "err")}
            Path(streams["typed"]).write_text(typed, encoding="utf-8")
            asked = {
                "argv": [str(program), *words],
                "environment": dict(environment),
                "folder": str(Path.cwd()),
                **streams,
            }
            process.stdin.write(json.dumps(asked) + "\n")
            process.stdin.flush()
            answer = process.stdout.readline()
            assert answer, "the process that runs commands has ended"
            out, err = (Path(streams[name]).read_text(encoding="utf-8") for name in ("out", "err"))
        return subprocess.CompletedProcess([str(program), *words], int(answer), out, err)

    def _begun(self) -> subprocess.Popen[str]:
        if self._process is None:
            self._process = subprocess.Popen(
                [sys.executable, __file__],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                text=True,
                encoding="utf-8",
            )
            atexit.register(self._end)
            assert self._process.stdout is not None
            assert self._process.stdout.readline().strip() == READY
        return self._process

    def _end(self) -> None:
        if self._process is not None and self._process.stdin is not None:
            self._process.stdin.close()
            self._process.wait(timeout=10)


def _preload() -> None:
    for name in OTHERS:
        import_module(name)
    import pinset

    for path in pinset.__path__:
        for part in PURE:
            folder = [str(Path(path) / part)]
            for found in pkgutil.walk_packages(folder, f"pinset.{part}."):
                import_module(found.name)


def _in_child(asked: Mapping[str, object]) -> None:
    """Become the command; never returns."""
    status = 1
    try:
        os.chdir(str(asked["folder"]))
        for number, (name, flags) in enumerate(
            (
                ("typed", os.O_RDONLY),
                ("out", os.O_WRONLY | os.O_CREAT | os.O_TRUNC),
                ("err", os.O_WRONLY | os.O_CREAT | os.O_TRUNC),
            )
        ):
            os.dup2(os.open(str(asked[name]), flags, 0o600), number)
        sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False, buffering=1)  # noqa: SIM115
        environment = asked["environment"]
        assert isinstance(environment, dict)
        os.environ.clear()
        os.environ.update(environment)
        words = asked["argv"]
        assert isinstance(words, list)
        sys.argv = words
        from pinset.cli.main import main

        main()
        status = 0
    except SystemExit as end:
        status = _status(end.code)
    except BaseException:  # noqa: BLE001 - as the interpreter would at its end
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def _status(code: object) -> int:
    if code is None:
        return 0
    if isinstance(code, int):
        return code
    sys.stderr.write(f"{code}\n")
    return 1


def _say(what: object) -> None:
    sys.stdout.write(f"{what}\n")
    sys.stdout.flush()


def _serve() -> None:
    _preload()
    _say(READY)
    for line in sys.stdin:
        child = os.fork()
        if not child:
            _in_child(json.loads(line))
        _, ended = os.waitpid(child, 0)
        _say(os.waitstatus_to_exitcode(ended))


if __name__ == "__main__":
    _serve()
