"""What a day's work is limited by: steriliser hours and cooks, the clean bench, hands."""

from __future__ import annotations

from bisect import bisect_right

from pinset.planning.columns import GRAMS_PER_KG, WEEK, Model, batch_share, limit
from pinset.planning.problem import CookOption, Making, Problem, SteriliserDays
from pinset.planning.programme import Term

# prices of one more unit of a resource, assumed; used to name what is lacking
HOUR_PRICE = 30.0
COOK_PRICE = 20.0
LITRE_PRICE = 0.5  # of vessels made sterile elsewhere: dearer than the steriliser's own hours
MINUTE_PRICE = 0.5


def limit_sterilisers(model: Model) -> None:
    """Cooks (5): vessels are cooked before they are used; kinds do not mix in one cook."""
    problem = model.problem
    need, users = _sterile_need(model)
    hours: dict[tuple[str, int], list[Term]] = {}
    count: dict[tuple[str, int], list[Term]] = {}
    for kind, by_day in sorted(need.items()):
        made: dict[int, list[Term]] = {}
        for steriliser in problem.resources.sterilisers:
            for option in steriliser.cooks:
                if option.kind != kind:
                    continue
                for t in range(min(max(by_day) + 1, problem.days)):
                    if t != model.bucket(t) or not _can_cook(model, steriliser, option, t):
                        continue
                    n = model.programme.column(option.cost, whole=model.is_whole(t))
                    model.n[steriliser.code, kind, t] = n
                    hours.setdefault((steriliser.code, t), []).append((n, option.hours))
                    count.setdefault((steriliser.code, t), []).append((n, 1.0))
                    made.setdefault(t, []).append((n, option.litres))
        _only_what_was_begun(model, kind, made)
        _sterile_flow(model, kind, by_day, made, frozenset(users[kind]))
    cooked = {variety for kind in users.values() for variety in kind}
    for steriliser in problem.resources.sterilisers:
        name = f"steriliser {steriliser.code}"
        for t in range(problem.days):
            key = (steriliser.code, t)
            if key in hours:
                limit(
                    model,
                    hours[key],
                    model.in_bucket(steriliser.hours, t),
                    resource=name,
                    day=t,
                    unit="h",
                    price=HOUR_PRICE,
                    varieties=cooked,
                )
                limit(
                    model,
                    count[key],
                    model.in_bucket(steriliser.count, t),
                    resource=name,
                    day=t,
                    unit="cooks",
                    price=COOK_PRICE,
                    varieties=cooked,
                )


def _only_what_was_begun(model: Model, kind: str, made: dict[int, list[Term]]) -> None:
    """Let a cook too soon for new preparation hold no more than was begun for it."""
    resources = model.problem.resources
    for day in [each for each in made if each < resources.first_cook_day(kind)]:
        filled = model.programme.column(upper=resources.begun_litres(kind, day))
        model.programme.at_most([(filled, 1.0), *((n, -litres) for n, litres in made[day])], 0.0)
        made[day] = [(filled, 1.0)]


def _can_cook(model: Model, steriliser: SteriliserDays, option: CookOption, day: int) -> bool:
    return any(
        steriliser.hours[t] >= option.hours
        and steriliser.count[t] >= 1
        and model.problem.resources.can_be_ready(option.kind, t)
        for t in range(day, min(day + WEEK, model.problem.days))
        if model.bucket(t) == day
    )


def _sterile_need(
    model: Model,
) -> tuple[dict[str, dict[int, list[Term]]], dict[str, set[str]]]:
    """Return litres by kind and latest cook day (negative: ready today), and who needs them."""
    problem = model.problem
    need: dict[str, dict[int, list[Term]]] = {}
    users: dict[str, set[str]] = {}
    for (r, k, t), x in model.x.items():
        making = problem.recipes[r].makings[k]
        latest = t - making.cook_days_before
        if not making.cook or making.litres <= 0:
            continue
        if assumes_prepared(problem, making, t):
            continue
        day = model.bucket(latest) if latest >= 0 else latest
        need.setdefault(making.cook, {}).setdefault(day, []).append((x, making.litres))
        users.setdefault(making.cook, set()).add(problem.recipes[r].variety)
    return need, users


