"""The W3C schema of MusicXML 4.0, loaded without a network.

The schema itself comes with the PyPI package ``musicxml``
(``musicxml/generate_classes/musicxml_4_0.xsd``, published by the W3C Music
Notation Community Group).  It imports two small schemas by their address on
the web; the stand-ins in tests/schema/ take their place.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from lxml import etree

STAND_INS: Final = Path(__file__).parent / "schema"
"""Holds xml.xsd and xlink.xsd, each with the attributes that MusicXML uses."""


def schema_file() -> Path:
    """Where the package ``musicxml`` keeps the schema; the package is not imported."""
    spec = find_spec("musicxml")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("the package musicxml, which carries the W3C schema, is missing")
    return Path(spec.origin).parent / "generate_classes" / "musicxml_4_0.xsd"


@cache
def musicxml_schema() -> etree.XMLSchema:
    """The schema, ready to validate; its imports point to the stand-ins beside this file."""
    parser = etree.XMLParser(no_network=True, load_dtd=False)
    tree = etree.parse(str(schema_file()), parser)
    for found in tree.iter("{http://www.w3.org/2001/XMLSchema}import"):
        name = str(found.get("schemaLocation")).rpartition("/")[2]
        found.set("schemaLocation", (STAND_INS / name).as_uri())
    return etree.XMLSchema(tree)


def complaints(document: bytes) -> list[str]:
    """What the schema has against a document, a line each; empty when it is valid."""
    schema = musicxml_schema()
    if schema.validate(etree.fromstring(document, etree.XMLParser(no_network=True))):
        return []
    return str(schema.error_log).splitlines()
