"""The link's checksum: the catalogue's answer, and a part of a buffer."""

from firmware.base.crc import Crc


def checksum(data, first=0, end=-1):
    crc = Crc()
    crc.over(data, first, len(data) if end < 0 else end)
    return crc.hi << 16 | crc.lo


def test_the_checksum_of_123456789_is_the_catalogue_s():
    # CRC-32/ISO-HDLC, catalogue of parametrised CRC algorithms, G. Cook (ran with PyPI `crc` 8)
    assert checksum(b"123456789") == 0xCBF43926
    assert checksum(b"xx123456789y", 2, 11) == 0xCBF43926


def test_every_nibble_of_a_byte_counts():
    assert len({checksum(bytes([byte])) for byte in range(256)}) == 256
