"""Words that part names are made of: what a part is, which one, and on what side, with their synonyms."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping

HEADS = {
    "drive": """drive drives motor motors actuator actuators opener openers positioner positioners mtr actr drv antrieb
        antriebe antriebs motoren motorer motorerne antrieben motorens""",
    "window": "window windows pane sash flap casement wdw win fenster fensters vindue vinduet vinduer vinduerne",
    "vent": """vent vents skylight skylights rooflight rooflights hatch dome ventilator dachfenster dachfenstern
        oberlicht oberlichter oberlichtern ovenlys ovenlyset ovenlysene ovenlysvindue ovenlysvinduet ovenlysvinduer
        ovenlysvinduerne tagvindue tagvinduet tagvinduer tagvinduerne lem lemmen lemmene dachluke dachklappe luke
        rauchklappe roglem roglemmen rogventil rogventilen""",
    "damper": "damper dampers spjaeld spjeld spjaeldet spjaeldene klappe klappen luftklappe luftklappen jalousieklappe",
    "louvre": "louvre louvres louver louvers lamellen lameller lamellerne",
    "switch": """switch switches sw rocker button buttons schalter taster kontakt kontakten afbryder afbryderen
        trykket""",
    "thermostat": "thermostat thermostats stat roomstat termostat termostaten",
    "sensor": "sensor sensors gauge messer maler sensoren sensorerne input inputs probe fuhler foler foleren melder",
    "detector": "detector detectors detektor detektoren detektors rauchmelder rauchmeldern rogmelder rogmeldere heads",
    "point": "callpoint point handmelder",
    "fan": "fan fans lufter ventilatoren blaeser blaeseren udsugning udsugningen extract extractor",
    "output": "output outputs channel ausgang udgang udgangen",
    "controller": "controller controllers panel panels pnl zentrale steuerung styring styringen panelet",
    "link": "link",
    "zone": """zone zones room rooms gruppe gruppen zonen group gruppens lokale lokalet lesesaal lesesaals
        leseraum laesesal laesesalen saal raum zimmer salen rummet bereich omrade""",
    "cable": "cable cables lead leads trunk",
    "box": "box boxes",
    "lockout": "lockout lockouts",
    "schedule": """schedule schedules timer programme program timetable timeclock zeitprogramm zeitplan schaltuhr
        tidsprogram tidsprogrammet tidsplan""",
}
_HEAD_OF = {word: head for head, words in HEADS.items() for word in words.split()}

_SAME = {
    "north": "nord nordre nordlige nordlig nordliche nordlichen nordlicher nordliches northern northerly nth nrth",
    "south": "sud syd sydlige sydlig sydvendte sudliche sudlichen sudlicher sudliches southern southerly sth",
    "east": "ost ostlige ostlig ostliche ostlichen eastern est",
    "west": "vest vestlige vestlig westliche westlichen western",
    "left": "linkes links linke linken linker linkes venstre lh lefthand",
    "right": "rechtes rechts rechte rechten rechter rechtes hojre rh righthand",
    "middle": "mitte mittlere mittleren mittlerer mittleres midterste midten mid centre center central mittelfenster",
    "corner": "ecke eck hjorne hjornet",
    "roof": "dach tag taget",
    "street": "strasse strassen gade gaden",
    "archive": "archiv arkiv arkivet archives",
    "atrium": "atriet atriums",
    "children": "kinder bornenes borne childs childrens kids",
    "old": "alte alten altes gamle",
    "first": "erste ersten erster erstes forste",
    "second": "zweite zweiten zweiter zweites anden",
    "third": "dritte dritten dritter drittes tredje",
    "inlet": """einlass ansaug ansaugung eintritt zuluft aussenluft frischluft indtag indblaesning indblaesnings tilluft
        friskluft udeluft intake supply""",
    "exhaust": "auslass austritt abluft fortluft afkast afkasts fraluft outlet",
    "rain": "regen regn",
    "smoke": "rauch rog",
    "key": "schlussel nogle",
    "bms": "bas bems bo glt gebaudeleittechnik cts",
}
_MEANT = {said: meant for meant, words in _SAME.items() for said in words.split()}
SOUNDS: Mapping[str, str] = {
    "sought": "south", "sowth": "south", "norse": "north", "yeast": "east", "eased": "east", "whole": "hall",
    "hole": "hall", "haul": "hall", "write": "right", "rite": "right", "wright": "right", "rein": "rain",
    "reign": "rain", "ruff": "roof", "rough": "roof", "medal": "middle", "meddle": "middle", "coroner": "corner",
    "plan": "plant", "tree": "three", "arkive": "archive", "stare": "stair", "stares": "stairs", "rheum": "room",
    "gem": "gym", "jim": "gym",
}  # fmt: skip
"""Words that dictation writes for a word of a name; believed only inside a name of this site."""
WHOLES = frozenset({"whole", "hole", "haul"})
"""Of these only where nobody would speak of a whole one."""
NEVER_WHOLE = frozenset({"switch", "thermostat", "sensor"})
JOINED = frozenset({"rooflight", "rooflights", "skylight", "skylights"})
INITIALS: Mapping[str, str] = {"n": "north", "s": "south", "e": "east", "w": "west", "l": "left", "r": "right"}
"""Understood only right before another word of a name, as in `N window`."""
ORDINALS = {
    "first": "1", "1st": "1", "second": "2", "2nd": "2", "third": "3", "3rd": "3", "fourth": "4", "4th": "4",
    "fifth": "5", "5th": "5", "sixth": "6", "6th": "6",
}  # fmt: skip
CARDINALS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8",
    "nine": "9", "ten": "10", "eleven": "11", "twelve": "12",
}  # fmt: skip
PASSED_OVER = frozenset({
    "the", "a", "an", "of", "in", "on", "at", "by", "no", "nr", "number", "my", "our", "that", "this", "der", "die",
    "das", "den", "det", "dem", "im", "am", "i", "pa", "til", "vom", "von", "nummer", "num", "its",
})  # fmt: skip
ANY_OPENING = frozenset({"flap", "flaps", "opening", "openings"})
"""People say these of windows, vents and dampers alike."""
WEAK = frozenset({"side", "hand", "facing", "end", "most", "wall", "mounted", "seite", "siden"})
"""Passed over inside a name unless the site's own names hold them."""


