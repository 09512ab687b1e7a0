package quantity

import (
	"fmt"
	"strings"
)

// Number drills: a throat that has been gauged with one is written as `#52` or
// `#52 drill`. Diameters in ten-thousandths of an inch, #1 first; ANSI/ASME
// B94.11M as tabulated in GNU units 2.22, drillgauge (read; that table leaves
// out the sizes that lie on a straight line between two others).
var numberDrills = [...]int16{
	2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935,
	1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610,
	1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285,
	1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015, 995, 980,
	960, 935, 890, 860, 820, 810, 785, 760, 730, 700,
	670, 635, 595, 550, 520, 465, 430, 420, 410, 400,
	390, 380, 370, 360, 350, 330, 320, 310, 292, 280,
	260, 250, 240, 225, 210, 200, 180, 160, 145, 135,
}

// tenThousandth of an inch, in steps of length.
const tenThousandth = 2_540

// drill reads a number drill; done is false where the text is none.
func (s *Scale) drill(text string) (steps int64, done bool, err error) {
	number, ok := strings.CutPrefix(strings.TrimSpace(text), "#")
	if !ok || s.family != lengths {
		return 0, false, nil
	}
	number = strings.ToLower(strings.TrimSpace(number))
	number = strings.TrimSpace(strings.TrimSuffix(number, "drill"))
	n := 0
	for _, c := range number {
		if c < '0' || c > '9' || n > len(numberDrills) {
			return 0, true, s.refuseDrill(text)
		}
		n = n*10 + int(c-'0')
	}
	if n < 1 || n > len(numberDrills) {
		return 0, true, s.refuseDrill(text)
	}
	return int64(numberDrills[n-1]) * tenThousandth, true, nil
}

func (s *Scale) refuseDrill(text string) error {
	return fmt.Errorf("%w: %q is not a number drill; they go from #1 to #%d", ErrNotQuantity, printable(text), len(numberDrills))
}
