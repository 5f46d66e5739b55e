"""Five invented farms that differ in kind; nothing of them is a real place or person.

Days count from Monday 9 March 2026. Routes start from the published values; what differs stands in
their rows.
"""

from __future__ import annotations

from days.described import Described

BLOCKS_BY_THE_SEA = Described(
    "blocks-by-the-sea",
    """
    instruments = []
    [farm]
    name = "Blocks by the sea (invented)"
    code = "farm"
    country = "United States"
    altitude_m = "10 ft"
    time_zone = "America/New_York"
    units = "us"
    currency = "USD"
    working_days = ["mon", "tue", "wed", "thu", "fri"]
    day_starts = "08:00"
    van_at = "15:00"

    [[sterilisers]]
    code = "autoclave"
    name = "Autoclave"
    room = "cooking"
    hours_per_day = 9
    cooks_per_day = 2
    rating_bar_gauge = "15 psi"
    load_at = "09:30"
    cooks = [
        {code = "agar", hours = 2.5, hands_minutes = 25, hold_minutes = 30, litres = 30},
        {code = "grain", hours = 4, hands_minutes = 35, hold_minutes = 90, litres = 60},
    ]

    [[sterilisers]]
    code = "steamer"
    name = "Steamer"
    room = "cooking"
    hours_per_day = 22
    cooks_per_day = 1
    load_at = "14:30"
    cooks = [{code = "block", hours = 16, hands_minutes = 60, hold_minutes = 720, litres = 240}]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"
    hours = {mon = 8, tue = 8, thu = 8, fri = 8}

    [[people]]
    code = "ben"
    name = "Ben"
    laboratory = false
    hours = {mon = 8, tue = 8, wed = 8, thu = 8, fri = 6}
    """,
    {
        "varieties": """
            code,name,species,route,sold_as,price_per_kg
            lion,Lion's mane,Hericium erinaceus,lion-blocks,block,0
        """,
        "routes": """
            route,from_species,starts_at,ends_at,step,units_per_parent,minimum_batch
            lion-blocks,Hericium erinaceus,tube,block,,,
        """,
        "vessels": """
            code,name,litres,in_circulation
            tube,Tube,0.05,
            plate,Plate,0.03,
            jar,Quart jar,1.2,90
            spawn-bag,Spawn bag,4.5,
            block-bag,Block bag,4.5,
        """,
        "cultures": """
            code,variety,source,mother_on,cleared
            lion-a,lion,invented source,2025-11-03,yes
        """,
        "buyers": """
            code,name,deliver_at
            shop,Garden shop (invented),
        """,
        "promises": """
            code,buyer,variety,amount_kg,amount_units,step,weekday,on_date,price
            shop-friday,shop,lion,,20,block,fri,,24
            shop-plates,shop,lion,,12,plate,,2026-03-26,5
        """,
        "lots": """
            code,variety,step,count,made_on,place,culture,made_count,generation,transfers
            ,lion,tube,5,2026-02-02,fridge-1,lion-a,,,
            ,lion,plate,1,2026-02-24,fridge-1,lion-a,,,1
            ,lion,grain,8,2026-02-16,warm-1,lion-a,,1,
            ,lion,block,44,2026-02-16,warm-1,lion-a,,1,
            ,lion,block,44,2026-02-23,warm-1,lion-a,,1,
            ,lion,block,42,2026-03-02,warm-1,lion-a,,1,
        """,
    },
)

ALONE_AFTER_NOON = Described(
    "alone-after-noon",
    """
    instruments = []
    [farm]
    name = "Alone after noon (invented)"
    code = "farm"
    country = "Austria"
    altitude_m = 520
    time_zone = "Europe/Vienna"
    working_days = ["mon", "tue", "wed", "thu", "fri", "sat"]
    day_starts = "13:00"
    van_at = "17:00"

    [[sterilisers]]
    code = "cooker"
    name = "Pressure cooker"
    room = "cooking"
    hours_per_day = 9
    cooks_per_day = 1
    rating_bar_gauge = 1.0
    load_at = "14:30"
    opened_until = "22:00"
    cooks = [
        {code = "agar", hours = 2, hands_minutes = 20, hold_minutes = 30, litres = 15},
        {code = "grain", hours = 4, hands_minutes = 30, hold_minutes = 90, litres = 24},
        {code = "block", hours = 6, hands_minutes = 40, hold_minutes = 150, litres = 100},
    ]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"
    hours = {mon = 5, tue = 5, wed = 5, thu = 5, fri = 5, sat = 3}
    """,
    {
        "varieties": """
            code,name,species,route,sold_as,price_per_kg
            grey,Grey oyster,Pleurotus ostreatus,grey-blocks,picked,12
        """,
        "routes": """
            route,from_species,substrate,starts_at,step
            grey-blocks,Pleurotus ostreatus,sawdust,tube,
        """,
        "vessels": """
            code,name,litres,in_circulation
            tube,Tube,0.05,
            plate,Plate,0.03,
            jar,Jar,1.2,40
            spawn-bag,Spawn bag,4.5,
            block-bag,Block bag,4.5,
        """,
        "cultures": """
            code,variety,source,mother_on,cleared
            grey-a,grey,invented source,2025-10-05,yes
        """,
        "buyers": """
            code,name,deliver_at
            kitchen,A kitchen (invented),
        """,
        "promises": """
            code,buyer,variety,amount_kg,weekday,price
            kitchen-friday,kitchen,grey,5,fri,14
        """,
        "lots": """
            code,variety,step,count,made_on,place,culture,made_count,generation,transfers,in_room_since
            ,grey,tube,4,2026-01-20,fridge-1,grey-a,,,,
            ,grey,plate,6,2026-02-27,fridge-1,grey-a,,,1,
            ,grey,grain,8,2026-02-26,warm-1,grey-a,,1,,
            ,grey,block,18,2026-02-18,warm-1,grey-a,,1,,
            ,grey,block,18,2026-02-25,warm-1,grey-a,,1,,
            ,grey,block,18,2026-03-03,warm-1,grey-a,,1,,
            ,grey,fruiting,18,2026-02-10,grow-1,grey-a,,1,,2026-03-04
        """,
    },
)

