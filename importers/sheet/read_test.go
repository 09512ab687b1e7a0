package sheet

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/importers/archive"
	"rangebox/inventory"
)

// TestRead: what is read of a table, as the archive would have it.
func TestRead(t *testing.T) {
	for _, c := range []struct {
		name, file string
		opt        Options
		want       string
	}{
		{"a stock list by name", "Motor,Qty,Expires,Location,Price (EUR)\nBirch 38,3,Apr 2027,shelf 1,€1.50\nlarch-29,2,,,2 EUR\n", Options{},
			`"lots": [{"kind": "motor", "item": "birch-38", "quantity": 3, "expires": "2027-04-30", "place": "shelf 1", "unit_cost": 1.5}, {"kind": "motor", "item": "larch-29", "quantity": 2, "unit_cost": 2}]`},
		{"handles of maker and name", "Maker,Name,All-fire (A)\nÜberholz,Wick 3/2,1\nÜberholz,Wick (3) 2,2\n,Ø ß,3\n", Options{},
			`"igniters": [{"handle": "uberholz-wick-3-2", "maker": "Überholz", "name": "Wick 3/2", "all_fire_a": 1}, {"handle": "uberholz-wick-3-2-2", "maker": "Überholz", "name": "Wick (3) 2", "all_fire_a": 2}, {"handle": "o-ss", "name": "Ø ß", "all_fire_a": 3}]`},
		{"several throats are several nozzles", "handle,diameter_mm,throat_mm,depth_mm,measured_on\na-8,18,2.4/3.1 mm,5,new\n", Options{},
			`"motors": [{"handle": "a-8", "diameter_mm": 18, "nozzles": [{"name": "2.4mm", "throat_mm": 2.4, "depth_mm": 5, "measured_on": "new"}, {"name": "3.1mm", "throat_mm": 3.1, "depth_mm": 5, "measured_on": "new"}]}]`},
		{"several rows are several nozzles", "handle,diameter_mm,nozzle,Throat (in.),mass_g\na-8,18,small,3/32,\nb-4,,,,7\na-8,,large,1/8,20\n", Options{},
			`"motors": [{"handle": "a-8", "diameter_mm": 18, "mass_g": 20, "nozzles": [{"name": "small", "throat_mm": 2.38125}, {"name": "large", "throat_mm": 3.175}]}, {"handle": "b-4", "mass_g": 7}]`},
		{"rows without nozzle names", "handle,throat_mm\na-8,2.4\na-8,3.1\n", Options{},
			`"motors": [{"handle": "a-8", "nozzles": [{"name": "2.4mm", "throat_mm": 2.4}, {"name": "3.1mm", "throat_mm": 3.1}]}]`},
		{"units in the cells", "Igniter,Head diameter,All-fire [mA],No fire current,Lead length,Wire,Output,Includes leads\nwick,#52 drill,500,300 mA,11 in,24ga,High,y\nreed,2.4 mm,1A,,1 ft,0.25mm2,LOW,No\n", Options{},
			`"igniters": [{"handle": "wick", "name": "wick", "head_mm": 1.6129, "output": "high", "all_fire_a": 0.5, "no_fire_a": 0.3, "bridge_includes_leads": true, "lead_mm": 279.4, "lead_awg": 24}, {"handle": "reed", "name": "reed", "head_mm": 2.4, "output": "low", "all_fire_a": 1, "bridge_includes_leads": false, "lead_mm": 304.8, "lead_mm2": 0.25}]`},
		{"words of the trade", "handle,propellant,head_ends\na-8,BP,\"Booster, plugged\"\nb-4,Black Powder,delay\nc-6,sugar,\n", Options{},
			`"motors": [{"handle": "a-8", "propellant": "black-powder", "head_ends": ["open", "plugged"]}, {"handle": "b-4", "propellant": "black-powder", "head_ends": ["delay"]}, {"handle": "c-6", "propellant": "sugar"}]`},
		{"a mapped header with a unit", "handle,Loch (in),Farbe\na-8,3/32,rot\n", Options{Kind: "motors", Map: map[string]string{"Loch (in)": "throat_mm", "farbe": "-"}},
			`"motors": [{"handle": "a-8", "nozzles": [{"throat_mm": 2.38125}]}]`},
		{"a mapped header of signs", "handle,diameter_mm,#,%\na-8,18,3,4\n", Options{Map: map[string]string{"#": "-", "%": "mass_g"}}, `"motors": [{"handle": "a-8", "diameter_mm": 18, "mass_g": 4}]`},
		{"a column of nothing", "handle,diameter_mm,whatever\na-8,18,\n", Options{}, `"motors": [{"handle": "a-8", "diameter_mm": 18}]`},
		{"empty cells are not known", "handle,diameter_mm,mass_g,notes\na-8,,,\n", Options{Kind: "motor"}, `"motors": [{"handle": "a-8"}]`},
		{"an apostrophe before a formula", "handle,mass_g,notes\na-8,1,'=1+1\nb-4,1,'tis\n", Options{Kind: "motor"},
			`"motors": [{"handle": "a-8", "mass_g": 1, "notes": "=1+1"}, {"handle": "b-4", "mass_g": 1, "notes": "'tis"}]`},
		{"a range of numbers", "handle,bridge_ohm,bridge_tol_pct,lead_awg\nwick,1.5e0,5 %,24\n", Options{}, `"igniters": [{"handle": "wick", "bridge_ohm": 1.5, "bridge_tol_pct": 5, "lead_awg": 24}]`},
		{"a file with one column", "handle\nwick\n", Options{Kind: "igniter"}, `"igniters": [{"handle": "wick"}]`},
		{"one word for two fields", "handle,Propellant,Propellant (oz),mass_g\na-8,AP,0.5,50\n", Options{}, `"motors": [{"handle": "a-8", "propellant": "composite", "mass_g": 50, "propellant_g": 14.1747615625}]`},
		{"a temperature in F", "handle,battery,Hot (F),lead_m\npad,big,104,30 ft\n", Options{}, `"lines": [{"handle": "pad", "battery": "big", "hot_c": 40, "lead_m": 9.144}]`},
	} {
		t.Run(c.name, func(t *testing.T) {
			want, err := archive.Read(strings.NewReader(`{"format": "rangebox-archive", "version": 1, `+c.want+`}`), "want")
			if err != nil {
				t.Fatal(err)
			}
			got := readBack(t, []byte(c.file), c.opt)
			if diff := cmp.Diff(listOf(want), listOf(got.Batch), exact); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func listOf(b *inventory.Batch) []inventory.Record {
	var list []inventory.Record
	for _, item := range b.Items {
		list = append(list, item.Record)
	}
	return list
}

// TestSheetsOfOneBook: each by its name or headers; references by name resolve
// in the file; what holds no table is passed over.
func TestSheetsOfOneBook(t *testing.T) {
	var out bytes.Buffer
	book := rawBook(t,
		rawSheet{"Remarks", textRow("All measured by myself")},
		rawSheet{"E-matches", textRow("Maker", "Name", "All-fire (A)") + textRow("Tindervale", "Wick", "0.5")},
		rawSheet{"My things", textRow("Maker", "Name", "Diameter (mm)", "Igniter supplied") + textRow("Halmyr", "Birch 38", "38", "Wick")},
		rawSheet{"Stock", textRow("Item", "Qty") + textRow("Birch 38", "3") + textRow("Wick", "10")})
	out.WriteString(book)
	got := readBack(t, out.Bytes(), Options{})
	var shown []string
	for _, item := range got.Batch.Items {
		switch r := item.Record.(type) {
		case *inventory.Motor:
			shown = append(shown, "motor "+r.Handle+" with "+r.IgniterSupplied.Handle)
		case *inventory.Igniter:
			shown = append(shown, "igniter "+r.Handle)
		case *inventory.Lot:
			shown = append(shown, "lot of "+string(r.Of.Item())+" "+r.Item.Handle)
		}
	}
	want := []string{"igniter tindervale-wick", "motor halmyr-birch-38 with tindervale-wick", "lot of motor halmyr-birch-38", "lot of igniter tindervale-wick"}
	if diff := cmp.Diff(want, shown); diff != "" {
		t.Error(diff)
	}
	if problems := got.Batch.Prepare(inventory.Nothing{}); len(problems) > 0 {
		t.Errorf("%v", problems)
	}
	if s := got.Sheets; len(s) != 4 || s[0].Kind != "" || s[1].Kind != inventory.KindIgniter || s[2].Kind != inventory.KindMotor || s[3].Rows != 2 {
		t.Errorf("got %+v", s)
	}
	only := readBack(t, out.Bytes(), Options{Kind: "igniter"})
	if n := len(only.Batch.Items); n != 1 || only.Batch.Items[0].Record.Kind() != inventory.KindIgniter {
		t.Errorf("--kind igniter read %d", n)
	}
}

func textRow(texts ...string) string {
	var b strings.Builder
	b.WriteString("<row>")
	for _, s := range texts {
		b.WriteString(`<c t="inlineStr"><is><t>` + s + `</t></is></c>`)
	}
	b.WriteString("</row>")
	return b.String()
}

// TestKeepGood: what is right is kept, the rest goes to a file that can be mended
// and read; what pointed to a rejected record follows it.
func TestKeepGood(t *testing.T) {
	const file = "handle,battery,lead_m,note\npad,big,30,\"x, y\"\nroad,none,20,\nhill,big,-1,=z\n"
	got, err := Read(strings.NewReader(file), "lines.csv", Options{})
	if err != nil || len(got.Unsure) > 0 {
		t.Fatal(err, got.Unsure)
	}
	got.Batch.Add(&inventory.Battery{Header: inventory.Header{Handle: "big"}}, "", 0)
	got.origins = append(got.origins, got.origins[0])
	got.Settle(inventory.Nothing{})
	if len(got.Batch.Items) != 2 || len(got.Rejected) != 2 || len(got.Issues) != 2 {
		t.Fatalf("kept %v, rejected %v, issues %v", got.Batch.Items, got.Rejected, got.Issues)
	}
	var out bytes.Buffer
	if err := WriteRejected(&out, got.Rejected); err != nil {
		t.Fatal(err)
	}
	const want = "rejected because,rejected sheet,rejected row,handle,battery,lead_m,note\r\n" +
		"\"column B \"\"battery\"\": battery points to the battery \"\"none\"\", which neither the file nor the box has\",,3,road,none,20,\r\n" +
		"\"column C \"\"lead_m\"\": lead_m is -1; it cannot be below 0\",,4,hill,big,-1,'=z\r\n"
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Error(diff)
	}
	mended := strings.Replace(out.String(), "big,-1", "big,1", 1)
	if again := readBack(t, []byte(mended), Options{}); len(again.Batch.Items) != 2 {
		t.Errorf("the mended file gave %d", len(again.Batch.Items))
	}
}

// TestTitlesAreRead: each header that we write is known for what it is.
func TestTitlesAreRead(t *testing.T) {
	for _, info := range inventory.Kinds {
		lex := lexiconOf(info.Kind)
		for i := range lex.columns {
			c := &lex.columns[i]
			for _, header := range []string{c.key, c.title(), strings.ToUpper(c.title()), c.title() + " (2)"} {
				b := lex.read(header)
				if strings.HasSuffix(header, "(2)") && !c.long() {
					continue
				}
				if len(b.columns) != 1 || b.columns[0] != c {
					t.Errorf("%s: %q is read as %v (%s)", info.Kind, header, keysOf(b.columns), b.why)
				}
			}
		}
	}
}

// TestSynonyms: each names a column there is, and where several have a word, the
// unit of a cell tells them apart.
func TestSynonyms(t *testing.T) {
	for _, info := range inventory.Kinds {
		lex := lexiconOf(info.Kind)
		for _, s := range inventory.Synonyms(info.Kind) {
			c := lex.keys[plain(s.Key)]
			if c == nil && s.Key != "handle" {
				t.Errorf("%s has no column %s", info.Kind, s.Key)
			}
			for _, w := range s.Words {
				if c != nil && lex.keys[plain(w)] != nil && lex.keys[plain(w)] != c {
					t.Errorf("%s: %q is the name of another field than %s", info.Kind, w, s.Key)
				}
			}
		}
		for word, found := range lex.words {
			if len(found) > 1 && !distinct(found) && lex.keys[word] == nil {
				t.Errorf("%s: %q may be %v", info.Kind, word, keysOf(found))
			}
		}
	}
}

// TestReadingTwiceIsTheSame: handles and ids do not depend on chance.
func TestReadingTwiceIsTheSame(t *testing.T) {
	const file = "Maker,Designation,Diameter (mm)\nHalmyr,Birch,38\nHalmyr,Larch,29\n,Birch,24\n"
	a, b := readBack(t, []byte(file), Options{}), readBack(t, []byte(file), Options{})
	a.Batch.Prepare(inventory.Nothing{})
	b.Batch.Prepare(inventory.Nothing{})
	if diff := cmp.Diff(listOf(a.Batch), listOf(b.Batch), exact); diff != "" {
		t.Error(diff)
	}
}

func TestSlug(t *testing.T) {
	for name, want := range map[string]string{
		"Birch 38": "birch-38", "  A8-3  ": "a8-3", "ÜBER Straße": "uber-strasse", "1/2A3": "1-2a3", "F50.4": "f50.4", "---": "", "漢字": "",
		"C6.": "c6", ".5": "5", strings.Repeat("x", 50): strings.Repeat("x", 40), "a_b": "a-b", strings.Repeat("x", 39) + " y": strings.Repeat("x", 39),
	} {
		if got := slug(name); got != want || got != "" && inventory.CheckHandle(got) != nil {
			t.Errorf("%q: got %q, want %q", name, got, want)
		}
	}
}

// TestComplaintsAreCounted: a hundred are listed, the others counted, also those
// that the box adds.
func TestComplaintsAreCounted(t *testing.T) {
	got, err := Read(strings.NewReader(motorHead+strings.Repeat("a,x,,,,\n", 150)), "f", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(got.Issues); n != 101 || !strings.Contains(got.Issues[100].Error(), "more complaints are not listed") {
		t.Errorf("%d: %v", n, got.Issues[n-1])
	}
	lots, err := Read(strings.NewReader("item,kind,quantity\n"+strings.Repeat("a,motor,1\n", 150)), "f", Options{})
	if err != nil || lots.Err() != nil {
		t.Fatal(err, lots.Err())
	}
	lots.Settle(inventory.Nothing{})
	if n := lots.Issues.Count(); n != 150 {
		t.Errorf("%d faults are counted, want 150", n)
	}
	if n := len(lots.Issues); n != 101 || !strings.HasPrefix(lots.Issues[100].Error(), "f: 50 more complaints") || len(lots.Rejected) != 150 {
		t.Errorf("%d: %v", n, lots.Issues[n-1])
	}
}
