"""Heads of columns: only what speaks of the inside of a unit makes a core."""

from __future__ import annotations

import pytest

from pinset.files.logger.places import (
    NEVER_CORES,
    Place,
    is_of_shelves,
    names_a_place,
    place_in,
    role_in,
)
from pinset.files.logger.records import ColumnRole

INSIDE = """
core; Core C; coreTemp_1 [°C]; Core (C); Kern, °C; Kerntemperatur; Beutelkern; Bag core 2
center; Mitte; Centre of bag; Straw middle (F); Middle of jar; Beutelmitte; Glas Mitte
Bag 3; Bag #3; Bag no 3; Bag top left C; Bag drain side C; bag_2_temp; Bag1; TC3 bag; Bag, back
Jar 1 (C); Jar cold spot C; Inside of jar C; jar inside; in bag; Inside the bag; In Beutel 2
Glas 4; Gläser; Beutel oben links; Sack 2; im Beutel; Innentemperatur Beutel; Bag internal
Straw; Stroh; sawdust block; Load; Product C; Ladung; load probe; Grain jar; Spawn bag; Substrat
Bag in chamber; Autoclave bag 3; Core autoclave; core of outer bag; Bag on shelf 2; Bag near door
Bag 1; Jar 3 top left; Beutel 2 Mitte; Block 4 °C; Shelf 2 bag 3; Bag top shelf; Bag A; Jar B2
Bag in the corner; coldest bag; slowest jar 2; Kältester Beutel; Bag front left; Bag left side
Jar temp 2 degC; Grain bag 5 lb; Bag lot 261103; Bag centre, temp (°F); Rye jar 4; Core Jar PO12
Bag by the door; Beutel neben Tür; Bag on top; Bag on top shelf; innen Beutel; jar interior
Bag drain end; Core bag by the wall; Kern Beutel Rand; Sac 1; Bolsa 3; coeur; Product at shelf 2
Bag at back; glass jar 3; pp bag; mason jar; corner bag; center A; TC 1 centre (K type); bagcenter
rye middle; Roggen Mitte; Kornmitte; core (K type); core load end; Unit 3; unit B core; coldest unit
Temp, °C (LGR S/N: 12, SEN S/N: 34, LBL: bag 2)
Beutel Nr 2; Glas Nr. 1; Nr 3 Kern; Bag near door; Bag by door
Biggest bag; Largest bag core; Innermost bag; Masters mix bag; Supplemented block core
größter Beutel; Bag 3 - core - bottom rack; core bag 2 top shelf; Cold spot; Cold spot 2 (°C)
slowest point; load center; jar bottom; Tube core; Tube 2 core °C; Agar core °C; Agar tube core
Agar flask core; Core of tube 3
""".replace("\n", ";")

BESIDE = """
Between jars C; Between bags C; between 2 jars; Between the bags; btw bags; betw. jars; B/w bags
In between bags; interbag; inter-bag; betweenBags; bags, between; Between bag 1 and bag 2; Between
zwischen Beuteln; Zwischen den Gläsern; zw. Beuteln; Beutelzwischenraum; Zwischenraum
zwischenbeutel
Bag surface C; bag surf.; surface of bag; Bag_surface_C; BagSurface; Surface; Beuteloberfläche
Oberfläche Beutel; jar sfc; Air in bag C; Air in bag headspace C; bag air; Beutelluft
Luft im Beutel
Headspace jar; jar headspace C; Bag head space; Kopfraum Glas; Jar HS; Jar lid outside C; lid jar
Jar lid; Glasdeckel; Deckel Glas 3; under lid of jar; Above bags; Air above bags C; above the jars
Bag, above; over jar 2; Beside bag; beside jars; next to bag 2; near jar; nr bag; adjacent to bag
über Beutel; ueber den Beuteln; neben Beutel; neben dem Glas; unter dem Beutel; hinter Beutel
On bag; on top of jar; at bag; by jar; am Beutel; auf Beutel 2; bei Beutel; below bag; under jars
Outside of jar C; jar outside; außen Beutel; Beutel aussen; außerhalb Beutel; bag exterior; bag ext
Jar wall; wall of jar; Glaswand; Wand Glas; bag skin; Beutelhülle; Beutelrand; bag outer; Outer bag
Top bag outer layer C; edge of bag; side of jar; top of bag; gap bags; Spalt Beutel; not in bag
ohne Beutel; no bag; nicht im Beutel; empty jar; leeres Glas; loose probe bags; around bags
steam at bag; Dampf zwischen Beuteln; steam between bags; bag rack; jar crate; jar neck; jar collar
entre bolsas; entre les sacs; superficie bolsa; surface du sac; tussen zakken; couvercle bocal
Load surface; air near load; load air; straw surface; above straw; between blocks; block surface
""".replace("\n", ";")

