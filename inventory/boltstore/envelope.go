package boltstore

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"

	"rangebox/inventory"
)

// valueVersion is the version byte of the values that this version writes.
const valueVersion = 1

// envelopeSize is the version byte and the checksum before the payload.
const envelopeSize = 5

// Nothing longer was ever written; a size that is damaged is not to be believed.
const (
	longestKey   = 1024
	largestValue = maxFieldsSize + 64<<10
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// checksum covers the bucket's name, the key, the version byte and the payload,
// so that a value under another key, or in another bucket, is damage as well.
func checksum(bucket string, key []byte, version byte, payload []byte) uint32 {
	var room [80]byte
	head := append(room[:0], bucket...)
	head = append(head, 0)
	head = binary.BigEndian.AppendUint32(head, uint32(len(key)))
	head = append(append(head, key...), version)
	return crc32.Update(crc32.Update(0, castagnoli, head), castagnoli, payload)
}

// seal puts a payload into its envelope.
func seal(bucket string, key, payload []byte) []byte {
	value := make([]byte, 0, envelopeSize+len(payload))
	value = append(value, valueVersion)
	value = binary.BigEndian.AppendUint32(value, checksum(bucket, key, valueVersion, payload))
	return append(value, payload...)
}

// unseal checks an envelope and gives the payload inside. The error wraps
// ErrDamaged, or ErrNewer for a whole value of a newer version.
func unseal(bucket string, key, value []byte) ([]byte, error) {
	switch {
	case len(value) < envelopeSize:
		return nil, damaged(bucket, key, "the value is cut short")
	case len(key) > longestKey, len(value) > largestValue:
		return nil, damaged(bucket, key, "it is larger than any that was ever written")
	}
	version, payload := value[0], value[envelopeSize:]
	if binary.BigEndian.Uint32(value[1:]) != checksum(bucket, key, version, payload) {
		return nil, damaged(bucket, key, "its checksum does not match")
	}
	if version > valueVersion {
		return nil, fmt.Errorf("%w: the value of %s in bucket %q was written by a newer version of rangebox", inventory.ErrNewer, keyText(key), bucket)
	}
	if version < valueVersion {
		return nil, damaged(bucket, key, "its version byte is none that was ever written")
	}
	return payload, nil
}

func damaged(bucket string, key []byte, what string) error {
	return fmt.Errorf("%w: bucket %q, key %s: %s", inventory.ErrDamaged, bucket, keyText(key), what)
}
