"""Checks the workbook of a lot with another reader: numbers are the numbers of `midflank lot --json`, nothing is a formula, headings are
frozen. Then writes the readings with that program, as somebody else would, for midflank to read."""

import json
import os
import sys
from pathlib import Path

import openpyxl

os.chdir(sys.argv[1])
book = openpyxl.load_workbook("lot.xlsx")
assert book.sheetnames == ["Lot", "Characteristics", "Results", "Readings"], book.sheetnames
for sheet in book:
    assert sheet.freeze_panes == "A2", (sheet.title, sheet.freeze_panes)
    for row in sheet.iter_rows():
        for cell in row:
            assert cell.data_type != "f", (sheet.title, cell.coordinate)

*cells, _ = [json.loads(line) for line in Path("lot.ndjson").read_text().splitlines()]
rows = list(book["Results"].iter_rows(min_row=2))
assert len(rows) == len(cells) == 32, (len(rows), len(cells))
for row, cell in zip(rows, cells):
    assert row[0].value == cell["piece"]
    assert row[2].value == cell["size"] and row[2].number_format == "0.00000", row[2].number_format
    assert row[3].value == cell["expanded_uncertainty"]
    assert row[11].value == cell["entry"]

theirs = openpyxl.Workbook()
sheet = theirs.active
for row in book["Readings"].iter_rows(values_only=True):
    sheet.append(row)
theirs.save("theirs.xlsx")
print(f"lot.xlsx: {len(rows)} results and {sheet.max_row - 1} readings")
