package inventory

import (
	"fmt"

	"rangebox/inventory/quantity"
)

// Battery is a type of battery.
type Battery struct {
	Header
	Name, Chemistry        string
	Cells                  quantity.Opt[quantity.Count]
	OpenCircuit, LowV      quantity.Opt[quantity.Voltage]
	Internal, AgedInternal quantity.Opt[quantity.Resistance]
	Capacity               quantity.Opt[quantity.Charge]
	Pulse                  quantity.Opt[quantity.Current]
}

// Kind is KindBattery.
func (*Battery) Kind() Kind { return KindBattery }

// cellVolts is what a cell at rest can show, flat to freshly charged (from memory).
var cellVolts = []struct {
	chemistry string
	lo, hi    float64
}{
	{"alkaline", 0.8, 1.68},
	{"zinc-carbon", 0.8, 1.75},
	{"nickel-metal-hydride", 0.9, 1.52},
	{"nickel-cadmium", 0.9, 1.52},
	{"lead-acid", 1.7, 2.4},
	{"lithium-polymer", 2.9, 4.36},
	{"lithium-ion", 2.4, 4.36},
	{"lithium-iron-phosphate", 2.0, 3.7},
	{"lithium", 1.4, 3.8},
}

func chemistries() []string {
	names := make([]string, len(cellVolts))
	for i, c := range cellVolts {
		names[i] = c.chemistry
	}
	return names
}

var batteryTable = doubting(refusing(table("battery", func(b *Battery) *Header { return &b.Header }, true,
	text(10, "name", "what it is called", func(b *Battery) *string { return &b.Name }),
	openWord(11, "chemistry", "kind of cell", chemistries(), func(b *Battery) *string { return &b.Chemistry }),
	number(12, "cells", quantity.Piece, Positive, "cells in series", func(b *Battery) *quantity.Opt[quantity.Count] { return &b.Cells }),
	number(13, "open_circuit_v", quantity.Volt, Positive, "voltage fresh, at rest",
		func(b *Battery) *quantity.Opt[quantity.Voltage] { return &b.OpenCircuit }),
	number(14, "low_v", quantity.Volt, Positive, "at rest; below it I would not fly",
		func(b *Battery) *quantity.Opt[quantity.Voltage] { return &b.LowV }),
	number(15, "internal_ohm", quantity.Ohm, Positive, "internal resistance",
		func(b *Battery) *quantity.Opt[quantity.Resistance] { return &b.Internal }),
	number(16, "aged_internal_ohm", quantity.Ohm, Positive, "internal resistance worn, on the coldest day",
		func(b *Battery) *quantity.Opt[quantity.Resistance] { return &b.AgedInternal }),
	number(17, "capacity_mah", quantity.MilliampHour, Positive, "capacity",
		func(b *Battery) *quantity.Opt[quantity.Charge] { return &b.Capacity }),
	number(18, "pulse_a", quantity.Ampere, Positive, "greatest current for a short pulse",
		func(b *Battery) *quantity.Opt[quantity.Current] { return &b.Pulse }),
), checkBattery), doubtBattery)

func checkBattery(b *Battery) []error {
	low, ok := b.LowV.Get()
	fresh, ok2 := b.OpenCircuit.Get()
	if ok && ok2 && low > fresh {
		return []error{fmt.Errorf("%w: low_v %s is above open_circuit_v %s", ErrInvalid,
			quantity.Volt.Format(int64(low)), quantity.Volt.Format(int64(fresh)))}
	}
	return nil
}

func doubtBattery(b *Battery) []string {
	cells, ok := b.Cells.Get()
	if !ok {
		return nil
	}
	var doubts []string
	for _, c := range cellVolts {
		if c.chemistry != b.Chemistry {
			continue
		}
		for _, v := range []quantity.Opt[quantity.Voltage]{b.OpenCircuit, b.LowV} {
			volts, ok := v.Get()
			if each := volts.Volts() / float64(cells); ok && (each < c.lo || each > c.hi) {
				doubts = append(doubts, fmt.Sprintf("%.2f V a cell is outside what %s shows (%.1f to %.2f V)", each, c.chemistry, c.lo, c.hi))
			}
		}
	}
	return doubts
}
