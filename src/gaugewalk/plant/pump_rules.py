"""What must agree within one pump: curve, seal, lubrication, strainers, driver, liquid, source."""

from collections.abc import Callable
from itertools import pairwise

from gaugewalk.errors import GaugewalkError, NotFoundError
from gaugewalk.plant.faults import Faults, Path
from gaugewalk.plant.liquid import known_liquid, physics_curve, unusable_temperature
from gaugewalk.plant.point_rules import check_points
from gaugewalk.plant.pump import LiquidTable, PlantCurve, PlantLiquid, Pump, Strainer
from gaugewalk.units import show

Rule = Callable[[Pump, Path, Faults], None]


def check_pump(pump: Pump, path: Path, faults: Faults, air: float) -> None:
    """Add a fault for everything in a pump that does not agree.

    Parameters
    ----------
    pump : Pump
        As built, with stand-ins (NaN, empty text) where a value was unusable; no rule is broken
        by a stand-in.
    path : Path
        Of the pump's table.
    faults : Faults
        Faults found so far; more are added.
    air : float
        Pressure of the air, for limits in gauge pressure. [Pa]
    """
    for rule in _RULES:
        rule(pump, path, faults)
    check_points(pump, path, faults, air)


def _check_tag(pump: Pump, path: Path, faults: Faults) -> None:
    for key, text in (("tag", pump.tag), ("name", pump.name)):
        if not text.strip() and not faults.touches((*path, key)):
            faults.add((*path, key), repr(text), "a text that is not empty")
    if any(sign in pump.tag for sign in "/?#%\\ \t\n") and pump.tag.strip():
        expected = "letters, digits, - . _ only: the tag stands in addresses and commands"
        faults.add((*path, "tag"), repr(pump.tag), expected)


# ------------------------------------------------------------------ curve


def _check_curve(pump: Pump, path: Path, faults: Faults) -> None:
    curve = pump.curve
    at = (*path, "curve")
    if curve is None:
        if pump.rated.flow is None or pump.rated.head is None:
            expected = "[pump.curve], or flow and head in [pump.rated], to judge wear and flow"
            faults.remark(path, "no curve", expected)
        return
    if not curve.flow or not curve.head or faults.touches((*at, "flow")):
        return  # said already
    _check_rows(curve, at, faults)
    _check_flow_rises(curve, at, faults)
    _check_head_falls(curve, at, faults)
    if curve.power and curve.efficiency:
        expected = "one of power and efficiency; the other follows from it"
        faults.add((*at, "efficiency"), "both", expected)
    if not curve.power and not curve.efficiency:
        faults.remark(at, "no power", "power or efficiency, to judge the motor's load")
    if not curve.npshr:
        faults.remark(at, "no npshr", "NPSH required, to judge the suction margin")
    if not faults.touches(at, grave=True):
        _check_usable(curve, at, faults)


def _check_usable(curve: PlantCurve, at: Path, faults: Faults) -> None:
    """What no rule above has named, the physics floor may still refuse."""
    try:
        physics_curve(curve)
    except GaugewalkError as error:
        key = "efficiency" if curve.efficiency else "flow"
        faults.add((*at, key), "a curve that cannot be used", str(error).rstrip("."))


def _check_rows(curve: PlantCurve, at: Path, faults: Faults) -> None:
    wanted = len(curve.flow)
    if wanted < 3:
        faults.add((*at, "flow"), f"{wanted} values", "three or more")
    for key in ("head", "power", "efficiency", "npshr"):
        row = getattr(curve, key)
        if row and len(row) != wanted:
            expected = f"{wanted} values, as many as flow has"
            faults.add((*at, key), f"{len(row)} values", expected)


def _check_flow_rises(curve: PlantCurve, at: Path, faults: Faults) -> None:
    for place, (before, after) in enumerate(pairwise(curve.flow), 2):
        if after <= before:
            expected = "flow that rises from value to value"
            faults.add((*at, "flow"), f"value {place} not above value {place - 1}", expected)


def _check_head_falls(curve: PlantCurve, at: Path, faults: Faults) -> None:
    """A centrifugal pump's head falls to the end; a hump near no flow is common."""
    head = curve.head
    if len(head) < 2:
        return
    if head[0] <= 0:
        faults.add((*at, "head"), "no head at the first flow", "head above zero")
    elif head[-1] >= head[0]:
        faults.add((*at, "head"), "head that does not fall", "less head at the last flow")
    top = head.index(max(head))
    for place, (before, after) in enumerate(pairwise(head[top:]), top + 2):
        if after > before:
            expected = "head that falls from its highest value on"
            faults.add((*at, "head"), f"value {place} above value {place - 1}", expected)


# ------------------------------------------------------------------ liquid and source


def _check_liquid(pump: Pump, path: Path, faults: Faults) -> None:
    liquid, at = pump.liquid, (*path, "liquid")
    if faults.touches(at) or not liquid.name:
        return
    if liquid.table is not None:
        before = len(faults.items)
        _check_table(liquid.table, (*at, "table"), faults)
        if len(faults.items) > before:
            return
    try:
        known_liquid(liquid)
    except NotFoundError as error:
        expected = f"a known liquid or [pump.liquid.table]; else less can be judged. {error}"
        faults.remark((*at, "name"), repr(liquid.name), expected.rstrip("."))
    except GaugewalkError as error:
        key = "table" if liquid.table else "mass_fraction"
        faults.add((*at, key), _share(liquid.mass_fraction), str(error).rstrip("."))
    else:
        _check_temperature(liquid, at, faults)


def _check_temperature(liquid: PlantLiquid, at: Path, faults: Faults) -> None:
    if liquid.temperature is None:
        faults.remark((*at, "temperature"), "nothing", "the usual temperature at the pump")
    elif (reason := unusable_temperature(liquid)) is not None:
        given = show(liquid.temperature, "degC")
        faults.add((*at, "temperature"), given, f"a temperature at which it is known: {reason}")


