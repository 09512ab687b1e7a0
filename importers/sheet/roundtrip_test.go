package sheet

import (
	"bytes"
	"flag"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/inventorytest"
)

var exact = cmp.Exporter(func(reflect.Type) bool { return true })

func recordsOf(b *inventory.Batch, kind inventory.Kind) []inventory.Record {
	var list []inventory.Record
	for _, item := range b.Items {
		if item.Record.Kind() == kind {
			list = append(list, item.Record)
		}
	}
	return list
}

// saysNothing tells of a record that would be an empty row: nothing but blanks is
// known of it.
func saysNothing(rec inventory.Record) bool {
	table := rec.Kind().Info().Table
	for i := range table.Fields {
		f := &table.Fields[i]
		if f.Type == inventory.TypeNested {
			if f.Known(rec) {
				return false
			}
			continue
		}
		if text, ok := f.Text(rec); ok && strings.TrimSpace(text) != "" {
			return false
		}
	}
	return true
}

// sayable takes out of a batch what a sheet does not hold: a nozzle of which
// nothing is known, and a record of which nothing but blanks is.
func sayable(b *inventory.Batch) {
	var items []inventory.Item
	for _, item := range b.Items {
		if m, ok := item.Record.(*inventory.Motor); ok {
			m.Nozzles = slices.DeleteFunc(m.Nozzles, func(n inventory.Nozzle) bool {
				n.Name = strings.TrimSpace(n.Name)
				return reflect.DeepEqual(n, inventory.Nozzle{})
			})
			if len(m.Nozzles) == 0 {
				m.Nozzles = nil
			}
		}
		if !saysNothing(item.Record) {
			items = append(items, item)
		}
	}
	b.Items = items
}

func readBack(t rapidOrT, data []byte, opt Options) *Result {
	got, err := Read(bytes.NewReader(data), "f", opt)
	if err == nil {
		err = got.Err()
	}
	if err != nil {
		t.Fatalf("what was written is refused: %v", err)
	}
	return got
}

type rapidOrT interface {
	Fatalf(string, ...any)
	Helper()
}

// TestExportThenImportIsTheIdentity: every kind, as CSV and as a workbook.
func TestExportThenImportIsTheIdentity(t *testing.T) {
	if inventorytest.UnderRace { // ten times as slow, and there is one goroutine
		checks := flag.Lookup("rapid.checks")
		defer func(was string) { _ = checks.Value.Set(was) }(checks.Value.String())
		if err := checks.Value.Set("10"); err != nil {
			t.Fatal(err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		batch := inventorytest.Records(t)
		sayable(batch)
		var book bytes.Buffer
		if err := WriteXLSX(&book, archive.FromBatch(batch)); err != nil {
			t.Fatal(err)
		}
		fromBook := readBack(t, book.Bytes(), Options{})
		for _, info := range inventory.Kinds {
			want := recordsOf(batch, info.Kind)
			if diff := cmp.Diff(want, recordsOf(fromBook.Batch, info.Kind), exact); diff != "" {
				t.Fatalf("the workbook's %s: %s", info.Plural, diff)
			}
			var table bytes.Buffer
			if err := WriteCSV(&table, info.Kind, archive.FromBatch(batch)); err != nil {
				t.Fatal(err)
			}
			got := readBack(t, table.Bytes(), Options{Kind: string(info.Kind)})
			if diff := cmp.Diff(want, recordsOf(got.Batch, info.Kind), exact); diff != "" {
				t.Fatalf("the CSV's %s: %s", info.Plural, diff)
			}
		}
	})
}

// TestHostileTextsComeBack: texts that spreadsheets tend to change, each in every
// field of text of a motor and a lot.
func TestHostileTextsComeBack(t *testing.T) {
	texts := append([]string{"007", "-12", "1e5", "1/2", "3-5", "=cmd|'/C calc'!A0", "'=x", "''=x", "'", "''", "@x", "\tx", "\rx", "+1", "x ", " x", "\u00a0x\u00a0",
		"_x000D_", "_x0041_", "_xD83D_", "_x005F_x0041_", "TRUE", "#N/A", "a\r\nb", "a\rb", "Ap", "'Ap", "''Ap", "-Ap", "'-Ap", "Composite", "black powder", "2027-04-17", "sep=;", "=" + strings.Repeat("x", 40_000),
		strings.Repeat("🚀", 16_000), strings.Repeat("=", 64<<10), "🚀" + strings.Repeat("=x", 30_000)}, inventorytest.Hostile...)
	batch := &inventory.Batch{}
	for i, text := range texts {
		m := &inventory.Motor{Header: inventory.Header{Handle: fmt.Sprintf("m%d", i), Notes: text}, Maker: text, Name: text, Propellant: text, Plug: text}
		m.Nozzles = []inventory.Nozzle{{Name: text}}
		lot := &inventory.Lot{Header: inventory.Header{Notes: text}, Of: inventory.LotOfMotors, Item: inventory.Ref{Handle: m.Handle}, Place: text, Code: text}
		batch.Add(m, "", i)
		batch.Add(lot, "", i)
	}
	var book bytes.Buffer
	if err := WriteXLSX(&book, archive.FromBatch(batch)); err != nil {
		t.Fatal(err)
	}
	fromBook := readBack(t, book.Bytes(), Options{})
	for _, kind := range []inventory.Kind{inventory.KindMotor, inventory.KindLot} {
		want := recordsOf(batch, kind)
		if diff := cmp.Diff(want, recordsOf(fromBook.Batch, kind), exact); diff != "" {
			t.Errorf("workbook, %s: %.2000s", kind, diff)
		}
		var table bytes.Buffer
		if err := WriteCSV(&table, kind, archive.FromBatch(batch)); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, recordsOf(readBack(t, table.Bytes(), Options{}).Batch, kind), exact); diff != "" {
			t.Errorf("CSV, %s: %.2000s", kind, diff)
		}
	}
}
