package archive

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/inventorytest"
)

// compiled is our schema as an independent program understands it.
func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("archive.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("archive.json")
	if err != nil {
		t.Fatal(err)
	}
	if schema.DraftVersion != 2020 {
		t.Fatalf("the schema is of draft %d", schema.DraftVersion)
	}
	return schema
}

func validate(s *jsonschema.Schema, doc []byte) error {
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	if err != nil {
		return err
	}
	return s.Validate(value)
}

// TestSchemaTakesArchives holds archives that are right to the schema: the
// seed's, those of the outside references, and any that is written.
func TestSchemaTakesArchives(t *testing.T) {
	schema := compiled(t)
	for _, file := range []string{"../../seed/box.json", "testdata/ascent.json", "testdata/circuits.json"} {
		doc, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(schema, doc); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		var out bytes.Buffer
		if err := Write(&out, FromBatch(inventorytest.Records(t))); err != nil {
			t.Fatal(err)
		}
		if err := validate(schema, out.Bytes()); err != nil {
			t.Fatalf("%v\n%s", err, out.Bytes())
		}
	})
}

// TestSchemaRefuses takes what the reader refuses as well: each document is one
// change away from one that both take.
func TestSchemaRefuses(t *testing.T) {
	schema := compiled(t)
	const id = `"0190b6f8-7c1e-7000-8000-000000000001"`
	for _, c := range []struct{ name, right, wrong string }{
		{"unknown section", `"motors": []`, `"moters": []`},
		{"unknown field", `"motors": [{"handle": "a-8", "mass_g": 1}]`, `"motors": [{"handle": "a-8", "mass": 1}]`},
		{"unknown field of a part", `"motors": [{"handle": "a-8", "nozzles": [{"name": "n"}]}]`, `"motors": [{"handle": "a-8", "nozzles": [{"nme": "n"}]}]`},
		{"zero mass", `"motors": [{"handle": "a-8", "mass_g": 0.5}]`, `"motors": [{"handle": "a-8", "mass_g": 0}]`},
		{"thrust below zero", `"motors": [{"handle": "a-8", "curve": [{"t_s": 0, "thrust_n": 0}]}]`, `"motors": [{"handle": "a-8", "curve": [{"t_s": 0, "thrust_n": -1}]}]`},
		{"half a point", `"motors": [{"handle": "a-8", "curve": [{"t_s": 0, "thrust_n": 0}]}]`, `"motors": [{"handle": "a-8", "curve": [{"t_s": 0}]}]`},
		{"head too wide", `"igniters": [{"handle": "x", "head_mm": 100}]`, `"igniters": [{"handle": "x", "head_mm": 100.1}]`},
		{"unknown word", `"igniters": [{"handle": "x", "output": "low"}]`, `"igniters": [{"handle": "x", "output": "hot"}]`},
		{"unknown word of a list", `"motors": [{"handle": "x", "head_ends": ["open"]}]`, `"motors": [{"handle": "x", "head_ends": ["shut"]}]`},
		{"number in quotes", `"motors": [{"handle": "x", "mass_g": 1}]`, `"motors": [{"handle": "x", "mass_g": "1"}]`},
		{"null", `"motors": [{"handle": "x", "maker": "m"}]`, `"motors": [{"handle": "x", "maker": null}]`},
		{"handle with a blank", `"motors": [{"handle": "a-8"}]`, `"motors": [{"handle": "A 8"}]`},
		{"delay of nothing", `"motors": [{"handle": "x", "delays_s": [3]}]`, `"motors": [{"handle": "x", "delays_s": [3, 0]}]`},
		{"half a gauge", `"igniters": [{"handle": "x", "lead_awg": 24}]`, `"igniters": [{"handle": "x", "lead_awg": 24.5}]`},
		{"reference with a blank", `"motors": [{"handle": "x", "case": "c"}]`, `"motors": [{"handle": "x", "case": "the c"}]`},
		{"no id", `"lots": [{"id": ` + id + `}]`, `"lots": [{"id": "17"}]`},
		{"a lot by handle", `"events": [{"lot": ` + id + `}]`, `"events": [{"lot": "a-8"}]`},
		{"no date", `"lots": [{"expires": "2027-02"}]`, `"lots": [{"expires": "2027-13"}]`},
		{"no time", `"events": [{"at": "2027-04-17T10:30:00Z"}]`, `"events": [{"at": "yesterday"}]`},
		{"flag in quotes", `"lots": [{"no_expiry": true}]`, `"lots": [{"no_expiry": "true"}]`},
		{"settings in an array", `"settings": {}`, `"settings": [{}]`},
		{"pair of another type", `"settings": {"priors": {"a": "9"}}`, `"settings": {"priors": {"a": [9]}}`},
		{"text too long", `"motors": [{"handle": "x", "notes": "x"}]`, `"motors": [{"handle": "x", "notes": "` + strings.Repeat("x", longestText+1) + `"}]`},
	} {
		t.Run(c.name, func(t *testing.T) {
			for doc, right := range map[string]bool{c.right: true, c.wrong: false} {
				whole := []byte(top + doc + "}")
				if err := validate(schema, whole); (err == nil) != right {
					t.Errorf("the schema: %.100s: %v", doc, err)
				}
				if _, err := Read(bytes.NewReader(whole), "box.json"); (err == nil) != right {
					t.Errorf("the reader: %.100s: %v", doc, err)
				}
			}
		})
	}
	for _, head := range []string{`{}`, `[]`, `{"format": "other", "version": 1}`, `{"format": "rangebox-archive"}`, `{"format": "rangebox-archive", "version": 2}`} {
		if validate(schema, []byte(head)) == nil {
			t.Errorf("the schema takes %s", head)
		}
	}
}

// TestSchemaNamesEveryField sees that no field of a kind is left out, and that
// numbers say their unit.
func TestSchemaNamesEveryField(t *testing.T) {
	var schema struct {
		Defs map[string]struct {
			Properties map[string]struct{ Description string }
		} `json:"$defs"`
	}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	for _, info := range inventory.Kinds {
		properties := schema.Defs[info.Table.Name].Properties
		if got, want := slices.Sorted(maps.Keys(properties)), slices.Sorted(slices.Values(info.Table.Keys())); !slices.Equal(got, want) {
			t.Errorf("fields of a %s: %v, want %v", info.Kind, got, want)
		}
	}
	if got := schema.Defs["igniter"].Properties["head_mm"].Description; !strings.HasSuffix(got, ", in mm") {
		t.Errorf("head_mm is described as %q", got)
	}
}
