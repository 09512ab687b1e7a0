package boltstore

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	bolt "go.etcd.io/bbolt"
)

// TestIsBox: a box is known by what it holds, whatever it is called and whatever
// else of it is damaged.
func TestIsBox(t *testing.T) {
	made := filepath.Join(t.TempDir(), "a.box")
	if err := CreateOrWrite(made, Options{Now: time.Now}, func(*Tx) error { return nil }); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(made)
	if err != nil {
		t.Fatal(err)
	}
	small := filepath.Join(t.TempDir(), "small.box")
	db, err := bolt.Open(small, 0o600, &bolt.Options{PageSize: 1024})
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	ofSmallPages, err := os.ReadFile(small)
	if err != nil {
		t.Fatal(err)
	}
	changed := func(data []byte, change func([]byte)) []byte {
		data = append([]byte(nil), data...)
		change(data)
		return data
	}
	turned := func(b []byte) { b[16], b[17], b[18], b[19] = b[19], b[18], b[17], b[16] }
	for name, c := range map[string]struct {
		data []byte
		want bool
	}{
		"whole":                         {whole, true},
		"cut after the first meta page": {whole[:100], true},
		"first page wiped":              {changed(whole, func(b []byte) { clear(b[:os.Getpagesize()]) }), true},
		"small pages, the first wiped":  {changed(ofSmallPages, func(b []byte) { clear(b[:1024]) }), true},
		"the other byte order":          {changed(whole[:100], turned), true},
		"both meta pages wiped":         {changed(whole, func(b []byte) { clear(b[:2*os.Getpagesize()]) }), false},
		"empty":                         {nil, false},
		"short":                         {whole[:18], false},
		"an archive":                    {[]byte(`{"format":"rangebox-archive","version":1}`), false},
	} {
		file := filepath.Join(t.TempDir(), "any.json")
		if err := os.WriteFile(file, c.data, 0o600); err != nil {
			t.Fatal(err)
		}
		if got, err := IsBox(file); got != c.want || err != nil {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
	for _, none := range []string{filepath.Join(t.TempDir(), "nothing"), t.TempDir()} {
		if got, err := IsBox(none); got || err != nil {
			t.Errorf("%s: %v, %v", none, got, err)
		}
	}
	if _, err := IsBox(filepath.Join(made, "below")); err == nil {
		t.Error("what cannot be looked at is told to be no box")
	}
}
