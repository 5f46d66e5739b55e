"""The week on paper."""

from __future__ import annotations

from urllib.parse import quote

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.services.week.paper import week_on_paper
from pinset.web.formats import system


@require_GET
def paper(request: HttpRequest) -> HttpResponse:
    """Give the jobs of the coming seven days for paper; ``?paper=letter`` for that size."""
    size = request.GET.get("paper", "") or ("letter" if system() == "us" else "a4")
    printed = week_on_paper(size)
    answer = HttpResponse(printed.data, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f"inline; filename*=UTF-8''{quote(printed.name)}"
    return answer
