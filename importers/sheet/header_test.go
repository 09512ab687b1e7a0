package sheet

import (
	"strings"
	"testing"

	"rangebox/inventory"
)

// TestShortHeaders: words as people shorten them, and prices as they put them.
func TestShortHeaders(t *testing.T) {
	for _, c := range []struct {
		kind         inventory.Kind
		header, want string
	}{
		{inventory.KindIgniter, "Head len.", "head_length_mm"},
		{inventory.KindIgniter, "Head len. (in)", "head_length_mm"},
		{inventory.KindIgniter, "Lead len, ft", "lead_mm"},
		{inventory.KindIgniter, "Bridge res (ohm)", "bridge_ohm"},
		{inventory.KindMotor, "Core dia (mm)", "core_width_mm"},
		{inventory.KindMotor, "Core len (mm)", "core_mm"},
		{inventory.KindMotor, "Outer dia. (mm)", "diameter_mm"},
		{inventory.KindLot, "Qty.", "quantity"},
		{inventory.KindLot, "Bought for (each)", "unit_cost"},
		{inventory.KindLot, "Paid", "unit_cost"},
		{inventory.KindLot, "Cost (each)", "unit_cost"},
		{inventory.KindLot, "Price each", "unit_cost"},
		{inventory.KindLot, "Price each (EUR)", "unit_cost"},
	} {
		b := lexiconOf(c.kind).read(c.header)
		if !b.known() || b.columns[0].key != c.want {
			t.Errorf("%s: got %+v, want %s", c.header, b, c.want)
		}
	}
}

// TestLikeliest: the field in the flag is the one that the header looks like.
func TestLikeliest(t *testing.T) {
	for _, lex := range lexicons() {
		for word := range lex.words {
			for _, header := range []string{word + " (no unit)", word + " thing", word + " xyz."} {
				file := "handle,notes," + header + "\nx,y,z\n"
				got, err := Read(strings.NewReader(file), "f.csv", Options{Kind: string(lex.kind)})
				if err != nil {
					t.Fatal(err)
				}
				for _, d := range got.Unsure {
					_, looks, ok := strings.Cut(d.Why, "looks like ")
					if ok && len(d.Candidates) > 0 && !strings.HasPrefix(looks, d.Candidates[0]) {
						t.Errorf("%s; say %s", d.Why, d.Flag())
					}
				}
			}
		}
	}
}

// TestMappedByWords: --map knows the fields' plain words, where they mean one field.
func TestMappedByWords(t *testing.T) {
	for _, word := range []string{"price", "Cost", "unit_cost"} {
		got, err := Read(strings.NewReader("Motor,Qty,X\na-8,2,1.5\n"), "l.csv", Options{Map: map[string]string{"X": word}})
		if err != nil || got.Err() != nil || textOf(got.Batch.Items[0].Record, "unit_cost") != "1.5" {
			t.Errorf("%s: %v %v", word, err, got)
		}
	}
	for words, c := range map[string]struct {
		file string
		opt  Options
	}{
		`there is no field "quantety"; did you mean "quantity"?`: {"Motor,Qty,X\na-8,2,1.5\n", Options{Map: map[string]string{"X": "quantety"}}},
		`there is no field "cots"; did you mean "unit_cost"?`:    {"Motor,Qty,X\na-8,2,1.5\n", Options{Map: map[string]string{"X": "cots"}}},
		`there is no field "hed_mm"; did you mean "head_mm"?`:    {"x,y\n", Options{Kind: "igniter", Map: map[string]string{"X": "hed_mm"}}},
	} {
		_, err := Read(strings.NewReader(c.file), "l.csv", c.opt)
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("got %v, want %s", err, words)
		}
	}
}
