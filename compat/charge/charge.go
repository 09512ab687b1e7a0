// Package charge computes black-powder ejection charges: how much powder brings
// a free volume to a pressure, what pressure a mass of powder brings, and the
// force of that pressure on a bulkhead or against shear pins.
//
// The gas is taken as ideal, m = P V / (R T), with the constants of the trade:
// R = 266 in lbf/(lbm R), T = 3307 R, 454 g/lbm (Knowles, Derivation of Table
// for Estimated Ejection Charge Size; read; common practice). P is the pressure
// above the surroundings, V the free volume, without what is packed in it.
//
// Limits: fine black powder, burnt completely and at once in a tight volume; no
// leak, no loss to the wall, no volume that grows as the joint slides. A ground
// test stands above any figure from here.
//
// The package is pure: no I/O, no clock. It imports the standard library only
// and must not import any other package of this module; a test holds it to
// that.
package charge

import (
	"errors"
	"fmt"
	"math"
)

// Kilograms is a mass, kg.
type Kilograms float64

// Metres is a length, m.
type Metres float64

// SquareMetres is an area, m2.
type SquareMetres float64

// CubicMetres is a volume, m3.
type CubicMetres float64

// Pascals is a pressure above the surroundings, Pa.
type Pascals float64

// Newtons is a force, N.
type Newtons float64

// Grams returns the mass in grams.
func (m Kilograms) Grams() float64 { return float64(m) * 1000 }

// Units of the trade in SI, all exact by definition (international yard and
// pound agreement, 1959; g0 by the 3rd CGPM, 1901).
const (
	Inch       Metres      = 0.0254
	CubicInch  CubicMetres = CubicMetres(Inch * Inch * Inch)
	PoundForce Newtons     = 0.45359237 * 9.80665
	PSI        Pascals     = Pascals(float64(PoundForce) / float64(Inch*Inch))
)

// The trade's constants of the powder's gas (Knowles; read; common practice).
const (
	gasConstant      = 266.0  // in lbf / (lbm R)
	flameTemperature = 3307.0 // R
	kilogramsPerLbm  = 0.454  // kg, as rounded by the trade
)

// specificWork is R T in J/kg: P V / m of the gas.
const specificWork = gasConstant * flameTemperature * float64(Inch) * float64(PoundForce) / kilogramsPerLbm

// UnpinnedPressure is the pressure aimed at where no pins hold the joint: 15
// psi (Knowles; common practice).
const UnpinnedPressure = 15 * PSI

// PinFactor is how many times the force of all pins the charge should give
// where a Joint asks for nothing else: 1.5 (rules of this project; ours).
const PinFactor = 1.5

// LeastPowder is the smallest charge to recommend, 0.2 g: less is hard to
// measure and to light surely (rules of this project; ours).
const LeastPowder Kilograms = 0.2e-3

// shortFactor is that of the short rule, g/in3 at 15 psi (Knowles; common
// practice).
const shortFactor = 0.006

// Powder returns the mass of powder that brings a free volume to a pressure.
func Powder(p Pascals, v CubicMetres) Kilograms {
	return Kilograms(float64(p) * float64(v) / specificWork)
}

// Pressure returns the pressure that a mass of powder brings in a free volume.
// It is the inverse of Powder; the volume must be above zero.
func Pressure(m Kilograms, v CubicMetres) Pascals {
	return Pascals(float64(m) * specificWork / float64(v))
}

// Volume returns the free volume that a mass of powder brings to a pressure. It
// is the other inverse of Powder; the pressure must be above zero.
func Volume(m Kilograms, p Pascals) CubicMetres {
	return CubicMetres(float64(m) * specificWork / float64(p))
}

// ShortRule returns the mass of powder by the trade's short rule for 15 psi,
// 0.006 D^2 L grams with bore D and length L in inches. It is a cross-check of
// Powder, which it stays 1 to 2 % below.
func ShortRule(bore, length Metres) Kilograms {
	d, l := float64(bore/Inch), float64(length/Inch)
	return Kilograms(shortFactor * d * d * l / 1000)
}

