"""The shape of a site description: every part that can fail and how the parts hang together.

Every field but the site's name may be absent. Absent means unknown: no default stands in for it.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints
from pydantic_core import PydanticCustomError

DAY_FORM = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _read_day(value: Any) -> Any:
    """Return the date a text means; only full dates count, lest a bare year be taken for a time stamp."""
    if not isinstance(value, str):
        return value
    try:
        return date.fromisoformat(value if DAY_FORM.fullmatch(value) else "")
    except ValueError:
        raise PydanticCustomError("date_parsing", "a date such as 2024-05-31") from None


PartId = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=40),
    Field(description="Small letters, digits and single hyphens, such as rv1 or sw-a."),
]
Words = Annotated[
    str,
    StringConstraints(min_length=1, max_length=200, pattern=r"^[^\x00-\x1f\x7f]+$"),
    Field(description="Text of one line."),
]
Clock = Annotated[
    str,
    StringConstraints(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$"),
    Field(description="A time of day from 00:00 to 23:59, with two digits each."),
]
YearDay = Annotated[
    str,
    StringConstraints(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"),
    Field(description="A month and a day of the year, such as 11-01 for 1 November."),
]
DayDate = Annotated[date, BeforeValidator(_read_day)]
Positive = Annotated[float, Field(gt=0, lt=1e9, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, lt=1e9, allow_inf_nan=False)]
Number = Annotated[float, Field(gt=-1e9, lt=1e9, allow_inf_nan=False)]

SiteKind = Literal["library", "school", "office", "atrium", "industrial", "housing", "other"]
OutputKind = Literal[
    "reversing-24v", "data-24v", "three-core-230v", "positioner-0-10v", "positioner-4-20ma", "fan-contact"
]
InputKind = Literal[
    "switch",
    "key-switch",
    "thermostat",
    "rain",
    "wind",
    "temperature",
    "co2",
    "detector-line",
    "call-point",
    "link",
]
CommandClass = Literal["smoke", "maintenance", "wind", "rain", "manual", "link", "schedule", "automatic"]
Movement = Literal["open", "close", "stop", "step", "nothing"]
Action = Literal["open", "close", "stop", "step", "run-to-end", "nothing"]
Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


class Shape(BaseModel):
    """Common settings: unknown fields are errors, text is never taken for a number, values are frozen."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, strict=True)


class Part(Shape):
    """What every part may say of itself."""

    name: Words | None = None
    also: list[Words] = Field(default=[], description="Other names people use for it.")
    place: PartId | None = Field(default=None, description="Id of the place where it is.")
    installed: DayDate | None = None
    replaced: DayDate | None = Field(default=None, description="When it was last replaced.")
    note: Words | None = None


class Position(Shape):
    """Where the site is on the map, in degrees (WGS 84); a phone uses it to put near sites first."""

    latitude: Annotated[float, Field(ge=-90, le=90)]
    longitude: Annotated[float, Field(ge=-180, le=180)]


class Place(Shape):
    """Somewhere a person stands to work."""

    name: Words | None = None
    also: list[Words] = []
    walk_minutes: dict[PartId, NotNegative] = Field(
        default={}, description="Minutes on foot to other places; given once, it counts both ways."
    )
    access: Literal["floor", "steps", "ladder", "platform", "roof"] | None = None


class Battery(Shape):
    """The second source of a controller."""

    voltage_v: Positive | None = None
    capacity_ah: Positive | None = None
    installed: DayDate | None = None
    required_standby_hours: NotNegative | None = None
    charger_current_a: Positive | None = None


class Supply(Shape):
    """What feeds a controller and what it can give."""

    mains_voltage_v: Positive | None = None
    rated_voltage_v: Positive | None = Field(default=None, description="Voltage at the outputs, e.g. 24.")
    rated_current_a: Positive | None = Field(default=None, description="What all outputs together may draw.")
    standing_current_a: NotNegative | None = Field(default=None, description="Current with nothing moving.")
    fuse_a: Positive | None = Field(default=None, description="The fuse on the mains side.")
    battery: Battery | None = None
    has_battery: bool | None = Field(default=None, description="False: none is fitted, and mains is the only source.")


class Controller(Part):
    """Control equipment with outputs and inputs."""

    supply: Supply | None = None
    serves_smoke: bool | None = None
    comfort_on_battery: bool | None = Field(default=None, description="False: comfort moves are kept off on battery.")
    automatic_enabled: bool | None = None


