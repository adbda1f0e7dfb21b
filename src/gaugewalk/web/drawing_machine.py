"""Drawn parts of the machine: casing, shaft seal with its liquid, bearings, coupling, driver."""

from gaugewalk.plant.pump import Driver, Lubrication, SealLiquid, ShaftSeal
from gaugewalk.web.svg import box, circle, group, line, path, words


def casing(vanes: int, *, between_bearings: bool) -> str:
    """Draw the casing around 0, 0 with its impeller; the discharge neck leaves at 38, -92."""
    neck = path("M18,-50 V-88 H58 V-8", "metal") + line(10, -90, 66, -90, "flange")
    volute = path("M58,0 A58,58 0 1 1 8,-57 L58,-40 Z", "metal")
    blades = "".join(
        f'<path class="fine" d="M0,-11 q14,-8 10,-24" transform="rotate({360 * i / vanes:.0f})"/>'
        for i in range(vanes)
    )
    wheel = circle(0, 0, 37, "metal clear") + blades + circle(0, 0, 9, "solid")
    feet = path("M-34,46 L-42,84 H42 L34,46", "metal")
    if between_bearings:
        stages = "".join(line(x, -44, x, 44, "fine") for x in (-46, 46))
        return feet + neck + volute + wheel + stages
    return feet + neck + volute + wheel + line(-58, -18, -58, 18, "flange")


def shaft_seal(seal: ShaftSeal, *, drip: bool = True) -> str:
    """Draw the shaft seal around 0, 0 (60 wide) so that packing is not taken for a faced seal."""
    if seal.kind == "packing":
        return _packing(seal, drip=drip)
    return _faces(double=seal.kind == "double mechanical seal")


def _packing(seal: ShaftSeal, *, drip: bool) -> str:
    """Stuffing box with its rings, a lantern ring where seal liquid comes in, gland and nuts."""
    box_outline = box(-30, -30, 40, 60, "metal")
    lantern = 1 if seal.liquid.plan != "none" else None
    rings = []
    for i in range(4):
        x = -27 + 9 * i
        style = "lantern" if i == lantern else "packing-ring"
        rings += [box(x, -26, 7, 15, style), box(x, 11, 7, 15, style)]
    gland = path("M10,-24 h8 v-12 h8 v72 h-8 v-12 h-8 z", "metal")
    nuts = box(26, -35, 8, 11, "solid") + box(26, 24, 8, 11, "solid")
    drop = path("M20,44 q-6,9 0,12 q6,-3 0,-12 z", "drop") if drip else ""
    return box_outline + "".join(rings) + gland + nuts + drop


def _faces(*, double: bool) -> str:
    """Two rings pressed face to face by a spring; a double seal shows the pair twice."""
    drawn = [box(-30, -32, 60, 64, "metal")]
    for shift in (-15, 15) if double else (0,):
        for y in (-24, 10):
            drawn.append(box(shift - 8, y, 7, 14, "seal-face"))
            drawn.append(box(shift, y - 2, 7, 18, "seal-seat"))
        if not double:
            drawn.append(path("M-26,-17 l3,-5 l4,9 l4,-9 l4,9", "fine"))
            drawn.append(path("M-26,17 l3,-5 l4,9 l4,-9 l4,9", "fine"))
    return "".join(drawn) + box(30, -38, 7, 76, "metal")


def seal_liquid(liquid: SealLiquid) -> str:
    """Draw where the seal's liquid comes from, above a seal at 0, 0; nothing where there is none.

    The casing's discharge neck is at -62, -70.
    """
    if liquid.plan in ("own liquid", "flush", "cooled flush"):
        cooler = _cooler_box(-34, -128) if liquid.plan == "cooled flush" else ""
        return path("M-62,-70 V-116 H0 V-32", "small-pipe") + _orifice(0, -80) + cooler
    if liquid.plan in ("seal water", "external flush", "quench"):
        feed = path("M62,-116 H-4 V-32", "small-pipe") + _needle_valve(28, -116)
        return feed + words(64, -124, liquid_word(liquid), "caption", "start")
    if liquid.plan in ("buffer", "barrier"):
        return pot(liquid)
    return ""


