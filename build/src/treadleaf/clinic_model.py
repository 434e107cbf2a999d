"""The keys of the clinic file, each declared once.

The check, the starter file, the schema for editors, the form on the staff page and the pages are made from here.
"""

from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from treadleaf.clinic_values import (
    Colour,
    Email,
    Folder,
    Line,
    Note,
    PagePath,
    Paragraph,
    Picture,
    ShortLine,
    SiteAddress,
    Telephone,
    WebAddress,
)

SCHEMA = 1
LANGUAGES = ("en",)
"""Languages that there are pages in today."""

ALWAYS_THERE = ("index.html", "cautions/when-to-get-help.html", "about/your-data.html")
"""Pages that no clinic may leave out: the start, when to get help, and what the site does with data."""


def _built(language: str) -> str:
    if language not in LANGUAGES:
        raise ValueError(
            f"names {language!r}, and there are no pages in that language; there are: {', '.join(LANGUAGES)}"
        )
    return language


def _each_once(items: tuple[str, ...]) -> tuple[str, ...]:
    again = next((item for index, item in enumerate(items) if item in items[:index]), None)
    if again is not None:
        raise ValueError(f"names {again!r} twice")
    return items


def _may_go(page: str) -> str:
    if page in ALWAYS_THERE:
        raise ValueError(f"names {page!r}, which every handout keeps")
    return page


