package circuit

// Source is what drives a line: a battery, or a capacitor charged by the
// controller.
type Source struct {
	OpenCircuit  Volts  // V, fresh, at rest
	Low          Volts  // V, at rest; the weakest it is flown at
	Internal     Ohms   // ohm, fresh
	AgedInternal Ohms   // ohm, worn, on the coldest day
	Capacitor    bool   // it is a charged capacitor; see CapacitorOutput
	Capacitance  Farads // F, of a capacitor
}

// CapacitorOutput is a capacitor of c farads charged to v volts behind its
// series resistance. It does not age: fresh and worn are the same.
func CapacitorOutput(v Volts, series Ohms, c Farads) Source {
	return Source{
		OpenCircuit: v, Low: v, Internal: series, AgedInternal: series,
		Capacitor: true, Capacitance: c,
	}
}

// Controller is what stands between the source and the firing lead.
type Controller struct {
	On    Ohms  // ohm, switched on
	Drop  Volts // V, fixed, whatever the current
	Limit Amps  // A, it holds the total current to this; 0: no limit
}

// Lead is a pair of copper conductors.
type Lead struct {
	Length     Metres       // m, one way
	PerMetre20 OhmsPerMetre // ohm/m of one conductor at 20 C
}

// Resistance is that of both conductors together, in ohm, at the given
// temperature (IEC 60028; quoted).
func (l Lead) Resistance(at Celsius) Ohms {
	return Ohms(2 * float64(l.Length) * float64(AtTemperature(l.PerMetre20, at)))
}

// Branch is one igniter with all that carries its current alone.
type Branch struct {
	Bridge        Ohms    // ohm, the bridge wire
	Tolerance     float64 // of the bridge, a fraction from 0 to 1
	Lead          Lead    // the igniter's own; zero if Bridge includes it
	Splice        Lead    // wire spliced on
	Splices       int     // contacts besides the clip pair
	Contact       Ohms    // ohm, of each contact pair
	ShortedBridge bool    // the bridge is shorted: it counts as 0 ohm
}

// Resistance of the branch in ohm: the bridge at the given share of its
// tolerance (-1 the least, 0 nominal, +1 the most), leads and splice at the
// given temperature, the clip contact and one more for each splice.
func (b Branch) Resistance(share float64, at Celsius) Ohms {
	r := b.Lead.Resistance(at) + b.Splice.Resistance(at) + Ohms(1+b.Splices)*b.Contact
	if b.ShortedBridge {
		return r
	}
	return r + b.Bridge*Ohms(1+share*b.Tolerance)
}

// Network is a whole firing line. Hot is the caller's to set: its zero value
// is 0 C, not a default.
type Network struct {
	Source
	Controller
	FiringLead Lead     // from the controller to the clips
	Branches   []Branch // one an igniter
	Series     bool     // the branches are in series, not in parallel
	Hot        Celsius  // C, of the wires on a hot day
}