def _share(mass_fraction: float | None) -> str:
    return "nothing" if mass_fraction is None else f"{mass_fraction:g}"


def _check_table(table: LiquidTable, at: Path, faults: Faults) -> None:
    wanted = len(table.temperature)
    if wanted < 2:
        faults.add((*at, "temperature"), f"{wanted} values", "two or more")
    for key in ("vapor_pressure", "density", "kinematic_viscosity"):
        row = getattr(table, key)
        if len(row) != wanted and (row or key != "kinematic_viscosity"):
            expected = f"{wanted} values, as many as temperature has"
            faults.add((*at, key), f"{len(row)} values", expected)
    for key in ("temperature", "vapor_pressure"):
        if any(after <= before for before, after in pairwise(getattr(table, key))):
            faults.add(
                (*at, key), "values that do not rise", "values that rise from one to the next"
            )


def _check_source(pump: Pump, path: Path, faults: Faults) -> None:
    source, at = pump.source, (*path, "source")
    if source.kind == "sump" and source.lowest_level is None:
        faults.remark(at, "a sump", "lowest_level, below which air may be drawn in")
    if source.kind == "lift" and source.level is not None and source.level > 0:
        faults.add((*at, "level"), f"{source.level:g} m", "a level below the pump, for a lift")
    if source.level is not None and source.lowest_level is not None:
        if source.level < source.lowest_level:
            expected = f"at or below the usual level, {source.level:g} m"
            faults.add((*at, "lowest_level"), f"{source.lowest_level:g} m", expected)
    if source.kind == "vessel" and source.pressure is None and not source.boiling:
        expected = "pressure, or boiling = true; it is taken as open to the air"
        faults.remark(at, "a vessel", expected)


# ------------------------------------------------------------------ seal, oil, strainers, driver


def _check_seal(pump: Pump, path: Path, faults: Faults) -> None:
    seal, at = pump.seal, (*path, "seal")
    limits = ("leak_off_low", "leak_off_target", "leak_off_high")
    given = [(key, getattr(seal, key)) for key in limits if getattr(seal, key) is not None]
    if seal.kind == "packing" and seal.leak_off_target is None:
        expected = "leak_off_target, the drip this site wants"
        faults.remark(at, "packing", expected)
    if seal.kind.endswith("mechanical seal"):
        for key, _ in given:
            faults.add((*at, key), seal.kind, "packing: a mechanical seal shall not drip")
    for (low_key, low), (high_key, high) in pairwise(given):
        if low > high:
            faults.add((*at, high_key), "less than " + low_key, "low, target, high in this order")
    if seal.kind == "single mechanical seal" and seal.liquid.plan in ("barrier", "buffer"):
        expected = f"a double mechanical seal, which a {seal.liquid.plan} liquid needs"
        faults.add((*at, "kind"), repr(seal.kind), expected)


def _check_lubrication(pump: Pump, path: Path, faults: Faults) -> None:
    for key in ("lubrication", "driver_lubrication"):
        oil = getattr(pump, key)
        if oil is None or faults.touches((*path, key)):
            continue
        if oil.kind == "forced feed" and oil.system is None:
            expected = f"a table [pump.{key}.system] with what the oil system has"
            faults.add((*path, key), "forced feed without system", expected)
        if oil.kind and oil.kind != "forced feed" and oil.system is not None:
            expected = 'kind = "forced feed", or no oil system'
            faults.add((*path, key, "system"), f"an oil system with {oil.kind!r}", expected)
        _check_oil_limits(oil.system, (*path, key, "system"), faults)


def _check_oil_limits(system: object, at: Path, faults: Faults) -> None:
    pressures = ("supply_pressure_trip", "supply_pressure_low", "supply_pressure")
    temperatures = ("supply_temperature_low", "supply_temperature_high")
    for keys in (pressures, temperatures):
        given = [(key, getattr(system, key, None)) for key in keys]
        known = [(key, value) for key, value in given if value is not None]
        for (low_key, low), (high_key, high) in pairwise(known):
            if low >= high:
                expected = f"{high_key} above {low_key}"
                faults.add((*at, low_key), f"{low_key} not below {high_key}", expected)


def _check_strainers(pump: Pump, path: Path, faults: Faults) -> None:
    for key in ("suction_strainer", "discharge_strainer"):
        strainer: Strainer | None = getattr(pump, key)
        if strainer is None:
            continue
        clean, limit = strainer.clean_dp, strainer.limit_dp
        if clean is not None and limit is not None and limit <= clean:
            expected = f"more than the clean drop, {clean / 1e5:.3g} bar"
            faults.add((*path, key, "limit_dp"), f"{limit / 1e5:.3g} bar", expected)
        if clean is not None and strainer.clean_flow is None:
            expected = "clean_flow, the flow at which the clean drop was read"
            faults.remark((*path, key), "clean_dp alone", expected)


def _check_driver(pump: Pump, path: Path, faults: Faults) -> None:
    driver = pump.driver
    if driver.kind != "electric motor":
        return
    if pump.point("motor_current") is not None and driver.current is None:
        expected = "current of the nameplate in [pump.driver], to judge motor_current"
        faults.remark((*path, "driver"), "no current", expected)
    if driver.poles is not None and driver.poles % 2:
        faults.add((*path, "driver", "poles"), str(driver.poles), "an even number of poles")


_RULES: tuple[Rule, ...] = (
    _check_tag,
    _check_curve,
    _check_liquid,
    _check_source,
    _check_seal,
    _check_lubrication,
    _check_strainers,
    _check_driver,
)
