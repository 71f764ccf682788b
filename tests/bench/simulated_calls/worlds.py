"""Draws a plant: which elements, how long, what stands on which branch, and what is wrong."""

from __future__ import annotations

from collections.abc import Callable

from callnotes.records import Side
from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.plant import Element, Fault, Plant
from tests.bench.simulated_calls.rates import FaultKind, fault_kinds, rate, span

ROOMS = ("kitchen", "bedroom", "study", "counter", "back office", "den", "garage", "basement")
PAIR_COLORS = [f"{tip}/{ring}" for tip in ("white", "red", "black", "yellow", "violet") for ring in
               ("blue", "orange", "green", "brown", "slate")]  # 25-pair code, 7 CFR 1755.870  # fmt: skip


def draw_plant(world: str, chance: Chance) -> Plant:
    """A plant of that world with its faults in it."""
    path = _WORLDS[world](chance)
    elements = list(path[0].to_root())
    for here in elements:
        elements.extend(child for child in here.children if child not in elements)
    plant = Plant(world, elements, path, battery_v=chance.within(span("plant.battery_v")))
    _draw_faults(plant, chance)
    if any(f.kind.wet for f in plant.faults) and chance.hit(rate("faults.dries_out")):
        plant.dry_after = chance.whole(2, 8)
    return plant


# --- what is wrong ------------------------------------------------------------------------------------


def _draw_faults(plant: Plant, chance: Chance) -> None:
    if chance.hit(rate("faults.nothing_wrong")):
        return
    first = _draw_fault(plant, chance, plant.path)
    plant.faults.append(first)
    if chance.hit(rate("faults.two")):
        second = _draw_fault(plant, chance, plant.path)
        if second.element is not first.element and second.kind.word != first.kind.word:
            plant.faults.append(second)


def _draw_fault(plant: Plant, chance: Chance, path: list[Element]) -> Fault:
    kinds = fault_kinds(plant.world)
    while True:
        kind = chance.weigh(kinds, [k.weight for k in kinds])
        places = [e for e in plant.elements if _can_have(kind, e, path)]
        if places:
            break
    element = chance.one(places)
    source = path[0] if element.kind == "demarc" and kind.whose == ("provider",) else element
    fault = Fault(kind, source, chance.whole(4, 60) * 100.0, chance.within((0.05, 0.95)), named=element)
    fault.intermittent = kind.wavers and chance.hit(rate("faults.intermittent"))
    return fault


def _can_have(kind: FaultKind, element: Element, path: list[Element]) -> bool:
    """What breaks a path or stays in one device must lie on the path; what is put across the pair may lie anywhere."""
    if element.kind not in kind.at or element.owner not in kind.whose:
        return element.kind == "demarc" and "demarc" in kind.at and kind.whose == ("provider",)
    return element in path or (kind.shunt is not None and element.kind != "set") or kind.shunt in ("held", "static")


# --- voice --------------------------------------------------------------------------------------------


def _voice(chance: Chance) -> list[Element]:
    return {"house": _house, "block": _block, "system": _system, "gateway": _gateway}[
        chance.pick({k: rate(f"plant.{k}") for k in ("house", "block", "system", "gateway")})
    ](chance)


def _demarc(chance: Chance) -> Element:
    last = Element("cable", "provider", length_ft=1000 * chance.within(span("plant.loop_kft")), detail={"label": None})
    if chance.hit(rate("plant.pedestal_named")):
        last = Element("terminal", "provider", last)
    if chance.hit(rate("plant.protector_named")):
        last = Element("protector", "provider", last)
    return Element("demarc", "customer", last, parts_by="plug", sides=("provider", "customer"))


def _run(chance: Chance, parent: Element, label: str | None = None) -> Element:
    return Element("cable", "customer", parent, {"label": label}, length_ft=chance.within(span("plant.run_ft")))


def _new_block(chance: Chance, parent: Element, label: str | None = None) -> Element:
    pair = chance.whole(1, 25)
    detail = {"block_type": chance.pick({"66": 8, "110": 2}), "pair": pair, "label": label}
    if detail["block_type"] == "66" and chance.hit(rate("speech.rows_of_block")):
        detail |= {"row": (2 * pair - 1, 2 * pair)}  # tip on the odd row, ring on the even
    if chance.hit(rate("speech.colors_of_pair")):
        detail |= {"color": PAIR_COLORS[pair - 1]}
    clips = detail["block_type"] == "66"
    return Element("block", "customer", parent, detail, "clips" if clips else "pair", ("left", "right"))


