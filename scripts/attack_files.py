"""Packed files made to harm, for scripts/attack: bombs, archives in archives, names that climb, sizes that lie, one name
twice, 64-bit headers, sheets of entities. Not for: forms of logs (scripts/fuzz-logs), backups (attack_odd.py).
"""
import gzip
import io
import os
import random
import struct
import subprocess
import sys
import tempfile
import time
import zipfile
import zlib
from pathlib import Path

ROWS = "time s,volts,amps,speed kn,shaft rpm\n"
# Seconds and megabytes that any packed file may take.
LONGEST_S, MOST_MB = 40.0, 1000


def table(rows, speed=4.0):
    """A record each second that goes to and fro."""
    return ROWS + "".join(f"{i},51.2,{40 + i % 3},{speed + i // 300 % 2 * 0.1:.2f},800\n" for i in range(rows))


def local(name, data, method=8, crc=None, packed=None, plain=None, flags=0, extra=b""):
    """A local header with what it heads, and what the directory says of it."""
    body = data
    if method == 8:
        packer = zlib.compressobj(9, zlib.DEFLATED, -15)
        body = packer.compress(data) + packer.flush()
    crc = zlib.crc32(data) if crc is None else crc
    packed = len(body) if packed is None else packed
    plain = len(data) if plain is None else plain
    sizes = (crc, packed & 0xFFFFFFFF, plain & 0xFFFFFFFF)
    head = struct.pack("<IHHHHHIIIHH", 0x04034B50, 20, flags, method, 0, 0, *sizes, len(name), len(extra))
    return head + name + extra + body, (name, method, flags, sizes, extra)


def archive(entries, at=None, count=None, comment=b"", end64=None):
    """A zip of local entries; `at` gives where the directory says that each begins."""
    out, places = b"", []
    for whole, _ in entries:
        places.append(len(out))
        out += whole
    directory = b""
    for place, (_, (name, method, flags, sizes, extra)) in zip(at or places, entries):
        directory += struct.pack("<IHHHHHHIIIHHHHHII", 0x02014B50, 20, 20, flags, method, 0, 0, *sizes, len(name), len(extra), 0, 0, 0, 0,
                                 place) + name + extra
    start, count = len(out), len(entries) if count is None else count
    out += directory
    if end64:
        there = len(out)
        out += struct.pack("<IQHHIIQQQQ", 0x06064B50, 44, 45, 45, 0, 0, *end64)
        out += struct.pack("<IIQI", 0x07064B50, 0, there, 1)
        return out + struct.pack("<IHHHHIIH", 0x06054B50, 0, 0, 0xFFFF, 0xFFFF, 0xFFFFFFFF, 0xFFFFFFFF, 0)
    return out + struct.pack("<IHHHHIIH", 0x06054B50, 0, 0, count & 0xFFFF, count & 0xFFFF, len(directory), start, len(comment)) + comment


