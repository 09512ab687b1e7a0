package command_test

import (
	"encoding/binary"
	"hash/crc32"
	"sync"

	"github.com/rogpeppe/go-internal/testscript"
	bolt "go.etcd.io/bbolt"
)

var holdersLock sync.Mutex

// future writes a format number above any that is known into a box, in the
// envelope that FORMAT.md describes: a version byte, a CRC-32C of bucket, key,
// version and payload, the payload.
func future(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 1, "future FILE")
	db, err := bolt.Open(ts.MkAbs(args[0]), 0o600, nil)
	ts.Check(err)
	ts.Check(db.Update(func(tx *bolt.Tx) error {
		payload := []byte{0xa1, 0x01, 0x18, 0xc8} // CBOR: {1: 200}
		return tx.Bucket([]byte("meta")).Put([]byte("format"), sealed("meta", "format", payload))
	}))
	ts.Check(db.Close())
}

func sealed(bucket, key string, payload []byte) []byte {
	const version = 1
	covered := append([]byte(bucket), 0)
	covered = binary.BigEndian.AppendUint32(covered, uint32(len(key)))
	covered = append(append(covered, key...), version)
	covered = append(covered, payload...)
	value := binary.BigEndian.AppendUint32([]byte{version}, crc32.Checksum(covered, crc32.MakeTable(crc32.Castagnoli)))
	return append(value, payload...)
}
