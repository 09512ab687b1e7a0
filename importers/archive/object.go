package archive

import (
	"encoding/json"

	"rangebox/inventory"
)

// Object is one record as it stands in an archive, for answers that show one.
func Object(rec inventory.Record) json.RawMessage {
	return appendObject(nil, rec.Kind().Info().Table, rec)
}
