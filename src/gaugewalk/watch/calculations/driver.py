"""Handbook: motor and turbine."""

from gaugewalk.physics import motor, turbine
from gaugewalk.watch.calculation import Calculation, Result, count, gives, known, may, need, says

GROUP = "Driver"
_VOLTAGE = need("voltage", "voltage", "V", "line to line, mean of three", "point:motor_voltage")
_CURRENT = need("current", "current", "A", "line current, mean of three", "point:motor_current")
_PF = need("power_factor", "number", "1", "at this load", "driver.power_factor")
_EFFICIENCY = need("efficiency", "fraction", "%", "of the motor", "driver.efficiency")
_PLATE = (
    need("rated_power", "power", "kW", "on the plate", "driver.power"),
    need("rated_current", "current", "A", "on the plate", "driver.current"),
    need("rated_voltage", "voltage", "V", "on the plate", "driver.voltage"),
    need("rated_power_factor", "number", "1", "on the plate", "driver.power_factor"),
    may("rated_efficiency", "fraction", "%", "on the plate; else from the others",
        fill="driver.efficiency"),
    may("idle_current", "current", "A", "measured uncoupled", fill="driver.idle_current"),
    may("voltage", "voltage", "V", "present; else rated", fill="point:motor_voltage"),
)  # fmt: skip
_PLATE_EXAMPLE = {
    "rated_power": "18.5 kW", "rated_current": "34 A", "rated_voltage": "400 V",
    "rated_power_factor": "0.86",
}  # fmt: skip
_ESTIMATE = (
    "An estimate: 5 % of rated current at half load, 9 % when idle, 2 % with a measured idle "
    "current; more away from rated voltage and with a frequency drive."
)
_ELECTRIC = "Reading clamps and panels is electrical work: leave it to those allowed to do it."


def _plate(
    rated_power: float,
    rated_current: float,
    rated_voltage: float,
    rated_power_factor: float,
    rated_efficiency: float | None,
    idle_current: float | None,
) -> motor.Nameplate:
    return motor.Nameplate(
        power=rated_power,
        current=rated_current,
        voltage=rated_voltage,
        power_factor=rated_power_factor,
        efficiency=rated_efficiency,
        idle_current=idle_current,
    )


def _current_at(
    shaft_power: float,
    rated_power: float,
    rated_current: float,
    rated_voltage: float,
    rated_power_factor: float,
    rated_efficiency: float | None = None,
    idle_current: float | None = None,
    voltage: float | None = None,
) -> Result:
    plate = _plate(
        rated_power, rated_current, rated_voltage, rated_power_factor, rated_efficiency,
        idle_current,
    )  # fmt: skip
    return {
        "current": motor.current_at_load(shaft_power, plate, **known(voltage=voltage)),
        "idle": motor.current_at_load(0.0, plate, **known(voltage=voltage)),
        "load": shaft_power / rated_power,
    }


def _load_from(
    current: float,
    rated_power: float,
    rated_current: float,
    rated_voltage: float,
    rated_power_factor: float,
    rated_efficiency: float | None = None,
    idle_current: float | None = None,
    voltage: float | None = None,
) -> Result:
    plate = _plate(
        rated_power, rated_current, rated_voltage, rated_power_factor, rated_efficiency,
        idle_current,
    )  # fmt: skip
    power = motor.load_from_current(current, plate, **known(voltage=voltage))
    below = float(current) < float(motor.current_at_load(0.0, plate, **known(voltage=voltage)))
    note = ("Below the idle current of the plate: the motor is not loaded, or a reading is wrong.",)
    return {
        "shaft_power": power,
        "load": float(power) / rated_power,
        "warnings": note if below else (),
    }


def _slip(
    speed: float,
    synchronous_speed: float,
    rated_speed: float,
    rated_power: float | None = None,
    voltage: float | None = None,
    rated_voltage: float | None = None,
) -> Result:
    both = voltage is not None and rated_voltage is not None
    correction = {"voltage": voltage, "rated_voltage": rated_voltage} if both else {}
    load = motor.slip_load(speed, synchronous_speed, rated_speed, **correction)
    return known(load=load, shaft_power=None if rated_power is None else rated_power * float(load))


