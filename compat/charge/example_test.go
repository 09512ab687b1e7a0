package charge_test

import (
	"fmt"

	"rangebox/compat/charge"
)

// The published worked case of a 4 in by 12 in compartment at 15 psi (computed
// from Knowles's constants; read): 1.1674 g, by the short rule 1.152 g.
func ExampleRecommend() {
	r, err := charge.Recommend(charge.Joint{Bore: 4 * charge.Inch, Length: 12 * charge.Inch})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f g, by the short rule %.3f g\n", r.Powder.Grams(), r.Short.Grams())
	// Output: 1.1674 g, by the short rule 1.152 g
}
