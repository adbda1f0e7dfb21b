"""What a mechanic must mind before a pump is opened, from what the plant file says of it.

The site's own lockout-tagout procedure comes first; this only says what it has to cover here.
"""

from collections.abc import Iterator

from gaugewalk.plant.pump import Pump
from gaugewalk.units import show

HOT = 333.15  # [K]; 60 degC and above a liquid counts as hot; common practice, no source
SOURCE = (
    "The order isolate, lock and tag, release what is stored, prove it gone: US 29 CFR 1910.147. "
    "The site's procedure decides."
)
_HAZARDS = {
    "hot": "Hot liquid: burns, and it may flash to vapor when the pressure is let off.",
    "toxic": "Toxic liquid: masks and gas tests as the site's data sheet asks.",
    "flammable": "Flammable liquid: no ignition source, gas test, earthed vessels, permit.",
    "corrosive": "Corrosive liquid: face and skin covered, water at hand; what drains stays wet.",
    "slippery": "The liquid makes floors slippery: catch what drains.",
}
_DRIVERS = {
    "electric motor": "Motor isolated, locked and tried by one who is allowed to; also its heater.",
    "turbine": "Steam isolated on both sides, drained and vented; the case stays hot for hours.",
    "engine": "Fuel, starter battery and starting air isolated; the exhaust stays hot.",
}


def isolation_cautions(pump: Pump, partner: Pump | None) -> tuple[str, ...]:
    """Return what to mind, the most dangerous first.

    Examples
    --------
    >>> from gaugewalk.plant.pump import Lubrication, PlantLiquid, ShaftSeal
    >>> pump = Pump(tag="P", name="p", liquid=PlantLiquid(name="water", temperature=353.15),
    ...             seal=ShaftSeal(kind="packing"), lubrication=Lubrication(kind="grease"))
    >>> isolation_cautions(pump, None)[1]
    'Liquid at about 80 °C: burns, and it may flash to vapor when the pressure is let off.'
    """
    return (
        "Work only under the site's lockout-tagout procedure: suction, discharge and every small "
        "line shut and locked, casing drained and vented, its pressure proven gone.",
        *_liquid(pump),
        _DRIVERS[pump.driver.kind],
        *_pressure(pump, partner),
        *_systems(pump),
    )


def _liquid(pump: Pump) -> Iterator[str]:
    liquid = pump.liquid
    warm = liquid.temperature is not None and liquid.temperature >= HOT
    if warm and liquid.temperature is not None:
        shown = show(liquid.temperature, "degC", digits=0)
        yield (
            f"Liquid at about {shown}: burns, and it may flash to vapor when the pressure is let "
            "off."
        )
    yield from (_HAZARDS[hazard] for hazard in liquid.hazards if not (warm and hazard == "hot"))


def _pressure(pump: Pump, partner: Pump | None) -> Iterator[str]:
    if pump.source.kind == "vessel":
        name = pump.source.name or "a vessel"
        yield f"The suction hangs on {name}: prove at the drain that its pressure is shut off."
    if partner is not None:
        yield (
            f"{partner.tag} shares the lines: it may start by itself, and through a check valve "
            "that leaks it presses on this pump and turns it backwards."
        )


def _systems(pump: Pump) -> Iterator[str]:
    seal = pump.seal.liquid
    if seal.pot:
        yield "The seal pot keeps its pressure when the pump stands: let it off, prove it gone."
    elif seal.plan in ("seal water", "external flush", "quench", "buffer", "barrier"):
        yield f"The {seal.plan} of the seal comes from elsewhere: isolate it too."
    system = pump.lubrication.system
    if system is not None and system.auxiliary_pump:
        yield "The auxiliary oil pump may start by itself: isolate it too; the oil may be hot."
    if pump.heat_traced:
        yield "Heat tracing stays live and hot: isolate it before insulation is taken off."
