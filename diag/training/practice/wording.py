"""Say what happens in a practice call-out in the language of the trainee."""

from __future__ import annotations

import re

from diag.scope import Scope
from diag.topology import SITE_PART
from diag.training.phrases import Phrases, load_practice_words
from diag.virtual_checks.people import SAID
from diag.virtual_checks.reply import Reply
from diag.virtual_checks.unsafe import Danger
from diag.wording import name_part
from knowledge.load import Knowledge

DECIMAL_POINT = re.compile(r"(?<=\d)\.(?=\d)")


class PracticeWords:
    """The words of a call-out in one language; raises UnknownLanguage."""

    def __init__(self, knowledge: Knowledge, language: str) -> None:
        self.phrases = Phrases(knowledge, language)
        self.language = language
        self._knowledge = knowledge
        self._words = load_practice_words(language)

    def say(self, phrase: str, **values: object) -> str:
        """Return a phrase, filled in."""
        return str(self._words[phrase]).format(**values)

    def precaution(self, precaution: str) -> str:
        """Return what to do before a step."""
        return self.say(f"precaution-{precaution}")

    def why(self, danger: Danger) -> str:
        """Return why something is dangerous here and now."""
        return str(self._words["why"].get(danger.why, danger.why))

    def found(self, check: str, reply: Reply) -> str:
        """Return what a check brought, in words or as a reading."""
        if reply.outcome is None:
            mood = next((it for it, said in SAID.items() if said == reply.text), "not-sure")
            return self.say(mood)
        entry = self._knowledge.checks[check]
        is_label = self.language != "en" and reply.typed in {it.id for it in entry.outcomes}
        return self.phrases.outcome(entry, reply.outcome) if is_label else self.decimal(reply.text)

    def decimal(self, text: str) -> str:
        """Return a reading with the decimal mark of the language: 0.2 V is 0,2 V in German and Danish."""
        return text if self.language == "en" else DECIMAL_POINT.sub(",", text)

    def number(self, value: float) -> str:
        """Return a number of minutes as it is written in the language."""
        return self.decimal(f"{value:g}")

    def did(self, kind: str, name: str, is_as_designed: bool) -> str:
        """Return what a step did: a check by its name, else mend, explain or prove what."""
        if kind == "check":
            return name
        return self.say("prove" if kind == "proof" else "explain" if is_as_designed else "mend", name=name)

    def part(self, scope: Scope, part: str | None) -> str:
        """Return how people call a part."""
        return self.phrases.say("whole-site") if part in (None, SITE_PART) else name_part(scope, part)


def joined(name: str, where: str) -> str:
    """Return what is done with where; a check that is told by its question needs no comma."""
    return f"{name}{'' if name.endswith('?') else ','} {where}"
