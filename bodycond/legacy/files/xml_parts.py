"""Parts of a workbook parsed as XML, in which nothing may be defined that grows when read."""

from __future__ import annotations

from xml.etree import ElementTree

_ENTITIES = "definitions of XML entities, which no spreadsheet program writes"


def parse_part(content: bytes) -> ElementTree.Element:
    """Parse a small part of a workbook.

    Parameters
    ----------
    content : bytes
        The part.

    Returns
    -------
    Element
        Its root.

    Raises
    ------
    ValueError
        If the part defines entities, whatever its encoding.
    ParseError
        If it is no XML.

    Examples
    --------
    >>> parse_part(b"<a/>").tag
    'a'
    """
    require_no_entities(content)
    return ElementTree.fromstring(content)  # noqa: S314 - no entities, so nothing to expand


def require_no_entities(content: bytes) -> None:
    """Raise if a part of a workbook defines entities.

    Parameters
    ----------
    content : bytes
        The part, in UTF-8 or UTF-16.

    Raises
    ------
    ValueError
        If it does.
    """
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    if b"<!DOCTYPE" in (content.replace(b"\x00", b"") if wide else content):
        raise ValueError(_ENTITIES)


def refuse_entities(*_: object) -> None:
    """Raise, as the handler of a document type in a part that is read as a stream.

    Parameters
    ----------
    *_ : object
        What the parser gives.

    Raises
    ------
    ValueError
        In any case.
    """
    raise ValueError(_ENTITIES)


def local_name(element: ElementTree.Element) -> str:
    """Give an element's name without its namespace.

    Parameters
    ----------
    element : Element
        The element.

    Returns
    -------
    str
        The name. Two sets of namespaces are in use for the same parts.
    """
    return element.tag.rpartition("}")[2]
