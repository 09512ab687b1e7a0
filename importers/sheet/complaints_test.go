package sheet

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rangebox/importers"
	"rangebox/inventory"
)

// complaint is a file, and the one complaint that is made of it.
type complaint struct {
	name, file string
	opt        Options
	row        int
	column     string
	words      string // of the sentence, after the place
}

const motorHead = "handle,diameter_mm,throat_mm,delays_s,certified_until,curve\n"

func kind(k string) Options { return Options{Kind: k} }

var complaints = []complaint{
	// the file
	{name: "nothing but blanks in cells", file: "\"\",\"\"\n,\n", row: 0, words: "no sheet of the file holds anything"},
	{name: "an archive", file: `{"format": "rangebox-archive"}`, row: 0, words: "this is an archive, not a sheet"},
	{name: "an open quote", file: "handle,notes\na-8,\"never\nclosed\n", row: 2, words: "found a quote that is never closed"},
	{name: "rubbish behind a quote", file: "handle,notes\na-8,\"x\" y\n", row: 2, words: `found " y" after a closing quote, expected the delimiter`},
	{name: "rubbish behind the last quote", file: "handle,notes\na-8,\"x\"y", row: 2, words: `found "y" after a closing quote`},
	{name: "an endless cell", file: "handle,notes\na-8,\"" + strings.Repeat("x", 17<<20) + "\"\n", row: 2, words: "found a cell of more than 16 MiB"},
	{name: "too many columns", file: "handle,name\n" + strings.Repeat(",", 17_000), row: 2, words: "found more cells than a table has, expected 16384 columns and 8 million cells at most"},
	{name: "damaged UTF-8", file: "\ufeffhandle,name\na-8,\xe4\n", row: 2, words: "the byte 0xe4 is not UTF-8, as its mark says"},
	{name: "no encoding", file: "handle,name\na-8,\x81\n", row: 2, words: "the byte 0x81 is not UTF-8, UTF-16 or Windows-1252 text"},
	// headers
	{name: "no headers", file: "red,green\n1,2\n", row: 1, words: `no row of headers is known among the first rows, which begin with "red", "green"; head the columns`},
	{name: "no headers of that kind", file: "red,green\n1,2\n", opt: kind("motor"), row: 1, words: "no row of headers is known"},
	{name: "unknown header", file: "handle,diameter_mm,Colour\na-8,18,red\n", row: 1, column: `column C "Colour"`, words: `"Colour" is not known as a header of a motor; say --map "Colour=`},
	{name: "near a header", file: "handle,diameter_mm,trhoat\na-8,18,2.4\n", row: 1, column: `column C "trhoat"`, words: `"trhoat" is not known as a header of a motor; say --map "trhoat=throat_mm", or --map "trhoat=-" to leave it out`},
	{name: "a word that is no unit", file: "Igniter,Output,Head lgth\nwick,low,3 mm\n", row: 1, column: `column C "Head lgth"`, words: `"Head lgth" looks like head_length_mm; say --map "Head lgth=head_length_mm"`},
	{name: "a unit that does not suit", file: "handle,diameter_mm,Throat (g)\na-8,18,2.4\n", row: 1, column: `column C "Throat (g)"`, words: `"Throat (g)" looks like throat_mm, but "g" is no unit of it; write its unit in brackets, as in "Throat (mm)", or in the cells, or --map "Throat (g)=-" to leave it out`},
	{name: "a mapped unit that may be a word", file: "handle,diameter_mm,Hole m\na-8,18,2.4\n", opt: Options{Map: map[string]string{"Hole m": "throat_mm"}}, row: 1, column: `column C "Hole m"`, words: `"Hole m" may be in "m" or not, and is mapped to throat_mm; write its unit in brackets, as in "Hole (m)" or "Hole (mm)", or in the cells, or --map "Hole m=-" to leave it out`},
	{name: "a mapped unit of another quantity", file: "handle,diameter_mm,Hole g\na-8,18,2.4\n", opt: Options{Map: map[string]string{"Hole g": "throat_mm"}}, row: 1, column: `column C "Hole g"`, words: `"Hole g" says "g", which is no unit of throat_mm that it is mapped to; write its unit in brackets, as in "Hole (mm)", or in the cells`},
	{name: "a unit of what is counted", file: "item,kind,Qty (V)\na-8,motor,2\n", row: 1, column: `column C "Qty (V)"`, words: `"Qty (V)" looks like quantity, but "V" is no unit of it; head it "Qty", without a unit, or --map "Qty (V)=-" to leave it out`},
	{name: "a mapped unit of what is counted", file: "item,kind,Qty (V)\na-8,motor,2\n", opt: Options{Map: map[string]string{"Qty (V)": "quantity"}}, row: 1, column: `column C "Qty (V)"`, words: `"Qty (V)" says "V", which is no unit of quantity that it is mapped to; head it "Qty", without a unit, or --map "Qty (V)=-"`},
	{name: "parts of an inch", file: "handle,diameter_mm,Throat (64ths)\na-8,18,6\n", row: 1, column: `column C "Throat (64ths)"`, words: `"Throat (64ths)" speaks of parts of a unit; write fractions of an inch below "Throat (in)", as in 3/32, or decimals below "Throat (mm)", or --map "Throat (64ths)=-" to leave it out`},
	{name: "parts of an inch, with the inch", file: "handle,diameter_mm,Throat (1/32 in)\na-8,18,3\n", row: 1, column: `column C "Throat (1/32 in)"`, words: `"Throat (1/32 in)" speaks of parts of a unit; write fractions`},
	{name: "mapped parts of an inch", file: "handle,diameter_mm,Throat (64ths)\na-8,18,6\n", opt: Options{Map: map[string]string{"Throat (64ths)": "throat_mm"}}, row: 1, column: `column C "Throat (64ths)"`, words: `"Throat (64ths)" speaks of parts of a unit; write fractions of an inch below "Throat (in)"`},
	{name: "mapped parts of an inch, with the inch", file: "handle,diameter_mm,Throat (1/32 in)\na-8,18,3\n", opt: Options{Map: map[string]string{"Throat (1/32 in)": "throat_mm"}}, row: 1, column: `column C "Throat (1/32 in)"`, words: `"Throat (1/32 in)" speaks of parts of a unit`},
	{name: "mapped parts of an inch, without brackets", file: "handle,diameter_mm,Hole 1/32 in\na-8,18,3\n", opt: Options{Map: map[string]string{"Hole 1/32 in": "throat_mm"}}, row: 1, column: `column C "Hole 1/32 in"`, words: `"Hole 1/32 in" speaks of parts of a unit`},
	{name: "tenths of a second", file: "handle,diameter_mm,Lag (1/10 s)\na-8,18,3\n", row: 1, column: `column C "Lag (1/10 s)"`, words: `"Lag (1/10 s)" speaks of parts of a unit; write the whole values below "Lag (s)"`},
	{name: "grain or gram in a header", file: "handle,diameter_mm,Weight (gr)\na-8,18,6\n", row: 1, column: `column C "Weight (gr)"`, words: `"Weight (gr)" has the unit "gr", which may be grain or gram; write its unit in brackets, as in "Weight (grain)" or "Weight (g)", or in the cells, or --map "Weight (gr)=-" to leave it out`},
	{name: "grain or gram in a mapped header", file: "handle,diameter_mm,Weight (gr)\na-8,18,6\n", opt: Options{Map: map[string]string{"Weight (gr)": "mass_g"}}, row: 1, column: `column C "Weight (gr)"`, words: `"Weight (gr)" has the unit "gr", which may be grain or gram`},
	{name: "grain or gram behind a mapped header", file: "handle,diameter_mm,Gewicht gr.\na-8,18,6\n", opt: Options{Map: map[string]string{"Gewicht gr.": "mass_g"}}, row: 1, column: `column C "Gewicht gr."`, words: `"Gewicht gr." has the unit "gr", which may be grain or gram; write its unit in brackets, as in "Gewicht (grain)"`},
	{name: "grain or gram of an amount", file: "item,kind,Qty (gr)\na-8,motor,2\n", row: 1, column: `column C "Qty (gr)"`, words: `"Qty (gr)" has the unit "gr"`},
	{name: "a burn time", file: "handle,diameter_mm,Burn time (s)\na-8,18,1.6\n", row: 1, column: `column C "Burn time (s)"`, words: `"Burn time (s)" is not known as a header of a motor; say --map "Burn time (s)=our_field", or --map "Burn time (s)=-" to leave it out`},
	{name: "a unit behind another", file: "handle,mass_g,diameter mm (in)\na-8,20,18\n", row: 1, column: `column C "diameter mm (in)"`, words: `"diameter mm (in)" says two units, "mm" and "in"; write one of them, or --map "diameter mm (in)=-" to leave it out`},
	{name: "minutes or the least", file: "handle,diameter_mm,Delay (min)\na-8,18,3\n", row: 1, column: `column C "Delay (min)"`, words: `"Delay (min)" looks like delays_s, but "min" may be minutes or the least; write its unit in brackets, as in "Delay (minutes)" or "Delay (s)", or in the cells`},
	{name: "a unit of a text", file: "handle,diameter_mm,Nozzle (mm)\na-8,18,2.4\n", row: 1, column: `column C "Nozzle (mm)"`, words: `"Nozzle (mm)" looks like nozzle, which is no number, but "mm" is a unit; say --map "Nozzle (mm)=our_field"`},
	{name: "two columns of one field", file: "handle,throat_mm,Nozzle throat (in)\na-8,2.4,0.1\n", row: 1, column: `column C "Nozzle throat (in)"`, words: `"Nozzle throat (in)" is throat_mm, and so is column B "throat_mm"; map one of them to another field; say --map "Nozzle throat (in)=our_field"`},
	{name: "two kinds", file: "handle,name,notes\na-8,x,y\n", row: 1, words: `these headers may be of a supply, an igniter, a motor`},
	{name: "mapped to what the kind lacks", file: "handle,diameter_mm,X\na-8,18,2\n", opt: Options{Map: map[string]string{"X": "all_fire_a"}}, row: 1, column: `column C "X"`, words: `"X" is mapped to "all_fire_a", which a motor does not have`},
	{name: "mapped, but not there", file: "handle,diameter_mm\na-8,18\n", opt: Options{Map: map[string]string{"Bore": "diameter_mm"}}, row: 0, words: `--map names the header "Bore", which the file does not have`},
	{name: "a cell without a header", file: "handle,diameter_mm\na-8,18,4\n", row: 2, column: "column C", words: `"4" stands in a column without a header; head it, or put cells that hold the delimiter in quotes`},
	// numbers
	{name: "no number", file: motorHead + "a-8,wide,,,,\n", row: 2, column: `column B "diameter_mm"`, words: `"wide" is not a number; give a length in mm, cm`},
	{name: "zero", file: motorHead + "a-8,0,,,,\n", row: 2, column: `column B "diameter_mm"`, words: "0 stands here, where a number must be above 0; leave the cell empty where it is not known"},
	{name: "zero throat", file: motorHead + "a-8,,0,,,\n", row: 2, column: `column C "throat_mm"`, words: "0 stands here"},
	{name: "zero delay", file: motorHead + "a-8,,,\"3, 0.0\",,\n", row: 2, column: `column D "delays_s"`, words: `"0.0" is no delay but a head end`},
	{name: "a booster's delay", file: motorHead + "a-8,,,\"3, 0\",,\n", row: 2, column: `column D "delays_s"`, words: `"0" is no delay but a head end; write it in a column head_ends (plugged, or open for a booster), and delays alone here`},
	{name: "a plugged motor's delay", file: motorHead + "a-8,,,P,,\n", row: 2, column: `column D "delays_s"`, words: `"P" is no delay but a head end`},
	{name: "delays and plugged", file: motorHead + "a-8,,,4 7 P,,\n", row: 2, column: `column D "delays_s"`, words: `"P" is no delay but a head end`},
	{name: "delays with dashes", file: motorHead + "a-8,,,4-7-10,,\n", row: 2, column: `column D "delays_s"`, words: `"4-7-10" is not a number; separate several with spaces, as in "4 7 10"`},
	{name: "two marks for thousands", file: "handle,diameter_mm,mass_g\na-8,18,\"1,234,567\"\n", row: 2, column: `column C "mass_g"`, words: `"1,234,567" has marks for thousands; write it without them`},
	{name: "a mark for thousands and a point", file: "handle,diameter_mm,mass_g\na-8,18,\"1,234.5\"\n", row: 2, column: `column C "mass_g"`, words: `"1,234.5" has marks for thousands; write it without them`},
	{name: "a fraction below no unit", file: "handle,diameter_mm,Length\na-8,18,3/32\n", row: 2, column: `column C "Length"`, words: `"3/32" may be a fraction of an inch; write its unit, as in "3/32 in" or in brackets behind the header`},
	{name: "below zero", file: motorHead + "a-8,-18,,,,\n", row: 2, column: `column B "diameter_mm"`, words: "diameter_mm is -18; it must be above 0"},
	{name: "too wide", file: motorHead + "a-8,,101,,,\n", row: 2, column: `column C "throat_mm"`, words: "throat_mm is 101; it can be at most 100"},
	{name: "unknown unit", file: motorHead + "a-8,18 g,,,,\n", row: 2, column: `column B "diameter_mm"`, words: `"18 g" has an unknown unit "g"`},
	{name: "no such drill", file: motorHead + "a-8,,#81,,,\n", row: 2, column: `column C "throat_mm"`, words: `"#81" is not a number drill; they go from #1 to #80`},
	{name: "no unit anywhere", file: "handle,Diameter\na-8,18\n", opt: kind("motor"), row: 2, column: `column B "Diameter"`, words: `"18" has no unit, and neither has its header; write the unit in brackets behind the header, as in "Diameter (mm)", or in the cell (mm)`},
	{name: "a wire without a unit", file: "handle,all_fire_a,Wire\nwick,0.5,24\n", row: 2, column: `column C "Wire"`, words: `"24" has no unit, and neither has its header; write the unit in brackets behind the header, as in "Wire (AWG)", or in the cell (AWG or mm2 or ohm/m)`},
	{name: "a wire that is none", file: "handle,all_fire_a,Wire\nwick,0.5,24g\n", row: 2, column: `column C "Wire"`, words: `found "24g", expected a quantity with its unit: AWG or mm2 or ohm/m`},
	{name: "a comma in a comma file", file: "handle,diameter_mm,mass_g\na-8,18.5,\"1,234\"\n", row: 2, column: `column C "mass_g"`, words: `"1,234" has a comma where others of the sheet have a point; write it without the mark for thousands, or with a decimal point`},
	{name: "a thousand or a decimal", file: "handle\tdiameter_mm\tmass_g\na-8\t18\t1,234\n", row: 2, column: `column C "mass_g"`, words: `"1,234" may be 1.234 or 1234; write it without a comma`},
	{name: "a point among commas", file: "handle;diameter_mm;mass_g\na-8;18.5;1,5\n", row: 2, column: `column B "diameter_mm"`, words: `"18.5" has a point where others of the sheet have a comma; write all of them one way`},
	{name: "a point that may be of thousands", file: "handle;diameter_mm;mass_g\na-8;18,5;1.250\n", row: 2, column: `column C "mass_g"`, words: `"1.250" may be 1,25 or 1250; write it with the decimal comma, or without a mark for thousands`},
	{name: "points of thousands", file: "handle;diameter_mm;mass_g\na-8;18,5;1.250.000\n", row: 2, column: `column C "mass_g"`, words: `"1.250.000" has marks for thousands; write it without them`},
	{name: "commas and points", file: "handle\tdiameter_mm\tmass_g\na-8\t18.5\t1,5\n", row: 2, column: `column C "mass_g"`, words: `"1,5" has a comma where others of the sheet have a point; write all of them one way`},
	{name: "marks for thousands", file: "handle;diameter_mm;mass_g\na-8;18;1,234,567\n", row: 2, column: `column C "mass_g"`, words: `"1,234,567" has marks for thousands; write it without them`},
	{name: "one delay or two", file: "handle\tdiameter_mm\tdelays_s\na-8\t18\t3,5\n", row: 2, column: `column C "delays_s"`, words: `"3,5" may be one value with a decimal comma or several; separate several with spaces`},
	{name: "one delay or two, and others", file: "handle\tdiameter_mm\tdelays_s\na-8\t18\t3,5 7/9\n", row: 2, column: `column C "delays_s"`, words: `"3,5 7/9" may be one value with a decimal comma or several`},
	{name: "one delay or two, with a blank behind another comma", file: "handle\tdiameter_mm\tdelays_s\na-8\t18\t3,5, 7\n", row: 2, column: `column C "delays_s"`, words: `"3,5, 7" may be one value with a decimal comma or several`},
	{name: "a throat with a decimal comma, or two", file: "handle,Throat (mm)\na-8,\"2,1\"\n", row: 2, column: `column B "Throat (mm)"`, words: `"2,1" may be one value with a decimal comma or several; separate several with spaces, or write the one with a decimal point`},
	{name: "a throat with a decimal comma, or two, and its unit", file: "handle,Throat (mm)\na-8,\"2,1 mm\"\n", row: 2, column: `column B "Throat (mm)"`, words: `"2,1 mm" may be one value`},
	{name: "a throat with a decimal comma, and another", file: "handle,Throat (mm)\na-8,\"2,1 mm / 3 mm\"\n", row: 2, column: `column B "Throat (mm)"`, words: `"2,1 mm / 3 mm" may be one value`},
	{name: "two delays or four", file: motorHead + "a-8,,,\"3,5/7,5\",,\n", row: 2, column: `column D "delays_s"`, words: `"3,5/7,5" may be one value with a decimal comma or several`},
	{name: "two delays or four, with their unit", file: motorHead + "a-8,,,\"3,5 s 7,5 s\",,\n", row: 2, column: `column D "delays_s"`, words: `"3,5 s 7,5 s" may be one value`},
	{name: "a fraction of an inch or two values", file: "handle,Throat (mm),diameter_mm\na-8,3/32,18\n", row: 2, column: `column B "Throat (mm)"`, words: `"3/32" may be a fraction of an inch or two values; write its unit, or separate values with spaces`},
	{name: "a quarter of an inch or two values", file: "handle,Throat (mm),diameter_mm\na-8,1/4,18\n", row: 2, column: `column B "Throat (mm)"`, words: `"1/4" may be a fraction of an inch or two values`},
	{name: "an inch and a quarter below mm", file: "handle,Throat (mm),diameter_mm\na-8,1 1/4,18\n", row: 2, column: `column B "Throat (mm)"`, words: `"1 1/4" may be a fraction of an inch or two values`},
	{name: "a fraction of a millimetre", file: "handle,diameter_mm\na-8,1 1/4\n", row: 2, column: `column B "diameter_mm"`, words: `"1 1/4" may be a fraction of an inch; write its unit, or a decimal`},
	{name: "a point of thousands or not", file: "handle\tdiameter_mm\tmass_g\na-8\t18\t1.200\n", row: 2, column: `column C "mass_g"`, words: `"1.200" may be 1.200 or 1200; write it without the mark, or with another number of decimals`},
	{name: "a point of thousands or not, with its unit", file: "handle\tdiameter_mm\tmass_g\na-8\t18\t1.200 g\n", row: 2, column: `column C "mass_g"`, words: `"1.200 g" may be 1.200 g or 1200 g`},
	{name: "points among commas, in a list", file: "handle;diameter_mm;throat_mm\na-8;18,5;1.200 3\n", row: 2, column: `column C "throat_mm"`, words: `"1.200" may be 1,2 or 1200`},
	{name: "a line break in a cell above", file: "handle,notes,diameter_mm\na-8,\"two\nlines\",18\n\nb-4,,x\n", row: 4, column: `column C "diameter_mm"`, words: `"x" is not a number`},
	{name: "a line that names the separator", file: "sep=;\nhandle;diameter_mm\na-8;x\n", row: 2, column: `column B "diameter_mm"`, words: `"x" is not a number`},
	{name: "an open quote below a line break", file: "handle,notes\na-8,\"two\nlines\"\nb-4,\"never\nclosed\n", row: 3, words: "found a quote that is never closed"},
	{name: "a cable of two wires", file: "handle,all_fire_a,lead_awg\nwick,0.5,24/2\n", row: 2, column: `column C "lead_awg"`, words: `"24/2" may be a fraction or two values; write decimals`},
	{name: "a cable of two wires, with its unit", file: "handle,all_fire_a,Wire\nwick,0.5,24/2 AWG\n", row: 2, column: `column C "Wire"`, words: `"24/2 AWG" may be a fraction or two values; write decimals`},
	{name: "two lengths in inches", file: "handle,all_fire_a,Leads (in)\nwick,0.5,11/22\n", row: 2, column: `column C "Leads (in)"`, words: `"11/22" may be a fraction or two values`},
	{name: "two throats in inches", file: "handle,diameter_mm,Throat (in)\na-8,18,1/3\n", row: 2, column: `column C "Throat (in)"`, words: `"1/3" may be a fraction or two values`},
	{name: "two throats as fractions", file: "handle\tdiameter_mm\tThroat (in)\na-8\t18\t1/2\"/1/2\"\n", row: 2, column: `column C "Throat (in)"`, words: `may be a fraction or two values; write decimals`},
	{name: "a throat said twice", file: "handle,diameter_mm,throat_mm\na-8,18,2.4mm/0.094in\n", row: 2, column: `column C "throat_mm"`, words: `"2.4mm/0.094in" has two units, and may be one value said twice; write each value once, in one unit`},
	{name: "a throat said twice, the header's unit last", file: "handle,diameter_mm,Throat (in)\na-8,18,2.4mm 0.094\n", row: 2, column: `column C "Throat (in)"`, words: `"2.4mm 0.094" has two units`},
	{name: "a throat said twice, the header's unit first", file: "handle,diameter_mm,throat_mm\na-8,18,2.4 / 0.094 in\n", row: 2, column: `column C "throat_mm"`, words: `"2.4 / 0.094 in" has two units`},
	{name: "two voltages", file: "handle,chemistry,low_v\nbig,alkaline,6/8\n", row: 2, column: `column C "low_v"`, words: `"6/8" may be a fraction or two values`},
	{name: "an inch and a quarter with more blanks", file: "handle,diameter_mm\na-8,1  1/4\n", row: 2, column: `column B "diameter_mm"`, words: `"1  1/4" may be a fraction of an inch`},
	{name: "a mass for a propellant", file: "handle,diameter_mm,Propellant\na-8,18,12.5 g\n", row: 2, column: `column C "Propellant"`, words: `"12.5 g" is a number, and the column is read as propellant; head it with its field and its unit`},
	{name: "a day for who certifies", file: "handle,diameter_mm,Certified\na-8,18,2028-03-31\n", row: 2, column: `column C "Certified"`, words: `"2028-03-31" is a date, and the column is read as who certifies; head it "certified_until" if it is the last day`},
	{name: "points of thousands in a curve", file: "handle;diameter_mm;curve\na-8;18,5;0:0 0,5:1.250 1:0\n", row: 2, column: `column C "curve"`, words: `"1.250" may be 1,25 or 1250`},
	{name: "a row of some sums", file: "Name,diameter_mm,mass_g\na-8,18,20\nSubtotal 18 mm,,20\n", row: 3, words: `this looks like a row of sums ("subtotal-18-mm")`},
	{name: "a row of sums that says of what", file: "Name,diameter_mm,mass_g\na-8,18,20\nTotal motors: 1,,20\n", row: 3, words: `this looks like a row of sums ("total-motors-1")`},
	{name: "a row of counts", file: "Name,diameter_mm,mass_g\na-8,18,20\nCount,2,2\n", row: 3, words: `this looks like a row of sums ("count")`},
	{name: "a row of the most", file: "Name,diameter_mm,mass_g\na-8,18,20\nMax,18,20\n", row: 3, words: `this looks like a row of sums ("max")`},
	{name: "a row of the least", file: "Name,diameter_mm,mass_g\na-8,18,20\nMin.,18,20\n", row: 3, words: `this looks like a row of sums ("min")`},
	{name: "a row of means", file: "Name,diameter_mm,mass_g\na-8,18,20\nAvg weight,18,20\n", row: 3, words: `this looks like a row of sums ("avg-weight")`},
	{name: "a row of all together", file: "Name,diameter_mm,mass_g\na-8,18,20\nInsgesamt,18,20\n", row: 3, words: `this looks like a row of sums ("insgesamt")`},
	{name: "a row of sums of a maker", file: "Maker,Name,diameter_mm,mass_g\nUlme,a-8,18,20\nUlme,Total,,20\n", row: 3, words: `this looks like a row of sums ("total")`},
	{name: "a row of counts of lots", file: "Motor,Qty\na-8,18\nCount,2\n", row: 3, column: `column A "Motor"`, words: `this looks like a row of sums ("count")`},
	{name: "a row of sums", file: "Name,diameter_mm,mass_g\na-8,18,20\nTotal,,20\n", row: 3, column: ``, words: `this looks like a row of sums ("total"), not a record; take it out of the sheet, or give it another name`},
	{name: "nothing but separators", file: motorHead + "a-8,,,//,,\n", row: 2, column: `column D "delays_s"`, words: `found "//", expected a list of numbers in s`},
	{name: "two currencies", file: "item,kind,quantity,Price (EUR)\na-8,motor,1,1.50\nb-4,motor,1,$2\n", row: 3, column: `column D "Price (EUR)"`, words: `"$2" is not in EUR as the others are; a box has one currency`},
	{name: "a mass of motors", file: "item,kind,quantity\na-8,motor,6 g\n", row: 2, column: `column C "quantity"`, words: `"6 g" is a mass, and motors are counted in pieces; write how many there are, without a unit of mass in the cell or its header`},
	{name: "a mass of igniters in the header", file: "Igniter,Qty (g)\nwick,6\n", opt: kind("lot"), row: 2, column: `column B "Qty (g)"`, words: `"6" is a mass, and igniters are counted in pieces`},
	{name: "a mass of batteries, with an exponent", file: "Battery,Qty\nbig,1e1 oz\n", opt: kind("lot"), row: 2, column: `column B "Qty"`, words: `"1e1 oz" is a mass, and batteries are counted in pieces`},
	{name: "a mass of what is counted", file: "handle,unit,level\nwadding,piece,1 oz\n", opt: kind("supply"), row: 2, column: `column C "level"`, words: `"1 oz" is a mass, and the supply wadding is counted in pieces`},
	{name: "pieces of powder", file: "handle,unit,level\npowder,g,5 pcs\n", opt: kind("supply"), row: 2, column: `column C "level"`, words: `"5 pcs" is a number of pieces, and the supply powder is counted in grams; write its mass`},
	{name: "grain or gram of a supply", file: "Supply,Qty\npowder,6 gr\n", opt: kind("lot"), row: 2, column: `column B "Qty"`, words: `"6 gr" has the unit "gr", which may be grain or gram`},
	// dates
	{name: "either order", file: motorHead + "a-8,,,,03/04/2027,\n", row: 2, column: `column E "certified_until"`, words: `"03/04/2027" may be 2027-04-03 or 2027-03-04, and no date of the column decides; write it as one of these`},
	{name: "both orders", file: motorHead + "a,,,,13/04/2027,\nb,,,,04/13/2027,\nc,,,,03/04/2027,\n", row: 4, column: `column E "certified_until"`, words: `"03/04/2027" may be 2027-04-03 or 2027-03-04, and the column has both orders; write 2027-04-17`},
	{name: "two digits of a year", file: motorHead + "a-8,,,,17/04/27,\n", row: 2, column: `column E "certified_until"`, words: `"17/04/27" has a year of two digits; write all four`},
	{name: "no month", file: motorHead + "a-8,,,,13/2027,\n", row: 2, column: `column E "certified_until"`, words: `"13/2027" is not a month that exists`},
	{name: "no date", file: motorHead + "a-8,,,,soon,\n", row: 2, column: `column E "certified_until"`, words: `"soon" is not a date; write 2027-04-17, 17 Apr 2027, or 2027-04`},
	{name: "no such day", file: motorHead + "a-8,,,,29 Feb 2027,\n", row: 2, column: `column E "certified_until"`, words: `"29 Feb 2027" is not a day that exists`},
	{name: "no such month", file: motorHead + "a-8,,,,Foo 2027,\n", row: 2, column: `column E "certified_until"`, words: `"Foo 2027" is not a date`},
	{name: "a serial number in a text", file: motorHead + "a-8,,,,46500,\n", row: 2, column: `column E "certified_until"`, words: `"46500" is not a date`},
	// words
	{name: "unknown word", file: "handle,diameter_mm,ignition\na-8,18,hot\n", row: 2, column: `column C "ignition"`, words: `found "hot", expected one of low, medium, high`},
	{name: "unknown word of several", file: "handle,diameter_mm,head_ends\na-8,18,delay shut\n", row: 2, column: `column C "head_ends"`, words: `found "shut", expected a list of delay, open, plugged`},
	{name: "no flag", file: "name,unit,reusable\nwadding,piece,maybe\n", opt: kind("supply"), row: 2, column: `column C "reusable"`, words: `found "maybe", expected yes or no, or nothing where it is not known`},
	{name: "no handle of it", file: "item,kind,quantity\n+++,motor,1\n", row: 2, column: `column A "item"`, words: `"+++" is no handle, and none can be made of it`},
	{name: "no handle", file: "handle,diameter_mm\na 8!,18\n", opt: kind("motor"), row: 2, column: `column A "handle"`, words: `"a 8!" is not a handle; use 1 to 40 of a-z`},
	{name: "no id", file: "id,item,kind,quantity\n17,a-8,motor,1\n", row: 2, column: `column A "id"`, words: `found "17", expected an id of the form`},
	{name: "too long", file: "handle,diameter_mm,notes\na-8,18," + strings.Repeat("x", 64<<10+1) + "\n", row: 2, column: `column C "notes"`, words: "notes is longer than 64 KiB"},
	{name: "no pair", file: motorHead + "a-8,,,,,0:0 1\n", row: 2, column: `column F "curve"`, words: `found "1", expected pairs of seconds and newtons, 0:0 0.1:12.5 1.2:0`},
	{name: "no numbers in a pair", file: motorHead + "a-8,,,,,0:x\n", row: 2, column: `column F "curve"`, words: `"x" is not a number; give a force`},
	{name: "times that do not rise", file: motorHead + "a-8,,,,,0:0 1:5 1:6\n", row: 2, column: `column F "curve"`, words: "the curve's times do not rise at point 3"},
	// JSON
	{name: "no JSON", file: "handle,rail_m,stages\nx,1,two\n", row: 2, column: `column C "stages"`, words: `found "two", expected the JSON that an archive has for stages`},
	{name: "JSON of another kind", file: "handle,rail_m,stages\nx,1,\"[{\"\"nam\"\": 1}]\"\n", row: 2, column: `column C "stages"`, words: `stages[0].nam: unknown field "nam" of a stage; did you mean "name"?`},
	// records
	{name: "neither handle nor name", file: "diameter_mm,length_mm\n18,70\n", row: 2, words: "the row has neither handle nor name to call it by"},
	{name: "a handle twice", file: "handle,all_fire_a\nwick,0.5\nwick,0.6\n", row: 3, column: `column A "handle"`, words: `the igniter "wick" is there twice, first in row 2`},
	{name: "a motor twice", file: "handle,diameter_mm\na-8,18\na-8,18\n", row: 3, words: "the motor of row 2 is here again, without another nozzle; take one of the rows out"},
	{name: "a motor twice with its throat", file: "handle,throat_mm\na-8,1.3\nb-4,2\na-8,1.3\n", row: 4, words: `the motor stands in row 2 already with a throat of 1.3 mm; take one of the rows out, or give each nozzle a name of its own`},
	{name: "a motor twice with its nozzle", file: "handle,nozzle,throat_mm\na-8,small,1.3\na-8,small,1.4\n", row: 3, words: `the motor stands in row 2 already with a nozzle "small"; take one of the rows out`},
	{name: "a remark below the records", file: "Name,diameter_mm,mass_g\na-8,18,20\nlast counted in May,,\n", row: 3, column: `column A "Name"`, words: `"last counted in May" looks like a remark, since nothing else stands in its row; take the row out, or fill in what is known of the motor`},
	{name: "a motor with two diameters", file: "handle,diameter_mm,throat_mm\na-8,18,2\na-8,19,3\n", row: 3, column: `column B "diameter_mm"`, words: `found "19", where row 2 of the same motor has "18"`},
	{name: "a motor with two curves", file: "handle,curve,throat_mm\na-8,0:0 1:0,2\na-8,0:0 2:0,3\n", row: 3, words: "the motor's curve stands in row 2 too; one with another nozzle belongs under nozzle_curve"},
	{name: "several throats of one nozzle", file: "handle,nozzle,throat_mm\na-8,small,2 3\n", row: 2, column: `column C "throat_mm"`, words: `"2 3" are several throats for one nozzle with a name; give each nozzle a row`},
	{name: "fields that contradict", file: "handle,open_circuit_v,low_v\nbig,9,12\n", row: 2, column: `column C "low_v"`, words: "low_v 12 is above open_circuit_v 9"},
	{name: "a lot of no kind", file: "item,quantity,expires\na-8,3,2027-04\n", row: 2, column: `column A "item"`, words: `nothing says of what kind "a-8" is; add a column Kind (motor, igniter, battery, supply), or head this one Motor, Igniter, Battery or Supply`},
	{name: "a lot of nothing", file: "item,kind,quantity\n,motor,3\n", row: 2, column: "", words: "a lot needs kind and item; its kind is motor or igniter or battery or supply"},
	{name: "a lot of an unknown kind", file: "item,kind,quantity\na-8,rocket,3\n", row: 2, column: `column B "kind"`, words: `found "rocket", expected one of motor, igniter, battery, supply`},
	{name: "a row of sums of lots", file: "Item,Kind,Quantity\na-8,motor,3\nTotal,,3\n", row: 3, column: `column A "Item"`, words: `this looks like a row of sums ("total"), not a record; take it out of the sheet, or give it another name`},
	{name: "a row of sums of motors", file: "Motor,Quantity,Expires\na-8,3,2027-04\nTotal:,3,x\n", row: 3, column: `column A "Motor"`, words: `this looks like a row of sums ("total")`},
}

