package inventory

import "slices"

// Synonym is the plain words by which a spreadsheet may head a column.
type Synonym struct {
	// Key is the field's, or the column's where a sheet flattens a part.
	Key   string
	Words []string
}

// The columns of a motor's sheet that are not fields of its table.
const (
	// NozzleColumn is the name of the row's nozzle.
	NozzleColumn = "nozzle"
	// NozzleCurveColumn is the thrust curve with the row's nozzle.
	NozzleCurveColumn = "nozzle_curve"
)

// Synonyms are the words by which the columns of a kind's sheet may be headed,
// beside the fields' own names. Letters, digits and their order count; case,
// spaces and punctuation do not. A word that stands at several fields means the
// one in whose unit the cell is. (A function, since only imports need it.)
func Synonyms(kind Kind) []Synonym {
	return append(synonymsOf(kind),
		Synonym{"id", []string{"uuid"}},
		Synonym{"handle", []string{"short name", "key", "slug"}},
		Synonym{"notes", []string{"note", "comment", "comments", "remark", "remarks"}})
}

func synonymsOf(kind Kind) []Synonym {
	switch kind {
	case KindMotor:
		return motorSynonyms()
	case KindIgniter:
		return igniterSynonyms()
	case KindBattery:
		return batterySynonyms()
	case KindController:
		return controllerSynonyms()
	case KindLine:
		return lineSynonyms()
	case KindSupply:
		return supplySynonyms()
	case KindLot:
		return lotSynonyms()
	case KindRocket:
		return []Synonym{{"name", []string{"rocket"}}, {"rail_m", []string{"rail length", "rod", "rod length", "launch rail"}}}
	}
	return nil
}

var makerWords = []string{"manufacturer", "mfr", "mfg", "brand", "make", "made by", "vendor"}

func motorSynonyms() []Synonym {
	return []Synonym{
		{"maker", makerWords},
		{"name", []string{"motor", "designation", "type", "model", "motor name", "motor type", "engine"}},
		{"propellant", []string{"propellant type", "fuel"}},
		{"diameter_mm", []string{"dia", "diam", "motor diameter", "od", "outer diameter", "outside diameter"}},
		{"length_mm", []string{"len", "motor length", "overall length"}},
		{"mass_g", []string{"weight", "loaded mass", "loaded weight", "total mass", "total weight", "motor mass", "motor weight", "initial mass", "initial weight"}},
		{"propellant_g", []string{"propellant mass", "propellant weight", "prop mass", "prop weight"}},
		{"head_ends", []string{"head end", "forward end", "forward closure"}},
		{"delays_s", []string{"delay", "delay time", "delay times", "available delays"}},
		{"delay_min_s", []string{"minimum delay", "min delay", "shortest delay"}},
		{"delay_max_s", []string{"maximum delay", "max delay", "longest delay"}},
		{"delay_step_s", []string{"step"}},
		{"ejection_g", []string{"ejection charge", "ejection mass", "bp charge"}},
		{NozzleColumn, []string{"nozzle name"}},
		{"throat_mm", []string{"nozzle throat", "throat diameter", "throat dia", "nozzle diameter", "nozzle size", "throat size"}},
		{"depth_mm", []string{"nozzle depth", "throat depth"}},
		{"cap_hole_mm", []string{"nozzle cap hole", "cap"}},
		{"measured_on", []string{"measured", "throat measured on"}},
		{"core_mm", []string{"core length"}},
		{"core_width_mm", []string{"core diameter", "core dia", "slot width"}},
		{"ignition", []string{"ignition demand", "igniter demand", "ignition level"}},
		{"lag_s", []string{"ignition delay", "ignition lag"}},
		{"curve", []string{"thrust curve"}},
		{NozzleCurveColumn, []string{"thrust curve with nozzle"}},
		{"case", []string{"casing", "motor case", "hardware"}},
		{"igniter_supplied", []string{"supplied igniter", "igniter included", "igniter", "comes with"}},
		{"plug", []string{"igniter plug"}},
		{"certified_by", []string{"certification", "certified", "cert", "certification body", "certifying body"}},
		{"certified_until", []string{"certification expires", "certified to", "certification until"}},
	}
}

