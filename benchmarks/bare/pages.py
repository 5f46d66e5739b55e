"""The bare page: one lot by its indexed code, put into a small template."""

from django.http import HttpRequest, HttpResponse
from django.urls import path
from jinja2 import Template

from pinset.farm.models import Lot

PAGE = Template(
    "<!doctype html><title>{{ lot.code }}</title><h1>{{ lot.code }}</h1>"
    "<p>{{ lot.stage }}, {{ lot.variety }}, {{ lot.made_on }}</p>"
)


def show(_request: HttpRequest, code: str) -> HttpResponse:
    """Show one lot."""
    return HttpResponse(PAGE.render(lot=Lot.objects.get(code=code)))


urlpatterns = [path("<str:code>/", show)]
