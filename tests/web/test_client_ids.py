from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.web.client_ids import new_client_id, read_client_id


def test_ids_are_new_each_time_and_read_back() -> None:
    made = {new_client_id() for _ in range(1000)}
    assert len(made) == 1000
    assert all(read_client_id(each) == each for each in made)


@pytest.mark.parametrize("given", ["", "x" * 32, "A" * 32, "a" * 31, "a" * 33, "a" * 32 + "\n"])
def test_anything_else_is_refused(given: str) -> None:
    with pytest.raises(InputError, match="32 hexadecimal signs"):
        read_client_id(given)