func igniterSynonyms() []Synonym {
	return append([]Synonym{
		{"maker", makerWords},
		{"name", []string{"igniter", "type", "model", "igniter name", "igniter type", "e match", "match", "initiator", "starter"}},
		{"head_mm", []string{"head diameter", "head dia", "head width", "head size", "match head"}},
		{"head_length_mm", []string{"length of head"}},
		{"lead_pair_mm", []string{"pair width", "lead width", "wire width"}},
		{"output", []string{"heat", "heat output", "output level"}},
		{"all_fire_a", []string{"all fire current", "af", "firing current all"}},
		{"no_fire_a", []string{"no fire current", "nf"}},
		{"recommended_a", []string{"recommended current", "recommended firing current", "firing current", "fire current"}},
		{"max_test_a", []string{"test current", "max test current", "maximum test current"}},
		{"firing_impulse_a2s", []string{"firing energy impulse", "impulse"}},
		{"bridge_ohm", []string{"resistance", "bridge resistance", "bridgewire", "bridge wire", "bridgewire resistance", "ohms"}},
		{"bridge_tol_pct", []string{"tolerance", "resistance tolerance", "bridge tolerance"}},
		{"bridge_includes_leads", []string{"includes leads", "resistance includes leads", "with leads"}},
		{"lead_mm", []string{"lead length", "leads length", "wire length", "length of leads", "leads"}},
	}, wireSynonyms("lead wire", "wire", "leadwire")...)
}

// wireSynonyms: one column may hold gauges and cross-sections, each with its unit.
func wireSynonyms(words ...string) []Synonym {
	return []Synonym{
		{"lead_awg", append([]string{"gauge", "awg", "lead gauge", "wire gauge"}, words...)},
		{"lead_mm2", append([]string{"cross section", "wire cross section", "lead cross section", "lead area", "wire area"}, words...)},
		{"lead_ohm_per_m", append([]string{"lead resistance", "wire resistance"}, words...)},
	}
}

func batterySynonyms() []Synonym {
	return []Synonym{
		{"name", []string{"battery", "type", "model", "battery name", "battery type"}},
		{"chemistry", []string{"cell type", "technology"}},
		{"cells", []string{"number of cells", "cell count", "cells in series"}},
		{"open_circuit_v", []string{"voltage", "open circuit voltage", "ocv", "fresh voltage", "full voltage", "nominal voltage", "volts"}},
		{"low_v", []string{"low voltage", "minimum voltage", "min voltage", "cutoff voltage", "cut off", "lowest voltage"}},
		{"internal_ohm", []string{"internal resistance", "ir", "esr", "resistance"}},
		{"aged_internal_ohm", []string{"aged internal resistance", "worn internal resistance", "aged resistance", "cold resistance"}},
		{"capacity_mah", []string{"rated capacity"}},
		{"pulse_a", []string{"pulse current", "max current", "maximum current", "burst current", "peak current"}},
	}
}

func controllerSynonyms() []Synonym {
	return []Synonym{
		{"name", []string{"controller", "type", "model", "box"}},
		{"place", []string{"location", "where"}},
		{"on_ohm", []string{"on resistance", "switch resistance"}},
		{"drop_v", []string{"voltage drop"}},
		{"limit_a", []string{"current limit"}},
		{"max_a", []string{"maximum current", "max current"}},
		{"pulse_s", []string{"pulse time", "firing time", "fire time"}},
		{"continuity_a", []string{"continuity current", "test current"}},
		{"cap_uf", []string{"capacitance", "capacitor"}},
		{"brownout_v", []string{"brown out", "brownout voltage", "minimum supply"}},
	}
}

func lineSynonyms() []Synonym {
	return append([]Synonym{
		{"name", []string{"line", "firing line"}},
		{"controller", []string{"launch controller"}},
		{"output", []string{"channel", "terminal"}},
		{"lead_m", []string{"lead length", "cable length", "wire length", "cable"}},
		{"contact_ohm", []string{"contact resistance", "clip resistance", "clip", "clips"}},
		{"wiring", []string{"wired", "series parallel"}},
		{"hot_c", []string{"hot temperature", "hottest", "lead temperature"}},
	}, wireSynonyms("lead wire", "wire", "leadwire")...)
}

func supplySynonyms() []Synonym {
	return []Synonym{
		{"name", []string{"supply", "material", "consumable", "item"}},
		{"unit", []string{"units", "counted in", "measure"}},
		{"reusable", []string{"reuse", "comes back"}},
		{"level", []string{"reorder level", "reorder at", "reorder below", "minimum stock", "minimum"}},
	}
}