STRAW_AND_MARKET = Described(
    "straw-and-market",
    """
    instruments = []
    [farm]
    name = "Straw and market (invented)"
    code = "farm"
    country = "Spain"
    altitude_m = 640
    time_zone = "Europe/Madrid"
    working_days = ["mon", "tue", "wed", "thu", "fri", "sat"]
    day_starts = "07:00"
    van_at = "11:00"

    [[sterilisers]]
    code = "vat"
    name = "Hot-water vat"
    room = "cooking"
    hours_per_day = 10
    cooks_per_day = 1
    load_at = "10:30"
    opened_until = "21:00"
    cooks = [
        {code = "straw", hours = 5, hands_minutes = 50, hold_minutes = 90, litres = 700},
    ]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"
    hours = {mon = 7, tue = 7, wed = 7, thu = 7, fri = 8, sat = 4}

    [[people]]
    code = "cai"
    name = "Cai"
    laboratory = false
    hours = {tue = 6, wed = 6, thu = 6, fri = 6}
    """,
    {
        "varieties": """
            code,name,species,route,sold_as,price_per_kg
            grey,Grey oyster,Pleurotus ostreatus,grey-straw,picked,9
        """,
        "routes": """
            route,from_species,substrate,starts_at,step,supplier,supplier_days,delivery_weekdays
            grey-straw,Pleurotus ostreatus,straw,spawn,,,,
            grey-straw,,,,spawn,Spawn maker (invented),6,tue thu
        """,
        "vessels": """
            code,name,litres,in_circulation
            spawn-bag,Spawn bag,4.5,
            straw-bag,Straw bag,25,
        """,
        "buyers": """
            code,name,deliver_at
            market,Market (invented),08:00
            kitchen,A kitchen (invented),
        """,
        "promises": """
            code,buyer,variety,amount_kg,weekday,price
            market-saturday,market,grey,12,sat,11
            kitchen-wednesday,kitchen,grey,5,wed,10
        """,
        "outlets": """
            code,name,kind,weekdays,price_per_kg,most_kg,buyer
            market-extra,Market extra (invented),market,sat,8,6,market
        """,
        "lots": """
            code,variety,step,count,made_on,place,bought_from,in_room_since
            ,grey,spawn,6,2026-02-26,fridge-1,Spawn maker (invented),
            ,grey,block,22,2026-02-19,warm-1,,
            ,grey,block,22,2026-02-26,warm-1,,
            ,grey,block,20,2026-03-05,warm-1,,
            ,grey,fruiting,20,2026-02-12,grow-1,,2026-03-03
            ,grey,fruiting,20,2026-02-14,grow-1,,2026-03-07
        """,
    },
)

SHIITAKE_RIPENING = Described(
    "shiitake-ripening",
    """
    instruments = []
    [farm]
    name = "Shiitake, long ripening (invented)"
    code = "farm"
    country = "Switzerland"
    altitude_m = 1050
    time_zone = "Europe/Zurich"
    currency = "CHF"
    working_days = ["mon", "tue", "thu", "fri"]
    days_off = ["2026-03-12"]
    day_starts = "07:30"
    van_at = "14:00"

    [[sterilisers]]
    code = "steamer"
    name = "Steamer"
    room = "cooking"
    hours_per_day = 23
    cooks_per_day = 1
    load_at = "14:00"
    cooks = [{code = "block", hours = 17, hands_minutes = 60, hold_minutes = 840, litres = 220}]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"
    hours = {mon = 8, tue = 8, thu = 8, fri = 8}
    """,
    {
        "varieties": """
            code,name,species,route,sold_as,price_per_kg
            shii,Shiitake,Lentinula edodes,shii-blocks,picked,22
        """,
        "routes": """
            route,from_species,substrate,starts_at,step,supplier,supplier_days,delivery_weekdays
            shii-blocks,Lentinula edodes,sawdust,spawn,,,,
            shii-blocks,,,,spawn,Spawn maker (invented),7,tue
        """,
        "vessels": """
            code,name,litres,in_circulation
            spawn-bag,Spawn bag,4.5,
            block-bag,Block bag,4.5,
        """,
        "buyers": """
            code,name,deliver_at
            inn,An inn (invented),09:00
        """,
        "promises": """
            code,buyer,variety,amount_kg,weekday,price
            inn-friday,inn,shii,4,fri,24
        """,
        "lots": """
            code,variety,step,count,made_on,place,bought_from,in_room_since
            ,shii,spawn,4,2026-02-24,fridge-1,Spawn maker (invented),
            ,shii,block,24,2026-02-10,warm-1,,
            ,shii,ripening,24,2025-11-04,warm-1,,2025-12-02
            ,shii,ripening,24,2025-10-21,warm-1,,2025-11-18
            ,shii,ripening,24,2025-10-14,warm-1,,2025-11-11
            ,shii,fruiting,24,2025-10-28,grow-1,,2026-03-03
        """,
    },
)