def assumes_prepared(problem: Problem, making: Making, day: int) -> bool:
    """Whether a start comes too soon for a cook, and its vessels are taken as ready."""
    resources = problem.resources
    return bool(
        making.cook
        and making.litres > 0
        and day < making.cook_days_before + resources.first_cook_day(making.cook)
        and not resources.is_sterile_counted
    )


def _sterile_flow(
    model: Model,
    kind: str,
    need: dict[int, list[Term]],
    made: dict[int, list[Term]],
    varieties: frozenset[str],
) -> None:
    lp = model.programme
    resources = model.problem.resources
    ready = [each for each in resources.sterile if each.cook == kind]
    keeps = resources.keeps_days(kind)
    days = sorted({-1, *need, *made})
    soonest = min(
        making.cook_days_before
        for recipe in model.problem.recipes
        for making in recipe.makings
        if making.cook == kind
    )
    before: int | None = None
    for i, day in enumerate(days):
        kept = lp.column()
        terms: list[Term] = [(kept, 1.0), *need.get(day, [])]
        terms += [(n, -litres) for n, litres in made.get(day, [])]
        if before is not None:
            terms.append((before, -1.0))
        # slack here is a vessel cooked elsewhere: it tells of a steriliser that is full or missing
        limit(
            model,
            terms,
            sum(each.litres for each in ready) if i == 0 else 0.0,
            resource=f"{'cooks' if day >= 0 else 'prepared vessels'} of kind {kind}",
            day=max(day, 0),
            unit="L",
            price=LITRE_PRICE,
            varieties=varieties,
        )
        if i + 1 < len(days):
            following = days[i + 1]
            recent = [
                (n, -litres)
                for when, columns in made.items()
                if following - keeps <= when <= day
                for n, litres in columns
            ]
            left = sum(each.litres for each in ready if following + soonest <= each.last_day)
            lp.at_most([(kept, 1.0), *recent], left)
        before = kept


def limit_bench(model: Model) -> None:
    """Bench minutes (6), and minutes of those who may work in the laboratory."""
    problem = model.problem
    bench = problem.resources.bench_minutes
    people = problem.resources.laboratory_minutes
    by_day: dict[int, list[Term]] = {}
    users: dict[int, set[str]] = {}
    for (r, k, t), x in model.x.items():
        making = problem.recipes[r].makings[k]
        if making.bench_minutes > 0 or making.bench_setup_minutes > 0:
            row = by_day.setdefault(model.bucket(t), [])
            row.append((x, making.bench_minutes))
            batch, share = batch_share(model, r, k, t)
            row.append((batch, share * making.bench_setup_minutes))
            users.setdefault(model.bucket(t), set()).add(problem.recipes[r].variety)
    for t, terms in sorted(by_day.items()):
        room = {
            name: model.in_bucket(minutes, t)
            for name, minutes in (("clean bench", bench), ("laboratory hands", people))
            if minutes
        }
        tightest = min(room.values(), default=0.0)
        for name, minutes in room.items():
            if minutes > tightest:
                continue  # the other row says it all
            limit(
                model,
                terms,
                minutes,
                resource=name,
                day=t,
                unit="min",
                price=MINUTE_PRICE,
                varieties=users[t],
            )


def limit_hands(model: Model) -> None:
    """Hand minutes (7): bench, preparation, cooks, moving, picking. Mushrooms are picked anyway."""
    problem = model.problem
    hands = problem.resources.hands_minutes
    if not hands:
        return
    by_day: dict[int, list[Term]] = {model.bucket(day): [] for day in range(problem.days)}
    of_today = _minutes_of_starts(model, by_day)
    if problem.resources.prepared_minutes > 0 and of_today:
        by_day[0].append((_behind_us(model, of_today), -1.0))
    _minutes_of_moves(model, by_day)
    for steriliser in problem.resources.sterilisers:
        minutes = {option.kind: option.hands_minutes for option in steriliser.cooks}
        for (code, kind, t), n in model.n.items():
            if code == steriliser.code:
                by_day[model.bucket(t)].append((n, minutes[kind]))
    known = _minutes_of_rooms(problem)
    for day, terms in by_day.items():
        capacity = model.in_bucket(hands, day)
        if capacity > 0 and terms:
            limit(
                model,
                terms,
                capacity,
                taken=model.in_bucket(known, day),
                resource="hands",
                day=day,
                unit="min",
                price=MINUTE_PRICE,
                varieties=[recipe.variety for recipe in problem.recipes],
            )


