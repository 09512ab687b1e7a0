package inventory

import "testing"

// TestPropellantWords: the two propellants as people write them (from memory); another
// stays as it was typed.
func TestPropellantWords(t *testing.T) {
	f, _ := KindMotor.Info().Table.Field("propellant")
	for word, want := range map[string]string{
		"AP composite": Composite, "Ammonium perchlorate": Composite, "composite propellant": Composite, "AP/HTPB": Composite,
		"APCP": Composite, "Composite (APCP)": Composite, "Ammonium perchlorate composite propellant (APCP)": Composite, "COMPOSITE": Composite,
		"black powder (pressed)": BlackPowder, "Pressed black powder": BlackPowder, "BP": BlackPowder, "Blackpowder": BlackPowder, "BP (pressed)": BlackPowder,
		"HTPB": "", "hybrid": "", "zinc-sulphur": "", "AN composite": "", "composite or BP": "",
	} {
		if got, _ := f.PlainWord(word); got != want {
			t.Errorf("%q: got %q, want %q", word, got, want)
		}
	}
}
