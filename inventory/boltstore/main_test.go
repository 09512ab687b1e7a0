package boltstore_test

import (
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/inventorytest"
)

// TestMain runs this test binary as a child process where a test asks for one.
func TestMain(m *testing.M) {
	if work := os.Getenv("BOLTSTORE_CHILD"); work != "" {
		os.Exit(child(work, os.Getenv("BOLTSTORE_PATH")))
	}
	os.Exit(m.Run())
}

// childOf is a command that runs this binary as a child.
func childOf(t testing.TB, work, path string, env ...string) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	must(t, err)
	cmd := exec.Command(exe)
	cmd.Env = append(os.Environ(), append(env, "BOLTSTORE_CHILD="+work, "BOLTSTORE_PATH="+path)...)
	return cmd
}

// child does one piece of work; with BOLTSTORE_KILL=n it ends itself with
// SIGKILL at the n-th step of its writes.
func child(work, path string) int {
	killAt, _ := strconv.Atoi(os.Getenv("BOLTSTORE_KILL"))
	steps := 0
	boltstore.SetStep(func(name string) {
		fmt.Printf("s %s\n", name)
		if steps++; steps == killAt {
			if self, err := os.FindProcess(os.Getpid()); err == nil {
				_ = self.Kill()
			}
			select {}
		}
	})
	do, ok := map[string]func(string) error{
		"book": childBooks, "create": childCreates, "bulk": childBulk, "restore": childRestores,
		"records": childPuts, "damage": childDamages, "run": childRuns, "repair": childRepairs,
		"book patiently": childBooksPatiently,
		"merge":          func(path string) error { return childMerges(path, false) },
		"merge in bulk":  func(path string) error { return childMerges(path, true) },
	}[work]
	if !ok {
		fmt.Println("no such work")
		return 3
	}
	if err := do(path); err != nil {
		fmt.Println("e " + err.Error())
		return 1
	}
	fmt.Println("d")
	return 0
}

// acknowledge tells the parent that something is durable.
func acknowledge(what any) { fmt.Printf("a %v\n", what) }

// childBooks books one entry after the other, some with a void of it.
func childBooks(path string) error {
	rounds, err := strconv.Atoi(os.Getenv("BOLTSTORE_ROUNDS"))
	if err != nil {
		rounds = 1 << 30
	}
	for i := range rounds {
		e := entry(inventory.In, lotID("wick"), 1, i)
		events := []*inventory.Event{e}
		if i%3 == 2 {
			events = append(events, void(e.ID, i))
		}
		if err := book(path, events...); err != nil {
			return err
		}
		for _, e := range events {
			acknowledge(e.ID)
		}
	}
	return nil
}

// childBooksPatiently waits as long as a merge of many entries takes.
func childBooksPatiently(path string) error {
	o := opt()
	o.Wait = time.Minute
	for i := range 2 {
		e := entry(inventory.In, lotID("wick"), 1, i)
		if err := boltstore.Write(path, o, func(tx *boltstore.Tx) error { return tx.Book(e) }); err != nil {
			return err
		}
		acknowledge(e.ID)
	}
	return nil
}

func childCreates(path string) error {
	err := boltstore.CreateOrWrite(path, opt(), func(tx *boltstore.Tx) error {
		_, err := tx.Import(small(), boltstore.ImportOptions{})
		return err
	})
	if err == nil {
		acknowledge("created")
	}
	return err
}

func childBulk(path string) error {
	bulk := opt()
	bulk.Bulk = true
	e := entry(inventory.In, lotID("wick"), 1, 1)
	err := boltstore.Write(path, bulk, func(tx *boltstore.Tx) error { return tx.Book(e) })
	if err == nil {
		acknowledge(e.ID)
	}
	return err
}

func childRestores(path string) error {
	_, err := boltstore.Restore(path+".saved", path, opt())
	if err == nil {
		acknowledge("restored")
	}
	return err
}

// childMerges merges the box beside its own, with a copy of what was.
func childMerges(path string, bulk bool) error {
	o := opt()
	o.Bulk = bulk
	err := boltstore.Read(path+otherBox, opt(), func(v *boltstore.View) error {
		return boltstore.Write(path, o, func(tx *boltstore.Tx) error {
			_, err := tx.MergeWith(v, boltstore.MergeOptions{KeepAt: path})
			return err
		})
	})
	if err == nil {
		acknowledge("merged")
	}
	return err
}

func childRepairs(path string) error {
	_, err := boltstore.Repair(path, opt(), func([]boltstore.Aside) error {
		return os.WriteFile(path+asideFile, []byte("aside"), 0o600)
	})
	if err == nil {
		acknowledge("repaired")
	}
	return err
}

// childPuts adds, renames and removes records.
func childPuts(path string) error {
	for i := range 3 {
		m := motor(fmt.Sprintf("new-%d", i))
		m.IgniterSupplied = to("wick")
		if err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { _, err := tx.Put(m); return err }); err != nil {
			return err
		}
		acknowledge(m.ID)
		if err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error {
			return tx.Rename(inventory.KindMotor, m.Handle, m.Handle+"-b")
		}); err != nil {
			return err
		}
		g := igniter(fmt.Sprintf("gone-%d", i))
		if err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { _, err := tx.Put(g); return err }); err != nil {
			return err
		}
		if err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { return tx.Remove(g.ID) }); err != nil {
			return err
		}
	}
	return nil
}

// holds tells whether a box has a record or an entry.
func holds(t reporter, path string, id uuid.UUID) (ok bool) {
	t.Helper()
	must(t, boltstore.Read(path, opt(), func(v *boltstore.View) error { _, ok = v.KindOf(id); return nil }))
	return ok
}

// withoutRace skips what runs in processes of its own, that are killed or that read
// damage one after the other: the race detector learns nothing there, and makes
// them ten times as long.
func withoutRace(t *testing.T) {
	t.Helper()
	if inventorytest.UnderRace {
		t.Skip("children have nothing to tell the race detector; go test without -race runs this")
	}
}