class Output(Part):
    """A controller's supply to one or more drives, or to a fan."""

    controller: PartId | None = None
    kind: OutputKind | None = None
    rated_current_a: Positive | None = None
    trip_current_a: Positive | None = None
    fuse_a: Positive | None = None
    run_time_s: Positive | None = Field(default=None, description="How long it drives before it switches off.")
    enabled: bool | None = None
    supervised: bool | None = Field(default=None, description="True: its line is watched for open and short circuit.")
    end_of_line_ohm: Positive | None = Field(default=None, description="Resistor at the far end of a supervised line.")
    expected_drives: Annotated[int, Field(ge=0, le=10000)] | None = Field(
        default=None, description="How many drives its settings expect."
    )


class Drive(Part):
    """The powered operator on an opening."""

    output: PartId | None = None
    opening: PartId | None = None
    supply_voltage_v: Positive | None = None
    min_voltage_v: Positive | None = None
    max_voltage_v: Positive | None = None
    running_current_a: Positive | None = None
    starting_current_a: Positive | None = None
    cut_off_current_a: Positive | None = Field(default=None, description="At this current it stops itself.")
    stroke_mm: Positive | None = None
    full_travel_s: Positive | None = Field(default=None, description="Time for a full turn of a rotary drive.")
    spring_return: bool | None = Field(default=None, description="True: a spring moves it when supply is lost.")
    synchronised: bool | None = Field(default=None, description="True: it keeps step with the other on its opening.")
    signal: Literal["0-10v", "2-10v", "4-20ma"] | None = Field(default=None, description="Position signal it follows.")
    manual_speed_mm_s: Positive | None = None
    automatic_speed_mm_s: Positive | None = None
    smoke_speed_mm_s: Positive | None = None
    force_n: Positive | None = None
    addressable: bool | None = Field(default=None, description="True: it has a data core and discovery can find it.")
    address: Annotated[int, Field(ge=0, le=65535)] | None = None


class Opening(Part):
    """Window, roof vent, louvre or damper."""

    kind: Literal["window", "roof-vent", "louvre", "damper"] | None = None
    hinge: Literal["top", "bottom", "side", "pivot", "none"] | None = None
    locks: Annotated[int, Field(ge=0, le=20)] | None = None
    height_above_floor_m: NotNegative | None = Field(default=None, description="From floor to its lowest closing edge.")
    width_m: Positive | None = None
    height_m: Positive | None = None
    smoke: bool | None = Field(default=None, description="True: opens for smoke.")
    opening_limit_mm: Positive | None = None
    closing_protection: (
        list[
            Literal[
                "pressure-edge",
                "light-barrier",
                "hold-to-run",
                "low-force",
                "slow",
                "warning",
                "barrier",
                "stop-device",
            ]
        ]
        | None
    ) = None


class Junction(Part):
    """A box or joint where cables meet."""

    outdoors: bool | None = None
    joint_resistance_ohm: NotNegative | None = None


class Cable(Part):
    """One cable, from an output, junction or drive to the next; or from a controller to an input."""

    from_: PartId | None = Field(default=None, alias="from")
    to: PartId | None = None
    length_m: Positive | None = None
    area_mm2: Positive | None = None
    conductor_class: Literal[1, 2, 5] | None = Field(default=None, description="1 solid, 2 stranded, 5 flexible.")
    temperature_c: Annotated[float, Field(ge=-40, le=120)] | None = None
    cores: Annotated[int, Field(ge=1, le=60)] | None = None
    data_core: bool | None = None
    outdoors: bool | None = None


class Zone(Part):
    """Openings and fans that move together."""

    openings: list[PartId] | None = None
    fans: list[PartId] | None = None
    hold_off_minutes: NotNegative | None = Field(
        default=None, description="How long a manual command keeps automatic commands out."
    )
    automatic_enabled: bool | None = None
    opening_limit_mm: Positive | None = None
    floor_area_m2: Positive | None = None
    night_cooling: bool | None = None


