package sheet

import "testing"

// TestMonthsOfTheWest reads dates as people write them in seven languages; the
// names are CLDR's, from memory.
func TestMonthsOfTheWest(t *testing.T) {
	for text, want := range map[string]string{
		"17. April 2027": "2027-04-17", "3. März 2027": "2027-03-03", "17. Dez. 2027": "2027-12-17", "1. Mai 2027": "2027-05-01", "Okt 2027": "2027-10", "Jänner 2027": "2027-01",
		"17 avril 2027": "2027-04-17", "3 mai 2027": "2027-05-03", "1er août 2027": "2027-08-01", "17 févr. 2027": "2027-02-17", "17 déc. 2027": "2027-12-17", "17 juin 2027": "2027-06-17", "17 juil. 2027": "2027-07-17",
		"17 abr 2027": "2027-04-17", "17 de abril de 2027": "2027-04-17", "17 ene 2027": "2027-01-17", "3 de enero del 2027": "2027-01-03", "17 dic 2027": "2027-12-17",
		"17 gen 2027": "2027-01-17", "1º maggio 2027": "2027-05-01", "17 lug 2027": "2027-07-17", "17 ottobre 2027": "2027-10-17", "17 set 2027": "2027-09-17",
		"17 de março de 2027": "2027-03-17", "17 out 2027": "2027-10-17", "17 mrt 2027": "2027-03-17", "17 mei 2027": "2027-05-17", "17 augustus 2027": "2027-08-17",
		"17 Apr 2027": "2027-04-17", "April 17, 2027": "2027-04-17", "Sept 2027": "2027-09", "MAI 2027": "2027-05", "04/2027": "2027-04", "4-2027": "2027-04", "11.2027": "2027-11",
	} {
		if got, err := readDate(text, orderOpen); err != nil || got != want {
			t.Errorf("%q: got %q, %v, want %q", text, got, err, want)
		}
	}
	for _, text := range []string{"17 jui 2027", "17 ma 2027", "17 foo 2027", "17 aprilis 2027", "31 avril 2027", "17 août 27", "Maa 0000", "13/2027", "0/2027", "04/0000"} {
		if got, err := readDate(text, orderOpen); err == nil {
			t.Errorf("%q: read as %q", text, got)
		}
	}
}
