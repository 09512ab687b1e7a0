package sheet

import (
	"strings"
	"testing"

	"rangebox/inventory"
)

// TestCommasInQuotes: where commas separate cells, those in quotes separate values, as
// the contract says, unless a throat may rather have a decimal comma.
func TestCommasInQuotes(t *testing.T) {
	for _, c := range []struct{ name, file, delays, throats string }{
		{"delays", motorHead + "a-8,,,\"3,5\",,\n", "3 5", ""},
		{"more delays", motorHead + "a-8,,,\"3,5,7\",,\n", "3 5 7", ""},
		{"delays with blanks", motorHead + "a-8,,,\"3, 5, 7\",,\n", "3 5 7", ""},
		{"delays with decimal commas", "handle;diameter_mm;throat_mm;delays_s\na-8;18,5;;3,0 5,0\n", "3 5", ""},
		{"throats with a blank", motorHead + "a-8,,\"2, 3\",,,\n", "", "2 3"},
		{"more throats", motorHead + "a-8,,\"2,3,4\",,,\n", "", "2 3 4"},
		{"throats where points are decimal", motorHead + "a-8,18.5,\"2,3\",,,\n", "", "2 3"},
		{"throats with decimals", motorHead + "a-8,,\"2.1,3\",,,\n", "", "2.1 3"},
		{"throats where commas are decimal", motorHead + "a-8,\"18,5\",\"2,1\",,,\n", "", "2.1"},
		{"fractions of an inch", "handle,diameter_mm,Throat (in)\na-8,18,\"1/8,3/32\"\n", "", "3.175 2.38125"},
	} {
		got, err := Read(strings.NewReader(c.file), "m.csv", Options{})
		if err == nil {
			err = got.Err()
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		m := got.Batch.Items[0].Record.(*inventory.Motor)
		if delays := textOf(m, "delays_s"); delays != c.delays || throatsOf(m) != c.throats {
			t.Errorf("%s: got delays %q, throats %q", c.name, delays, throatsOf(m))
		}
	}
}

func throatsOf(m *inventory.Motor) string {
	f, _ := inventory.KindMotor.Info().Table.Field("nozzles")
	var all []string
	for _, part := range f.Parts(m) {
		throat, _ := f.Sub.Field("throat_mm")
		text, _ := throat.Text(part)
		all = append(all, text)
	}
	return strings.Join(all, " ")
}
