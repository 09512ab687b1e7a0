package circuit

// Quantities in SI, one type each, so that a wrong unit does not compile.
type (
	// Volts is a voltage in V.
	Volts float64
	// Amps is a current in A.
	Amps float64
	// Ohms is a resistance in ohm.
	Ohms float64
	// Metres is a length in m.
	Metres float64
	// OhmsPerMetre is the resistance of one conductor per length, in ohm/m.
	OhmsPerMetre float64
	// Celsius is a temperature in degrees Celsius.
	Celsius float64
	// Seconds is a time in s.
	Seconds float64
	// AmpSquaredSeconds is a firing impulse, the integral of the squared
	// current over time, in A2 s.
	AmpSquaredSeconds float64
	// Farads is a capacitance in F.
	Farads float64
	// SquareMillimetres is the cross-section of a conductor in mm2.
	SquareMillimetres float64
)

// over is the current that v drives through r; +Inf where r is zero and v is not.
func (v Volts) over(r Ohms) Amps {
	if v == 0 {
		return 0
	}
	return Amps(float64(v) / float64(r))
}

// through is the voltage that i loses in r; zero where r is zero, whatever i is.
func (i Amps) through(r Ohms) Volts {
	if r == 0 {
		return 0
	}
	return Volts(float64(i) * float64(r))
}
