"""Only one person holds a job."""

from __future__ import annotations

from pinset.services.answers import claims
from services.recorded import LayJob, transfer


def test_only_one_person_holds_a_claim(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    assert claims.claim(job, "ada")
    assert claims.claim(job, "ada")
    assert not claims.claim(job, "ben")
    assert not claims.release(job, "ben")
    assert claims.release(job, "ada")
    assert claims.claim(job, "ben")
