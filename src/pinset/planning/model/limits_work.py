"""What a day's work is limited by: the clean bench, hands, time to fill before a loading."""

from __future__ import annotations

from bisect import bisect_right

from pinset.planning.model.columns import GRAMS_PER_KG, Model, batch_share, limit
from pinset.planning.model.programme import Term
from pinset.planning.problem import Problem

MINUTE_PRICE = 0.5  # of one more minute, assumed; used to name what is lacking


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
        for day, picking in problem.gathered(fruiting.borne(t), t):
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
        for day, pick in problem.gathered(lot.picks):
            if 0 <= day < problem.days:
                known[day] += rates.get(lot.variety, 0.0) * pick.grams / GRAMS_PER_KG
    return known