func lotSynonyms() []Synonym {
	return []Synonym{
		{"item", []string{"item handle", "motor", "igniter", "battery", "supply", "what"}},
		{"kind", []string{"item kind", "category", "kind of item"}},
		{"quantity", []string{"qty", "count", "number", "on hand", "in stock", "stock", "pieces", "pcs", "amount", "how many"}},
		{"made", []string{"date made", "manufactured", "manufacture date", "production date", "date code"}},
		{"acquired", []string{"bought", "purchased", "purchase date", "date bought", "date acquired", "received", "date received", "date"}},
		{"expires", []string{"expiry", "expiry date", "expiration", "expiration date", "exp", "exp date", "use by", "best before", "valid until"}},
		{"no_expiry", []string{"never expires", "does not expire", "keeps for ever"}},
		{"place", []string{"location", "where", "storage", "stored in", "shelf", "bin", "stored", "drawer", "range box"}},
		{"code", []string{"lot", "lot code", "lot number", "lot no", "batch", "batch code", "batch number", "lot id"}},
		{"unit_cost", []string{"price", "cost", "unit price", "price each", "cost each", "each", "paid", "paid each", "price paid", "bought for each", "price per piece", "cost per piece", "unit cost each"}},
		{"pack_size", []string{"per pack", "pack of"}},
		{"from_lot", []string{"parted from"}},
		{"hazard", []string{"hazard class", "un number"}},
	}
}

// Shortened are the ways in which people shorten a header's word.
var Shortened = []struct{ Word, Short string }{
	{"length", "len"}, {"diameter", "dia"}, {"diameter", "diam"}, {"quantity", "qty"}, {"resistance", "res"},
}

// SheetNames are the words, beside a kind's name and plural, by which a sheet of
// such records may be called.
func SheetNames(kind Kind) []string {
	switch kind {
	case KindMotor:
		return []string{"engines", "motor list", "motor types", "reloads"}
	case KindIgniter:
		return []string{"e matches", "ematches", "matches", "electric matches", "starters", "initiators"}
	case KindBattery:
		return []string{"packs"}
	case KindController:
		return []string{"launch controllers", "timers"}
	case KindLine:
		return []string{"firing lines", "leads"}
	case KindSupply:
		return []string{"consumables", "materials"}
	case KindLot:
		return []string{"stock", "inventory", "stock list", "in stock", "range box", "on hand"}
	}
	return nil
}

// PlainWord finds the word of a field that a person meant by another: case,
// spaces and dashes do not matter, and some words of the trade are known.
func (f *Field) PlainWord(word string) (string, bool) {
	plain := plainLetters(word)
	for _, w := range f.Words {
		if plainLetters(w) == plain {
			return w, true
		}
	}
	if w, ok := tradeWord(f.Key, plain); ok && position(f.Words, w) > 0 {
		return w, true
	}
	return "", false
}

// propellantWords are the ways in which the trade writes the two propellants that the
// rules know, in plain letters (from memory).
var propellantWords = map[string][]string{
	BlackPowder: {"bp", "gunpowder", "pressedblackpowder", "blackpowderpressed", "pressedbp", "bppressed", "blackpowderbp", "bpblackpowder", "schwarzpulver"},
	Composite: {"ap", "apcp", "apcomposite", "compositeap", "apcpcomposite", "compositeapcp", "compositepropellant", "apcompositepropellant", "apcppropellant",
		"ammoniumperchlorate", "ammoniumperchloratecomposite", "compositeammoniumperchlorate", "ammoniumperchloratecompositepropellant", "ammoniumperchloratecompositepropellantapcp",
		"perchloratecomposite", "aphtpb", "htpbap", "ammoniumperchloratehtpb", "aphtpbcomposite", "compositeaphtpb"},
}

func tradeWord(key, plain string) (string, bool) {
	if key == "propellant" {
		for w, ways := range propellantWords {
			if slices.Contains(ways, plain) {
				return w, true
			}
		}
	}
	words := map[string]string{
		"head_ends.booster": HeadOpen, "head_ends.plug": HeadPlugged, "head_ends.ejection": HeadDelay,
		"chemistry.lipo": "lithium-polymer", "chemistry.liion": "lithium-ion", "chemistry.lifepo4": "lithium-iron-phosphate",
		"chemistry.nimh": "nickel-metal-hydride", "chemistry.nicd": "nickel-cadmium", "chemistry.sla": "lead-acid", "chemistry.pb": "lead-acid",
		"unit.gram": "g", "unit.grams": "g", "unit.pieces": "piece", "unit.pcs": "piece", "unit.each": "piece", "unit.ea": "piece",
		"kind.motors": "motor", "kind.engine": "motor", "kind.igniters": "igniter", "kind.ematch": "igniter", "kind.starter": "igniter",
		"kind.batteries": "battery", "kind.supplies": "supply",
	}
	w, ok := words[key+"."+plain]
	return w, ok
}

// plainLetters is a word in lower case, letters and digits only.
func plainLetters(s string) string {
	out := make([]byte, 0, len(s))
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c >= 'A' && c <= 'Z':
			out = append(out, c+'a'-'A')
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9', c >= 0x80:
			out = append(out, c)
		}
	}
	return string(out)
}
