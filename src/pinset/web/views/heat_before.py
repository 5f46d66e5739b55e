"""Heat, before a cook: what to set, how long to hold, when to open and inoculate."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from pinset.errors import InputError
from pinset.services import cautions
from pinset.services.cooks.ahead.newer_logs import with_learnt
from pinset.services.cooks.ahead.planning import CookPlan, plan_cook
from pinset.services.cooks.ahead.words import (
    LEARNT,
    NEWER_END,
    QUICK_END,
    SAID,
    SAID_QUICK,
    SAID_SLOW,
    SLOW_END,
)
from pinset.services.cooks.heat_lines import lines_of_plan
from pinset.services.cooks.heat_units import typed_in_farm_units
from pinset.services.cooks.judge.judging import read_rule
from pinset.services.cooks.typed import TYPED, load_of, typed_name
from pinset.services.cooks.usual import UsualLoad, usual_loads
from pinset.services.frame import frame
from pinset.web.formats import system
from pinset.web.forms import refused
from pinset.web.heat_fields import load_fields
from pinset.web.render import page
from pinset.web.views.heat_words import drawing_of

LONGEST = 60
CASES = {
    "cautious": gettext_lazy("cautious: conduction only"),
    "middle": gettext_lazy("middle: some help by vapour"),
    "quick": gettext_lazy("quick: much help by vapour"),
    LEARNT: gettext_lazy("your log"),
    SLOW_END: gettext_lazy("your log, slow end"),
    QUICK_END: gettext_lazy("your log, quick end"),
    SAID: gettext_lazy("the conductivity given"),
    SAID_SLOW: gettext_lazy("the conductivity given, slow end"),
    SAID_QUICK: gettext_lazy("the conductivity given, quick end"),
    NEWER_END: gettext_lazy("newer log, slow end"),
}
ASKED = frozenset({*TYPED, "rule", "load"})
BEFOREHAND = ("pressure-rules", "sealed-vessel", "not-proof")


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the form, and the cook worked out if it was filled in."""
    loads = usual_loads()
    typed = {name: request.GET.get(name, "")[:LONGEST] for name in request.GET if name in ASKED}
    chosen = _chosen(loads, typed.get("load", ""))
    if chosen is not None and "heat" not in typed:
        typed |= typed_in_farm_units(chosen.typed, system()) | {"rule": chosen.rule or "f0=15"}
    here = typed_in_farm_units({"altitude": f"{frame().altitude_m:g} m"}, system())
    typed = here | typed
    asked = load_fields(typed)
    plan: CookPlan | None = None
    wrong = ""
    if "heat" in typed:
        try:
            load = with_learnt(load_of(typed, system()))
            plan = plan_cook(load, read_rule(typed.get("rule", "f0=15")))
        except InputError as problem:
            asked, wrong = refused(asked, typed, problem, typed_name(problem.field))
    context = {
        "loads": loads,
        "chosen": chosen.code if chosen else "",
        "fields": asked,
        "plan": plan,
        "wrong": wrong,
        "case_names": CASES,
        "drawing": drawing_of(lines_of_plan(plan), plan.sentence) if plan else None,
        "cautions": cautions.sentences(plan.cautions if plan else BEFOREHAND),
    }
    return page(request, "heat_before.html", context, here="heat", status=422 if wrong else 200)


def _chosen(loads: tuple[UsualLoad, ...], code: str) -> UsualLoad | None:
    return next((load for load in loads if load.code == code), None)
