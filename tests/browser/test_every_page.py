"""Every page, on a tablet and a phone, by day and by night: axe, targets, width."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served, Stable

BLEND = "what-1=hardwood-sawdust&price-1=0.1&what-2=wheat-bran&price-2=0.3"
PAGES = (
    "/",
    "/jobs/{jars}/",
    "/jobs/{pick}/",
    "/jobs/{deliver}/",
    "/scan/",
    "/scan/{grain}/2/",
    "/scan/{plates}/",
    "/scan/{fruiting_lot}/",
    "/bench/",
    "/books/sessions/",
    "/pick/",
    "/pick/?job={pick}",
    "/deliver/",
    "/heat/",
    "/heat/before/",
    "/heat/before/?heat=pressure&rating=1.5+bar&altitude=1240&units=72",
    "/heat/before/?heat=pressure&rating=&mass=heavy",
    "/heat/during/",
    "/heat/during/{watched_cook}/",
    "/heat/during/{ended_cook}/",
    "/heat/sensor/",
    "/heat/judge/",
    "/heat/judge/{log}/?rule=f0%3D15",
    "/heat/cook/{cook}/",
    "/mix/",
    f"/mix/?{BLEND}&share-2=20&moisture-1=42&what-3=gypsum&share-3=1&for=wood-lovers&weighed-1=64",
    "/mix/?what-1=hardwood-sawdust&moisture-1=105&what-2=other&share-2=20",
    "/mix/cheapest/",
    f"/mix/cheapest/?{BLEND}&what-3=soybean-hulls&price-3=0.2&stock-3=4&nitrogen-least=0.6",
    f"/mix/cheapest/?{BLEND}&nitrogen-least=1.2&supplement-most=15",
    "/mix/cheapest/?what-1=hardwood-sawdust&price-1=&nitrogen-least=-2",
    "/air/",
    "/air/room/warm/",
    (
        "/air/room/warm/?volume=60&temperature=16&humidity=90&co2=1000&outside=5&outside-humidity=60"
        "&other-kg=500&other=oyster.fruiting&mist=cold&mist-water=12&coil=4&fan-share=40&u-value=2"
    ),
    "/air/room/warm/?volume=&humidity=0",
    "/air/clean/",
    (
        "/air/clean/?volume=30&fresh=600&leak-in=20&filter=filter.h14&people=1&clothes=own-clothes"
        "&mixing=2&target=7&gap=0.04&cost-leak=40"
    ),
    "/air/bench/",
    "/air/bench/?speeds=0.45+0.44+0.46+0.3&width=1.2&height=0.6&filter-pressure=300&fan-share=40",
    "/air/vents/",
    "/air/vents/?volume=60&temperature=18&readings=0+800%0A3+900%0A6+1000%0A9+1100%0A12+1200",
    "/air/vents/?volume=",
    "/look/",
    "/look/?code=22222",
    "/look/{grain}/",
    "/look/{fruiting_lot}/",
    "/look/rooms/",
    "/look/rooms/warm/",
    "/promises/",
    "/promises/new/",
    "/promises/kitchen-friday/",
    "/can-promise/",
    "/can-promise/?again={answered}",
    "/can-promise/{answered}/",
    "/can-promise/{waiting}/",
    "/promises/new/?asked={answered}",
    "/board/",
    "/board/{today}/",
    "/board/{today}/out-of-use/",
    "/how-big/",
    "/weekdays/",
    "/how-big/?want-oyster=-1",
    "/losses/",
    "/losses/lot/{grain}/",
    "/books/lots/",
    "/books/lots/{grain}/",
    "/books/lots/{fruiting_lot}/",
    "/books/labels/",
    "/books/labels/?lot={grain}&lot={fruiting_lot}",
    "/books/labels/?lot={grain}&layout=a4-5x13-tubes&shown-layout=a4-5x13-tubes&skip=7",
    "/books/labels/?lot={grain}&layout=roll-57x32",
    "/books/cultures/",
    "/books/cultures/{plates}/",
    "/books/rooms/",
    "/books/buyers/",
    "/books/upkeep/",
    "/books/upkeep/proposed/",
    "/books/upkeep/new/",
    "/books/upkeep/chore/hepa/",
    "/books/upkeep/chore/hepa/change/",
    "/books/upkeep/instructions/",
    "/books/upkeep/instructions/hepa/",
    "/books/upkeep/instructions/cook/change/",
    "/books/outlets/",
    "/books/outlets/drier/",
    "/settings/",
    "/settings/farm/farm/",
    "/settings/room/",
    "/settings/room/warm/",
    "/settings/route/oyster-blocks/",
    "/settings/buyer/new/",
    "/settings/own-figures/",
    "/settings/people/",
    "/settings/people/ben/",
    "/settings/people/new/",
    "/settings/password/",
    "/settings/pin/",
    "/pin/",
    "/settings/calendar/",
    "/settings/certificate/",
    "/more/",
    "/nothing/",
)
LEAST_PX = 48
AXE = Axe()
ONLY_FAULTS = {"resultTypes": ["violations"]}
OF_COLOURS = {**ONLY_FAULTS, "runOnly": ["color-contrast", "link-in-text-block"]}
"""The rules that look at colours: only they can find something else by night than by day."""
SMALL = """least => {
  const touched = 'a, button, input:not([type=hidden]), select, textarea, summary';
  const isSmall = element => {
    if (!element.checkVisibility({visibilityProperty: true})) return false;
    if (element.classList.contains('skip')) return false;
    const tick = element.matches('[type=checkbox], [type=radio]');
    const box = ((tick && element.closest('label')) || element).getBoundingClientRect();
    return box.width < least - 0.5 || box.height < least - 0.5;
  };
  const found = [...document.querySelectorAll(touched)].filter(isSmall);
  return found.map(each => each.outerHTML.slice(0, 160));
}"""
OPEN_ALL = """() => document.querySelectorAll('details').forEach(each => {
  each.dataset.wasOpen = each.open;
  each.open = true;
})"""
SHUT_AGAIN = """() => document.querySelectorAll('details').forEach(each => {
  each.open = each.dataset.wasOpen === 'true';
})"""
PARTS = 4
TOO_WIDE = "() => document.documentElement.scrollWidth - window.innerWidth"
HELD = [(size, scheme) for size in (TABLET, PHONE) for scheme in ("light", "dark")]
IDS = ["tablet by day", "tablet by night", "phone by day", "phone by night"]


def misfits(page: Page) -> list[str]:
    """Return targets below 48 px, and sideways scrolling."""
    found = [f"below {LEAST_PX} px: {each}" for each in page.evaluate(SMALL, LEAST_PX)]
    if page.evaluate(TOO_WIDE) > 0:
        found.append("scrolls sideways")
    return found


def faults(page: Page) -> list[str]:
    """Return what axe finds beside misfits."""
    return [*axe(page, ONLY_FAULTS), *misfits(page)]


def axe(page: Page, options: dict[str, Any]) -> list[str]:
    """Return what axe finds."""
    return [
        f"{each['id']}: {[node['target'] for node in each['nodes']][:3]}"
        for each in AXE.run(page, options=options).response["violations"]
    ]


@pytest.fixture(scope="module")
def farm(stable: Stable) -> Iterator[Served]:
    """One farm for all: nothing is written down here."""
    with stable.farm() as lent:
        yield lent


@pytest.mark.parametrize("part", range(PARTS))
def test_every_page_is_fit_for_hands_and_readers(
    open_page: OpenPage, farm: Served, part: int
) -> None:
    page = open_page()
    found = {}
    for pattern in PAGES[part::PARTS]:
        held(page, TABLET, "light")
        page.goto(pattern.format(**farm.codes))
        for size in (TABLET, PHONE):
            held(page, size, "light")
            shut = misfits(page)
            page.evaluate(OPEN_ALL)
            by_day = faults(page)
            held(page, size, "dark")
            by_night = axe(page, OF_COLOURS)
            page.evaluate(SHUT_AGAIN)
            if wrong := [*shut, *by_day, *by_night]:
                found[pattern, size] = wrong
    assert found == {}


def held(page: Page, size: tuple[int, int], scheme: str) -> None:
    """Hold the page in a size, by day or by night."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")


