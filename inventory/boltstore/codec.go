package boltstore

import (
	"errors"
	"fmt"
	"reflect"

	"github.com/fxamacker/cbor/v2"
	"github.com/google/uuid"

	"rangebox/inventory"
)

// storedRecord is the payload of a record and of an entry of the ledger; an
// entry has its fields only.
type storedRecord struct {
	Revision  uuid.UUID       `cbor:"1,keyasint,omitzero"`
	Ancestors []uuid.UUID     `cbor:"2,keyasint,omitempty"`
	Changed   int64           `cbor:"3,keyasint,omitempty"` // nanoseconds since 1970
	Removed   bool            `cbor:"4,keyasint,omitempty"`
	Fields    cbor.RawMessage `cbor:"5,keyasint,omitempty"`
	Former    []string        `cbor:"6,keyasint,omitempty"`
}

// storedState is what the meta bucket says of the whole box.
type storedState struct {
	Box     uuid.UUID         `cbor:"1,keyasint"`
	Number  uint64            `cbor:"2,keyasint"`
	Changed int64             `cbor:"3,keyasint"`
	Counts  map[string]uint64 `cbor:"4,keyasint"`
}

type storedFormat struct {
	Version int `cbor:"1,keyasint"`
}

// storedID is the card of a record: what it is, and how many values belong to
// it in the buckets whose keys begin with an id, see group.go.
type storedID struct {
	Kind    inventory.Kind `cbor:"1,keyasint"`
	Handle  string         `cbor:"2,keyasint,omitempty"`
	Removed bool           `cbor:"3,keyasint,omitempty"`
	Lots    uint64         `cbor:"4,keyasint,omitempty"` // in bucket stock
	Refs    uint64         `cbor:"5,keyasint,omitempty"` // in bucket refs
	Entries uint64         `cbor:"6,keyasint,omitempty"` // in bucket lot-events
}

type storedHandle struct {
	ID     uuid.UUID `cbor:"1,keyasint"`
	Former bool      `cbor:"2,keyasint,omitempty"`
	About  string    `cbor:"3,keyasint,omitempty"`
}

type storedSource struct {
	Kind inventory.Kind `cbor:"1,keyasint"`
}

type storedSeq struct {
	Seq uint64 `cbor:"1,keyasint"`
}

type storedVoid struct {
	By uuid.UUID `cbor:"1,keyasint"`
}

type storedKey struct {
	Key []byte `cbor:"1,keyasint"`
}

type storedStock struct {
	OnHand   int64  `cbor:"1,keyasint,omitempty"`
	Promised int64  `cbor:"2,keyasint,omitempty"`
	Held     bool   `cbor:"3,keyasint,omitempty"`
	Place    string `cbor:"4,keyasint,omitempty"`
}

type storedNothing struct{}

// maxFieldsSize is the largest payload taken in: far above any honest record.
const maxFieldsSize = 16 << 20

var encoding = func() cbor.EncMode {
	mode, err := cbor.CoreDetEncOptions().EncMode()
	if err != nil {
		panic(err)
	}
	return mode
}()

func decoding(defaultMap reflect.Type) cbor.DecMode {
	mode, err := cbor.DecOptions{
		DupMapKey:         cbor.DupMapKeyEnforcedAPF,
		IndefLength:       cbor.IndefLengthForbidden,
		TagsMd:            cbor.TagsForbidden,
		IntDec:            cbor.IntDecConvertSignedOrFail,
		MaxNestedLevels:   24,
		MaxArrayElements:  1 << 20,
		MaxMapPairs:       1 << 16,
		DefaultMapType:    defaultMap,
		ExtraReturnErrors: cbor.ExtraDecErrorUnknownField,
	}.DecMode()
	if err != nil {
		panic(err)
	}
	return mode
}

var (
	// decodingPlain reads records all of whose maps have numbers for keys.
	decodingPlain = decoding(reflect.TypeFor[map[int64]any]())
	// decodingMixed reads those that hold pairs of text as well.
	decodingMixed = decoding(reflect.TypeFor[map[any]any]())
)

// encode never fails for the types above; if it does, the program is wrong.
func encode(v any) []byte {
	data, err := encoding.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("boltstore: encode %T: %v", v, err))
	}
	return data
}

// decode reads a payload whose envelope was whole: what does not fit was
// written by a newer version, or by a broken program.
func decode(bucket string, key, payload []byte, into any) error {
	err := decodingPlain.Unmarshal(payload, into)
	var unknown *cbor.UnknownFieldError
	if errors.As(err, &unknown) {
		return fmt.Errorf("%w: the value of %s in bucket %q has a field that this version does not know", inventory.ErrNewer, keyText(key), bucket)
	}
	if err != nil {
		return damaged(bucket, key, err.Error())
	}
	return nil
}

// decodeFields reads the fields of a record.
func decodeFields(kind inventory.Kind, data []byte) (inventory.Record, error) {
	if len(data) > maxFieldsSize {
		return nil, fmt.Errorf("%w: the record is larger than any can be", inventory.ErrDamaged)
	}
	fields, err := storedFields(kind, data)
	if err != nil {
		return nil, err
	}
	return inventory.Unpack(kind, fields)
}

func storedFields(kind inventory.Kind, data []byte) (inventory.Stored, error) {
	var fields inventory.Stored
	if !hasPairs[kind] {
		if err := decodingPlain.Unmarshal(data, &fields); err != nil {
			return nil, fmt.Errorf("%w: %s", inventory.ErrDamaged, err)
		}
		return fields, nil
	}
	var mixed any
	if err := decodingMixed.Unmarshal(data, &mixed); err != nil {
		return nil, fmt.Errorf("%w: %s", inventory.ErrDamaged, err)
	}
	fields, ok := sorted(mixed).(inventory.Stored)
	if !ok {
		return nil, fmt.Errorf("%w: the record's fields are no map", inventory.ErrDamaged)
	}
	return fields, nil
}

// hasPairs tells which kinds hold pairs of text anywhere.
var hasPairs = func() map[inventory.Kind]bool {
	found := map[inventory.Kind]bool{}
	for _, info := range inventory.Kinds {
		found[info.Kind] = tableHasPairs(info.Table)
	}
	return found
}()

func tableHasPairs(t *inventory.Table) bool {
	for _, f := range t.Fields {
		if f.Type == inventory.TypeMap || f.Sub != nil && tableHasPairs(f.Sub) {
			return true
		}
	}
	return false
}

// sorted gives maps the type their keys say: numbers are fields, text is pairs.
func sorted(value any) any {
	switch v := value.(type) {
	case []any:
		for i := range v {
			v[i] = sorted(v[i])
		}
	case map[any]any:
		return sortedMap(v)
	}
	return value
}

func sortedMap(in map[any]any) any {
	fields, pairs := inventory.Stored{}, map[string]any{}
	for key, value := range in {
		switch k := key.(type) {
		case int64:
			fields[k] = sorted(value)
		case string:
			pairs[k] = value
		}
	}
	if len(pairs) > 0 {
		return pairs
	}
	return fields
}
