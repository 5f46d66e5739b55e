"""What all tests share: quick password hashing, and property tests without a stop-watch."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.test.utils import override_settings
from hypothesis import HealthCheck, settings

from pinset.services.memory import forget_all

os.environ.setdefault("PINSET_TODAY_IN", "Europe/Vienna")  # the zone of the tests' farms

# `make test` says the same of the same code every time; `make fuzz` looks for what it never tried.
settings.register_profile(
    "pinset",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    print_blob=True,
    derandomize=os.environ.get("PINSET_FUZZ") != "1",
)
settings.load_profile("pinset")


class QuickHasher(Argon2PasswordHasher):
    """Argon2 with the least work it accepts: the tests are about signing in, not about cost."""

    time_cost = 1
    memory_cost = 8
    parallelism = 1


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> Iterator[None]:
    hasher = f"{QuickHasher.__module__}.{QuickHasher.__qualname__}"
    with override_settings(PASSWORD_HASHERS=[hasher]):
        yield


@pytest.fixture(scope="session", autouse=True)
def _a_folder_of_no_farm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what a page puts aside, such as a log, out of the folder the tests are run in."""
    with override_settings(FARM_FOLDER=tmp_path_factory.mktemp("no-farm")):
        yield


@pytest.fixture(autouse=True)
def _nothing_remembered() -> None:
    """Forget what services remember: another test has another farm."""
    forget_all()