def _voltages(first: float, second: float, third: float) -> Result:
    share = motor.unbalance(first, second, third)
    if share > motor.DERATING_UNBALANCE[-1]:
        return {
            "unbalance": share,
            "warnings": ("Above 5 % a motor should not be run: report it now.",),
        }
    return {"unbalance": share, "factor": motor.derating_factor(share)}


def _currents(first: float, second: float, third: float) -> Result:
    return {
        "unbalance": motor.unbalance(first, second, third),
        "notes": (
            "Current unbalance is commonly 6 to 10 times the voltage unbalance (from memory, "
            "unverified).",
        ),
    }


def _supply(
    voltage: float,
    rated_voltage: float,
    frequency: float | None = None,
    rated_frequency: float | None = None,
) -> Result:
    off = voltage / rated_voltage - 1
    both = frequency is not None and rated_frequency is not None
    shift = frequency / rated_frequency - 1 if frequency and rated_frequency else 0.0
    words = [
        f"{'inside' if abs(off) <= volts and abs(shift) <= hertz else 'outside'} {name}"
        for name, (volts, hertz) in motor.SUPPLY_TOLERANCE.items()
    ]
    return known(voltage_off=off, frequency_off=shift if both else None, verdict="; ".join(words))


CALCULATIONS = (
    Calculation(
        name="motor-power",
        title="Shaft power from current and voltage",
        group=GROUP,
        inputs=(_VOLTAGE, _CURRENT, _PF, _EFFICIENCY),
        outputs=(
            gives("shaft_power", "power", "kW", "shaft power"),
            gives("input_power", "power", "kW", "electric power"),
        ),
        run=lambda voltage, current, power_factor, efficiency: {
            "shaft_power": motor.shaft_power(voltage, current, power_factor, efficiency),
            "input_power": motor.input_power(voltage, current, power_factor),
        },
        formula="P = √3 V I pf η",
        source="DOE, Determining Electric Motor Load and Efficiency, Equation 1",
        cautions=("Power factor of the plate holds at rated load only; see motor-load.", _ELECTRIC),
        example={
            "voltage": "400 V",
            "current": "32 A",
            "power_factor": "0.86",
            "efficiency": "92 %",
        },
    ),
    Calculation(
        name="motor-current",
        title="Current that a shaft power takes",
        group=GROUP,
        inputs=(
            need("shaft_power", "power", "kW", "at the coupling"),
            _VOLTAGE,
            _PF,
            _EFFICIENCY,
        ),
        outputs=(gives("current", "current", "A", "line current"),),
        run=lambda shaft_power, voltage, power_factor, efficiency: {
            "current": motor.line_current(shaft_power, voltage, power_factor, efficiency)
        },
        formula="I = P/(√3 V pf η)",
        source="definition",
        example={
            "shaft_power": "18.5 kW",
            "voltage": "400 V",
            "power_factor": "0.86",
            "efficiency": "92 %",
        },
    ),
    Calculation(
        name="motor-current-at-load",
        title="Current expected at a shaft power, from the nameplate",
        group=GROUP,
        inputs=(need("shaft_power", "power", "kW", "at the coupling"), *_PLATE),
        outputs=(
            gives("current", "current", "A", "current expected"),
            gives("idle", "current", "A", "current when idle"),
            gives("load", "fraction", "%", "of rated power"),
        ),
        run=_current_at,
        formula="active and magnetizing current on the circle diagram",
        source="Heyland's circle diagram; pull-out ratio 2.7 and loss share common practice",
        cautions=(_ESTIMATE,),
        example={"shaft_power": "9.25 kW", **_PLATE_EXAMPLE},
    ),
    Calculation(
        name="motor-load",
        title="Shaft power from the ammeter, at any load",
        group=GROUP,
        inputs=(_CURRENT, *_PLATE),
        outputs=(
            gives("shaft_power", "power", "kW", "shaft power"),
            gives("load", "fraction", "%", "of rated power"),
        ),
        run=_load_from,
        formula="inverse of motor-current-at-load",
        source="Heyland's circle diagram; pull-out ratio 2.7 and loss share common practice",
        cautions=(_ESTIMATE, "Loose at low load, where the current hardly changes.", _ELECTRIC),
        example={"current": "24 A", **_PLATE_EXAMPLE},
    ),
    Calculation(
        name="slip-load",
        title="Load from the slip",
        group=GROUP,
        inputs=(
            need("speed", "speed", "rpm", "measured", "point:speed"),
            need("synchronous_speed", "speed", "rpm", "of the field"),
            need("rated_speed", "speed", "rpm", "on the plate", "driver.speed"),
            may("rated_power", "power", "kW", "on the plate", fill="driver.power"),
            may("voltage", "voltage", "V", "present", fill="point:motor_voltage"),
            may("rated_voltage", "voltage", "V", "on the plate", fill="driver.voltage"),
        ),
        outputs=(
            gives("load", "fraction", "%", "of rated power"),
            gives("shaft_power", "power", "kW", "shaft power"),
        ),
        run=_slip,
        formula="(n_s - n)/((n_s - n_r)(V_r/V)²)",
        source="DOE, Determining Electric Motor Load and Efficiency, slip method",
        cautions=("The slip on the plate may be off by 10 to 20 %; 1 rpm is several percent.",),
        example={
            "speed": "1770 rpm",
            "synchronous_speed": "1800 rpm",
            "rated_speed": "1750 rpm",
            "rated_power": "25 hp",
        },
    ),
    Calculation(
        name="synchronous-speed",
        title="Synchronous speed",
        group=GROUP,
        inputs=(
            need("frequency", "frequency", "Hz", "of the supply", "driver.frequency"),
            count("poles", "of the motor, even", fill="driver.poles"),
        ),
        outputs=(gives("speed", "speed", "rpm", "synchronous speed"),),
        run=lambda frequency, poles: {"speed": motor.synchronous_speed(frequency, poles)},
        formula="n = 120 f/p",
        source="definition",
        example={"frequency": "50 Hz", "poles": "4"},
    ),
    Calculation(
        name="torque",
        title="Torque at the shaft",
        group=GROUP,
        inputs=(
            need("shaft_power", "power", "kW", "at the shaft"),
            need("speed", "speed", "rpm", "of the shaft", "point:speed"),
        ),
        outputs=(gives("torque", "torque", "N m", "torque"),),
        run=lambda shaft_power, speed: {"torque": motor.torque(shaft_power, speed)},
        formula="M = P/(2π n)",
        source="definition",
        example={"shaft_power": "18.5 kW", "speed": "2940 rpm"},
    ),
    Calculation(
        name="voltage-unbalance",
        title="Voltage unbalance and what the motor may still carry",
        group=GROUP,
        inputs=tuple(
            need(name, "voltage", "V", "line to line") for name in ("first", "second", "third")
        ),
        outputs=(
            gives("unbalance", "fraction", "%", "largest departure over mean"),
            gives("factor", "number", "1", "factor on rated power"),
        ),
        run=_voltages,
        formula="max |V - mean|/mean",
        source=motor.DERATING_SOURCE,
        cautions=(_ELECTRIC,),
        example={"first": "462 V", "second": "463 V", "third": "455 V"},
    ),
    Calculation(
        name="current-unbalance",
        title="Current unbalance",
        group=GROUP,
        inputs=tuple(need(name, "current", "A", "line") for name in ("first", "second", "third")),
        outputs=(gives("unbalance", "fraction", "%", "largest departure over mean"),),
        run=_currents,
        formula="max |I - mean|/mean",
        source="NEMA MG 1 definition, applied to currents",
        cautions=(
            "One line near zero: a phase is lost; the motor burns. Report at once.",
            _ELECTRIC,
        ),
        example={"first": "31 A", "second": "33 A", "third": "32 A"},
    ),
    Calculation(
        name="supply-tolerance",
        title="Is the supply inside what a motor is made for",
        group=GROUP,
        inputs=(
            _VOLTAGE,
            need("rated_voltage", "voltage", "V", "on the plate", "driver.voltage"),
            may("frequency", "frequency", "Hz", "present"),
            may("rated_frequency", "frequency", "Hz", "on the plate", fill="driver.frequency"),
        ),
        outputs=(
            says("verdict", "the supply is"),
            gives("voltage_off", "fraction", "%", "voltage off the plate"),
            gives("frequency_off", "fraction", "%", "frequency off the plate"),
        ),
        run=_supply,
        formula="V/V_rated - 1",
        source="NEMA MG 1, 12.44 (condensed edition, public); IEC 60034-1 zone A from memory",
        example={"voltage": "372 V", "rated_voltage": "400 V"},
    ),
    Calculation(
        name="turbine-power",
        title="Power of a steam turbine from its steam",
        group=GROUP,
        inputs=(
            need("steam_flow_kgh", "number", "1", "steam, kg/h"),
            need("rated_steam_flow_kgh", "number", "1", "steam at rated power, kg/h"),
            need("rated_power", "power", "kW", "on the plate", "driver.power"),
            may("idle_share", "fraction", "%", "of the steam taken at no load", "15 %"),
        ),
        outputs=(gives("power", "power", "kW", "shaft power"),),
        run=lambda steam_flow_kgh, rated_steam_flow_kgh, rated_power, idle_share: {
            "power": turbine.power_on_steam_line(
                steam_flow_kgh, rated_steam_flow_kgh, rated_power, idle_share=idle_share
            )
        },
        formula="straight line from no load to rated (Willans)",
        source="textbook; idle share common practice, no source",
        cautions=("An estimate, perhaps 10 %; wet or cold steam and worn nozzles take more.",),
        example={
            "steam_flow_kgh": "1500",
            "rated_steam_flow_kgh": "2400",
            "rated_power": "150 kW",
        },
    ),
    Calculation(
        name="steam-rate",
        title="Steam that a lossless turbine would take",
        group=GROUP,
        inputs=(
            need("inlet_pressure", "pressure", "barg", "of the steam"),
            need("inlet_temperature", "temperature", "degC", "of the steam, superheated"),
            need("exhaust_pressure", "pressure", "barg", "after the turbine"),
            may("turbine_efficiency", "fraction", "%", "of the turbine", "40 %"),
        ),
        outputs=(
            gives("lossless_kg_per_kwh", "number", "1", "lossless, kg/kWh"),
            gives("likely_kg_per_kwh", "number", "1", "at that efficiency, kg/kWh"),
        ),
        run=lambda inlet_pressure, inlet_temperature, exhaust_pressure, turbine_efficiency: {
            "lossless_kg_per_kwh": 3.6e6
            * turbine.theoretical_steam_rate(inlet_pressure, inlet_temperature, exhaust_pressure),
            "likely_kg_per_kwh": 3.6e6
            * turbine.theoretical_steam_rate(inlet_pressure, inlet_temperature, exhaust_pressure)
            / turbine_efficiency,
        },
        formula="1/(h1 - h2s)",
        source="isentropic drop, IAPWS-95",
        cautions=("Small single-stage turbines reach 30 to 50 %: common practice, no source.",),
        example={
            "inlet_pressure": "40 barg",
            "inlet_temperature": "399 degC",
            "exhaust_pressure": "3 barg",
        },
    ),
    Calculation(
        name="steam-power",
        title="Power from steam flow and steam rate",
        group=GROUP,
        inputs=(
            need("steam_flow_kgh", "number", "1", "steam, kg/h"),
            need("steam_rate_kg_per_kwh", "number", "1", "at this load, kg/kWh"),
        ),
        outputs=(gives("power", "power", "kW", "shaft power"),),
        run=lambda steam_flow_kgh, steam_rate_kg_per_kwh: {
            "power": turbine.power_from_steam(steam_flow_kgh / 3600, steam_rate_kg_per_kwh / 3.6e6)
        },
        formula="P = steam/steam rate",
        source="definition of the steam rate",
        cautions=("The rate rises at part load, with wet steam and worn nozzles.",),
        example={"steam_flow_kgh": "1800", "steam_rate_kg_per_kwh": "12"},
    ),
)
