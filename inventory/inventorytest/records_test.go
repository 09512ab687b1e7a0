package inventorytest_test

import (
	"testing"

	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/inventorytest"
)

// TestRecordsAreTaken sees that a batch of random records is one that an empty
// box takes, references and all.
func TestRecordsAreTaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		batch := inventorytest.Records(t)
		for _, p := range batch.Prepare(inventory.Nothing{}) {
			t.Errorf("%s %s: %v", batch.Items[p.Item].Record.Kind(), p.Path, p.Err)
		}
	})
}

// TestEveryFieldIsDrawn sees that the generator reaches each field of each
// table, known and unknown (but those that are always known).
func TestEveryFieldIsDrawn(t *testing.T) {
	known, unknown := map[string]bool{}, map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		for _, item := range inventorytest.Records(t).Items {
			info := item.Record.Kind().Info()
			note(known, unknown, string(info.Kind), info.Table, item.Record)
		}
	})
	always := map[string]bool{"motor.curve.t_s": true, "motor.curve.thrust_n": true, "motor.nozzles.curve.t_s": true, "motor.nozzles.curve.thrust_n": true,
		"event.at": true, "event.what": true, "event.lot": true, "event.quantity": true, "lot.id": true, "lot.kind": true, "lot.item": true,
		"reading.of": true, "reading.what": true, "reading.value": true}
	for _, info := range inventory.Kinds {
		if info.Handled {
			always[string(info.Kind)+".handle"] = true
		}
		each(string(info.Kind), info.Table, func(path string, named bool) {
			if !known[path] {
				t.Errorf("%s is never drawn", path)
			}
			if !unknown[path] && !always[path] && !named {
				t.Errorf("%s is always drawn", path)
			}
		})
	}
}

func note(known, unknown map[string]bool, path string, table *inventory.Table, rec any) {
	for i := range table.Fields {
		f := &table.Fields[i]
		at := path + "." + f.Key
		if !f.Known(rec) {
			unknown[at] = true
			continue
		}
		known[at] = true
		if f.Type == inventory.TypeNested {
			for _, part := range f.Parts(rec) {
				note(known, unknown, at, f.Sub, part)
			}
		}
	}
}

// each walks through all fields; names of parts are always given.
func each(path string, table *inventory.Table, visit func(path string, named bool)) {
	nested := path != "" && !isKind(path)
	for i := range table.Fields {
		f := &table.Fields[i]
		visit(path+"."+f.Key, nested && f.Key == "name")
		if f.Type == inventory.TypeNested {
			each(path+"."+f.Key, f.Sub, visit)
		}
	}
}

func isKind(path string) bool {
	_, ok := inventory.KindNamed(path)
	return ok
}
