"""How is an Ogg file made the same every time? Its stream number is drawn at random."""

from __future__ import annotations

from zlib import crc32

_SERIAL = (1).to_bytes(4, "little")
_MIRROR = bytes(int(f"{byte:08b}"[::-1], 2) for byte in range(256))
_HEADER = 27  # bytes of a page header before its table of segments


def steady_serial(data: bytes) -> bytes:
    """The same Ogg stream with stream number 1 in every page, checksums made anew.

    Source: RFC 3533, section 6: serial number in bytes 14-17 of a page, checksum in 22-25.
    """
    pages = bytearray(data)
    at = 0
    while pages[at : at + 4] == b"OggS":
        segments = pages[at + 26]
        table = pages[at + _HEADER : at + _HEADER + segments]
        end = at + _HEADER + segments + sum(table)
        pages[at + 14 : at + 18] = _SERIAL
        pages[at + 22 : at + 26] = bytes(4)
        pages[at + 22 : at + 26] = page_checksum(bytes(pages[at:end])).to_bytes(4, "little")
        at = end
    return bytes(pages)


def page_checksum(page: bytes) -> int:
    """CRC-32 as RFC 3533 has it: polynomial 0x04C11DB7, bits not mirrored, no inversion.

    zlib's is the mirror image with inversion at both ends; undoing both gives the same number.
    """
    mirrored = crc32(page.translate(_MIRROR), 0xFFFFFFFF) ^ 0xFFFFFFFF
    return int(f"{mirrored:032b}"[::-1], 2)
