package sheet

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/inventory"
)

// TestMappedUnits: a unit in a mapped header counts as in one that is recognised.
// The sums are worked out by hand with the units' definitions.
func TestMappedUnits(t *testing.T) {
	for _, c := range []struct{ header, field, cell, want, unit string }{
		{"Wire cm", "lead_mm", "30", "300", "cm"},
		{"Wire (cm)", "lead_mm", "30", "300", "cm"},
		{"Lead [cm]", "lead_mm", "30", "300", "cm"},
		{"Wire, cm", "lead_mm", "30", "300", "cm"},
		{"Wire in cm", "lead_mm", "30", "300", "cm"},
		{"Wire (in cm)", "lead_mm", "30", "300", "cm"},
		{"Fil en cm", "lead_mm", "30", "300", "cm"},
		{"Wire_cm", "lead_mm", "30", "300", "cm"},
		{"Wire-cm", "lead_mm", "30", "300", "cm"},
		{"Drahtlänge / cm", "lead_mm", "30", "300", "cm"},
		{"Drahtlänge cm", "lead_mm", "30", "300", "cm"},
		{"Drahtlänge\u00a0cm:", "lead_mm", "30", "300", "cm"},
		{"Draht Zoll", "lead_mm", "10", "254", "in"},
		{"Draht Zentimeter", "lead_mm", "30", "300", "cm"},
		{"cm", "lead_mm", "30", "300", "cm"},
		{`Wire "`, "lead_mm", "10", "254", "in"},
		{"Wire [in]", "lead_mm", "10", "254", "in"},
		{"Wire (m)", "lead_mm", "2", "2000", "m"},
		{"Lead length in", "lead_mm", "10", "254", "in"}, // as without --map
		{"Zap mA", "all_fire_a", "30", "0.03", "mA"},
		{"Zap in mA", "all_fire_a", "30", "0.03", "mA"},
		{"Zap A", "all_fire_a", "30", "30", "A"},
		{"Prüfstrom mA", "all_fire_a", "30", "0.03", "mA"},
		{"Prüfstrom Milliampere", "all_fire_a", "30", "0.03", "mA"},
		{"Strom min", "no_fire_a", "30", "30", "A"},
		{"Draht Ohm/m", "lead_ohm_per_m", "2", "2", "ohm/m"},
		{"Draht Ohm/km", "lead_ohm_per_m", "200", "0.2", "ohm/km"},
		{"Wire", "lead_mm", "30", "30", "mm"},
		{"Wire (new)", "lead_mm", "30", "30", "mm"},
		{"Wire 1/4A (cm)", "lead_mm", "30", "300", "cm"},
		{"Wire (1/32 in)", "lead_mm", "30 cm", "300", ""},
		{"Width m", "lead_mm", "30 cm", "300", ""}, // the cell says it
		{"Zap V", "all_fire_a", "30 mA", "0.03", ""},
	} {
		t.Run(c.header, func(t *testing.T) {
			header := `"` + strings.ReplaceAll(c.header, `"`, `""`) + `"`
			got, err := Read(strings.NewReader("handle,"+header+"\nx,"+c.cell+"\n"), "f", Options{Kind: "igniter", Map: map[string]string{c.header: c.field}})
			if err == nil {
				err = got.Err()
			}
			if err != nil {
				t.Fatal(err)
			}
			f, _ := inventory.KindIgniter.Info().Table.Field(c.field)
			if text, _ := f.Text(got.Batch.Items[0].Record); text != c.want {
				t.Errorf("%s: got %q, want %q", c.field, text, c.want)
			}
			want := []Mapped{{Header: c.header, Field: c.field, Unit: c.unit, PerCell: c.unit == ""}}
			if diff := cmp.Diff(want, got.Mapped); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestMappedUnitsInDoubt: what may be a unit, and is none of the field's or may be
// a word, is never passed over.
func TestMappedUnitsInDoubt(t *testing.T) {
	for header, field := range map[string]string{
		"Width m": "lead_mm", "Lead-in": "lead_mm", "in": "lead_mm", "m": "lead_mm", "Wire in": "lead_mm",
		"Zap V": "all_fire_a", "Wire (g)": "lead_mm", "Wire, mA": "lead_mm", "Wire g": "lead_mm",
		"ZAP MA": "all_fire_a", "Zap [MA]": "all_fire_a", "Zap mAh": "all_fire_a",
		"Wire cm length": "lead_mm", "Wire (cm) measured": "lead_mm", "Wire (in) measured": "lead_mm", "Wire (measured in cm)": "lead_mm",
		"Hole M": "head_mm", "Draht Ohm/m": "lead_mm",
	} {
		got, err := Read(strings.NewReader("handle,\""+header+"\"\nx,30\n"), "f", Options{Kind: "igniter", Map: map[string]string{header: field}})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Unsure) != 1 || !strings.Contains(got.Unsure[0].Mend, "in brackets") || got.Unsure[0].Header != header {
			t.Errorf("%s: got %+v and %d records", header, got.Unsure, len(got.Batch.Items))
		}
	}
	// minutes or a minimum, of a time
	got, err := Read(strings.NewReader("handle,diameter_mm,Pause min\nx,18,3\n"), "f", Options{Kind: "motor", Map: map[string]string{"Pause min": "delay_min_s"}})
	if err != nil || len(got.Unsure) != 1 {
		t.Errorf("minutes: got %+v, %v", got, err)
	}
}

// TestAmbiguousPoint: in a file of decimal commas the point is what is unclear,
// and the cell that has it is named.
func TestAmbiguousPoint(t *testing.T) {
	six := "handle;Prüfstrom mA\na;0,5\nb;1,5\nc;2,5\nd;3,5\ne;4,5\nf;5,5\n"
	opt := Options{Kind: "igniter", Map: map[string]string{"Prüfstrom mA": "all_fire_a"}}
	for _, c := range []struct {
		name, file, words string
		opt               Options
	}{
		{"thousands among commas", six + "g;1.000\n", `"1.000" may be 1 or 1000`, opt},
		{"with its unit", six + "g;1.000 mA\n", `"1.000 mA" may be 1 mA or 1000 mA`, opt},
		{"a point among commas", six + "g;1.5\n", `"1.5" has a point where others of the sheet have a comma`, opt},
		{"both marks", six + "g;1.000,5\n", `"1.000,5" has marks for thousands`, opt},
		{"thousands alone", "handle;Prüfstrom mA\na;5\ng;1.000\n", `"1.000" may be 1 or 1000`, opt},
		{"with tabs", strings.ReplaceAll(six, ";", "\t") + "g\t1.000\n", `"1.000" may be 1 or 1000`, opt},
		{"among throats", "handle;diameter_mm;throat_mm\na;18,5;1.000\n", `"1.000" may be 1 or 1000`, Options{Kind: "motor"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			issues := issuesOf(t, c.file, c.opt)
			if len(issues) != 1 || !strings.Contains(issues[0].Error(), c.words) {
				t.Errorf("want one complaint %q, got %v", c.words, issues)
			}
		})
	}
	// one number that can only have a point decides for the others
	got, err := Read(strings.NewReader("handle;Zap A\na;0.5\nb;1.000\n"), "f", Options{Kind: "igniter", Map: map[string]string{"Zap A": "all_fire_a"}})
	if err != nil || got.Err() != nil {
		t.Errorf("points: %v, %v", err, got.Err())
	}
}

// TestMadeHandles: handles that were made are told, and where one was taken.
func TestMadeHandles(t *testing.T) {
	got, err := Read(strings.NewReader("maker,name,all_fire_a\nUlme,Quill,0.5\nUlme,Quill,0.6\nUlme,Wick,0.5\n"), "f", Options{Kind: "igniter"})
	if err != nil || got.Err() != nil {
		t.Fatal(err, got.Err())
	}
	want := []Made{
		{Kind: inventory.KindIgniter, Handle: "ulme-quill", Row: 2},
		{Kind: inventory.KindIgniter, Handle: "ulme-quill-2", Row: 3, Of: "ulme-quill", TakenBy: 2},
		{Kind: inventory.KindIgniter, Handle: "ulme-wick", Row: 4},
	}
	if diff := cmp.Diff(want, got.Made()); diff != "" {
		t.Error(diff)
	}
	got, err = Read(strings.NewReader("handle,all_fire_a\nquill,0.5\n"), "f", Options{Kind: "igniter"})
	if err != nil || len(got.Made()) != 0 {
		t.Errorf("handles of the file's own: %v, %v", got.Made(), err)
	}
}
