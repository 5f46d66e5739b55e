"""The addresses of all pages."""

from __future__ import annotations

from django.urls import path

from pinset.web.views import (
    books,
    buyers,
    deliver,
    door,
    heat,
    heat_before,
    heat_cook,
    heat_judge,
    jobs,
    lot_actions,
    lots,
    more,
    people,
    pick,
    planning,
    promises,
    records,
    today,
)

handler400 = "pinset.web.errors.bad_request"
handler403 = "pinset.web.errors.forbidden"
handler404 = "pinset.web.errors.not_found"
handler500 = "pinset.web.errors.broken"

urlpatterns = [
    path("", today.show, name="today"),
    path("sign-in/", door.sign_in, name="sign-in"),
    path("sign-out/", door.sign_out, name="sign-out"),
    path("first-owner/", door.first_owner, name="first-owner"),
    path("more/", more.show, name="more"),
    path("jobs/<str:code>/", jobs.show, name="job"),
    path("jobs/<str:code>/done/", jobs.done, name="job-done"),
    path("jobs/<str:code>/not-today/", jobs.not_today, name="not-today"),
    path("jobs/<str:code>/not-at-all/", jobs.not_at_all, name="not-at-all"),
    path("jobs/<str:code>/claim/", jobs.claim, name="claim"),
    path("jobs/<str:code>/release/", jobs.release, name="release"),
    path("entries/<str:entry>/undo/", jobs.undo, name="undo"),
    path("plan/", planning.start, name="plan"),
    path("plan/<int:number>/", planning.progress, name="plan-progress"),
    path("pick/", pick.show, name="pick"),
    path("deliver/", deliver.show, name="deliver"),
    path("promises/", promises.show, name="promises"),
    path("promises/new/", promises.new, name="promise-new"),
    path("promises/<str:code>/", promises.change, name="promise"),
    path("promises/<str:code>/end/", promises.end, name="promise-end"),
    path("heat/", heat.show, name="heat"),
    path("heat/before/", heat_before.show, name="heat-before"),
    path("heat/judge/", heat_judge.hand_in, name="heat-hand-in"),
    path("heat/judge/<str:digest>/", heat_judge.log, name="heat-log"),
    path("heat/cook/<str:code>/", heat_cook.show, name="heat-cook"),
    path("heat/cook/<str:code>/keep/", heat_cook.judge, name="heat-keep"),
    path("heat/cook/<str:code>/by-hand/", heat_cook.by_hand, name="heat-by-hand"),
    path("heat/cook/<str:code>/undo/<str:entry>/", heat_cook.undo, name="heat-undo"),
    path("heat/cook/<str:code>/record.pdf", heat_cook.record, name="heat-record"),
    path("heat/kept/<str:digest>/", heat_cook.log, name="heat-kept-log"),
    path("books/lots/", lots.show, name="lots"),
    path("books/lots/<str:code>/", lots.one, name="lot"),
    path("books/lots/<str:code>/say/<str:what>/", lot_actions.say, name="lot-say"),
    path("books/rooms/", books.rooms, name="rooms"),
    path("books/buyers/", buyers.show, name="buyers"),
    path("settings/", records.index, name="settings"),
    path("settings/password/", door.password, name="password"),
    path("settings/people/", people.show, name="people"),
    path("settings/people/new/", people.new, name="person-new"),
    path("settings/people/<str:code>/", people.change, name="person"),
    path("settings/<str:kind>/", records.show, name="records"),
    path("settings/<str:kind>/new/", records.new, name="record-new"),
    path("settings/<str:kind>/<str:code>/", records.change, name="record"),
    path("settings/<str:kind>/<str:code>/end/", records.retire, name="record-end"),
]
