package ascent

import "math"

// Site is where the rocket stands.
type Site struct {
	Altitude    Metres // above sea level
	Temperature Kelvin // of the air at the pad; 0: not known, that of the standard atmosphere is taken
}

// Density returns the air's density in kg/m3 at a height above the pad: the
// pressure of the 1976 standard atmosphere at that altitude, and its
// temperature shifted by what the site's differs from the standard at the pad.
func (s Site) Density(height Metres) float64 { return s.air().density(float64(height)) }

// SpeedOfSound returns the local speed of sound at a height above the pad, from
// the same temperature.
func (s Site) SpeedOfSound(height Metres) MetresPerSecond {
	return MetresPerSecond(s.air().sound(float64(height)))
}

// Constants of the U.S. Standard Atmosphere, 1976 (NOAA-S/T 76-1562; from
// memory).
const (
	seaLevelPressure = 101325.0                      // Pa
	gasConstant      = 8314.32 / 28.9644             // J/(kg K), R*/M0
	earthRadius      = 6356766.0                     // m, to turn geometric into geopotential altitude
	heatRatio        = 1.4                           // gamma of air
	gravityOverGas   = StandardGravity / gasConstant // K/m
)

// layer is a stretch of the standard atmosphere with one temperature gradient.
type layer struct {
	base        float64 // m, geopotential
	temperature float64 // K, at the base
	gradient    float64 // K/m
	pressure    float64 // Pa, at the base
}

// layers are those of the 1976 standard, table 4 (from memory); the last goes
// on upwards at one temperature. Temperatures and pressures follow from the
// gradients.
var layers = buildLayers([]layer{
	{base: 0, temperature: 288.15, gradient: -0.0065, pressure: seaLevelPressure},
	{base: 11000, gradient: 0},
	{base: 20000, gradient: 0.001},
	{base: 32000, gradient: 0.0028},
	{base: 47000, gradient: 0},
	{base: 51000, gradient: -0.0028},
	{base: 71000, gradient: -0.002},
	{base: 84852, gradient: 0},
})

func buildLayers(l []layer) []layer {
	for i := 1; i < len(l); i++ {
		l[i].temperature, l[i].pressure = l[i-1].at(l[i].base)
	}
	return l
}

// at returns temperature and pressure at a geopotential altitude.
func (l *layer) at(altitude float64) (temperature, pressure float64) {
	above := altitude - l.base
	temperature = l.temperature + l.gradient*above
	if l.gradient == 0 {
		return temperature, l.pressure * math.Exp(-gravityOverGas*above/l.temperature)
	}
	return temperature, l.pressure * math.Pow(temperature/l.temperature, -gravityOverGas/l.gradient)
}

// standard returns temperature and pressure of the standard atmosphere at a
// geometric altitude.
func standard(altitude float64) (temperature, pressure float64) {
	geopotential := earthRadius * altitude / (earthRadius + altitude)
	i := 0
	for i+1 < len(layers) && geopotential >= layers[i+1].base {
		i++
	}
	return layers[i].at(geopotential)
}

// air is the atmosphere above a site.
type air struct {
	altitude float64 // m, of the pad
	warmer   float64 // K, than the standard
}

func (s Site) air() air {
	a := air{altitude: float64(s.Altitude)}
	if s.Temperature != 0 {
		t, _ := standard(a.altitude)
		a.warmer = float64(s.Temperature) - t
	}
	return a
}

func (a air) density(height float64) float64 {
	t, p := standard(a.altitude + height)
	return p / (gasConstant * (t + a.warmer))
}

func (a air) sound(height float64) float64 {
	t, _ := standard(a.altitude + height)
	return math.Sqrt(heatRatio * gasConstant * (t + a.warmer))
}
