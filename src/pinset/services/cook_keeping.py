"""Keeping the verdict on a logger's file, with the file, on the cook it is of."""

from __future__ import annotations

from pinset.chain.plain import to_plain
from pinset.services import cook_verdicts
from pinset.services.cook_judging import JudgedCook
from pinset.services.views import Done


def keep_verdict(
    client_id: str, worker: str, cook: str, judged: JudgedCook, data: bytes, name: str
) -> Done:
    """Write a verdict down as it was shown, and keep its log.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same verdict.
    worker, cook : str
        Codes of who judged, and of the cook.
    judged : JudgedCook
        What was shown.
    data, name : bytes, str
        The file it rests on.

    Raises
    ------
    InputError
        If the file is not the one that was judged.
    RefusedError
        If there is no such cook.
    """
    return cook_verdicts.record_verdict(
        client_id,
        worker,
        cook,
        to_plain(judged, every_field=True),
        judged.verdict,
        judged.sentence,
        data,
        name,
    )
