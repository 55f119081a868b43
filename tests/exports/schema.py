"""The MusicXML 4.0 schema (W3C Music Notation Community Group), as the package `musicxml` ships it."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

from lxml import etree

XLINK = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
targetNamespace="http://www.w3.org/1999/xlink">
<xs:attribute name="href" type="xs:anyURI"/><xs:attribute name="type" type="xs:string"/>
<xs:attribute name="role" type="xs:token"/><xs:attribute name="title" type="xs:token"/>
<xs:attribute name="show" type="xs:string"/><xs:attribute name="actuate" type="xs:string"/></xs:schema>"""


XML = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
targetNamespace="http://www.w3.org/XML/1998/namespace">
<xs:attribute name="lang" type="xs:language"/><xs:attribute name="space" type="xs:NCName"/></xs:schema>"""


def schema_file() -> Path:
    found = find_spec("musicxml")
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent / "generate_classes" / "musicxml_4_0.xsd"


@cache
def schema() -> etree.XMLSchema:
    """The schema; the two that it names by address stand beside it, so that nothing is fetched."""
    with TemporaryDirectory() as folder:
        place = Path(folder)
        text = schema_file().read_text(encoding="utf-8")
        text = text.replace("http://www.musicxml.org/xsd/", "")
        (place / "musicxml.xsd").write_text(text, encoding="utf-8")
        (place / "xlink.xsd").write_text(XLINK, encoding="utf-8")
        (place / "xml.xsd").write_text(XML, encoding="utf-8")
        return etree.XMLSchema(etree.parse(str(place / "musicxml.xsd")))


def faults(text: str) -> list[str]:
    """What the schema has against a score."""
    found = schema()
    if found.validate(etree.fromstring(text.encode(), etree.XMLParser(load_dtd=False))):
        return []
    return [f"line {one.line}: {one.message}" for one in found.error_log]