# TOML gives lists; what a list holds stays as strict as everything else.
_List = Field(strict=False)
Lines = Annotated[tuple[Line, ...], _List, Field(max_length=12)]
Language = Annotated[str, AfterValidator(_built), Field(json_schema_extra={"enum": list(LANGUAGES)})]
LeftOut = Annotated[PagePath, AfterValidator(_may_go)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Emergency(_Table):
    """Whom a client calls in an emergency. There is no default: numbers differ by country."""

    number: Telephone = Field(
        title="Emergency number",
        description="The number to dial in an emergency where your clients live.",
        examples=[""],
    )
    name: ShortLine = Field(
        title="What it is called", description="What people there call that service.", examples=[""]
    )


class UrgentAdvice(_Table):
    """Somebody to ring the same day when it is urgent and no emergency."""

    name: ShortLine = Field(
        title="Who answers", description="The name of the line or the service.", examples=["Out-of-hours line"]
    )
    number: Telephone = Field(
        title="Number", description="The number there, with the area code.", examples=["01632 960 111"]
    )
    when: Line = Field(
        title="When to ring it", description="Days and hours when it answers.", examples=["evenings and weekends"]
    )


class Service(_Table):
    """Something that the clinic offers."""

    name: ShortLine = Field(title="Service", description="What it is called.", examples=["First visit"])
    about: Line | None = Field(
        None, title="In one line", description="What happens, in one line.", examples=["An hour to talk, look and plan"]
    )


class Practitioner(_Table):
    """Somebody who works at the clinic."""

    name: ShortLine = Field(title="Name", description="First and last name.", examples=["Alex Example"])
    role: ShortLine = Field(
        title="Role", description="What this person is, as clients know it.", examples=["Exercise therapist"]
    )
    registered_with: Line | None = Field(
        None,
        title="Registered with",
        description="The register or association, where there is one.",
        examples=["Register of Examples"],
    )
    registration_number: ShortLine | None = Field(
        None, title="Registration number", description="The number there.", examples=["EX 00000"]
    )


class Clinic(_Table):
    """Whose handout site this is, and what is the clinic's own in it."""

    schema_number: Literal[1] = Field(
        alias="schema",
        title="Layout",
        description="Version of this file's layout. Leave it as it is.",
        examples=[SCHEMA],
    )
    name: ShortLine = Field(
        title="Name of the clinic", description="The clinic's name, as clients know it.", examples=["My clinic"]
    )
    short_name: Annotated[Line, Field(max_length=24)] | None = Field(
        None,
        title="Short name",
        description="The name where space is short, such as on a phone.",
        examples=["My clinic"],
    )
    strapline: Line = Field(
        title="Line under the name",
        description="One line under the name: what you do, for whom. A printed check has no room for a long one.",
        examples=["Exercise and movement for everyday feet"],
    )
    logo: Picture | None = Field(
        None,
        title="Logo",
        description="An .svg or .png file beside this one, at most 200 kB. A cleaned copy is published.",
        examples=["logo.svg"],
    )
    colour: Colour = Field(
        "#2b5f6b",
        title="Colour",
        description="The clinic's colour. Shades that can be read are derived from it.",
        examples=["#2b5f6b"],
        json_schema_extra={"x-picker": True},
    )
    second_colour: Colour | None = Field(
        None,
        title="Second colour",
        description="A colour beside the first. Without it, one is derived.",
        examples=["#a8622b"],
        json_schema_extra={"x-picker": True},
    )
    telephone: Telephone = Field(title="Telephone", description="The number that clients call you on.", examples=[""])
    email: Email | None = Field(
        None, title="E-mail", description="The address that clients write to.", examples=["desk@example.org"]
    )
    web: WebAddress | None = Field(
        None,
        title="Website",
        description="The whole address of the clinic's own website.",
        examples=["https://www.example.org"],
    )
    booking: WebAddress | None = Field(
        None,
        title="Booking page",
        description="The page where clients book a visit. It opens elsewhere, only when they press the link.",
        examples=["https://www.example.org/book"],
    )
    address: Lines = Field(
        (),
        title="Address",
        description="Where you are, as on an envelope.",
        examples=[["1 Example Street", "Exampleton"]],
    )
    hours: Lines = Field(
        (),
        title="Opening hours",
        description="When you are open, in your own words.",
        examples=[["Monday to Friday, 9 am to 5 pm", "Saturday, 9 am to noon"]],
    )
    paper: Literal["A4", "Letter"] = Field(
        "A4", title="Paper", description="What your printer holds: A4 or Letter.", examples=["A4"]
    )
    units: Literal["metric", "imperial"] = Field(
        "metric", title="Units", description="metric (millimetres) or imperial (inches).", examples=["metric"]
    )
    languages: Annotated[tuple[Language, ...], _List, Field(min_length=1), AfterValidator(_each_once)] = Field(
        ("en",),
        title="Languages",
        description="Languages of the handout, as codes. There are pages in English (en) today.",
        examples=[["en"]],
    )
    site_address: SiteAddress = Field(
        title="Address of this handout",
        description="Where the finished site will stand. With a path, such as /handouts/, it stands under that path.",
        examples=["https://www.example.org/handouts/"],
    )
    local_rules: Paragraph | None = Field(
        None,
        title="Local rules",
        description="A paragraph that your area or profession asks for. It stands at the foot of every page.",
        examples=["Complaints: write to the practice manager."],
    )
    leave_out: Annotated[tuple[LeftOut, ...], _List, AfterValidator(_each_once)] = Field(
        (),
        title="Pages to leave out",
        description="Pages that you do not want, as their addresses end. The start and the page on help stay.",
        examples=[["checks/wet-print.html"]],
        json_schema_extra={"x-choices": "pages"},
    )
    pages: Folder | None = Field(
        None,
        title="Folder of your own pages",
        description="A folder beside this file with pages of your own, in folders like those of the handout.",
        examples=["pages"],
    )
    emergency: Emergency = Field(
        title="In an emergency", description="Shown wherever a sheet says to get help at once."
    )
    urgent_advice: Annotated[tuple[UrgentAdvice, ...], _List, Field(max_length=6)] = Field(
        (),
        title="Urgent advice",
        description="Whom to ring the same day. Shown on the page on help.",
        json_schema_extra={"x-one": "Urgent line"},
    )
    services: Annotated[tuple[Service, ...], _List, Field(max_length=20)] = Field(
        (),
        title="Services",
        description="What you offer. Shown on the start page.",
        json_schema_extra={"x-one": "Service"},
    )
    practitioners: Annotated[tuple[Practitioner, ...], _List, Field(max_length=40)] = Field(
        (),
        title="Who works here",
        description="Shown at the foot of every page, with the registration.",
        json_schema_extra={"x-one": "Person"},
    )
    notes: dict[PagePath, Note] = Field(
        default_factory=dict,
        title="Notes on pages",
        description="Your own words at the end of a page. *Slanted*, **bold**, lists and [links](https://...) work. "
        "On a check they are not printed: its sheet is full.",
        examples=[{"checks/wet-print.html": "Bring your prints to your next visit."}],
        json_schema_extra={"x-one": "Note", "x-choices": "pages", "additionalProperties": False},
    )