def zipped(files, method=zipfile.ZIP_DEFLATED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as to:
        for name, data in files:
            to.writestr(name, data)
    return out.getvalue()


def sheet(cells, shared="", more=()):
    """A workbook of one sheet."""
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml."
    rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return zipped([
        ("[Content_Types].xml", f'<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Override PartName="/xl/workbook.xml" ContentType="{kind}sheet.main+xml"/></Types>'),
        ("_rels/.rels", f'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="{rel}/officeDocument" Target="xl/workbook.xml"/></Relationships>'),
        ("xl/workbook.xml", f'<workbook xmlns="{main}" xmlns:r="{rel}"><sheets><sheet name="log" sheetId="1" r:id="r1"/></sheets></workbook>'),
        ("xl/_rels/workbook.xml.rels", f'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="{rel}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="r2" Type="{rel}/sharedStrings" Target="sharedStrings.xml"/></Relationships>'),
        ("xl/sharedStrings.xml", f'<sst xmlns="{main}">{shared}</sst>'),
        ("xl/worksheets/sheet1.xml", cells.replace("MAIN", main)), *more])


def open_sheet(rows, columns, text):
    """An open document whose one cell is said to stand there many times."""
    names = " ".join(f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"' for short in ("office", "table", "text"))
    cell = f'<table:table-cell table:number-columns-repeated="{columns}" office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
    return zipped([
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), ("META-INF/manifest.xml", "<manifest/>"),
        ("content.xml", f'<office:document-content {names}><office:body><office:spreadsheet><table:table table:name="log"><table:table-row table:number-rows-repeated="{rows}">{cell}</table:table-row></table:table></office:spreadsheet></office:body></office:document-content>')],
        zipfile.ZIP_STORED)


def cases(rng):
    log = table(900).encode()
    yield "nothing in it", archive([])
    yield "folders only", zipped([("a/", b""), ("a/b/", b"")])
    yield "a gigabyte of noughts", zipped([("log.csv", bytes(1_000_000_000))])
    yield "a gigabyte on one line", zipped([("log.csv", (ROWS + "1," * 500_000_000).encode())])
    yield "300 MB of rows", zipped([("log.csv", ROWS.encode() + b"1,51.2,40,4.0,800\n" * 17_000_000)])
    deep = log
    for level in range(30):
        deep = zipped([(f"{level}.zip" if level else "log.csv", deep)])
    yield "thirty archives deep", deep
    yield "gzip in zip in gzip in zip", zipped([("a.gz", gzip.compress(zipped([("b.gz", gzip.compress(log))])))])
    for name in ("../../../climbed.csv", "/climbed.csv", "..\\..\\climbed.csv", "C:\\climbed.csv", "a/../../climbed.csv", "climbed.csv\0.txt",
                 "\x1b[2J\x1b[31mred.csv", "\u202egpj.vsc", "n" * 65_000 + ".csv", "", "con", "=1+1.csv", "\r\n\r\nSet-Cookie: a"):
        yield f"a file named {ascii(name[:24])}", archive([local(name.encode(), log)])
    yield "one name twice", archive([local(b"log.csv", log), local(b"log.csv", table(900, 5.0).encode())])
    yield "two logs in it", zipped([("a.csv", log), ("b.csv", table(900, 5.0))])
    yield "ten thousand in it", zipped([(f"{i}.txt", b"x") for i in range(10_000)])
    yield "says 10 bytes, has 20 kB", archive([local(b"log.csv", log, plain=10)])
    yield "says 4 GB, has 20 kB", archive([local(b"log.csv", log, plain=0xFFFFFFFE)])
    yield "says more packed than there is", archive([local(b"log.csv", log, packed=0x7FFFFFFF)])
    yield "a wrong sum", archive([local(b"log.csv", log, crc=1)])
    one = local(b"log.csv", b"0" * 10_000_000)
    yield "a thousand entries over one", archive([one] + [(b"", one[1])] * 1000, at=[0] * 1001)
    yield "the directory points behind the end", archive([local(b"log.csv", log)], at=[0xFFFFFFF0])
    yield "locked", archive([local(b"log.csv", log, flags=1)])
    for method in (1, 9, 12, 14, 93, 95, 98, 99, 255):
        yield f"packed by method {method}", archive([local(b"log.csv", log, method=method)])
    big = struct.pack("<HHQQ", 1, 16, len(log), len(local(b"log.csv", log)[0]) - 37)
    yield "sizes in 64 bits", archive([local(b"log.csv", log, method=0, packed=0xFFFFFFFF, plain=0xFFFFFFFF,
                                             extra=struct.pack("<HHQQ", 1, 16, len(log), len(log)))])
    yield "sizes in 64 bits that lie", archive([local(b"log.csv", log, packed=0xFFFFFFFF, plain=0xFFFFFFFF, extra=big[:4] + b"\xff" * 16)])
    yield "sizes in 64 bits cut off", archive([local(b"log.csv", log, packed=0xFFFFFFFF, plain=0xFFFFFFFF, extra=b"\x01\x00\x10\x00\x01")])
    for end in ((2**64 - 1, 2**64 - 1, 2**64 - 1, 2**64 - 1), (1, 1, 2**63, 2**63), (2**40, 2**40, 60, 0), (0, 0, 0, 0)):
        yield f"an end in 64 bits, {end[0]}", archive([local(b"log.csv", log)], end64=end)
    good = archive([local(b"log.csv", log)])
    yield "counts 65535", archive([local(b"log.csv", log)], count=65535)
    yield "a long remark", archive([local(b"log.csv", log)], comment=b"PK\x05\x06" * 16_000)
    yield "something before it", b"#!/bin/sh\n" * 100 + good
    for share in range(1, 8):
        yield f"cut after {share} eighths", good[:len(good) * share // 8]
    for at in range(40):
        bad = bytearray(good)
        for _ in range(3):
            bad[rng.choice([rng.randrange(46), len(bad) - 1 - rng.randrange(100)])] = rng.randrange(256)
        yield f"three bytes changed, {at}", bytes(bad)
    cell = '<worksheet xmlns="MAIN"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>{}</t></is></c></row></sheetData></worksheet>'
    laughs = "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 10))
    yield "sheet: entities in entities", sheet(f'<!DOCTYPE w [<!ENTITY l0 "ha">{laughs}]>' + cell.format("&l9;"))
    yield "sheet: a file of the computer", sheet('<!DOCTYPE w [<!ENTITY f SYSTEM "file:///etc/passwd">]>' + cell.format("&f;"))
    yield "sheet: the last cell there is", sheet('<worksheet xmlns="MAIN"><sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>')
    yield "sheet: a cell beyond the last", sheet('<worksheet xmlns="MAIN"><dimension ref="A1:ZZZZZZ99999999"/><sheetData><row r="99999999"><c r="ZZZZZZ99999999"><v>1</v></c></row></sheetData></worksheet>')
    yield "sheet: a text that is none of its", sheet('<worksheet xmlns="MAIN"><sheetData><row r="1"><c r="A1" t="s"><v>4000000000</v></c></row></sheetData></worksheet>')
    yield "sheet: a gigabyte of noughts", sheet(cell.format("x"), more=[("xl/media/x.bin", bytes(1_000_000_000))])
    yield "sheet: 300 MB of one text", sheet(cell.format("x" * 300_000_000))
    yield "open sheet: a long text a million times", open_sheet(1000, 1000, "x" * 100_000)
    yield "open sheet: a cell 10^18 times", open_sheet(10**9, 10**9, "1")
    yield "sheet: elements in elements", sheet('<worksheet xmlns="MAIN">' + "<a>" * 1_000_000 + "</worksheet>")


def packed(tools, args, rng):
    folder = Path(tempfile.mkdtemp())
    env = {**os.environ, "WAKEWRIGHT_DATA": str(folder / "store"), "TMPDIR": str(folder / "tmp")}
    (folder / "tmp").mkdir()
    inner = folder / "a/b/c"
    inner.mkdir(parents=True)
    subprocess.run([args.program, "import", str(tools.ROOT / "examples/sea_campion.toml")], env=env, capture_output=True)
    measured = ("import os,resource,subprocess,sys\nd=subprocess.run(sys.argv[1:],capture_output=True)\n"
                "print(d.returncode,resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)\n"
                "sys.stdout.flush();os.write(1,d.stdout+d.stderr)")
    count = taken = told = bad = 0
    longest, most = (0.0, ""), (0, "")
    for name, data in cases(rng):
        path = inner / ("odd.ods" if name.startswith("open") else "odd.xlsx" if name.startswith("sheet") else "odd.zip")
        path.write_bytes(data)
        before = {str(p) for p in folder.rglob("*") if "store" not in p.parts}
        started = time.perf_counter()
        try:
            done = subprocess.run([sys.executable, "-c", measured, args.program, "trial", "import", str(path), "--boat", "Sea Campion"],
                                  cwd=inner, env=env, capture_output=True, timeout=120)
        except subprocess.TimeoutExpired:
            print(f"    {name}: 120 s and not at its end")
            bad += 1
            continue
        took = time.perf_counter() - started
        head, _, said = done.stdout.partition(b"\n")
        code, kilobytes = map(int, head.split())
        longest, most, count = max(longest, (took, name)), max(most, (kilobytes // 1000, name)), count + 1
        taken, told = taken + (code == 0), told + (code == 2)
        left = {str(p) for p in folder.rglob("*") if "store" not in p.parts} - before
        wrong = [what for what, is_so in (
            (f"exit {code}", code not in (0, 2)), ("a panic", b"panicked" in said), ("says nothing", len(said) < 20),
            (f"leaves {left}", bool(left)), ("control characters", any(byte < 32 and byte not in b"\n\t" for byte in said) or b"\xe2\x80\xae" in said),
            (f"{took:.1f} s", took > LONGEST_S), (f"{kilobytes // 1000} MB", kilobytes > 1000 * MOST_MB),
            ("a file of the computer", b"root:" in said)) if is_so]
        if args.loud or wrong:
            print(f"    {name}: exit {code}, {took:.2f} s, {kilobytes // 1000} MB: {wrong} {said[-300:]!r}", flush=True)
        bad += bool(wrong)
    tools.told("packed", "archives and sheets made to harm", count, f"longest {longest[0]:.1f} s ({longest[1]}), {most[0]} MB at most ({most[1]})",
               f"{taken} read, {told} refused with a reason, {bad} otherwise")


PARTS = {"packed": packed}
