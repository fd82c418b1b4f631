"""A question as an item of QTI 2.1, and a quiz as its assessment test.

Elements and attributes are those of the standard's schema imsqti_v2p1.xsd.
"""

from __future__ import annotations

from xml.etree import ElementTree as ET

from diag.training.item import Item, Quiz

NAMESPACE = "http://www.imsglobal.org/xsd/imsqti_v2p1"
XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"
PAIRS = {"choice": "single", "order": "ordered", "match": "multiple"}


def item_element(item: Item) -> ET.Element:
    """Return a question as an assessmentItem, with scoring and a reason for each answer."""
    root = ET.Element(
        "assessmentItem",
        {
            "identifier": item.id,
            "title": item.lead_in,
            "adaptive": "false",
            "timeDependent": "false",
            XML_LANG: item.language,
        },
    )
    root.append(_response(item))
    root.append(_outcome("SCORE", "float", "0"))
    root.append(_outcome("FEEDBACK", "identifier"))
    root.append(_body(item))
    root.append(_processing(item))
    root.extend(_feedback(item))
    return root


def _response(item: Item) -> ET.Element:
    base = "directedPair" if item.response == "match" else "identifier"
    found = ET.Element(
        "responseDeclaration", {"identifier": "RESPONSE", "cardinality": PAIRS[item.response], "baseType": base}
    )
    right = ET.SubElement(found, "correctResponse")
    for value in response_values(item, item.answer):
        ET.SubElement(right, "value").text = value
    return found


def response_values(item: Item, given: tuple[str, ...]) -> list[str]:
    """Return choices that were given as the values of a response: letters, or pairs of prompt and letter."""
    letters = [item.letters[it] for it in given]
    if item.response != "match":
        return letters
    return [f"P{number} {letter}" for number, letter in enumerate(letters, 1)]


def _outcome(name: str, base: str, default: str | None = None) -> ET.Element:
    found = ET.Element("outcomeDeclaration", {"identifier": name, "cardinality": "single", "baseType": base})
    if default is not None:
        ET.SubElement(ET.SubElement(found, "defaultValue"), "value").text = default
    return found


def _body(item: Item) -> ET.Element:
    body = ET.Element("itemBody")
    for sentence in item.stem:
        ET.SubElement(body, "p").text = sentence
    body.append({"choice": _choose, "order": _put_in_order, "match": _pair}[item.response](item))
    return body


def _choose(item: Item) -> ET.Element:
    found = ET.Element("choiceInteraction", {"responseIdentifier": "RESPONSE", "shuffle": "false", "maxChoices": "1"})
    return _with_choices(found, item)


def _put_in_order(item: Item) -> ET.Element:
    return _with_choices(ET.Element("orderInteraction", {"responseIdentifier": "RESPONSE", "shuffle": "false"}), item)


def _with_choices(found: ET.Element, item: Item) -> ET.Element:
    ET.SubElement(found, "prompt").text = item.lead_in
    for it in item.choices:
        ET.SubElement(found, "simpleChoice", {"identifier": item.letters[it.id]}).text = it.text
    return found


def _pair(item: Item) -> ET.Element:
    count = str(len(item.prompts))
    found = ET.Element(
        "matchInteraction", {"responseIdentifier": "RESPONSE", "shuffle": "false", "maxAssociations": count}
    )
    ET.SubElement(found, "prompt").text = item.lead_in
    prompts, choices = ET.SubElement(found, "simpleMatchSet"), ET.SubElement(found, "simpleMatchSet")
    for number, prompt in enumerate(item.prompts, 1):
        ET.SubElement(prompts, "simpleAssociableChoice", {"identifier": f"P{number}", "matchMax": "1"}).text = prompt
    for it in item.choices:
        named = {"identifier": item.letters[it.id], "matchMax": count}
        ET.SubElement(choices, "simpleAssociableChoice", named).text = it.text
    return found


def _processing(item: Item) -> ET.Element:
    """Score one point when the response is the right one, and show the reason of what was answered."""
    found = ET.Element("responseProcessing")
    condition = ET.SubElement(found, "responseCondition")
    when = ET.SubElement(condition, "responseIf")
    match = ET.SubElement(when, "match")
    ET.SubElement(match, "variable", {"identifier": "RESPONSE"})
    ET.SubElement(match, "correct", {"identifier": "RESPONSE"})
    _set(when, "SCORE", "float", "1")
    _set(ET.SubElement(condition, "responseElse"), "SCORE", "float", "0")
    if item.response == "choice":
        feedback = ET.SubElement(found, "setOutcomeValue", {"identifier": "FEEDBACK"})
        ET.SubElement(feedback, "variable", {"identifier": "RESPONSE"})
    else:
        _set(found, "FEEDBACK", "identifier", "WHY")
    return found


def _set(parent: ET.Element, outcome: str, base: str, value: str) -> None:
    found = ET.SubElement(parent, "setOutcomeValue", {"identifier": outcome})
    ET.SubElement(found, "baseValue", {"baseType": base}).text = value


def _feedback(item: Item) -> list[ET.Element]:
    if item.response != "choice":
        return [_told("WHY", item.explanation)]
    return [
        _told(item.letters[it.id], item.explanation if it.id == item.key.id else f"{it.why} {item.explanation}")
        for it in item.choices
    ]


def _told(name: str, text: str) -> ET.Element:
    found = ET.Element("modalFeedback", {"outcomeIdentifier": "FEEDBACK", "identifier": name, "showHide": "show"})
    ET.SubElement(found, "p").text = text
    return found


def test_element(quiz: Quiz) -> ET.Element:
    """Return a quiz as an assessmentTest that names its items in order."""
    root = ET.Element("assessmentTest", {"identifier": quiz.id, "title": f"Quiz: {quiz.site}"})
    part = ET.SubElement(
        root, "testPart", {"identifier": "part-1", "navigationMode": "nonlinear", "submissionMode": "individual"}
    )
    section = ET.SubElement(
        part, "assessmentSection", {"identifier": "section-1", "title": quiz.site, "visible": "true"}
    )
    for it in quiz.items:
        ET.SubElement(section, "assessmentItemRef", {"identifier": it.id, "href": f"items/{it.id}.xml"})
    return root


test_element.__test__ = False  # type: ignore[attr-defined]  # not a test, whatever a test runner makes of the name
