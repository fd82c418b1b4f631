"""Read and write site descriptions, telling every fault of a bad one at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import islice
from pathlib import Path
from typing import Any

import yaml

from diag.errors import BadSite, UnreadableSite
from diag.site import Site
from diag.site_cables import cable_problems
from diag.site_parts import Data
from diag.site_references import reference_problems
from diag.site_sense import sense_problems
from knowledge.faults import Problem, listed
from knowledge.located import Located, read_located, read_located_file, validate
from knowledge.scalars import NUMBER
from knowledge.shape_faults import EXPLAINED

SCHEMA_PATH = Path(__file__).with_name("site.schema.json")
SCHEMA_DIALECT = "https://json-schema.org/draft/2020-12/schema"
LINE_WIDTH = 110

SITE_CHECKS: tuple[Callable[[Data], Iterable[Problem]], ...] = (reference_problems, cable_problems, sense_problems)
"""What is asked of a description beyond the shape of its fields."""


def load_site(path: Path | str) -> Site:
    """Return the site a YAML or JSON file describes; raise BadSite with every fault, or UnreadableSite."""
    try:
        located = read_located_file(Path(path))
    except OSError as error:
        raise UnreadableSite(str(path), error.strerror or type(error).__name__) from error
    return _site(located)


def read_site(text: str, source: str = "site") -> Site:
    """Return the site a YAML or JSON text describes; raise BadSite with every fault."""
    return _site(read_located(text, source))


def site_from_data(data: Mapping[str, Any], source: str = "site") -> Site:
    """Return the site that plain data describes, such as a JSON body; raise BadSite, all faults at line 1."""
    return _site(Located(source, dict(data), ()))


def dump_site(site: Site) -> str:
    """Return the site as YAML text, of which `read_site` makes an equal site."""
    data = site.model_dump(mode="json", by_alias=True, exclude_unset=True)
    return yaml.dump(data, Dumper=_writer(), sort_keys=False, allow_unicode=True, width=LINE_WIDTH)


def site_schema() -> dict[str, Any]:
    """Return the JSON Schema, draft 2020-12, of a site description."""
    schema = Site.model_json_schema(by_alias=True)
    for described in (schema, *schema["$defs"].values()):
        _close_mappings(described)
    return {"$schema": SCHEMA_DIALECT, "$id": "urn:ventsleuth:site", **schema, "title": "Site description"}


def _close_mappings(described: dict[str, Any]) -> None:
    """Forbid names of another form where a mapping takes parts by id, which pydantic leaves open."""
    for field in described["properties"].values():
        if "patternProperties" in field:
            field["additionalProperties"] = False


def _site(located: Located) -> Site:
    site, faults = validate(located, Site)
    for check in SITE_CHECKS:
        faults += located.faults_of(islice(check(located.data), EXPLAINED))
    if faults or site is None:
        raise BadSite(listed(faults))
    return site


def _writer() -> Any:
    """Return a dumper that keeps lists on one line and quotes text our reader would take for a number."""
    base: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
    writer: Any = type("SiteWriter", (base,), {})
    writer.add_representer(list, _write_list)
    writer.add_representer(float, _write_number)
    writer.add_implicit_resolver("tag:yaml.org,2002:float", NUMBER, list("-+.0123456789"))
    return writer


def _write_list(dumper: yaml.SafeDumper, items: list[Any]) -> yaml.Node:
    return dumper.represent_sequence("tag:yaml.org,2002:seq", items, flow_style=True)


def _write_number(dumper: yaml.SafeDumper, number: float) -> yaml.Node:
    """Write 2.0 as 2, as a person does."""
    return dumper.represent_int(int(number)) if number.is_integer() else dumper.represent_float(number)