SPAWN_FROM_LIQUID = Described(
    "spawn-from-liquid",
    """
    instruments = []
    [farm]
    name = "Spawn from liquid (invented)"
    code = "farm"
    country = "Netherlands"
    altitude_m = 5
    time_zone = "Europe/Amsterdam"
    working_days = ["mon", "tue", "wed", "thu", "fri"]
    day_starts = "08:00"
    van_at = "14:30"

    [[sterilisers]]
    code = "autoclave"
    name = "Autoclave"
    room = "cooking"
    hours_per_day = 10
    cooks_per_day = 2
    rating_bar_gauge = 1.5
    load_at = "11:00"
    opened_until = "21:00"
    cooks = [
        {code = "liquid", hours = 2, hands_minutes = 20, hold_minutes = 30, litres = 30},
        {code = "grain", hours = 4, hands_minutes = 35, hold_minutes = 120, litres = 150},
    ]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"
    hours = {mon = 7, tue = 7, wed = 7, thu = 7, fri = 7}

    [[people]]
    code = "dee"
    name = "Dee"
    laboratory = true
    hours = {mon = 4, wed = 4, fri = 4}
    """,
    {
        "varieties": """
            code,name,species,route,sold_as,price_per_kg
            king,King oyster spawn,Pleurotus eryngii,king-spawn,grain,0
        """,
        "routes": r"""
            route,from_species,starts_at,ends_at,step,stage,parent,units_per_parent,part_use,\
            days_likely,loss_likely,temperature_c,vessel,mix,fill_kg,fill_moisture,keeps_days_warm,\
            keeps_days_cold,opened_keeps_days,places,room,bench_minutes,bench_setup_minutes,\
            shake_days,look_days,cook,minimum_batch
            king-spawn,,,,tube,tube,,,,10,0.02,23,,,,,45,135,30,0.02,laboratory,3,10,,,,1
            king-spawn,,,,liquid,liquid,tube,4,yes,8,0.05,23,flask,malt water,1,0.97,7,40,14,\
            0.5,laboratory,4,10,2 4,5,liquid,2
            king-spawn,,,,grain,grain,liquid,12,yes,11,0.04,23,bag,rye,3,0.5,8,40,,1,\
            incubation,2,15,5,4 8,grain,6
        """,
        "preparations": """
            route,step,task,lead_hours,minutes_per_unit,minutes_fixed,room
            king-spawn,liquid,mix,26,2,10,laboratory
            king-spawn,liquid,cook,22,0,0,steriliser
            king-spawn,liquid,cool,12,0,5,steriliser
            king-spawn,grain,soak,46,0.3,10,preparation
            king-spawn,grain,boil,26,1,20,preparation
            king-spawn,grain,fill,24,2,10,preparation
            king-spawn,grain,cook,22,0,0,steriliser
            king-spawn,grain,cool,14,0.2,5,steriliser
        """,
        "vessels": """
            code,name,litres,in_circulation
            flask,Flask,1.5,24
            bag,Spawn bag,5,
        """,
        "cultures": """
            code,variety,source,mother_on,cleared
            king-a,king,invented source,2025-09-15,yes
        """,
        "buyers": """
            code,name,deliver_at
            grower,A grower (invented),
            school,A school (invented),10:00
        """,
        "promises": """
            code,buyer,variety,amount_kg,amount_units,step,weekday,price
            grower-thursday,grower,king,,14,grain,thu,20
            school-monday,school,king,,4,grain,mon,22
        """,
        "lots": """
            code,variety,step,count,made_on,place,culture,made_count,generation,transfers
            ,king,tube,4,2026-01-12,fridge-1,king-a,,,
            ,king,liquid,4,2026-02-25,fridge-1,king-a,,,
            ,king,grain,22,2026-02-24,warm-1,king-a,,1,
            ,king,grain,22,2026-03-02,warm-1,king-a,,1,
        """,
    },
)

FARMS = (
    BLOCKS_BY_THE_SEA,
    ALONE_AFTER_NOON,
    STRAW_AND_MARKET,
    SHIITAKE_RIPENING,
    SPAWN_FROM_LIQUID,
)
