"""A folder holds a picture, an older workbook and the workbook of the job."""

OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600 + "Workbook".encode("utf-16-le") + b"\x00" * 600


def pile(data, _):
    return {"block.jpg": b"\xff\xd8\xff\xe0 picture", "job.xlsx": data, "old.xls": OLD}