// TestComplaints holds every complaint to its place and its words.
func TestComplaints(t *testing.T) {
	for _, c := range complaints {
		t.Run(c.name, func(t *testing.T) {
			issues := issuesOf(t, c.file, c.opt)
			if c.words == "" {
				return
			}
			if len(issues) != 1 {
				t.Fatalf("want one complaint, got %v", issues)
			}
			got := issues[0]
			if got.File != "stock.csv" || got.Row != c.row || c.column != "" && got.Column != c.column {
				t.Errorf("place: got %s row %d %q, want row %d %q", got.File, got.Row, got.Column, c.row, c.column)
			}
			if !strings.Contains(got.Error(), c.words) {
				t.Errorf("words: got %q, want %q", got.Error(), c.words)
			}
			if !errors.Is(got, inventory.ErrInvalid) {
				t.Errorf("class: %v", got)
			}
		})
	}
}

func issuesOf(t *testing.T, file string, opt Options) importers.Issues {
	t.Helper()
	got, err := Read(strings.NewReader(file), "stock.csv", opt)
	if err == nil {
		err = got.Err()
	}
	if err == nil {
		t.Fatal("nothing was complained of")
	}
	issues, ok := importers.AsIssues(err)
	if !ok {
		t.Fatalf("no issues but %v", err)
	}
	return issues
}

