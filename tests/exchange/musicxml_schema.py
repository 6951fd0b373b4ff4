"""The W3C's MusicXML 4.0 schema, used without a network.

Source: `musicxml.xsd` of the W3C's MusicXML 4.0, as the PyPI package `musicxml` 1.6.3 holds it. It
imports two small schemas from the network; stand-ins for what it uses of them are given here.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from lxml import etree

_HEAD = '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{space}">'
_XML = (
    _HEAD.format(space="http://www.w3.org/XML/1998/namespace")
    + """<xs:attribute name="lang" type="xs:language"/>
    <xs:attribute name="space"><xs:simpleType><xs:restriction base="xs:NCName">
    <xs:enumeration value="default"/><xs:enumeration value="preserve"/>
    </xs:restriction></xs:simpleType></xs:attribute></xs:schema>"""
)
_XLINK = (
    _HEAD.format(space="http://www.w3.org/1999/xlink")
    + """<xs:attribute name="href" type="xs:anyURI"/>
    <xs:attribute name="type" type="xs:string" fixed="simple"/>
    <xs:attribute name="role" type="xs:token"/><xs:attribute name="title" type="xs:token"/>
    <xs:attribute name="show" type="xs:token"/><xs:attribute name="actuate" type="xs:token"/>
    </xs:schema>"""
)


class _Stubs(etree.Resolver):
    def resolve(self, system_url, public_id, context):
        if system_url.endswith("xml.xsd") and not system_url.endswith("musicxml.xsd"):
            return self.resolve_string(_XML, context)
        if system_url.endswith("xlink.xsd"):
            return self.resolve_string(_XLINK, context)
        return None


@cache
def schema() -> etree.XMLSchema:
    found = find_spec("musicxml")
    assert found is not None
    assert found.origin is not None
    path = Path(found.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Stubs())
    return etree.XMLSchema(etree.fromstring(path.read_bytes(), parser))


def parsed(data: bytes) -> etree._Element:
    """The root of a MusicXML file; its DTD is not fetched."""
    return etree.fromstring(data, etree.XMLParser(no_network=True, load_dtd=False))


def complaints(root: etree._Element) -> list[str]:
    """What the schema says is wrong."""
    found = schema()
    found.validate(root)
    return [f"{error.line}: {error.message}" for error in found.error_log]