// Cylinder returns the volume of a cylinder of this bore and length.
func Cylinder(bore, length Metres) CubicMetres {
	return CubicMetres(float64(Disk(bore)) * float64(length))
}

// Disk returns the area of a bulkhead or cap of this diameter.
func Disk(diameter Metres) SquareMetres {
	return SquareMetres(math.Pi / 4 * float64(diameter) * float64(diameter))
}

// Force returns the force of a pressure on an area.
func Force(p Pascals, a SquareMetres) Newtons {
	return Newtons(float64(p) * float64(a))
}

// PinPressure returns the pressure on an area that gives factor times the force
// of n shear pins, each of which shears at the force given. The area must be
// above zero.
func PinPressure(n int, each Newtons, factor float64, a SquareMetres) Pascals {
	return Pascals(float64(n) * float64(each) * factor / float64(a))
}

// ErrPinForce says that pins are there whose force has not been measured. There
// is no citable table of it (published material figures differ by 40 %), so
// none is assumed.
var ErrPinForce = errors.New("the force of one shear pin has not been measured")

// ErrFigure says that a bore, length or other figure is missing or cannot be.
var ErrFigure = errors.New("not a positive, finite figure")

// Joint is what an ejection charge has to open.
type Joint struct {
	Bore     Metres  // of the volume that is brought to pressure
	Length   Metres  // of that volume, free
	Target   Pascals // the flyer's own; 0: none
	Pins     int     // 0: a friction or slip joint
	PinForce Newtons // one pin, measured; 0: not known
	Factor   float64 // force of all pins to give, times; 0: PinFactor
}

// Recommendation is the charge for a joint.
type Recommendation struct {
	Powder   Kilograms // to use: Computed, but at least LeastPowder
	Computed Kilograms // from the pressure and the volume
	Least    bool      // whether LeastPowder was the greater
	Pressure Pascals   // aimed at: from the pins at the factor asked, or the target, whichever is greater; else UnpinnedPressure
	Made     Pascals   // by Powder
	Force    Newtons   // of Made on the bore: what the joint, or a limit on the force, has to stand against
	Short    Kilograms // by the short rule, at 15 psi whatever the pressure aimed at
	Volume   CubicMetres
}

// Recommend computes the charge for a joint. Errors: ErrPinForce; ErrFigure,
// with the figure's name.
func Recommend(j Joint) (Recommendation, error) {
	if err := j.check(); err != nil {
		return Recommendation{}, err
	}
	factor := j.Factor
	if factor == 0 {
		factor = PinFactor
	}
	r := Recommendation{Volume: Cylinder(j.Bore, j.Length), Short: ShortRule(j.Bore, j.Length), Pressure: j.Target}
	switch {
	case j.Pins > 0:
		r.Pressure = max(r.Pressure, PinPressure(j.Pins, j.PinForce, factor, Disk(j.Bore)))
	case j.Target == 0:
		r.Pressure = UnpinnedPressure
	}
	r.Computed = Powder(r.Pressure, r.Volume)
	r.Powder = max(r.Computed, LeastPowder)
	r.Least = r.Powder > r.Computed
	r.Made = Pressure(r.Powder, r.Volume)
	r.Force = Force(r.Made, Disk(j.Bore))
	return r, nil
}

func (j Joint) check() error {
	switch {
	case !positive(float64(j.Bore)):
		return fmt.Errorf("bore: %w", ErrFigure)
	case !positive(float64(j.Length)):
		return fmt.Errorf("length: %w", ErrFigure)
	case j.Target != 0 && !positive(float64(j.Target)):
		return fmt.Errorf("target pressure: %w", ErrFigure)
	case j.Pins < 0:
		return fmt.Errorf("number of pins: %w", ErrFigure)
	case j.Pins > 0 && j.PinForce == 0:
		return ErrPinForce
	case j.Pins > 0 && !positive(float64(j.PinForce)):
		return fmt.Errorf("pin force: %w", ErrFigure)
	case j.Factor != 0 && !positive(j.Factor):
		return fmt.Errorf("factor: %w", ErrFigure)
	}
	return nil
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
