"""One shape for every score: partwise, without namespaces or stray entities."""

from __future__ import annotations

import html
from typing import Final

from lxml import etree

_TIMEWISE: Final = "score-timewise"


def to_partwise(root: etree._Element) -> etree._Element:
    """The same score as ``score-partwise``; a partwise one comes back as it is."""
    _drop_namespaces(root)
    _spell_entities(root)
    if root.tag != _TIMEWISE:
        return root
    score = etree.Element("score-partwise", _attributes(root))
    parts: dict[str, etree._Element] = {}
    for child in list(root):
        if child.tag != "measure":
            score.append(child)
            continue
        for part in child.findall("part"):
            name = part.get("id") or ""
            if name not in parts:
                parts[name] = etree.SubElement(score, "part", {"id": name})
            measure = etree.SubElement(parts[name], "measure", _attributes(child))
            measure.extend(list(part))
    return score


def _attributes(element: etree._Element) -> dict[str, str]:
    return {str(name): str(value) for name, value in element.attrib.items()}


def _drop_namespaces(root: etree._Element) -> None:
    """Tags without a namespace: some exporters put MusicXML into one of their own."""
    if not etree.QName(root).namespace:
        return
    for element in root.iter(etree.Element):
        element.tag = etree.QName(element).localname
    etree.cleanup_namespaces(root)


def _spell_entities(root: etree._Element) -> None:
    """``&copy;`` and the like, which XML does not know without a DTD, as their character."""
    for entity in list(root.iter(etree.Entity)):
        parent = entity.getparent()
        if parent is None:
            continue
        character = html.unescape(entity.text or "")
        kept = ("" if character.startswith("&") else character) + (entity.tail or "")
        before = entity.getprevious()
        if before is None:
            parent.text = (parent.text or "") + kept
        else:
            before.tail = (before.tail or "") + kept
        entity.tail = None
        parent.remove(entity)
