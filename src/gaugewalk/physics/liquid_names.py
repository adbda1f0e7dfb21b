"""What plant people call a liquid, and what it is taken for; a table, no logic."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Solute:
    """Something dissolved in water that does not itself boil off.

    Molar masses from the IUPAC standard atomic weights; the range of fractions is CoolProp's.
    """

    fluid: str  # CoolProp's incompressible solution, by mass fraction
    title: str
    molar_mass: float  # [kg/mol]
    particles: int  # ions per formula unit when fully dissolved
    highest: float  # mass fraction
    usual: float | None = None  # mass fraction where none is stated


_PURE_WATER = "taken as pure water"

# Name -> what the assumption is; empty where the name says pure water.
WATER: dict[str, str] = {
    "water": "",
    "pure water": "",
    "demineralized water": "",
    "demin water": "",
    "deionized water": "",
    "distilled water": "",
    "condensate": "",
    "hot condensate": "",
    "steam condensate": "",
    "boiler feedwater": "",
    "boiler feed water": "",
    "boiler feed": "",
    "feedwater": "",
    "feed water": "",
    "boiler water": f"{_PURE_WATER}; the treatment chemicals and salts are left out",
    "hot water": _PURE_WATER,
    "cold water": _PURE_WATER,
    "chilled water": f"{_PURE_WATER}; with glycol in it, name the glycol and its share",
    "heating water": _PURE_WATER,
    "drinking water": _PURE_WATER,
    "potable water": _PURE_WATER,
    "tap water": _PURE_WATER,
    "city water": _PURE_WATER,
    "service water": _PURE_WATER,
    "plant water": _PURE_WATER,
    "process water": f"{_PURE_WATER}; what is dissolved in it is left out",
    "wash water": f"{_PURE_WATER}; what is dissolved in it is left out",
    "fire water": _PURE_WATER,
    "firewater": _PURE_WATER,
    "raw water": f"{_PURE_WATER}; silt and dissolved air are left out",
    "river water": f"{_PURE_WATER}; silt and dissolved air are left out",
    "lake water": f"{_PURE_WATER}; silt and dissolved air are left out",
    "well water": f"{_PURE_WATER}; dissolved gas is left out",
    "rain water": _PURE_WATER,
    "storm water": f"{_PURE_WATER}; silt is left out",
    "cooling water": f"{_PURE_WATER}; salts and dissolved air are left out",
    "cooling tower water": f"{_PURE_WATER}; salts and dissolved air are left out",
    "spray pond water": f"{_PURE_WATER}; salts and dissolved air are left out",
    "spray water": _PURE_WATER,
    "seal water": _PURE_WATER,
    "effluent": f"{_PURE_WATER}; solids and dissolved gas are left out",
    "waste water": f"{_PURE_WATER}; solids and dissolved gas are left out",
    "wastewater": f"{_PURE_WATER}; solids and dissolved gas are left out",
}

# Name -> (CoolProp's name, assumption).
PURE: dict[str, tuple[str, str]] = {
    "hexane": ("n-Hexane", "commercial hexane is taken as n-hexane; the true blend differs"),
    "extraction hexane": ("n-Hexane", "taken as n-hexane; the true blend differs"),
    "n hexane": ("n-Hexane", ""),
    "isohexane": ("Isohexane", ""),
    "cyclohexane": ("CycloHexane", ""),
    "cyclopentane": ("Cyclopentane", ""),
    "ethane": ("Ethane", ""),
    "propane": ("n-Propane", ""),
    "n propane": ("n-Propane", ""),
    "lpg": ("n-Propane", "taken as pure propane; the true blend differs"),
    "propylene": ("Propylene", ""),
    "propene": ("Propylene", ""),
    "butane": ("n-Butane", ""),
    "n butane": ("n-Butane", ""),
    "isobutane": ("IsoButane", ""),
    "1 butene": ("1-Butene", ""),
    "isobutene": ("IsoButene", ""),
    "pentane": ("n-Pentane", ""),
    "n pentane": ("n-Pentane", ""),
    "isopentane": ("Isopentane", ""),
    "heptane": ("n-Heptane", ""),
    "n heptane": ("n-Heptane", ""),
    "octane": ("n-Octane", ""),
    "n octane": ("n-Octane", ""),
    "nonane": ("n-Nonane", ""),
    "n nonane": ("n-Nonane", ""),
    "decane": ("n-Decane", ""),
    "n decane": ("n-Decane", ""),
    "undecane": ("n-Undecane", ""),
    "dodecane": ("n-Dodecane", ""),
    "n dodecane": ("n-Dodecane", ""),
    "benzene": ("Benzene", ""),
    "toluene": ("Toluene", ""),
    "toluol": ("Toluene", ""),
    "ethylbenzene": ("EthylBenzene", ""),
    "ethyl benzene": ("EthylBenzene", ""),
    "m xylene": ("m-Xylene", ""),
    "o xylene": ("o-Xylene", ""),
    "p xylene": ("p-Xylene", ""),
    "xylene": ("m-Xylene", "mixed xylenes are taken as m-xylene"),
    "methanol": ("Methanol", ""),
    "methyl alcohol": ("Methanol", ""),
    "ethanol": ("Ethanol", ""),
    "ethyl alcohol": ("Ethanol", ""),
    "alcohol": ("Ethanol", "taken as pure ethanol"),
    "acetone": ("Acetone", ""),
    "diethyl ether": ("DiethylEther", ""),
    "dimethyl ether": ("DimethylEther", ""),
    "dimethyl carbonate": ("DimethylCarbonate", ""),
    "tetrahydrofuran": ("Tetrahydrofuran", ""),
    "1 2 dichloroethane": ("Dichloroethane", ""),
    "ethylene dichloride": ("Dichloroethane", ""),
    "vinyl chloride": ("VinylChloride", ""),
    "ethylene oxide": ("EthyleneOxide", ""),
    "ammonia": ("Ammonia", ""),
    "anhydrous ammonia": ("Ammonia", ""),
    "sulfur dioxide": ("SulfurDioxide", ""),
    "chlorine": ("Chlorine", ""),
    "carbon dioxide": ("CarbonDioxide", ""),
    "methyl oleate": ("MethylOleate", ""),
    "methyl stearate": ("MethylStearate", ""),
    "methyl palmitate": ("MethylPalmitate", ""),
    "heavy water": ("HeavyWater", ""),
    "propylene glycol": ("PropyleneGlycol", ""),
}

_ETHYLENE_GLYCOL = Solute(
    fluid="MEG", title="ethylene glycol solution", molar_mass=0.062068, particles=1, highest=0.6
)
_PROPYLENE_GLYCOL = Solute(
    fluid="MPG", title="propylene glycol solution", molar_mass=0.076095, particles=1, highest=0.6
)
_SODIUM_CHLORIDE = Solute(
    fluid="MNA", title="sodium chloride brine", molar_mass=0.058443, particles=2, highest=0.23
)
_CALCIUM_CHLORIDE = Solute(
    fluid="MCA", title="calcium chloride brine", molar_mass=0.110984, particles=3, highest=0.3
)
# Sea salt: 31.4038 g a mole of particles, F. J. Millero et al., Deep-Sea Res. I 55 (2008) 50-72.
_SEA_SALT = Solute(
    fluid="MITSW", title="sea water", molar_mass=0.0314038, particles=1, highest=0.12, usual=0.035
)
_GLYCEROL = Solute(
    fluid="MGL", title="glycerol solution", molar_mass=0.092094, particles=1, highest=0.6
)

SOLUTIONS: dict[str, Solute] = {
    "glycol": _ETHYLENE_GLYCOL,
    "ethylene glycol": _ETHYLENE_GLYCOL,
    "ethylene glycol solution": _ETHYLENE_GLYCOL,
    "water glycol": _ETHYLENE_GLYCOL,
    "glycol water": _ETHYLENE_GLYCOL,
    "monoethylene glycol": _ETHYLENE_GLYCOL,
    "meg": _ETHYLENE_GLYCOL,
    "propylene glycol": _PROPYLENE_GLYCOL,
    "propylene glycol solution": _PROPYLENE_GLYCOL,
    "mpg": _PROPYLENE_GLYCOL,
    "glycerol": _GLYCEROL,
    "glycerin": _GLYCEROL,
    "glycerol solution": _GLYCEROL,
    "brine": _SODIUM_CHLORIDE,
    "sodium chloride brine": _SODIUM_CHLORIDE,
    "salt brine": _SODIUM_CHLORIDE,
    "salt water": _SODIUM_CHLORIDE,
    "sodium chloride": _SODIUM_CHLORIDE,
    "calcium chloride": _CALCIUM_CHLORIDE,
    "calcium chloride brine": _CALCIUM_CHLORIDE,
    "magnesium chloride": Solute(
        fluid="MMG", title="magnesium chloride brine", molar_mass=0.095211, particles=3, highest=0.3
    ),
    "potassium carbonate": Solute(
        fluid="MKC", title="potassium carbonate brine", molar_mass=0.138205, particles=3,
        highest=0.4,
    ),
    "potassium acetate": Solute(
        fluid="MKA", title="potassium acetate brine", molar_mass=0.098142, particles=2,
        highest=0.45,
    ),
    "potassium formate": Solute(
        fluid="MKF", title="potassium formate brine", molar_mass=0.084115, particles=2,
        highest=0.48,
    ),
    "lithium chloride": Solute(
        fluid="MLI", title="lithium chloride brine", molar_mass=0.042394, particles=2, highest=0.24
    ),
    "sea water": _SEA_SALT,
    "seawater": _SEA_SALT,
}  # fmt: skip
