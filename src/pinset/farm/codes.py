"""Issuing lot codes: each number once, whoever asks at the same time."""

from __future__ import annotations

from django.db import DEFAULT_DB_ALIAS, connections, transaction

from pinset.chain.lotcode import encode
from pinset.errors import InputError
from pinset.farm.models import ChainHead, Lot
from pinset.farm.trouble import plain_words

MOST = 10_000
"""Codes issued in one go."""


def issue_codes(count: int, *, using: str = DEFAULT_DB_ALIAS) -> tuple[str, ...]:
    """Return fresh lot codes; inside a transaction they are issued only if it holds.

    Codes that came with the farm's own labels are passed over.

    Raises
    ------
    InputError
        If the count is not from 0 to 10,000.
    """
    if type(count) is not int or not 0 <= count <= MOST:
        raise InputError("count", count, f"a whole number of lot codes from 0 to {MOST}")
    if not count:
        return ()
    with plain_words(), transaction.atomic(using=using):
        ChainHead.objects.using(using).get_or_create(pk=1)
        heads = ChainHead.objects.using(using)
        if connections[using].features.has_select_for_update:
            heads = heads.select_for_update()
        number = heads.get(pk=1).codes
        issued: list[str] = []
        while len(issued) < count:
            wanted = count - len(issued)
            codes = [encode(number + i) for i in range(wanted)]
            taken = set(
                Lot.objects.using(using).filter(code__in=codes).values_list("code", flat=True)
            )
            issued.extend(code for code in codes if code not in taken)
            number += wanted
        ChainHead.objects.using(using).filter(pk=1).update(codes=number)
    return tuple(issued)