class Input(Part):
    """Anything that asks for a movement or blocks one."""

    kind: InputKind | None = None
    controller: PartId | None = None
    zones: list[PartId] | None = None
    contact: Literal["normally-open", "normally-closed"] | None = None
    command_class: CommandClass | None = None
    open_does: Action | None = None
    close_does: Action | None = None
    tap_does: Action | None = None
    hold_does: Action | None = None
    active_does: Action | None = Field(default=None, description="What it does when made, wet, hot, windy or in alarm.")
    hold_threshold_s: NotNegative | None = None
    set_point: Number | None = None
    dead_band: NotNegative | None = None
    delay_minutes: NotNegative | None = None
    signal: Literal["contact", "0-10v", "4-20ma", "pt1000", "ntc-10k", "pulse", "data"] | None = None
    range_low: Number | None = None
    range_high: Number | None = None
    unit: Literal["C", "ppm", "m/s", "%", "mm/h"] | None = None
    heated: bool | None = Field(default=None, description="True: a rain sensor with a heater.")
    end_of_line_ohm: Positive | None = Field(default=None, description="Resistor at the far end of a supervised line.")
    alarm_resistor_ohm: Positive | None = None
    link: PartId | None = Field(default=None, description="For kind link: which building link it comes by.")


class Lockout(Part):
    """A condition that refuses or overrides movement."""

    kind: Literal["rain", "wind", "season", "maintenance", "smoke", "night", "security", "temperature"] | None = None
    zones: list[PartId] | None = None
    input: PartId | None = None
    refuses: Literal["open", "close", "both"] | None = None
    forces: Literal["open", "close", "nothing"] | None = None
    refuses_manual: bool | None = None
    limit: Number | None = Field(default=None, description="Value at which it acts, in the input's unit.")
    release_minutes: NotNegative | None = Field(
        default=None, description="How long it stands after the condition ends."
    )
    from_day: YearDay | None = None
    until_day: YearDay | None = None
    from_time: Clock | None = None
    until_time: Clock | None = None


class Schedule(Part):
    """A time programme of one or more zones."""

    zones: list[PartId] | None = None
    days: list[Day] | None = None
    at: Clock | None = None
    does: Literal["open", "close", "automatic-on", "automatic-off"] | None = None
    from_day: YearDay | None = None
    until_day: YearDay | None = None


class Link(Part):
    """A link to building management."""

    controller: PartId | None = None
    protocol: Literal["bacnet-mstp", "bacnet-ip", "modbus-rtu", "modbus-tcp", "knx", "contacts"] | None = None
    address: Annotated[int, Field(ge=0, le=4194302)] | None = None
    trunk: Words | None = Field(default=None, description="Name of the shared cable; addresses on it must differ.")
    write_priority: Annotated[int, Field(ge=1, le=16)] | None = Field(
        default=None, description="Priority its commands are written at; 1 is the strongest."
    )
    speed_baud: Annotated[int, Field(ge=300, le=1000000)] | None = None
    parity: Literal["none", "even", "odd"] | None = None
    termination: Literal["both-ends", "one-end", "none"] | None = None
    length_m: Positive | None = None
    zones: list[PartId] | None = None


class Fan(Part):
    """A simple extract or supply fan."""

    kind: Literal["extract", "supply"] | None = None
    output: PartId | None = None
    phases: Literal[1, 3] | None = None
    running_current_a: Positive | None = None
    overload_a: Positive | None = None
    coupling: Literal["belt", "direct"] | None = None
    speed_controller: bool | None = None
    interlock: PartId | None = Field(default=None, description="Opening whose end switch must close before it starts.")


class Site(Shape):
    """A whole description. Part ids are unique over the site, whatever the kind of part."""

    name: Words
    note: Words | None = None
    kind: SiteKind | None = None
    position: Position | None = None
    time_zone: Words | None = Field(default=None, description="Name in the IANA time zone database, such as Etc/UTC.")
    commissioned: DayDate | None = None
    precedence: list[CommandClass] | None = Field(default=None, description="Strongest command class first.")
    places: dict[PartId, Place] = {}
    controllers: dict[PartId, Controller] = {}
    outputs: dict[PartId, Output] = {}
    drives: dict[PartId, Drive] = {}
    openings: dict[PartId, Opening] = {}
    junctions: dict[PartId, Junction] = {}
    cables: dict[PartId, Cable] = {}
    zones: dict[PartId, Zone] = {}
    inputs: dict[PartId, Input] = {}
    lockouts: dict[PartId, Lockout] = {}
    schedules: dict[PartId, Schedule] = {}
    links: dict[PartId, Link] = {}
    fans: dict[PartId, Fan] = {}