// workbooks are complaints that only a workbook can draw; the sheet's second row
// is what is wrong.
var workbookComplaints = []complaint{
	{name: "a formula without its value", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2"><f>1+1</f></c>`, column: `column B "diameter_mm"`, words: "a formula whose value is not in the file; open it in a spreadsheet program and save it again"},
	{name: "an error", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2" t="e"><v>#N/A</v></c>`, column: `column B "diameter_mm"`, words: "#N/A is an error of the spreadsheet; mend it, or leave the cell empty where it is not known"},
	{name: "a date for a delay", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="D2" t="d"><v>2027-05-03T00:00:00</v></c>`, column: `column D "delays_s"`, words: "the spreadsheet has taken this for the date 2027-05-03; format the cell as text and type it again"},
	{name: "truth for a number", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2" t="b"><v>1</v></c>`, column: `column B "diameter_mm"`, words: "found true, expected a number in mm"},
	{name: "truth for a throat", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="C2" t="b"><v>0</v></c>`, column: `column C "throat_mm"`, words: "found false, expected a number in mm"},
	{name: "a year for a date", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="E2"><v>2027</v></c>`, column: `column E "certified_until"`, words: "the number 2027 is not a date; write 2027-04-17, or format the cell as a date"},
	{name: "a date that may be exchanged", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="E2" t="d"><v>2027-03-04T00:00:00</v></c></row><row r="3"><c r="A3" t="inlineStr"><is><t>b-9</t></is></c><c r="E3" t="inlineStr"><is><t>17/04/2027</t></is></c>`, column: `column E "certified_until"`, words: `2027-03-04 may have its day and month exchanged, since "17/04/2027" of the column was left as text; write both as 2027-04-17`},
	{name: "a time for a number", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2" s="1"><v>0.75</v></c>`, column: `column B "diameter_mm"`, words: "the cell holds 0.75 and its number format shows something else; give it the format of a plain number, or of text, and look at it again"},
	{name: "a number of thousands for a handle", file: `<c r="A2" s="2"><v>12500</v></c><c r="B2"><v>18</v></c>`, column: `column A "handle"`, words: "the cell holds 12500 and its number format shows something else"},
	{name: "a fraction that is shown below mm", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2" s="3"><v>1.125</v></c>`, column: `column B "diameter_mm"`, words: `"1 1/8" may be a fraction of an inch; write its unit, or a decimal`},
	{name: "a fraction that is shown below mm, for a throat", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="C2" s="3"><v>0.09375</v></c>`, column: `column C "throat_mm"`, words: `"3/32" may be a fraction of an inch`},
	{name: "a day without its year", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="E2" s="5"><v>46504</v></c>`, column: `column E "certified_until"`, words: "the cell shows a part of the date 2027-04-27; show all of it, and see whether it is right"},
	{name: "a day without its year, for a delay", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="D2" s="5"><v>46504</v></c>`, column: `column D "delays_s"`, words: "the spreadsheet has taken this for the date 2027-04-27"},
	{name: "a day without its year, for a handle", file: `<c r="A2" s="5"><v>46504</v></c><c r="B2"><v>18</v></c>`, column: `column A "handle"`, words: "the spreadsheet has taken this for the date 2027-04-27"},
	{name: "a date for a handle", file: `<c r="A2" t="d"><v>2027-05-03T00:00:00</v></c><c r="B2"><v>18</v></c>`, column: `column A "handle"`, words: "the spreadsheet has taken this for the date 2027-05-03"},
	{name: "a title among records", file: `<c r="A2" t="inlineStr"><is><t>a-18</t></is></c></row></sheetData><mergeCells><mergeCell ref="A2:C2"/></mergeCells><sheetData><row r="9">`, words: "a text over several columns is no record; take the row out of the sheet"},
	{name: "a formula beside the table", file: `<c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="H2"><v>7</v></c>`, column: "column H", words: `"7" stands in a column without a header`},
}

func TestWorkbookComplaints(t *testing.T) {
	for _, c := range workbookComplaints {
		t.Run(c.name, func(t *testing.T) {
			issues := issuesOf(t, rawBookOf(t, "", rawStyles, rawSheet{"Motors", rawHeader + `<row r="2">` + c.file + `</row>`}), Options{})
			if len(issues) != 1 {
				t.Fatalf("want one complaint, got %v", issues)
			}
			if got := issues[0]; got.Sheet != "Motors" || got.Row != 2 || got.Column != c.column || !strings.Contains(got.Error(), c.words) {
				t.Errorf("got %v", got)
			}
		})
	}
}

// TestRejectedAsSeen: a row that was not taken in is refused again, where a number of it
// was shown as another.
func TestRejectedAsSeen(t *testing.T) {
	file := rawBookOf(t, "", rawStyles, rawSheet{"Motors", rawHeader + `<row r="2"><c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2" s="2"><v>18</v></c></row>`})
	got, err := Read(strings.NewReader(file), "m.xlsx", Options{})
	if err != nil || len(got.Rejected) != 1 || got.Rejected[0].Cells[1] != "18?" {
		t.Fatalf("got %v %+v", err, got)
	}
	issuesOf(t, "handle,diameter_mm\na-8,18?\n", Options{})
}

// TestOptionsAreRefused: what no file could suit.
func TestOptionsAreRefused(t *testing.T) {
	for words, opt := range map[string]Options{
		`there is no kind "rockt"; kinds are supply, igniter`:                                    {Kind: "rockt"},
		`--map "Bore=diametre_mm": there is no field "diametre_mm"; did you mean "diameter_mm"?`: {Map: map[string]string{"Bore": "diametre_mm"}},
	} {
		_, err := Read(strings.NewReader(motorHead), "f", opt)
		if !errors.Is(err, inventory.ErrInvalid) || !strings.Contains(err.Error(), words) {
			t.Errorf("got %v, want %q", err, words)
		}
	}
}

// TestNoComplaintIsMissing reads the sentences out of the code, and sees that
// the tables above have met each of them.
func TestNoComplaintIsMissing(t *testing.T) {
	var met strings.Builder
	meet := func(file string, opt Options) {
		got, err := Read(strings.NewReader(file), "stock.csv", opt)
		if err == nil {
			err = got.Err()
		}
		issues, _ := importers.AsIssues(err)
		for _, i := range issues {
			met.WriteString(i.Error() + "\n" + i.Found + "\n" + i.Expected + "\n")
		}
		met.WriteString(err.Error() + "\n")
	}
	for _, c := range complaints {
		meet(c.file, c.opt)
	}
	for _, c := range workbookComplaints {
		meet(rawBookOf(t, "", rawStyles, rawSheet{"Motors", rawHeader + `<row r="2">` + c.file + `</row>`}), Options{})
	}
	meet(motorHead, Options{Kind: "rockt"})
	meet(motorHead, Options{Map: map[string]string{"Bore": "diametre_mm"}})
	meet(motorHead+strings.Repeat("a,x,,,,\n", 2*maxIssues), Options{})
	meet(rawBook(t, rawSheet{"One", `<row><c t="inlineStr"><is><t>remarks</t></is></c></row>`}, rawSheet{"Two", `<row><c><v>1</v></c></row>`}), Options{})
	meet(rawBook(t, rawSheet{"Wide", strings.Repeat(`<row><c r="XFD`+`"><v>1</v></c></row>`, 600)}), Options{})
	meet(string(unresolved(t)), Options{})
	meet(joinedLots(t, "B2:B3"), Options{})
	meet(hiddenBook(t, "hidden", ""), Options{})
	two := `<row><c t="inlineStr"><is><t>handle</t></is></c><c t="inlineStr"><is><t>notes</t></is></c></row>`
	meet(rawBook(t, rawSheet{"One", two}, rawSheet{"Two", two}), Options{})
	sentences := sentencesOf(t)
	if len(sentences) < 45 {
		t.Fatalf("the code has more than %d complaints", len(sentences))
	}
	for _, s := range sentences {
		if !regexp.MustCompile(s).MatchString(met.String()) {
			t.Errorf("no row of the tables meets the complaint %q", s)
		}
	}
}

var verb = regexp.MustCompile(`%[a-z]`)

// sentencesOf gives the texts of complaints as patterns: what is wrapped with
// ErrInvalid, what refuse says, what a doubt says.
func sentencesOf(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	var sentences []string
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") || strings.HasPrefix(name, "write") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			for i, arg := range call.Args {
				lit, _ := arg.(*ast.BasicLit)
				if lit == nil || lit.Kind != token.STRING {
					continue
				}
				text, _ := strconv.Unquote(lit.Value)
				reason, wrapped := strings.CutPrefix(text, "%w: ")
				if wrapped && reason != "" && reason != "%w" || saysWhy(call, i) {
					sentences = append(sentences, verb.ReplaceAllString(regexp.QuoteMeta(reason), `(?s:.*?)`))
				}
			}
			return true
		})
	}
	return sentences
}

// saysWhy tells which argument of which function is a sentence.
func saysWhy(call *ast.CallExpr, arg int) bool {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name == "refuse" && arg == 2
	case *ast.SelectorExpr:
		return f.Sel.Name == "refuse" && arg == 1 || f.Sel.Name == "Sprintf" && arg == 0 && strings.Contains(call.Args[0].(*ast.BasicLit).Value, " is ") || f.Sel.Name == "Sprintf" && arg == 0 && strings.Contains(call.Args[0].(*ast.BasicLit).Value, "may be")
	}
	return false
}
