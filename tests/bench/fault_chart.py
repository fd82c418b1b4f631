"""A printed fault-finding chart: for each kind of complaint, checks in the order a good printed page gives them.

Written as fairly as we could: cheap questions and lamps first, commands and settings before meters, the panel before
the field, and the likeliest places first. It is the same for every site and does not know what was found before, beyond
that an abnormal outcome leads to the causes it names.
"""

from __future__ import annotations

SUPPLY = ("look-panel-lamps", "look-breaker", "volts-mains", "ohms-fuse-supply", "volts-supply-idle")
COMMAND = (
    "read-lockouts",
    "read-standing-command",
    "ask-key-position",
    "read-hold-off-remaining",
    "read-automatic-enabled",
)
OUTPUT = (
    "try-command-at-panel",
    "look-output-lamp",
    "volts-output",
    "ohms-fuse-output",
    "read-output-enabled",
)
FIELD = (
    "volts-drive",
    "look-terminals-drive",
    "look-junction-box",
    "current-drive",
    "try-swap-drive-channel",
)
OPENING = ("look-opening-free", "look-lock", "look-hinges", "look-seal", "look-frame", "look-bracket")
INPUT = ("look-input-lamp", "volts-input", "try-bridge-input", "ohms-switch-contact", "ohms-input-line")
SENSOR = ("read-set-point", "signal-sensor", "compare-thermometer", "read-sensor-range", "look-sensor-place")
WEATHER = ("look-rain-state", "look-rain-sensor", "look-wind-state", "read-wind-limit", "read-lockouts")
LINK = ("look-link-lamps", "look-link-plug", "ask-other-nodes", "read-link-priority", "read-link-object-map")
DISCOVERY = (
    "look-count-found",
    "read-expected-count",
    "volts-data-core",
    "try-discovery-single",
    "read-addresses",
)
SMOKE = ("look-panel-lamps", "look-call-point", "look-detector-head", "try-reset-alarm", "ohms-detector-line")
FAN = ("read-overload", "read-interlock", "current-fan", "try-fan-direct", "test-fan-motor")
LOAD = ("ask-many-running", "current-output", "volts-supply-loaded", "try-one-at-a-time", "look-cable-size")
DRIVE = (
    "look-drive-behaviour",
    "time-full-travel",
    "read-drive-settings",
    "try-reference-run",
    "current-drive",
)

CHARTS = {
    "runs-reversed": (
        "try-switch-directions",
        "try-drive-alone-reversed",
        "look-terminals-drive",
        "read-drive-settings",
    ),
    "drive-dead": ("try-neighbours", *FIELD, *OUTPUT),
    "zone-dead": (*COMMAND, *OUTPUT, *FIELD),
    "site-dead": (*SUPPLY, *COMMAND),
    "opens-not-closes": (*COMMAND, "try-close-watch", *OPENING, *OUTPUT),
    "closes-not-opens": (*COMMAND, *OPENING, *OUTPUT, *FIELD),
    "stops-part-way": ("read-run-time", "read-opening-limit", *OPENING, *DRIVE),
    "starts-then-stops": (*OPENING, "current-output", *DRIVE, *FIELD),
    "reopens-while-closing": (*OPENING, *DRIVE),
    "moves-slowly": ("compare-speeds", *LOAD, *OPENING, *DRIVE),
    "pair-out-of-step": ("look-drives-in-step", "try-reference-run", *FIELD),
    "not-tight": (*OPENING, "look-gap", *DRIVE),
    "moves-unasked": (*COMMAND, *INPUT, "look-schedule", *SENSOR),
    "keeps-running": ("volts-output-idle", "try-tap", *DRIVE),
    "noisy": (*OPENING, *DRIVE),
    "wrong-zone-moves": (
        "read-zone-assignment",
        "read-input-assignment",
        "look-terminals-output",
        "look-terminals-input",
    ),
    "too-many-move": ("read-zone-assignment", "read-input-assignment", "look-terminals-output"),
    "stops-when-many-move": LOAD,
    "intermittent": (*FIELD, *OUTPUT, *OPENING),
    "damper-not-following": ("signal-positioner", "look-damper-shaft", "look-damper-blade", *FIELD),
    "position-reads-wrong": ("look-position-shown", "try-reference-run", "look-damper-shaft", *DRIVE),
    "fan-does-not-run": (*FAN, *OUTPUT),
    "fan-never-stops": ("volts-output-idle", *COMMAND),
    "fan-wrong-direction": ("phases-fan", "look-fan-belt", *FAN),
    "automatic-ignored": (*COMMAND, *SENSOR, *WEATHER),
    "manual-ignored": (*COMMAND, *INPUT, "read-input-assignment", "read-input-function"),
    "one-button-dead": (*INPUT, "look-terminals-input", "read-input-function"),
    "tap-does-not-stop": ("try-tap", "read-input-function", *INPUT),
    "hold-does-nothing": ("try-long-hold", "read-hold-threshold", *INPUT),
    "never-opens-for-heat": (*COMMAND, *SENSOR, *WEATHER),
    "opens-in-rain": (*WEATHER, "try-wet-sensor", "read-input-assignment", "read-command-order"),
    "wont-close-in-wind": (*WEATHER, "look-wind-sensor", "read-command-order", "read-input-assignment"),
    "always-held-closed": (*WEATHER, *COMMAND),
    "wrong-time": ("look-clock", "look-schedule", *COMMAND),
    "building-link-ignored": LINK,
    "building-link-offline": (
        *LINK,
        "ohms-link-pair",
        "volts-link-pair",
        "read-link-speed",
        "read-link-address",
    ),
    "sensor-reads-wrong": (*SENSOR, *WEATHER, "co2-outdoors"),
    "panel-dark": SUPPLY,
    "mains-fault": SUPPLY,
    "battery-fault": (
        "look-battery-date",
        "volts-battery-rest",
        "volts-charger",
        "ohms-battery-link",
        "volts-battery-load",
    ),
    "drive-line-fault": ("ohms-end-of-line", "look-end-of-line", "ohms-core", "look-junction-box"),
    "detector-line-fault": ("ohms-detector-line", "look-detector-head", "ohms-input-line"),
    "earth-fault": ("look-junction-box", "insulation-earth", "look-cable-damage"),
    "fuse-blows": ("try-disconnect-output", "ohms-line", "ohms-between-cores", "current-output"),
    "fails-on-battery": (
        "volts-battery-rest",
        "volts-battery-load",
        "ohms-battery-link",
        "look-battery-date",
    ),
    "settings-refused": ("try-sign-in-level", "try-set-and-read-back"),
    "settings-lost": ("read-site-name-in-settings", "try-set-and-read-back"),
    "settings-copied-misbehaves": ("read-site-name-in-settings", "read-zone-assignment"),
    "replaced-part-misbehaves": ("look-drive-kind", "look-terminals-drive", *FIELD),
    **dict.fromkeys(("discovery-finds-zero", "discovery-finds-fewer", "discovery-finds-more"), DISCOVERY),
    **dict.fromkeys(
        ("smoke-test-no-open", "smoke-opens-unasked", "wont-close-after-alarm", "smoke-open-too-slow"), SMOKE
    ),
}


def chart_for(symptom: str) -> tuple[str, ...]:
    """Return the checks of the page for a complaint, each once."""
    return tuple(dict.fromkeys(CHARTS.get(symptom, (*SUPPLY, *COMMAND, *OUTPUT))))
