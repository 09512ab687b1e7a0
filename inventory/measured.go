package inventory

import (
	"sort"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// Measured is the record with what was read of its type in place of its own
// figures; the record itself where nothing was read. The latest reading counts.
func Measured[R Record](b *Box, rec R) R {
	return withReadings(rec, b.readings[rec.Base().ID])
}

// MeasuredLot is the record with what was read of the type and then of the lot,
// and whether the lot has readings of its own.
func MeasuredLot[R Record](b *Box, lot *Lot, rec R) (R, bool) {
	own := b.readings[lot.ID]
	if len(own) == 0 {
		return rec, false
	}
	return withReadings(Measured(b, rec), own), true
}

// readingsByTarget sorts readings under what they are of, earliest first.
func readingsByTarget(list []*Reading) map[uuid.UUID][]*Reading {
	out := map[uuid.UUID][]*Reading{}
	for _, r := range list {
		if r.Of == nil {
			continue
		}
		id := r.Of.Item.ID
		if !r.Of.Lot.IsZero() {
			id = r.Of.Lot.ID
		}
		out[id] = append(out[id], r)
	}
	for _, of := range out {
		SortReadings(of)
	}
	return out
}

// SortReadings puts readings in order, earliest first.
func SortReadings(list []*Reading) {
	sort.Slice(list, func(i, j int) bool {
		if !list[i].At.Equal(list[j].At) {
			return list[i].At.Before(list[j].At)
		}
		return list[i].ID.String() < list[j].ID.String()
	})
}

func withReadings[R Record](rec R, readings []*Reading) R {
	if len(readings) == 0 {
		return rec
	}
	copied := any(copyOf(rec)).(R)
	for _, r := range readings {
		apply(copied, r)
	}
	if battery, ok := any(copied).(*Battery); ok {
		applyLoaded(battery, readings)
		forgetOvertaken(battery)
	}
	return copied
}

// copyOf copies what readings can change; the rest is shared.
func copyOf(rec Record) Record {
	switch r := rec.(type) {
	case *Motor:
		c := *r
		c.Nozzles = append([]Nozzle(nil), r.Nozzles...)
		return &c
	case *Igniter:
		c := *r
		return &c
	case *Battery:
		c := *r
		return &c
	case *Controller:
		c := *r
		return &c
	case *Line:
		c := *r
		return &c
	case *Supply:
		c := *r
		return &c
	}
	return rec
}

// apply puts one reading in the place of the field it measures. Readings were
// checked when they were made (ReadingField); what names no field changes nothing.
func apply(rec Record, r *Reading) {
	field, part, err := ReadingField(rec, r.What, r.Nozzle)
	if err != nil {
		return
	}
	steps, err := field.number(quantity.One.Format(int64(r.Value.Or(0))))
	if err != nil || !r.Value.Known() {
		return
	}
	field.at.set(part, steps)
}

// ReadingField finds the field that a reading measures and the part of the
// record it stands in. The error wraps ErrInvalid.
func ReadingField(rec Record, what, nozzle string) (*Field, any, error) {
	if f, ok := rec.Kind().Info().Table.Field(what); ok && f.Type == TypeNumber {
		return f, rec, nil
	}
	motor, isMotor := rec.(*Motor)
	f, ofNozzle := nozzleTable.Field(what)
	if !isMotor || !ofNozzle || f.Type != TypeNumber {
		return nil, nil, invalidf("this %s has no figure %q to be measured", rec.Kind(), Printable(what))
	}
	n, ok := motor.Nozzle(nozzle)
	if !ok {
		return nil, nil, invalidf("%s has no nozzle %q; name one of its nozzles", motor.Handle, Printable(nozzle))
	}
	return f, n, nil
}

// CheckReading refuses a reading of what the record does not have, and a value
// that the field could not hold. The error wraps ErrInvalid.
func CheckReading(rec Record, r *Reading) error {
	what := r.What
	if what == LoadedVolts && rec.Kind() == KindBattery {
		what = "open_circuit_v" // a voltage like any other
	}
	field, _, err := ReadingField(rec, what, r.Nozzle)
	if err != nil {
		return err
	}
	value, known := r.Value.Get()
	if !known {
		return nil // that it needs one is said elsewhere
	}
	_, err = field.number(quantity.One.Format(int64(value)))
	return err
}

// applyLoaded gives the internal resistance from the latest reading under load,
// beside the latest reading at rest, or else an earlier one under another load:
// R = (V1 - V2) / (I2 - I1), IEC 61960 (quoted).
func applyLoaded(b *Battery, readings []*Reading) {
	var rest, loaded, other *Reading
	for _, r := range readings {
		switch {
		case r.What == "open_circuit_v":
			rest = r
		case r.What == LoadedVolts && loaded != nil && loaded.LoadOhm != r.LoadOhm:
			loaded, other = r, loaded
		case r.What == LoadedVolts:
			loaded = r
		case r.What == "internal_ohm": // read as such: what is older counts no more
			loaded, other = nil, nil
		}
	}
	if loaded == nil {
		return
	}
	v2, i2 := loaded.loadPoint()
	v1, i1 := b.OpenCircuit.Or(0).Volts(), 0.0
	if rest == nil && other != nil {
		v1, i1 = other.loadPoint()
	}
	if ohms, ok := InternalResistance(v1, i1, v2, i2); ok && v1 > 0 {
		b.Internal = quantity.Some(ohms)
	}
}

// forgetOvertaken drops a worn resistance that the battery is found to be above
// already: it is worn further than that was thought to go.
func forgetOvertaken(b *Battery) {
	if aged, ok := b.AgedInternal.Get(); ok && aged < b.Internal.Or(0) {
		b.AgedInternal = quantity.Opt[quantity.Resistance]{}
	}
}

// loadPoint is the voltage and the current of a reading under load.
func (r *Reading) loadPoint() (volts, amps float64) {
	volts = r.Value.Or(0).Float()
	return volts, volts / r.LoadOhm.Or(1).Ohms()
}

// InternalResistance is that of a battery from two readings in volts and amps;
// false where they do not differ as those of a battery do.
func InternalResistance(v1, i1, v2, i2 float64) (quantity.Resistance, bool) {
	ohms := (v1 - v2) / (i2 - i1)
	if !(ohms > 0) || ohms > 1e6 {
		return 0, false
	}
	return quantity.Resistance(ohms*1e6 + 0.5), true
}
