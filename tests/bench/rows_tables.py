"""The rows of rows.py, the same bytes, the fastest way known: digits from tables.

Whole words of four and eight digits are looked up and laid over rows that hold the last columns
already; digit by digit, with divisions, the same bytes take five times as long.  Fixed widths with
leading zeros, so that no row has a length of its own: less than the text stream does.  Arguments:
how many rows, and where to (nothing: nowhere).  Prints nanoseconds of processor time a row.
"""
import sys
import time

import numpy as np

BLOCK = 4096
WIDTH = 13  # "00300.123456,"
TAIL = b"weld,1,200.0,11.50,25.000,50.0,1,0,1,1,12,16\n"


def digits(count, places):
    """Of 0 to count - 1, a row of bytes each."""
    powers = 10 ** np.arange(places - 1, -1, -1)
    return (48 + np.arange(count)[:, None] // powers % 10).astype(np.uint8)


def words(parts, kind):
    """The bytes of parts side by side, each row as one number."""
    return np.ascontiguousarray(np.hstack(parts)).view(kind).ravel()


def constant(text, count):
    return np.tile(np.frombuffer(text, dtype=np.uint8), (count, 1))


WHOLE = words((digits(100000, 5), constant(b"\0\0\0", 100000)), "u8")
POINT = words((constant(b".", 1000), digits(1000, 3)), "u4")
COMMA = words((digits(1000, 3), constant(b",", 1000)), "u4")


def main():
    count = int(sys.argv[1])
    row = 5 * WIDTH + len(TAIL)
    out = np.empty((BLOCK, row), dtype=np.uint8)
    out[:, 5 * WIDTH:] = np.frombuffer(TAIL, dtype=np.uint8)

    def place(kind, at):
        return np.ndarray((BLOCK,), kind, out, at, (row,))

    # What a word of eight bytes has too much is overwritten by the decimals.
    places = [(place("u8", at), place("u4", at + 5), place("u4", at + 9))
              for at in range(0, 5 * WIDTH, WIDTH)]
    with open(sys.argv[2] if len(sys.argv) > 2 else "/dev/null", "wb", buffering=0) as to:
        start = time.process_time()
        for first in range(0, count, BLOCK):
            tick = np.arange(first, min(first + BLOCK, count), dtype=np.int64)
            angle = tick * 1.7e-4
            columns = (tick * 4000, (1e6 * (300 + 40 * np.cos(angle))).astype(np.int64),
                       (1e6 * (300 + 40 * np.sin(angle))).astype(np.int64),
                       500000000 - tick * 3, (1e6 * angle * 57.29577951308232).astype(np.int64))
            rows = len(tick)
            for values, (whole, point, comma) in zip(columns, places):
                thousands = values // 1000
                units = thousands // 1000
                whole[:rows] = WHOLE[units]
                point[:rows] = POINT[thousands - units * 1000]
                comma[:rows] = COMMA[values - thousands * 1000]
            to.write(out[:rows])
        print((time.process_time() - start) / count * 1e9)


main()
