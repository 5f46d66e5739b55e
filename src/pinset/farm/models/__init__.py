"""What the database holds, one table or two to a file."""

from __future__ import annotations

from pinset.farm.models.attempt import SignInAttempt
from pinset.farm.models.balance import Balance
from pinset.farm.models.calendar import CalendarEvent, CalendarLink
from pinset.farm.models.entry import Entry, Posting
from pinset.farm.models.head import ChainHead
from pinset.farm.models.job import Job, StoredPlan
from pinset.farm.models.label_print import LabelPrint
from pinset.farm.models.lineage import Link, Mention
from pinset.farm.models.log_file import LogFile
from pinset.farm.models.lot import Lot, Place
from pinset.farm.models.note import Note
from pinset.farm.models.person import Person
from pinset.farm.models.photo import Photo
from pinset.farm.models.reckoned import LossReckoning
from pinset.farm.models.register import RegisterRow
from pinset.farm.models.request import PlanRequest
from pinset.farm.models.watched import SensorKey, WatchedCook, WatchedReading

__all__ = [
    "Balance",
    "CalendarEvent",
    "CalendarLink",
    "ChainHead",
    "Entry",
    "Job",
    "LabelPrint",
    "Link",
    "LogFile",
    "LossReckoning",
    "Lot",
    "Mention",
    "Note",
    "Person",
    "Photo",
    "Place",
    "PlanRequest",
    "Posting",
    "RegisterRow",
    "SensorKey",
    "SignInAttempt",
    "StoredPlan",
    "WatchedCook",
    "WatchedReading",
]
