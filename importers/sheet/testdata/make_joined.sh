#!/bin/sh
# Writes joined/*: headers joined with the cells above, percent formats, a sheet of
# remarks. Wants soffice and python3 with openpyxl.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
/usr/bin/python3 - <<'P'
from openpyxl import Workbook
book = Workbook()
r = book.active
r.title = "Remarks"
r.append(["Measured at home, in spring"])
r.append(["with the small bridge"])
s = book.create_sheet("My igniters")
s.append(["Igniters, all of them"])
s.append(["handle", "maker", "name", "Currents", None, "Bridge"])
s.append([None, None, None, "All-fire (A)", "No-fire (A)", "bridge_ohm", "bridge_tol_pct"])
s.append(["wick", "Tindervale", "Wick", 0.5, 0.2, 1.2, 0.05])
s.append(["reed", "Tindervale", "Reed", 0.7, None, 1.6, 0.075])
for joined in ("A1:G1", "A2:A3", "B2:B3", "C2:C3", "D2:E2", "F2:G2"):
    s.merge_cells(joined)
s["G4"].number_format = "0%"
s["G5"].number_format = "0.0%"
book.save("openpyxl.xlsx")
P
mkdir -p "$here/joined"
cp openpyxl.xlsx "$here/joined/"
mkdir out
soffice -env:UserInstallation="file://$work/profile" --headless --convert-to "xlsx:Calc MS Excel 2007 XML" --outdir out openpyxl.xlsx >/dev/null 2>&1
cp out/openpyxl.xlsx "$here/joined/libreoffice.xlsx"