def canonical(word: str) -> str:
    """Return the word that stands for all words of its kind: motor and actuator are both drive."""
    return _HEAD_OF.get(word, word)


def is_head(word: str) -> bool:
    """Tell whether the word says what kind of part is meant."""
    return word in _HEAD_OF


def is_name_word(word: str) -> bool:
    """Tell whether the word is known from names in any of the languages, so that it is no slip."""
    return word in _HEAD_OF or word in _MEANT


def translated(word: str) -> str:
    """Return the English word for a side or a place, and the full word for its abbreviation."""
    return _MEANT.get(word, word)


def words_for(vocabulary: Container[str]) -> Iterator[str]:
    """Yield every word for a kind of part, and every word for a side or place that the vocabulary holds."""
    yield from _HEAD_OF
    yield from (word for word, meant in _MEANT.items() if meant in vocabulary)


def parted_compound(word: str, vocabulary: Container[str] = ()) -> tuple[str, ...]:
    """Return the halves of `Eckfenster` or `nordvinduet`, else the word; `vocabulary` holds words of names."""
    if word in _HEAD_OF:
        return (word,)
    for cut in range(3, len(word) - 3):
        is_known = word[:cut] in _MEANT or word[:cut] in vocabulary
        if is_known and (word[cut:] in _HEAD_OF or word[cut:] in WEAK):
            return word[:cut], word[cut:]
    return (word,)
