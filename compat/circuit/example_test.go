package circuit_test

import (
	"fmt"

	"rangebox/compat/circuit"
)

// A pad line: 12 V behind 0.022 ohm, 30 m of 18 AWG, igniters of 1.0 ohm.
func Example() {
	line := circuit.Network{
		Source:     circuit.Source{OpenCircuit: 12, Low: 12, Internal: 0.022, AgedInternal: 0.033},
		FiringLead: circuit.Lead{Length: 30, PerMetre20: circuit.Gauge(18).PerMetre(20)},
		Branches:   []circuit.Branch{{Bridge: 1.0}},
		Hot:        40,
	}
	if err := line.Check(); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("lead %.6f ohm\n", line.FiringLead.Resistance(20))
	fmt.Printf("one igniter: %.4f A\n", line.Nominal().Each[0])

	line.Branches = append(line.Branches, line.Branches[0], line.Branches[0])
	fmt.Printf("three in parallel: %.4f A each\n", line.Nominal().Each[0])
	// Output:
	// lead 1.256867 ohm
	// one igniter: 5.2658 A
	// three in parallel: 2.4811 A each
}

// How long may the lead be, for 3 A at the worst corner?
func ExampleNetwork_LongestLead() {
	line := circuit.Network{
		Source:     circuit.Source{OpenCircuit: 12.6, Low: 12, Internal: 0.022, AgedInternal: 0.033},
		Controller: circuit.Controller{On: 0.05},
		FiringLead: circuit.Lead{PerMetre20: circuit.Gauge(18).PerMetre(20)},
		Branches:   []circuit.Branch{{Bridge: 1.0, Tolerance: 0.10, Contact: 0.02}},
		Hot:        40,
	}
	length, ok := line.LongestLead(circuit.Need{1.5 * 2.0})
	fmt.Printf("%.2f m, %v\n", length, ok)
	line.FiringLead.Length = length
	fmt.Printf("%.4f A there\n", line.Worst(0).Each[0])

	_, ok = line.LongestLead(circuit.Need{1.5 * 8.0})
	fmt.Println("12 A:", ok)
	// By hand: (12 V / 3 A - 1.203 ohm) / (2 x 0.02094778 ohm/m x 1.0786) = 61.896 m.

	// Output:
	// 61.89 m, true
	// 3.0002 A there
	// 12 A: false
}

// How long until an igniter of 4 mA2 s and 0.2 A no-fire current fires at 1 A?
func ExampleTimeToFire() {
	t, fires := circuit.TimeToFire(0.004, 0.2, 1)
	fmt.Printf("%.3f ms, %v\n", 1000*t, fires)
	// Output:
	// 4.082 ms, true
}