def _ends(chance: Chance, parent: Element, label: str | None, filtered: bool = False) -> list[Element]:
    jack = Element("jack", "customer", parent, {"label": label}, parts_by="pair")
    path = [jack]
    if filtered:
        path.append(Element("filter", "customer", jack))
    path.append(Element("set", "customer", path[-1], {"label": label}, parts_by="plug"))
    return path


def _branches(chance: Chance, at: Element, rooms: list[str]) -> None:
    low, high = span("plant.branches")
    for room in rooms[: chance.whole(int(low), int(high))]:
        _ends(chance, _run(chance, at, room), room)


def _house(chance: Chance) -> list[Element]:
    rooms = chance.shuffled(ROOMS)
    demarc = _demarc(chance)
    path = [*reversed(list(demarc.to_root()))]
    feed = _run(chance, demarc)
    path.append(feed)
    if chance.hit(rate("plant.alarm_panel")):
        feed = Element("line_seizure_jack", "customer", feed, sides=("in", "out"))
        Element("alarm_panel", "customer", feed, parts_by="plug")
        path.append(feed)
    _branches(chance, feed, rooms[1:])
    if feed.kind == "line_seizure_jack" or len(feed.children) > 0:
        feed = _run(chance, feed, rooms[0])
        path.append(feed)
    return path + _ends(chance, feed, rooms[0], chance.hit(rate("plant.dsl")))


def _block(chance: Chance) -> list[Element]:
    demarc = _demarc(chance)
    path = [*reversed(list(demarc.to_root()))]
    feed = _run(chance, demarc, "riser")
    block = _new_block(chance, feed)
    path += [feed, block]
    if chance.hit(rate("plant.second_block")):
        riser = _run(chance, block, "tie")
        block = _new_block(chance, riser, "upstairs")
        path += [riser, block]
    label = chance.one((*ROOMS, "12", "7", "214"))
    run = _run(chance, block, label)
    return [*path, run, *_ends(chance, run, label)]


def _system(chance: Chance) -> list[Element]:
    demarc = _demarc(chance)
    path = [*reversed(list(demarc.to_root()))]
    trunk = _new_block(chance, demarc)
    port = Element("pbx", "customer", trunk, {"port": chance.whole(1, 24)}, parts_by="plug", sides=("in", "out"))
    station = _new_block(chance, port, "station")
    label = str(chance.whole(101, 148))
    run = _run(chance, station, label)
    return [*path, trunk, port, station, run, *_ends(chance, run, label)]


def _gateway(chance: Chance) -> list[Element]:
    port = Element("pbx", "customer", None, {"port": chance.whole(1, 4)}, parts_by="plug", sides=("in", "out"))
    label = chance.one(ROOMS)
    run = _run(chance, port, label)
    _branches(chance, port, [r for r in ROOMS if r != label])
    return [port, run, *_ends(chance, run, label)]


# --- data and fiber -----------------------------------------------------------------------------------


def _data(chance: Chance) -> list[Element]:
    number = chance.whole(1, 48)
    switch = Element("switch", "customer", None, {"port": chance.whole(1, 48)}, parts_by="plug")
    cord = Element("cord", "customer", switch, {"label": "patch cord"}, length_ft=chance.within(span("plant.cord_ft")))
    panel = Element("patch_panel", "customer", cord, {"port": number})
    run = Element("cable", "customer", panel, {"port": number}, length_ft=chance.within(span("plant.data_run_ft")))
    jack = Element("jack", "customer", run, {"label": str(number)})
    device = Element(
        "device", "customer", jack, {"label": chance.one(("camera", "access point", "IP phone", "printer"))}
    )
    return [switch, cord, panel, run, jack, device]


def _fiber(chance: Chance) -> list[Element]:
    owner: Side = "provider" if chance.hit(rate("plant.fiber_from_provider")) else "customer"
    sender = Element("switch", owner, None, {"label": "provider's" if owner == "provider" else "main closet"})
    near = Element("patch_panel", owner, sender, {"label": "main", "port": chance.whole(1, 12)})
    run = Element("cable", owner, near, {"label": "fiber"}, length_ft=1000 * chance.within(span("plant.fiber_kft")))
    far = Element("patch_panel", "customer", run, {"label": "far", "port": near.detail["port"]})
    ont = Element("ont", "customer", far)
    return [sender, near, run, far, ont]


_WORLDS: dict[str, Callable[[Chance], list[Element]]] = {"voice": _voice, "data": _data, "fiber": _fiber}
