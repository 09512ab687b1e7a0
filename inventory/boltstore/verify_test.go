package boltstore_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	bolt "go.etcd.io/bbolt"

	"rangebox/inventory/boltstore"
)

// TestVerifyFindsEverything takes away, adds and alters one value in each bucket
// of the fixture, in sound envelopes and with the counts kept right, so that only
// computing it anew can show it.
func TestVerifyFindsEverything(t *testing.T) {
	whole, err := os.ReadFile(filepath.Join("testdata", "v1.box"))
	must(t, err)
	for _, name := range boltstore.Buckets() {
		for _, how := range []string{"taken away", "another added", "altered"} {
			if name == "meta" && how == "altered" || primary(name) && how == "altered" {
				continue // another truth, not a wrong one
			}
			t.Run(name+" "+how, func(t *testing.T) {
				path := filepath.Join(t.TempDir(), "range.box")
				must(t, os.WriteFile(path, whole, 0o600))
				db, err := bolt.Open(path, 0o600, nil)
				must(t, err)
				must(t, db.Update(func(tx *bolt.Tx) error { return tamper(tx, name, how) }))
				must(t, db.Close())
				report, err := boltstore.Verify(path, opt())
				if err == nil && len(report.Problems) == 0 {
					t.Error("verify sees nothing")
				}
				for _, p := range report.Problems {
					if strings.Contains(p, "checksum") {
						t.Errorf("the test is not sound: %s", p)
					}
				}
			})
		}
	}
}

// primary tells the buckets of what was entered. One record of those fewer,
// with the counts kept right, shows where something refers to it.
func primary(name string) bool {
	return !strings.Contains("ids handles refs event-ids lot-events voids stock lot-stock", name)
}

func tamper(tx *bolt.Tx, name, how string) error {
	b := tx.Bucket([]byte(name))
	key, value := b.Cursor().Last()
	key, value = append([]byte(nil), key...), append([]byte(nil), value...)
	switch how {
	case "taken away":
		if err := b.Delete(key); err != nil {
			return err
		}
		return boltstore.Recount(tx, name, -1)
	case "another added":
		key[len(key)-1] ^= 1
		if err := b.Put(key, boltstore.Seal(name, key, 1, value[5:])); err != nil {
			return err
		}
		return boltstore.Recount(tx, name, 1)
	}
	return b.Put(key, boltstore.Seal(name, key, 1, []byte{0xa1, 0x18, 0x63, 0x01}))
}
