package inventory

// CheckNames refuses names of parts of other records that point to nothing: a
// line's output, a mount's nozzle, a reading's field. Where the other record is
// not named there is nothing to check. find gives a record by its id.
func CheckNames(rec Record, find func(Ref) (Record, bool)) []error {
	switch r := rec.(type) {
	case *Line:
		return checkOutput(r, find)
	case *Rocket:
		return checkNozzles(r, find)
	case *Reading:
		return checkReadingOf(r, find)
	}
	return nil
}

func checkOutput(l *Line, find func(Ref) (Record, bool)) []error {
	if l.Output == "" || l.Controller.IsZero() {
		return nil
	}
	rec, _ := find(l.Controller)
	c, ok := rec.(*Controller)
	if !ok {
		return nil
	}
	if _, ok := c.Output(l.Output); ok {
		return nil
	}
	return []error{invalidf("output: the controller %q has no output %q", c.Handle, Printable(l.Output))}
}

func checkNozzles(r *Rocket, find func(Ref) (Record, bool)) []error {
	var errs []error
	for _, s := range r.Stages {
		for _, m := range s.Mounts {
			rec, _ := find(m.Motor)
			motor, ok := rec.(*Motor)
			if !ok || m.Nozzle == "" {
				continue
			}
			if _, ok := motor.Nozzle(m.Nozzle); !ok {
				errs = append(errs, invalidf("nozzle: the motor %q has no nozzle %q (%s/%s)", motor.Handle, Printable(m.Nozzle), Printable(s.Name), Printable(m.Name)))
			}
		}
	}
	return errs
}

// checkReadingOf checks what a reading measures against the record it is of; a
// lot's against the lot's item.
func checkReadingOf(r *Reading, find func(Ref) (Record, bool)) []error {
	if r.Of == nil {
		return nil
	}
	rec, ok := find(r.Of.Item)
	if lot, isLot := find(r.Of.Lot); isLot {
		rec, ok = find(lot.(*Lot).Item)
	}
	if !ok {
		return nil
	}
	if err := CheckReading(rec, r); err != nil {
		return []error{err}
	}
	return nil
}