BROKEN = """() => [...document.querySelectorAll("main th, main td")].flatMap(cell => {
  const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT), found = [];
  for (let text = walk.nextNode(); text; text = walk.nextNode())
    for (const word of text.data.matchAll(/[\\p{L}\\p{N}]{2,}/gu)) {
      const range = document.createRange();
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      if (new Set([...range.getClientRects()].map(each => Math.round(each.top))).size > 1)
        found.push(word[0]);
    }
  return found;
})"""


@pytest.mark.parametrize("size", [PHONE, TABLET])
def test_no_table_breaks_a_word(open_page: OpenPage, farm: Served, size: tuple[int, int]) -> None:
    page = open_page(size)
    for path in (
        "/heat/before/?heat=pressure&rating=1.5+bar&units=72",
        "/heat/cook/{cook}/",
        "/mix/?what-1=hardwood-sawdust&what-2=soybean-hulls&share-2=20&what-3=gypsum&share-3=1",
    ):
        page.goto(path.format(**farm.codes))
        page.evaluate(OPEN_ALL)
        assert page.locator("main th").count() > 3
        assert page.evaluate(BROKEN) == [], path


@pytest.mark.parametrize(("size", "scheme"), HELD, ids=IDS)
def test_the_door_too(open_page: OpenPage, size: tuple[int, int], scheme: str) -> None:
    page = open_page(size, scheme, person="")
    assert faults(page) == []
    page.fill("#name", "nobody")
    page.fill("#password", "wrong")
    page.press("#password", "Enter")
    page.wait_for_selector("[role=alert]")
    assert faults(page) == []


def test_the_net_catches_a_small_button_and_a_missing_label(open_page: OpenPage) -> None:
    page = open_page()
    page.evaluate(
        "() => { const i = document.createElement('input'); i.style.minHeight = '20px';"
        " i.style.height = '20px'; document.querySelector('main').append(i); }"
    )
    found = faults(page)
    assert any("below 48 px" in each for each in found)
    assert any(each.startswith("label") for each in found)
    assert axe(page, OF_COLOURS) == []
    held(page, TABLET, "dark")
    page.locator("main h1").first.evaluate("each => { each.style.color = '#222'; }")
    assert any(each.startswith("color-contrast") for each in axe(page, OF_COLOURS))


def test_the_content_policy_lets_no_script_in(open_page: OpenPage, farm: Served) -> None:
    page = open_page()
    page.goto(f"/books/lots/?query=%3Cscript%3Ewindow.burst=1%3C/script%3E{farm.codes['grain']}")
    assert page.evaluate("() => window.burst") is None
