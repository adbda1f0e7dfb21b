"""What every page has: its plate, the places to go, the light, the name that is written down."""

from dataclasses import dataclass

PLACES = (
    ("This watch", "/"),
    ("Pumps", "/pumps"),
    ("Due", "/due"),
    ("Work it out", "/work-it-out"),
    ("Handover", "/handover"),
    ("More", "/more"),
)
LOOKS = (("", "Device"), ("day", "Day"), ("night", "Night"), ("strong", "Strong"))
UNNAMED = "unnamed"
NAME_COOKIE, LOOK_COOKIE = "gaugewalk_name", "gaugewalk_look"
NAME_LENGTH = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Who is reading: the name entries are written down as, and the light chosen."""

    name: str = ""
    look: str = ""
    role: str = ""  # of one who has signed in
    writes: bool = True
    signs_in: bool = False  # whether people sign in here at all

    @property
    def who(self) -> str:
        """The name that goes into the journal."""
        return self.name or UNNAMED


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One of the places to go."""

    name: str
    href: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One of the lights to choose from."""

    value: str
    name: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The plate and the edges of one page."""

    title: str
    over: str
    under: str
    path: str
    zone: str  # the plant's time zone
    now: str  # when the page was made, ISO 8601
    who: str
    role: str  # of one who has signed in
    writes: bool
    signs_in: bool
    look: str
    places: tuple[Spot, ...]
    looks: tuple[Look, ...]


def frame(
    person: Person,
    path: str,
    title: str,
    *,
    over: str,
    under: str = "",
    place: str = "",
    now: str = "",
    zone: str = "UTC",
) -> Frame:
    """Return the frame of a page; `place` is the address of the place it belongs to.

    Examples
    --------
    >>> made = frame(Person(name="R. Vale"), "/pumps", "Pumps", over="Larkmoor", place="/pumps")
    >>> [spot.name for spot in made.places if spot.here], made.who
    (['Pumps'], 'R. Vale')
    """
    return Frame(
        title=title,
        over=over,
        under=under,
        path=path,
        zone=zone,
        now=now,
        who=person.name,
        role=person.role,
        writes=person.writes,
        signs_in=person.signs_in,
        look=person.look,
        places=tuple(Spot(name=n, href=h, here=h == place) for n, h in PLACES),
        looks=tuple(Look(value=v, name=n, chosen=v == person.look) for v, n in LOOKS),
    )
