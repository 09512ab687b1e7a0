#!/bin/sh
# Writes libreoffice-*: a typed table as LibreOffice of several countries exports it.
# Wants soffice and python3 with openpyxl.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
/usr/bin/python3 - <<'P'
import datetime
from openpyxl import Workbook
book = Workbook()
s = book.active
s.title = "Motors"
s.append(["handle", "maker", "name", "diameter_mm", "mass_g", "throat_mm", "measured_on", "certified_until", "notes"])
s.append(["birch-38", "Überholz", "Birch 38", 38.1, 1234.5, 2.38125, "new", datetime.date(2028, 3, 31), "first line\nsecond, line"])
s.append(["larch-29", "Überholz", '"Larch" 29', 28.575, None, 1.6129, "fired", datetime.date(2027, 12, 17), None])
for c in ("H2", "H3"):
    s[c].number_format = "mm-dd-yy"  # the built-in format that each country shows its own way
book.save("src.xlsx")
P
# convert LOCALE FILTER ENDING
convert() {
	mkdir -p "profile-$1/user"
	cat > "profile-$1/user/registrymodifications.xcu" <<X
<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>$1</value></prop></item>
</oor:items>
X
	soffice -env:UserInstallation="file://$work/profile-$1" --headless --convert-to "$2" --outdir "out-$1" src.xlsx >/dev/null 2>&1
	cp "out-$1/src.$3" "$here/libreoffice-$1.$3"
}
csv='csv:Text - txt - csv (StarCalc)'
convert en-US "$csv:44,34,76,1,,0,false,true" csv     # commas, UTF-8
convert en-GB "$csv:124,34,76,1,,0,true,true" csv     # bars, all texts in quotes
convert de-DE "$csv:59,34,ANSI,1,,0,false,true" csv   # semicolons, decimal commas, Windows-1252
convert fr-FR "$csv:9,34,65535,1,,0,false,true" csv   # tabs, decimal commas, UTF-16
convert en-US "xlsx:Calc MS Excel 2007 XML" xlsx
convert fr-FR "xlsx:Calc MS Excel 2007 XML" xlsx
convert de-DE "xlsx:Calc MS Excel 2007 XML" xlsx
