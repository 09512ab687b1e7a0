package thrust_test

import (
	"fmt"

	"rangebox/compat/thrust"
)

// A curve of an invented motor: a spike, a plateau, the end.
func ExampleAnalyse() {
	curve := thrust.Curve{{T: 0, F: 0}, {T: 0.1, F: 20}, {T: 0.2, F: 10}, {T: 1.4, F: 10}, {T: 1.5, F: 0}}
	a, err := thrust.Analyse(curve, 0.0185)
	if err != nil {
		fmt.Println(err)
		return
	}
	letter, percent := thrust.Class(a.Impulse)
	fmt.Printf("%.1f N s, class %s (%.0f %%), %.1f N for %.2f s, %.0f s\n",
		float64(a.Impulse), letter, percent, float64(a.Average), float64(a.Burn), float64(a.Isp))
	// Output: 15.0 N s, class D (75 %), 10.1 N for 1.49 s, 83 s
}
