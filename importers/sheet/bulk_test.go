package sheet

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/inventorytest"
	"rangebox/inventory/quantity"
)

const manyLots = 100_000

// lots is a source of many lots, and no more than one of them at a time.
func lots(kind inventory.Kind, yield func(inventory.Record) error) error {
	if kind != inventory.KindLot {
		return nil
	}
	for i := range manyLots {
		lot := &inventory.Lot{Of: inventory.LotOfMotors, Item: inventory.Ref{Handle: fmt.Sprintf("motor-%d", i%500)},
			Quantity: quantity.Some(quantity.Number(1e9 * int64(1+i%17))), UnitCost: quantity.Some(quantity.Number(1_250_000_000)),
			Acquired: inventory.Date{Year: 2026, Month: 1 + i%12, Day: 1 + i%28}, Expires: inventory.Date{Year: 2028, Month: 1, Day: 1},
			Place: fmt.Sprintf("shelf %d", i%30), Code: fmt.Sprintf("L%05d", i)}
		if err := yield(lot); err != nil {
			return err
		}
	}
	return nil
}

// TestManyLots reads 100,000 lots of each kind of file in a process of its own, in
// under 10 s and 300 MB.
func TestManyLots(t *testing.T) {
	if file := os.Getenv("RANGEBOX_MANY_LOTS"); file != "" {
		readManyLots(t, file)
		return
	}
	if testing.Short() || inventorytest.UnderRace {
		t.Skip("takes seconds, and its figures mean nothing under the race detector")
	}
	for _, kind := range []string{"csv", "xlsx"} {
		t.Run(kind, func(t *testing.T) {
			file := t.TempDir() + "/lots." + kind
			writeManyLots(t, file)
			cmd := exec.Command(os.Args[0], "-test.run=^TestManyLots$", "-test.v")
			cmd.Env = append(os.Environ(), "RANGEBOX_MANY_LOTS="+file)
			said, err := cmd.CombinedOutput()
			if err != nil {
				t.Fatalf("%v: %s", err, said)
			}
			t.Logf("%s", said)
		})
	}
}

func writeManyLots(t *testing.T, file string) {
	t.Helper()
	var out bytes.Buffer
	began := time.Now()
	err := WriteXLSX(&out, lots)
	if strings.HasSuffix(file, "csv") {
		out.Reset()
		err = WriteCSV(&out, inventory.KindLot, archive.Source(lots))
	}
	if err == nil {
		err = os.WriteFile(file, out.Bytes(), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("wrote %d MB in %v", out.Len()>>20, time.Since(began))
}

func readManyLots(t *testing.T, file string) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	began := time.Now()
	got, err := Read(f, file, Options{})
	if err == nil {
		err = got.Err()
	}
	took, memory := time.Since(began), peak(t)
	if err != nil || len(got.Batch.Items) != manyLots {
		t.Fatalf("read %v", err)
	}
	if took > 10*time.Second || memory > 300<<10 {
		t.Errorf("took %v and %d MB", took, memory>>10)
	}
	t.Logf("%d lots read in %v, %d MB at most", manyLots, took, memory>>10)
}

// peak is the most memory that this process had, in KiB; 0 where the system does
// not say.
func peak(t *testing.T) (kib int) {
	t.Helper()
	f, err := os.Open("/proc/self/status")
	if err != nil {
		return 0
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if rest, ok := strings.CutPrefix(lines.Text(), "VmHWM:"); ok {
			_, _ = fmt.Sscanf(rest, "%d kB", &kib)
		}
	}
	return kib
}
