package quantity

import (
	"math"
	"strconv"
	"strings"
)

// System is how text output shows quantities; files and JSON are not affected.
type System uint8

// The two systems that can be asked for.
const (
	Metric System = iota
	Imperial
)

// Format writes steps as an exact decimal in the scale's unit, without the unit.
// Scales that are no power of ten of the step are written to 12 digits.
func (s *Scale) Format(steps int64) string {
	decimals, ok := powerOfTen(s.num)
	if !ok || s.den != 1 || s.offset != 0 {
		return strconv.FormatFloat(s.Float(steps), 'g', 12, 64)
	}
	if decimals == 0 {
		return strconv.FormatInt(steps, 10)
	}
	digits := strconv.FormatInt(steps, 10)
	sign := ""
	if steps < 0 {
		sign, digits = "-", digits[1:]
	}
	if len(digits) <= decimals {
		digits = strings.Repeat("0", decimals-len(digits)+1) + digits
	}
	whole, rest := digits[:len(digits)-decimals], strings.TrimRight(digits[len(digits)-decimals:], "0")
	if rest == "" {
		return sign + whole
	}
	return sign + whole + "." + rest
}

func powerOfTen(n int64) (int, bool) {
	for decimals := 0; n > 0; decimals++ {
		if n == 1 {
			return decimals, true
		}
		if n%10 != 0 {
			return 0, false
		}
		n /= 10
	}
	return 0, false
}

// Float gives steps in the scale's unit.
func (s *Scale) Float(steps int64) float64 {
	return (float64(steps)*float64(s.den) - float64(s.offset)) / float64(s.num)
}

// Text shows steps for a person, with a unit of the system chosen by size, to
// at most three decimals and at least three digits.
func (s *Scale) Text(steps int64, system System) string {
	return s.text(steps, system, rounded)
}

// Brief is Text to four digits, for what was computed.
func (s *Scale) Brief(steps int64, system System) string {
	return s.text(steps, system, func(x float64) string {
		if size := math.Abs(x); size >= 10 {
			decimals := max(0, 3-int(math.Floor(math.Log10(size))))
			return trimmed(strconv.FormatFloat(x, 'f', decimals, 64))
		}
		return rounded(x)
	})
}

func (s *Scale) text(steps int64, system System, digits func(float64) string) string {
	scale := s.shown(steps, system)
	number := digits(scale.Float(steps))
	if scale.Name == "" {
		return number
	}
	if scale.Name == "%" {
		return number + "%"
	}
	return number + " " + scale.Name
}

// shown picks the unit: the largest of the system's that gives one or more.
func (s *Scale) shown(steps int64, system System) *Scale {
	names := s.family.metric
	if system == Imperial {
		names = s.family.imperial
	}
	var scale *Scale
	for _, name := range names {
		scale = s.family.named(name)
		if math.Abs(scale.Float(steps)) >= 1 {
			return scale
		}
	}
	if scale == nil || steps == 0 && system == Metric {
		return s
	}
	return scale
}

// rounded keeps three decimals, or more where the number is small.
func rounded(x float64) string {
	decimals := 3
	if size := math.Abs(x); size != 0 && size < 0.01 {
		decimals = 2 - int(math.Floor(math.Log10(size)))
	}
	return trimmed(strconv.FormatFloat(x, 'f', decimals, 64))
}

// trimmed takes off decimals that are zero.
func trimmed(text string) string {
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" || text == "" {
		return "0"
	}
	return text
}