def liquid_word(liquid: SealLiquid) -> str:
    """Name in short the liquid that comes to the seal from outside."""
    return "flush" if liquid.plan == "external flush" else liquid.plan


def pot(liquid: SealLiquid) -> str:
    """Draw a pot above a double seal, with its glass; a barrier pot stands under gas pressure."""
    body = path("M-22,-138 q0,-14 22,-14 q22,0 22,14 v52 q0,12 -22,12 q-22,0 -22,-12 z", "metal")
    inside = path("M-22,-112 h44 v26 q0,12 -22,12 q-22,0 -22,-12 z", "seal-liquid")
    glass = box(8, -134, 8, 46, "glass", 3)
    legs = path("M-12,-74 V-38 M12,-74 V-38", "small-pipe")
    gas = ""
    if liquid.plan == "barrier":
        gas = path("M22,-140 H52", "small-pipe") + words(54, -134, "gas", "caption", "start")
    return inside + body + glass + legs + gas


def _cooler_box(x: float, y: float) -> str:
    coil = path("M4,12 q6,-9 12,0 t12,0 t12,0", "fine")
    return group(box(0, 0, 44, 24, "metal") + coil, x + 8, y)


def _orifice(x: float, y: float) -> str:
    return line(x - 8, y - 3, x + 8, y - 3, "frame") + line(x - 8, y + 3, x + 8, y + 3, "frame")


def _needle_valve(x: float, y: float) -> str:
    return group(path("M-9,-7 L9,7 V-7 L-9,7 Z", "metal") + line(0, 0, 0, -13, "fine"), x, y)


def bearing_housing(width: float) -> str:
    """Draw the bearing housing from 0 to `width` on the shaft, on its foot."""
    shell = path(
        f"M0,-34 q0,-8 8,-8 H{width - 8:g} q8,0 8,8 V34 q0,8 -8,8 H8 q-8,0 -8,-8 Z", "metal"
    )
    foot = path(f"M{width / 2 - 22:g},42 L{width / 2 - 30:g},84 h60 l-8,-42", "metal")
    return foot + shell


def bearing(kind: str, x: float) -> str:
    """Draw a bearing at x on the shaft: balls, rollers, a sleeve, or a thrust pair."""
    if kind == "sleeve":
        return box(x - 17, -22, 34, 9, "bush") + box(x - 17, 13, 34, 9, "bush")
    drawn = []
    for y in (-18, 18):
        drawn.append(box(x - 12, y - 11, 24, 22, "metal clear"))
        if kind == "roller":
            drawn.append(box(x - 7, y - 6, 14, 12, "solid"))
        elif kind in ("angular contact", "thrust"):
            drawn.append(circle(x - 6, y, 5, "solid") + circle(x + 6, y, 5, "solid"))
        else:
            drawn.append(circle(x, y, 7, "solid"))
    return "".join(drawn)


def lubrication(lubricated: Lubrication, width: float, places: tuple[float, ...]) -> str:
    """Draw how the bearings at `places` in a housing of `width` get their oil or grease."""
    kind = lubricated.kind
    if kind == "grease":
        return "".join(_nipple(x) for x in places)
    if kind == "grease cup":
        return "".join(_cup(x) for x in places)
    if kind == "forced feed":
        return "".join(line(x, 42, x, 118, "oil-pipe") for x in places)
    oil = path(f"M3,22 H{width - 3:g} V34 q0,5 -6,5 H9 q-6,0 -6,-5 Z", "oil-bath")
    sight = circle(width / 2, 27, 9, "glass") + line(
        width / 2 - 8, 27, width / 2 + 8, 27, "oil-line"
    )
    if kind == "constant-level oiler":
        return oil + _oiler(width)
    if kind == "oil ring":
        rings = "".join(
            f'<ellipse class="oil-ring" cx="{x:g}" cy="12" rx="6" ry="22"/>' for x in places
        )
        return oil + sight + rings
    return oil + sight


