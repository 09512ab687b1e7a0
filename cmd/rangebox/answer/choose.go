package answer

import (
	"encoding/json"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Choosing answers `rocket choose`.
type Choosing struct {
	On      string   `json:"on"`
	Rocket  string   `json:"rocket"`
	Mount   string   `json:"mount,omitempty"`
	Choices []Choice `json:"choices"`
	// Absent are the motors of which none can be used that day.
	Absent []string `json:"absent"`
}

// Choice is a motor with a nozzle and a delay, as it would fly.
type Choice struct {
	Motor          string      `json:"motor"`
	Nozzle         string      `json:"nozzle,omitempty"`
	DelayS         Num         `json:"delay_s,omitempty"`
	Verdict        string      `json:"verdict"`
	ThrustToWeight Num         `json:"thrust_to_weight,omitempty"`
	RailSpeed      Num         `json:"rail_speed_m_s,omitempty"`
	ApogeeM        Num         `json:"apogee_m,omitempty"`
	EjectsMS       Num         `json:"ejects_m_s,omitempty"`
	EjectsWorstMS  Num         `json:"ejects_worst_m_s,omitempty"`
	Usable         json.Number `json:"usable"`
	Why            string      `json:"why"`
	Rule           string      `json:"rule,omitempty"`
	Findings       []Finding   `json:"findings"`
}

// ChoosingOf turns choices into JSON.
func ChoosingOf(rocket, mount string, on inventory.Date, choices []compat.Choice, held map[string]Holding, absent []*inventory.Motor, system quantity.System) Choosing {
	out := Choosing{On: on.String(), Rocket: rocket, Mount: mount, Choices: []Choice{}, Absent: []string{}}
	for i := range choices {
		c := &choices[i]
		choice := Choice{
			Motor: c.Motor.Handle, Nozzle: c.Nozzle, DelayS: num(c.Delay, quantity.Second), Verdict: c.Worst.String(),
			ThrustToWeight: ratio(c.ThrustToWeight), RailSpeed: num(c.RailSpeed, quantity.MetrePerSecond),
			EjectsMS: num(c.Ejects, quantity.MetrePerSecond), EjectsWorstMS: num(c.EjectsWorst, quantity.MetrePerSecond), Usable: plain(held[c.Motor.Handle].Usable),
			Findings: Findings(c.List, system),
		}
		_, choice.ApogeeM = apogee(c.Apogee)
		if why, ok := c.Why(); ok {
			choice.Why, choice.Rule = why.Why(system), why.Rule.String()
		}
		out.Choices = append(out.Choices, choice)
	}
	for _, m := range absent {
		out.Absent = append(out.Absent, m.Handle)
	}
	return out
}