UNCLEAR = """
Water in jar C; Jar water; Wasser im Glas; bottle of water; Straw water; core of water jar
Ladungsraum; Zwischenr. Gläser; Beutel OF; Beutel auß.; bag out; Jar outs.; Load drain; Load space
load return; Bag surroundings; Jar perimeter; Jar proximity; Jar ring; taped to jar; Bag shelf
Korb Gläser; chamber core; Jar 1 out; Sack auß; Beutel OF 2; load exhaust; load inlet
load side; load end; load front C; Ladung vorne; load top; straw top; grain bottom; jar glass
bag plastic; bag pp; bag corner; corner of bag; Beutelecke; Beutel Ecke; bag rear corner
middle shelf; shelf 2 middle; Regal Mitte; center floor; center fan; fan center; ceiling center
Tür Mitte; door center; oven center; Ofen Mitte; boiler middle; tunnel center; center tray
pallet middle; center top; back center; inside middle; Lademitte; shelf 2; tray 3; oven; floor
Bag 10 mm deep; an Beutel; n. Beutel
rack core; core, bag rack; bag liner largest; core rack largest
Bag liner; Block crust; Bag jacket; Beutel angeklebt; Bag mantle; Basket bags; Jar band; Bag O
tape on core; core of chamber; core rack; Kammer Kern; Bag wrapper; Nutzraum Ladung; bag vicinity
Core between bags; core near jar; air core; core, not in bag; grain cooker; bag chamber; straw drum
""".replace("\n", ";")

CHAMBER = """
Chamber; Kammertemp.; steam out; Drain line C; autoclave; Autoklav Mitte; Chamber centre
middle of chamber; Air in chamber; Kammerluft; chamber top; Chamber wall; Water bath; bath
Wasserbad
Steam; Inside chamber; vessel; headspace chamber; above drain
Cold spot drain; chamber cold spot; autoclave coldest point
""".replace("\n", ";")

AROUND = """
Luft Mitte; air center; middle air; Luftmitte; Wasser Mitte; center water
Water (F); Water C; Hot water; Wasser; Heißwasser; Wassertemperatur; air; Luft; Air temp
""".replace("\n", ";")

DEVICE = """
Logger unit; Unit temp; unit internal; Unit temperature (°C); main unit; Unit; logger temp
Logger internal C; Recorder; control unit; datalogger; Base unit
""".replace("\n", ";")

OTHER = """
load ambient; Room; Spawn room C; Setpoint C; Load setpoint; Ambient; Outside; Außentemperatur
internal; cooling water; Kühlwasser; feed water; board
""".replace("\n", ";")

OPEN = """
T1; Channel 2; score; Probe 3; Temp; External 1; Sensor A; Inside
""".replace("\n", ";")


def heads(text: str, place: Place | None) -> list[tuple[str, Place | None]]:
    return [(head.strip(), place) for head in text.split(";") if head.strip()]


@pytest.mark.parametrize(
    ("head", "place"),
    [
        *heads(INSIDE, Place.CORE),
        *heads(BESIDE, Place.BESIDE),
        *heads(UNCLEAR, Place.UNCLEAR),
        *heads(CHAMBER, Place.CHAMBER),
        *heads(AROUND, Place.AROUND),
        *heads(DEVICE, Place.DEVICE),
        *heads(OTHER, Place.OTHER),
        *heads(OPEN, None),
    ],
)
def test_places(head: str, place: Place | None) -> None:
    assert place_in(head) is place
    if place in {Place.CORE, Place.CHAMBER, Place.OTHER}:
        assert names_a_place(head)


def test_only_what_is_in_a_unit_names_the_role_of_a_core() -> None:
    assert role_in("Bag 3") is ColumnRole.CORE
    assert role_in("Between bags") is None
    assert role_in("Water in jar") is None
    assert {Place.BESIDE, Place.AROUND, Place.DEVICE} <= NEVER_CORES
    assert Place.UNCLEAR not in NEVER_CORES


def test_a_middle_among_top_and_bottom_may_be_one_of_the_chamber() -> None:
    assert is_of_shelves("Middle C", ["time", "Top C", "Bottom C"])
    assert is_of_shelves("Mitte", ["Oben", "Unten"])
    assert not is_of_shelves("Middle C", ["time", "Chamber C"])
    assert not is_of_shelves("Bag middle C", ["Bag top C", "Top C"])
