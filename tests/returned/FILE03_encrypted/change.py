"""The workbook was saved with a password."""

START = bytes.fromhex("d0cf11e0a1b11ae1")


def change(_, __):
    return START + bytes(504) + "EncryptedPackage".encode("utf-16-le") + bytes(512)
