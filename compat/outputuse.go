package compat

import "rangebox/inventory"

// outputUse: a controller's output fires once, and with it all that hangs on it:
// what is to fire at different moments needs outputs of its own, and a charge is
// not to hang on an output for motors, nor a motor on one for charges. Asked
// where an output has a role, or several things hang on it. Source: ours.
func outputUse(c *craft, r *RocketReport) {
	circuits := c.circuits()
	for i := range circuits {
		u := &circuits[i]
		if f, asked := u.used(circuits); asked {
			r.Stages[u.stage].add(f)
		}
	}
}

// used judges one line among those of the rocket.
func (u *lineUse) used(all []lineUse) (Finding, bool) {
	if u.Controller == nil {
		return Finding{}, false
	}
	f := Finding{Rule: OutputUse, Subject: u.Line.Handle, Verdict: NoGo}
	role, named := u.role()
	together, lines := u.together(all)
	switch {
	case !oneMoment(together):
		f.reason = outputMoments
	case role == inventory.RoleMotor && u.firesCharge():
		f.reason = outputForMotor
	case role == inventory.RoleCharge && u.firesMotor():
		f.reason = outputForCharge
	case !named:
		return lacking(OutputUse, u.Line.Handle, one(factLineOutput)), true
	case lines > 1:
		f.Verdict, f.reason = Unknown, outputLines
	default:
		f.Verdict, f.reason = Go, outputRight
		return f, role != 0 || len(together) > 1
	}
	return f, true
}

// role is what the line's output is for; false where the line names none of
// several outputs that are for different things.
func (u *lineUse) role() (inventory.Role, bool) {
	outputs := u.Controller.Outputs
	for i := range outputs {
		if outputs[i].Name == u.Line.Output {
			return outputs[i].Role, true
		}
	}
	if u.Line.Output != "" || len(outputs) == 0 {
		return 0, true
	}
	for i := range outputs {
		if outputs[i].Role != outputs[0].Role {
			return 0, false
		}
	}
	return outputs[0].Role, true
}

// together is all that hangs on the line's output, and on how many lines. Only
// a named output tells that two lines share it.
func (u *lineUse) together(all []lineUse) (list []fired, lines int) {
	for i := range all {
		o := &all[i]
		same := o.Controller != nil && o.Controller.ID == u.Controller.ID && u.Line.Output != "" && o.Line.Output == u.Line.Output
		if o.Line == u.Line || same {
			list, lines = append(list, o.fires...), lines+1
		}
	}
	return list, lines
}

// oneMoment tells whether all is to fire together, as far as that is recorded.
func oneMoment(list []fired) bool {
	var first moment
	seen := false
	for _, f := range list {
		m, known := f.moment()
		if known && seen && m != first {
			return false
		}
		if known {
			first, seen = m, true
		}
	}
	return true
}

func (u *lineUse) firesCharge() bool {
	for _, f := range u.fires {
		if f.way != nil {
			return true
		}
	}
	return false
}

func (u *lineUse) firesMotor() bool {
	for _, f := range u.fires {
		if f.mount != nil {
			return true
		}
	}
	return false
}
