#!/usr/bin/python3
"""Writes openpyxl.xlsx: the plain table with typed numbers and days, titles above, an empty column, a sheet of remarks."""
import datetime
from openpyxl import Workbook
from openpyxl.styles import Font

book = Workbook()
sheet = book.active
sheet.title = "Motors"
sheet["A1"] = "My motors"
sheet["A1"].font = Font(bold=True, size=16)
sheet.merge_cells("A1:D1")
head = ["Short name", "Manufacturer", "Designation", None, "Motor diameter (mm)", "Loaded weight (g)", "Delays (s)",
        "Throat (in)", "Throat measured on", "Certification expires", "Thrust curve", "Remarks"]
rows = [
    ["birch-38", "Überholz", "Birch 38", None, 38.1, 1234.5, "3, 5.5, 7", "3/32", "new", datetime.date(2028, 3, 31), "0:0 0.1:12.5 1.2:0", "first line\nsecond, line"],
    ["larch-29", "Überholz", '"Larch" 29', None, 28.575, None, None, 0.0635, "fired", datetime.datetime(2027, 12, 17, 9, 30), None, None],
]
for n, row in enumerate([head] + rows):
    for i, value in enumerate(row):
        if value is not None:
            sheet.cell(3 + n + (n > 0), 1 + i, value)
sheet["J5"].number_format = "DD/MM/YY"
remarks = book.create_sheet("Remarks")
remarks["B2"] = "all measured by myself"
book.save("openpyxl.xlsx")
