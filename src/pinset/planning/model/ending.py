"""The end of the horizon: what is under way, waiting and fruiting then, week by week, softly.

Without it the first steps of every chain would stop as soon as nothing they start can be sold
within the horizon. Asked for week by week, so that the chain is filled evenly and not in one lump.
"""

from __future__ import annotations

from pinset.planning.model.columns import WEEK, Model, sold, stock_of
from pinset.planning.model.programme import Term

END_DAYS = 5  # beside the lead: half a start interval and a margin
MONTH = 28  # days that the rate of picking at the end is averaged over


def keep_chain_filled(model: Model, r: int, k: int) -> None:
    """Ask that each week after the end has its units of a making: kept, or ready in that week.

    Units ready earlier may serve a later week at the price of keeping them, as many as are used
    while they keep; so batches of more than a week's need are possible, and not for nothing.
    """
    problem, lp = model.problem, model.programme
    recipe = problem.recipes[r]
    making = recipe.makings[k]
    need = model.needs[r][k]
    events = model.events[r, k]
    if not problem.has_end_stock or not events or need.end_rate <= 0:
        return
    last = events[-1]
    price = problem.weights.end_missing * need.full_cost
    ready = [
        (making.ready(t) - last, model.x[r, k, t])
        for t in making.start_days
        if (r, k, t) in model.x
    ]
    known = [
        (lot.ready_day - last, lot.units)
        for lot in stock_of(problem, recipe, making)
        if lot.ready_day > last
    ]
    carried: list[Term] = [(model.kept[r, k, last], 1.0)]
    lead = making.lead_on(last)
    weeks = max(1, -(-lead // WEEK))
    for week in range(weeks):
        begins, ends = WEEK * week, min(WEEK * (week + 1), lead)
        is_last = week == weeks - 1
        target = need.end_rate * (max(0, ends - begins) + (0 if week else END_DAYS))
        missing = lp.column(price, upper=target)
        model.wishes.append(missing)
        terms = [(missing, 1.0), *carried]
        terms += [
            (x, making.usable) for day, x in ready if begins < day and (is_last or day <= ends)
        ]
        have = sum(units for day, units in known if begins < day and (is_last or day <= ends))
        if not is_last:
            over = lp.column(WEEK * making.hold_cost, upper=need.end_rate * making.window_days)
            terms.append((over, -1.0))
            carried = [(over, 1.0)]
        lp.at_least(terms, target - have)


def keep_rooms_filled(model: Model, r: int) -> None:
    """Ask for a week's steady moves in each of the last weeks, which the end finds in the rooms."""
    problem, lp = model.problem, model.programme
    recipe = problem.recipes[r]
    fruiting = recipe.fruiting
    if not problem.has_end_stock or fruiting is None or fruiting.grams <= 0:
        return
    promised = sold(problem, recipe, "picked")
    grams = sum(amount for day, amount in promised.items() if day >= recipe.days - MONTH)
    target = WEEK * grams / MONTH / fruiting.grams
    if target <= 0:
        return
    place = next(k for k, each in enumerate(recipe.makings) if each.step == fruiting.parent)
    price = problem.weights.end_missing * model.needs[r][place].full_cost
    for ends in range(recipe.days, recipe.days - fruiting.room_days_on(recipe.days), -WEEK):
        if ends - WEEK < problem.whole_days:
            return
        moved = [
            (v, 1.0)
            for (owner, _, t), v in model.v.items()
            if owner == r and ends - WEEK <= t < ends
        ]
        if moved:
            missing = lp.column(price, upper=target)
            model.wishes.append(missing)
            lp.at_least([(missing, 1.0), *moved], target)
