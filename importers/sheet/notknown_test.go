package sheet

import (
	"strings"
	"testing"

	"rangebox/inventory"
)

// TestNotKnown: marks for what is not known are as good as an empty cell, but in text,
// where they may be meant, and for how many there are.
func TestNotKnown(t *testing.T) {
	for _, mark := range []string{"-", "–", "?", "n/a", "N/A", "TBD", "unknown", "k.A."} {
		file := "handle\tThroat (mm)\tmass_g\tcertified_until\tdelays_s\tmaker\na-8\t" + strings.Repeat(mark+"\t", 4) + mark + "\n"
		got, err := Read(strings.NewReader(file), "m.tsv", Options{Kind: "motor"})
		if err == nil {
			err = got.Err()
		}
		if err != nil {
			t.Errorf("%s: %v", mark, err)
			continue
		}
		m := got.Batch.Items[0].Record.(*inventory.Motor)
		if len(m.Nozzles)+len(m.Delays) > 0 || m.Mass.Known() || !m.CertifiedUntil.IsZero() || m.Maker != mark {
			t.Errorf("%s: %+v", mark, m)
		}
		lots, err := Read(strings.NewReader("item,kind,quantity\na-8,motor,"+mark+"\n"), "l.csv", Options{})
		if err == nil && lots.Err() == nil {
			t.Errorf("%s was taken for a quantity", mark)
		}
	}
}
