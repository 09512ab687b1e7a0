package archive

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/inventorytest"
)

// exact compares records to the last unexported field.
var exact = cmp.Exporter(func(reflect.Type) bool { return true })

// inOrder is the records of a batch as an archive has them.
func inOrder(b *inventory.Batch) []inventory.Record {
	var list []inventory.Record
	for _, kind := range Order {
		for _, item := range b.Items {
			if item.Record.Kind() == kind {
				list = append(list, item.Record)
			}
		}
	}
	return list
}

// TestWriteRead: what was written is read back, whatever it is.
func TestWriteRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		batch := inventorytest.Records(t)
		var out bytes.Buffer
		if err := Write(&out, FromBatch(batch)); err != nil {
			t.Fatal(err)
		}
		if !utf8.Valid(out.Bytes()) || !json.Valid(out.Bytes()) {
			t.Fatalf("no valid UTF-8 or JSON:\n%s", out.Bytes())
		}
		again, err := Read(bytes.NewReader(out.Bytes()), "box.json")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(inOrder(batch), inOrder(again), exact); diff != "" {
			t.Fatal(diff)
		}
		rowsAreRight(t, again, strings.Split(out.String(), "\n"))
	})
}

// rowsAreRight sees that each record's row is the line that holds it.
func rowsAreRight(t *rapid.T, batch *inventory.Batch, lines []string) {
	before := 0
	for _, item := range batch.Items {
		line := lines[item.Row-1]
		if name := item.Record.Base().Handle; item.Row <= before || name != "" && !strings.Contains(line, `"handle": "`+name+`"`) ||
			!strings.HasPrefix(line, "{") && item.Record.Kind() != inventory.KindSettings {
			t.Fatalf("row %d is not where a %s begins: %.80s", item.Row, item.Record.Kind(), line)
		}
		before = item.Row
	}
}

// TestEveryKindAlone writes and reads single records of each kind.
func TestEveryKindAlone(t *testing.T) {
	for _, kind := range Order {
		t.Run(string(kind), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				batch := &inventory.Batch{}
				batch.Add(inventorytest.Record(t, kind), "", 0)
				var out bytes.Buffer
				if err := Write(&out, FromBatch(batch)); err != nil {
					t.Fatal(err)
				}
				again, err := Read(&out, "box.json")
				if err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(inOrder(batch), inOrder(again), exact); diff != "" {
					t.Fatal(diff)
				}
			})
		})
	}
}

// TestOrderHasEveryKind: a kind that is not in Order would be left out in silence.
func TestOrderHasEveryKind(t *testing.T) {
	seen := map[inventory.Kind]bool{}
	for _, kind := range Order {
		seen[kind] = true
	}
	if len(Order) != len(inventory.Kinds) || len(seen) != len(Order) {
		t.Errorf("Order has %d kinds (%d different), inventory has %d", len(Order), len(seen), len(inventory.Kinds))
	}
}

// TestHostileTextsComeBack: each in every field of text of a motor.
func TestHostileTextsComeBack(t *testing.T) {
	batch := &inventory.Batch{}
	for i, text := range append([]string{"007", "-12", "1e5", "=cmd|'/C calc'!A0", "'", "\t"}, inventorytest.Hostile...) {
		m := &inventory.Motor{Header: inventory.Header{Handle: fmt.Sprintf("m%d", i), Notes: text}, Maker: text, Name: text, Plug: text}
		batch.Add(m, "", i)
	}
	var out bytes.Buffer
	if err := Write(&out, FromBatch(batch)); err != nil {
		t.Fatal(err)
	}
	again, err := Read(bytes.NewReader(out.Bytes()), "box.json")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(inOrder(batch), inOrder(again), exact); diff != "" {
		t.Errorf("%.2000s", diff)
	}
}
