"""Which command stands for each zone: smoke, maintenance, weather, hand, link, programme and demand, by precedence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Literal

from diag.topology import Topology
from diag.virtual.fitted import Fitted
from diag.virtual.programmes import last_run, within_days
from diag.virtual.sensing import alarm, demand, is_cool, is_wet, is_windy
from diag.virtual.surroundings import Surroundings

Action = Literal["open", "close", "stop"]
USUAL_ORDER = ("smoke", "maintenance", "wind", "rain", "manual", "link", "schedule", "automatic")
"""The order taken where the site gives none; common practice, no source."""
WEATHER = ("wind", "rain")
REALLY_WINDY_M_S = 4.0
"""From this wind on people agree that it is windy; judgement."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The command that holds a zone: its class, what it asks for, and the part it comes from."""

    command: str
    action: Action
    source: str | None = None


@dataclass
class Commands:
    """All that asks for movement on a site; hand and link commands are remembered with their time."""

    topology: Topology
    fitted: Fitted
    around: Surroundings
    by_hand: dict[str, tuple[datetime, Action]] = field(default_factory=dict)
    by_link: dict[str, Action] = field(default_factory=dict)
    spent: set[str] = field(default_factory=set)
    weather_until: dict[str, datetime] = field(default_factory=dict)
    """For each rain or wind input: until when its lockout stands after the weather was last seen."""

    def standing(self, zone: str) -> Standing | None:
        """Return the strongest command that stands for a zone, or None when nothing asks for anything."""
        return next((it for it in self._all(zone, self.order()) if not self._is_passed(zone, it)), None)

    def order(self) -> tuple[str, ...]:
        """Return the classes of command, strongest first, as they are set."""
        given = self.topology.site.precedence
        order: tuple[str, ...] = tuple(given) if given else USUAL_ORDER
        for place, name in enumerate(USUAL_ORDER):
            if name not in order:
                after = max((order.index(it) + 1 for it in USUAL_ORDER[:place] if it in order), default=0)
                order = (*order[:after], name, *order[after:])
        order = ("smoke", "maintenance", *(it for it in order if it not in ("smoke", "maintenance")))
        if any(it.order_changed for it in self.fitted.controllers.values()):
            order = (*(it for it in order if it not in WEATHER), *(it for it in order if it in WEATHER))
        return order

    def refused(self, zone: str, command: str, action: Action) -> Standing | None:
        """Return what keeps a new command out, or None when it would be obeyed."""
        order = self.order()
        for it in self._all(zone, order[: order.index(command)]):
            if it.action != action and not (command == "manual" and self._yields_to_hand(zone, it.command)):
                return it
        return self._season(zone) if command in ("automatic", "link") and action == "open" else None

    def hold_off_left_min(self, zone: str) -> float:
        """Return the minutes for which the last hand command still keeps automatic out."""
        given = self._last_by_hand(zone)
        if given is None:
            return 0.0
        until = given[0] + timedelta(minutes=self.fitted.zones[zone].hold_off_minutes)
        return max(0.0, (until - self.around.at).total_seconds() / 60.0)

    def lockouts(self, zone: str) -> Mapping[str, bool]:
        """Return the lockouts that stand for a zone by kind, and whether their cause is there."""
        found = {it.command: self._has_cause(it.command) for it in self._all(zone, WEATHER) if it.source}
        if self._season(zone):
            found["season"] = True
        if self.fitted.zones[zone].stuck_lockout:
            found["stuck"] = False
        if self._key(zone):
            found["maintenance"] = True
        return found

    def note_weather(self) -> None:
        """Remember for every rain and wind input whose weather is there now until when its lockout stands."""
        for zone in self.fitted.zones:
            for it in self._all(zone, WEATHER):
                if it.source and self._is_now(it.source):
                    release = timedelta(minutes=self._release_min(it.source))
                    self.weather_until[it.source] = self.around.at + release

    def spend_hands(self) -> None:
        """Let hand commands that something stronger has overridden move nothing any more; their hold-off runs on."""
        order = self.order()
        stronger = order[: order.index("manual")]
        for zone in self.by_hand:
            if any(not self._is_passed(zone, it) for it in self._all(zone, stronger)):
                self.spent.add(zone)

    def _has_cause(self, command: str) -> bool:
        return self.around.raining if command == "rain" else self.around.wind_m_s > REALLY_WINDY_M_S

    def _all(self, zone: str, order: tuple[str, ...]) -> Iterator[Standing]:
        """Yield what stands of each class, in this order."""
        finders = {
            "smoke": self._smoke,
            "maintenance": self._maintenance,
            "wind": self._wind,
            "rain": self._rain,
            "manual": self._manual,
            "link": self._link,
            "schedule": self._schedule,
            "automatic": self._automatic,
        }
        for command in order:
            found = finders[command](zone)
            if found:
                yield found

    def _is_passed(self, zone: str, it: Standing) -> bool:
        hand = self._last_by_hand(zone)
        return hand is not None and self._yields_to_hand(zone, it.command) and self.hold_off_left_min(zone) > 0

    def _yields_to_hand(self, zone: str, command: str) -> bool:
        """Return whether a lockout of this kind lets hand commands pass, as it says itself."""
        lockouts = [self.topology.site.lockouts[it] for it in self.topology.lockouts_of_zone(zone)]
        return command in WEATHER and any(it.kind == command and it.refuses_manual is False for it in lockouts)

    def _inputs(self, zone: str, *kinds: str) -> list[str]:
        site = self.topology.site
        return [it for it in site.inputs if site.inputs[it].kind in kinds and zone in self.fitted.inputs[it].zones]

    def _smoke(self, zone: str) -> Standing | None:
        for part in self._inputs(zone, "detector-line", "call-point"):
            described = self.topology.site.inputs[part]
            latched = described.controller and self.fitted.controllers[described.controller].smoke_latched
            if latched or alarm(self.fitted, self.around, part, described.kind or ""):
                return Standing("smoke", "open", part)
        return None

    def _key(self, zone: str) -> str | None:
        keys = self._inputs(zone, "key-switch")
        return next((it for it in keys if self.fitted.inputs[it].key_turned), None)

    def _maintenance(self, zone: str) -> Standing | None:
        if self.fitted.zones[zone].held_by == "maintenance":
            return Standing("maintenance", "stop")
        key = self._key(zone)
        return Standing("maintenance", "stop", key) if key else None

    def _wind(self, zone: str) -> Standing | None:
        return self._weather(zone, "wind")

    def _rain(self, zone: str) -> Standing | None:
        return self._weather(zone, "rain")

    def _stuck_kind(self, zone: str) -> str | None:
        """Return the kind of the lockout that does not let go of the zone."""
        if not self.fitted.zones[zone].stuck_lockout:
            return None
        kinds = {self.topology.site.lockouts[it].kind for it in self.topology.lockouts_of_zone(zone)}
        return "rain" if "rain" in kinds and "wind" not in kinds else "wind"

    def _weather(self, zone: str, kind: str) -> Standing | None:
        if self._stuck_kind(zone) == kind:
            return Standing(kind, "close")
        for part in self._inputs(zone, kind):
            until = self.weather_until.get(part)
            if self._is_now(part) or (until is not None and self.around.at < until):
                return Standing(kind, "close", part)
        return None

    def _is_now(self, part: str) -> bool:
        """Return whether a rain or wind input tells its weather right now, and is set to act on it."""
        if self.fitted.inputs[part].function in ("nothing", "other-function"):
            return False
        told = is_wet if self.topology.site.inputs[part].kind == "rain" else is_windy
        return told(self.topology, self.fitted, self.around, part)

    def _release_min(self, part: str) -> float:
        lockouts = self.topology.site.lockouts.values()
        return max((it.release_minutes or 0.0 for it in lockouts if it.input == part), default=0.0)

    def _last_by_hand(self, zone: str) -> tuple[datetime, Action] | None:
        if zone in self.by_hand:
            return self.by_hand[zone]
        it = self.fitted.zones[zone]
        if it.manual_minutes_ago is None:
            return None
        return self.around.began - timedelta(minutes=it.manual_minutes_ago), it.manual_action

    def _manual(self, zone: str) -> Standing | None:
        given = self._last_by_hand(zone)
        if given is None or self.hold_off_left_min(zone) <= 0:
            return None
        return Standing("manual", "stop" if zone in self.spent else given[1])

    def _link(self, zone: str) -> Standing | None:
        it = self.fitted.zones[zone]
        if it.held_by == "link":
            return Standing("link", it.held_action, next(iter(self.topology.links_of_zone(zone)), None))
        return Standing("link", self.by_link[zone]) if zone in self.by_link else None

    def _schedule(self, zone: str) -> Standing | None:
        """A programme's open stands until its next entry; its close closes once and then leaves the zone."""
        found = last_run(self.topology, self.fitted, zone, self.around.at)
        return Standing("schedule", "open", found.part) if found and found.does == "open" else None

    def _season(self, zone: str) -> Standing | None:
        today = self.around.at.strftime("%m-%d")
        for part in self.topology.lockouts_of_zone(zone):
            it = self.topology.site.lockouts[part]
            if it.kind == "season" and it.from_day and within_days(it.from_day, it.until_day, today):
                return Standing("season", "close", part)
        return None

    def _automatic(self, zone: str) -> Standing | None:
        if not self.fitted.zones[zone].automatic_enabled:
            return None
        asking = self._inputs(zone, "thermostat", "temperature", "co2")
        hot = next((it for it in asking if demand(self.topology, self.fitted, self.around, it)), None)
        if hot:
            return None if self._season(zone) else Standing("automatic", "open", hot)
        if asking and all(is_cool(self.topology, self.fitted, self.around, it) for it in asking):
            return Standing("automatic", "close", asking[0])
        return None