def driver_lubrication(lubricated: Lubrication) -> str:
    """Draw how the two bearings of a driver (0 to 200) get their oil or grease."""
    ends = (24.0, 176.0)
    if lubricated.kind == "forced feed":
        return "".join(line(x, 58, x, 118, "oil-pipe") for x in ends)
    if lubricated.kind == "grease":
        return group("".join(_nipple(x) for x in ends), 0, -14)
    if lubricated.kind == "grease cup":
        return group("".join(_cup(x) for x in ends), 0, -14)
    return "".join(circle(x, 38, 9, "glass") + line(x - 8, 38, x + 8, 38, "oil-line") for x in ends)


def _nipple(x: float) -> str:
    return path(f"M{x - 4:g},-42 v-7 h-3 v-5 h14 v5 h-3 v7", "solid")


def _cup(x: float) -> str:
    cap = path(f"M{x - 11:g},-49 v-14 q0,-5 11,-5 q11,0 11,5 v14 z", "grease")
    return line(x, -42, x, -49, "frame") + cap + line(x - 13, -62, x + 13, -62, "fine")


def oiler_place(width: float) -> float:
    """Where the oiler stands: between the bearings, or beside a short housing."""
    return width / 2 if width > 100 else width + 12


def _oiler(width: float) -> str:
    """A clear bottle standing upside down in its cup beside the housing."""
    x = oiler_place(width)
    cup = path(f"M{x - 10:g},34 h20 v14 h-20 z", "metal")
    bottle = path(f"M{x - 9:g},6 q0,-6 9,-6 q9,0 9,6 v20 l-5,8 h-8 l-5,-8 z", "glass")
    return cup + bottle + path(f"M{x - 9:g},16 h18 v10 l-5,8 h-8 l-5,-8 z", "oil-bath")


def coupling() -> str:
    """Draw the coupling under its guard, 0 to 44."""
    halves = (
        box(6, -20, 14, 40, "metal") + box(24, -20, 14, 40, "metal") + line(22, -16, 22, 16, "fine")
    )
    guard = path("M0,-34 H44 V34 M0,-34 V34", "guard")
    return halves + guard


def driver(fitted: Driver, *, feet: bool = True) -> str:
    """Draw the driver from 0 to 200: a ribbed motor, a turbine or an engine."""
    if fitted.kind == "turbine":
        return _turbine()
    if fitted.kind == "engine":
        return _engine()
    ribs = "".join(line(18, y, 152, y, "fine") for y in (-42, -28, -14, 14, 28, 42))
    frame = box(10, -58, 150, 116, "metal", 10)
    cowl = path("M160,-54 h28 q12,0 12,14 v80 q0,14 -12,14 h-28 z", "metal")
    slots = "".join(line(x, -30, x, 30, "fine") for x in (172, 182, 192))
    terminal = box(62, -82, 46, 26, "metal", 3)
    stand = path("M24,58 v26 h28 v-26 M118,58 v26 h28 v-26", "metal") if feet else ""
    drive = _variable_speed() if fitted.variable_speed else ""
    return stand + frame + ribs + cowl + slots + terminal + drive


def _variable_speed() -> str:
    """A drive box beside the terminal box, with a sine that grows closer."""
    wave = path("M146,-76 q4,-10 8,0 t8,0 q3,-8 5,0 t5,0 q2,-7 3,0 t3,0", "fine")
    return box(138, -90, 50, 28, "metal", 2) + wave + line(108, -70, 138, -70, "fine")


def _turbine() -> str:
    body = path("M10,-34 L70,-64 H150 L190,-36 V36 L150,64 H70 L10,34 Z", "metal")
    blades = "".join(path(f"M{x},-46 q8,46 0,92", "fine") for x in (84, 104, 124, 144))
    steam = path("M110,-64 V-92", "small-pipe") + words(120, -92, "steam", "caption", "start")
    governor = circle(22, -52, 9, "metal clear") + line(22, -43, 26, -32, "fine")
    feet = path("M40,50 v34 h26 v-26 M140,60 v24 h26 v-40", "metal")
    return feet + body + blades + steam + governor


def _engine() -> str:
    block = path("M10,-20 H40 V-64 H170 V-20 H190 V58 H10 Z", "metal")
    pots = "".join(box(x, -86, 24, 22, "metal") for x in (50, 92, 134))
    return path("M24,58 v26 h28 v-26 M150,58 v26 h28 v-26", "metal") + block + pots