def _behind_us(model: Model, preparation: list[Term]) -> int:
    """Return the column of today's preparation that was done before now and takes no time again."""
    lp = model.programme
    done = lp.column(upper=model.problem.resources.prepared_minutes)
    lp.at_most([(done, 1.0), *((column, -minutes) for column, minutes in preparation)], 0.0)
    return done


def _minutes_of_starts(model: Model, by_day: dict[int, list[Term]]) -> list[Term]:
    """Add the minutes of starts to their days; return those of today's preparation alone."""
    of_today: list[Term] = []
    hands = model.problem.resources.hands_minutes
    working = [day for day in range(len(hands)) if hands[day] > 0]
    for (r, k, t), x in model.x.items():
        making = model.problem.recipes[r].makings[k]
        batch, share = batch_share(model, r, k, t)
        today = by_day[model.bucket(t)]
        today.append((x, making.bench_minutes + making.hands_minutes))
        today.append((batch, share * making.bench_setup_minutes))
        for preparation in making.preparations:
            place = bisect_right(working, t - preparation.days_before)
            if place:  # preparation before today is over
                day = model.bucket(working[place - 1])
                terms = [
                    (x, preparation.minutes_per_unit),
                    (batch, share * preparation.minutes_fixed),
                ]
                by_day[day] += terms
                of_today += terms if day == 0 else []
    return of_today


def wish_time_to_fill(model: Model) -> None:
    """Ask (softly) that what is filled on a near cook's day can be filled before its loading.

    Vessels that are cooked a day earlier than they must, or stand ready, make it easier; so it is a
    wish. A kind that is loaded later may not take the time of one that is loaded earlier.
    """
    resources = model.problem.resources
    for loading in resources.loadings:
        earlier = {
            other.cook for other in resources.loadings if sum(other.minutes) <= sum(loading.minutes)
        }
        by_day: dict[int, list[Term]] = {}
        for (r, k, t), x in model.x.items():
            making = model.problem.recipes[r].makings[k]
            day = next(
                (d for d in range(t - making.cook_days_before, -1, -1) if loading.minutes[d] > 0),
                -1,
            )
            if making.cook not in earlier or not 0 <= day < model.problem.whole_days:
                continue
            batch, share = batch_share(model, r, k, t)
            for preparation in making.preparations:
                if preparation.is_before_loading:
                    row = by_day.setdefault(day, [])
                    row.append((x, preparation.minutes_per_unit))
                    row.append((batch, share * preparation.minutes_fixed))
        for day, terms in by_day.items():
            rushed = model.programme.column(model.problem.weights.rushed_minute)
            model.wishes.append(rushed)
            model.programme.at_most([*terms, (rushed, -1.0)], loading.minutes[day])


def _minutes_of_moves(model: Model, by_day: dict[int, list[Term]]) -> None:
    problem = model.problem
    for (r, _, t), v in model.v.items():
        fruiting = problem.recipes[r].fruiting
        if fruiting is None:
            continue
        by_day[model.bucket(t)].append((v, fruiting.hands_minutes))
        for picking in fruiting.curve:
            day = problem.resources.next_staffed(t + picking.day)
            if day < problem.days:
                minutes = fruiting.pick_minutes_per_kg * picking.grams / GRAMS_PER_KG
                by_day[model.bucket(day)].append((v, minutes))


def _minutes_of_rooms(problem: Problem) -> list[float]:
    """Return the minutes that picking what stands in the grow rooms takes, by day."""
    rates = {
        recipe.variety: recipe.fruiting.pick_minutes_per_kg
        for recipe in problem.recipes
        if recipe.fruiting is not None
    }
    known = [0.0] * problem.days
    for lot in problem.in_rooms:
        for pick in lot.picks:
            day = problem.resources.next_staffed(pick.day)
            if 0 <= day < problem.days:
                known[day] += rates.get(lot.variety, 0.0) * pick.grams / GRAMS_PER_KG
    return known
