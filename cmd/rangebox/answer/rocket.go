package answer

import (
	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// RocketCheck answers `rocket check`. All times count from lift-off.
type RocketCheck struct {
	Rocket       string           `json:"rocket"`
	Verdict      string           `json:"verdict"`
	LiftoffMassG Num              `json:"liftoff_mass_g,omitempty"`
	ImpulseNs    Num              `json:"impulse_ns,omitempty"`
	Stages       []RocketStage    `json:"stages"`
	Flight       RocketFlight     `json:"flight"`
	AsOne        *RocketAsOne     `json:"as_one_if_unlit,omitempty"`
	Branches     []RocketBranch   `json:"branches"`
	Sequences    []RocketSequence `json:"sequences"`
	Cautions     []string         `json:"cautions"`
	LeftOut      []string         `json:"left_out"`
}

// RocketStage is one stage, its ignition points and charges.
type RocketStage struct {
	Name           string         `json:"name"`
	Verdict        string         `json:"verdict"`
	IgnitionS      Num            `json:"ignition_s,omitempty"`
	IgnitionSpeed  Num            `json:"ignition_speed_m_s,omitempty"`
	ThrustToWeight Num            `json:"thrust_to_weight,omitempty"`
	BurnoutS       Num            `json:"burnout_s,omitempty"`
	BurnoutSpeed   Num            `json:"burnout_speed_m_s,omitempty"`
	BurnoutM       Num            `json:"burnout_m,omitempty"`
	TimerWindowS   []Num          `json:"timer_window_s,omitempty"`
	CoastS         Num            `json:"coast_s,omitempty"`
	NearestDelayS  Num            `json:"nearest_delay_s,omitempty"`
	Points         []RocketPoint  `json:"points"`
	ChargeG        map[string]Num `json:"charge_g,omitempty"`
	RecommendedG   map[string]Num `json:"recommended_g,omitempty"`
	Findings       []Finding      `json:"findings"`
	NotChecked     []NotChecked   `json:"not_checked"`
}

// RocketPoint is one ignition point.
type RocketPoint struct {
	Point      string       `json:"point"`
	Igniter    string       `json:"igniter,omitempty"`
	Line       string       `json:"line,omitempty"`
	Findings   []Finding    `json:"findings"`
	NotChecked []NotChecked `json:"not_checked"`
}

// RocketFlight is the flight with everything right.
type RocketFlight struct {
	ThrustToWeight Num `json:"thrust_to_weight,omitempty"`
	RailSpeed      Num `json:"rail_speed_m_s,omitempty"`
	ApogeeS        Num `json:"apogee_s,omitempty"`
	ApogeeM        Num `json:"apogee_m,omitempty"`
	MaxSpeed       Num `json:"max_speed_m_s,omitempty"`
}

// RocketAsOne is the stack coasting on whole when no upper motor lights.
type RocketAsOne struct {
	ApogeeS Num `json:"apogee_s,omitempty"`
	ApogeeM Num `json:"apogee_m,omitempty"`
}

// RocketBranch is the flight with one thing wrong: what brings each part down.
type RocketBranch struct {
	Fault      string       `json:"fault"`
	Parts      []RocketPart `json:"parts"`
	Findings   []Finding    `json:"findings"`
	NotChecked []NotChecked `json:"not_checked"`
}

// RocketPart is a part of the rocket on its way down.
type RocketPart struct {
	Part    string `json:"part"`
	Verdict string `json:"verdict"`
	OpensS  Num    `json:"opens_s,omitempty"`
	Speed   Num    `json:"speed_m_s,omitempty"`
	HeightM Num    `json:"height_m,omitempty"`
	DownBy  string `json:"down_by"`
}

// RocketSequence is what is done in which order, on board and at the pad.
type RocketSequence struct {
	Where string   `json:"where"`
	Steps []string `json:"steps"`
}

// RocketCheckOf turns the engine's report into JSON.
func RocketCheckOf(rocket string, r compat.RocketReport, system quantity.System) RocketCheck {
	out := RocketCheck{
		Rocket: rocket, Verdict: r.Worst.String(), LiftoffMassG: num(r.LiftoffMass, quantity.Gram), ImpulseNs: ratio(r.Impulse),
		Stages: []RocketStage{}, Branches: []RocketBranch{}, Sequences: []RocketSequence{}, Cautions: []string{}, LeftOut: []string{},
		Flight: RocketFlight{
			ThrustToWeight: ratio(r.Flight.ThrustToWeight), RailSpeed: num(r.Flight.RailSpeed, quantity.MetrePerSecond),
			MaxSpeed: num(r.Flight.MaxSpeed, quantity.MetrePerSecond),
		},
	}
	out.Flight.ApogeeS, out.Flight.ApogeeM = apogee(r.Flight.Apogee)
	if r.AsOne.Known() {
		out.AsOne = &RocketAsOne{}
		out.AsOne.ApogeeS, out.AsOne.ApogeeM = apogee(r.AsOne)
	}
	for i := range r.Stages {
		out.Stages = append(out.Stages, rocketStage(&r.Stages[i], system))
	}
	for i := range r.Branches {
		out.Branches = append(out.Branches, rocketBranch(&r.Branches[i], system))
	}
	out.sequence("On board, away from the pad", r.OnBoard, system)
	out.sequence("At the pad", r.AtPad, system)
	out.sequence("If it does not go", r.Fail, system)
	for _, c := range r.Cautions {
		out.Cautions = append(out.Cautions, stepText(c, system))
	}
	for _, o := range r.LeavesOut {
		out.LeftOut = append(out.LeftOut, o.String())
	}
	return out
}

func apogee(o quantity.Opt[compat.Apogee]) (at, height Num) {
	top, ok := o.Get()
	if !ok {
		return nil, nil
	}
	return num(quantity.Some(top.At), quantity.Second), num(quantity.Some(top.Height), quantity.Metre)
}

func rocketStage(s *compat.StageReport, system quantity.System) RocketStage {
	out := RocketStage{
		Name: s.Name, Verdict: s.Worst.String(),
		IgnitionS: num(s.Ignition, quantity.Second), IgnitionSpeed: num(s.IgnitionSpeed, quantity.MetrePerSecond),
		ThrustToWeight: ratio(s.ThrustToWeight),
		BurnoutS:       num(s.Burnout, quantity.Second), BurnoutSpeed: num(s.BurnoutSpeed, quantity.MetrePerSecond), BurnoutM: num(s.BurnoutHeight, quantity.Metre),
		CoastS: num(s.Coast, quantity.Second), NearestDelayS: num(s.NearestDelay, quantity.Second),
		Points: []RocketPoint{}, Findings: Findings(s.List, system), NotChecked: Unchecked(s.Findings.NotChecked),
	}
	if window, ok := s.TimerWindow.Get(); ok {
		out.TimerWindowS = []Num{num(quantity.Some(window[0]), quantity.Second), num(quantity.Some(window[1]), quantity.Second)}
	}
	for i := range s.Points {
		out.Points = append(out.Points, rocketPoint(&s.Points[i], system))
	}
	for _, c := range s.Charges {
		out.charge(c)
	}
	return out
}

// charge notes the powder worked out, and the recommended, which is never under
// what lights at all.
func (s *RocketStage) charge(c compat.ChargeReport) {
	if !c.Computed.Known() {
		return
	}
	if s.ChargeG == nil {
		s.ChargeG, s.RecommendedG = map[string]Num{}, map[string]Num{}
	}
	s.ChargeG[c.Recovery] = num(c.Computed, quantity.Gram)
	s.RecommendedG[c.Recovery] = num(c.Powder, quantity.Gram)
}

func rocketPoint(p *compat.PointReport, system quantity.System) RocketPoint {
	out := RocketPoint{Point: p.Point, Findings: Findings(p.List, system), NotChecked: Unchecked(p.Findings.NotChecked)}
	if p.Igniter != nil {
		out.Igniter = p.Igniter.Handle
	}
	if p.Line != nil {
		out.Line = p.Line.Handle
	}
	return out
}

func rocketBranch(b *compat.Branch, system quantity.System) RocketBranch {
	out := RocketBranch{Fault: b.Fault.String(), Parts: []RocketPart{}, Findings: Findings(b.List, system), NotChecked: Unchecked(b.Findings.NotChecked)}
	for i := range b.Parts {
		p := &b.Parts[i]
		out.Parts = append(out.Parts, RocketPart{
			Part: p.Name, Verdict: p.Verdict.String(), OpensS: num(p.Opens, quantity.Second), Speed: num(p.Speed, quantity.MetrePerSecond),
			HeightM: num(p.Height, quantity.Metre), DownBy: p.DownBy,
		})
	}
	return out
}

func (r *RocketCheck) sequence(where string, steps []compat.Step, system quantity.System) {
	if len(steps) == 0 {
		return
	}
	s := RocketSequence{Where: where}
	for _, step := range steps {
		s.Steps = append(s.Steps, stepText(step, system))
	}
	r.Sequences = append(r.Sequences, s)
}
