package compat

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"rangebox/compat/pack"
	"rangebox/inventory"
)

// Experience is what the ledger says of igniter types, by family: a motor's
// propellant, or pack.Charge.
type Experience struct {
	of     map[ID]map[string]*pack.Record
	priors map[string]pack.Prior
}

// everyFamily gathers firings that name neither motor nor charge: a test on the
// bench says of the head what it says, whatever it is to light.
const everyFamily = ""

// lostFamily is of a point that the rocket no longer has: it was renamed since, or
// taken out.
const lostFamily = "?"

// Learn adds up every result in the box's ledger. Priors come from the settings
// where they are set there: FAMILY to `A,B`.
func Learn(box *inventory.Box) (*Experience, error) {
	x := &Experience{of: map[ID]map[string]*pack.Record{}, priors: map[string]pack.Prior{}}
	for family, text := range box.Settings().Priors {
		prior, err := readPrior(text)
		if err != nil {
			return nil, fmt.Errorf("%w: the prior of %s is %q; write how many fired and how many did not, as 19,1", inventory.ErrInvalid, family, text)
		}
		x.priors[family] = prior
	}
	flights := flightsByID(box)
	for _, e := range Standing(box) {
		if err := x.learn(box, e, flights); err != nil {
			return nil, err
		}
	}
	return x, nil
}

func readPrior(text string) (pack.Prior, error) {
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == '/' })
	if len(parts) != 2 {
		return pack.Prior{}, inventory.ErrInvalid
	}
	a, errA := strconv.ParseFloat(parts[0], 64)
	b, errB := strconv.ParseFloat(parts[1], 64)
	if errA != nil || errB != nil || !(a > 0 && b > 0 && a < 1e6 && b < 1e6) {
		return pack.Prior{}, inventory.ErrInvalid
	}
	return pack.Prior{A: a, B: b}, nil
}

func (x *Experience) learn(box *inventory.Box, e *inventory.Event, flights map[ID]*inventory.Flight) error {
	lot, ok := inventory.Follow[*inventory.Lot](box, e.Lot)
	if !ok || lot.Of != inventory.LotOfIgniters || e.Result == 0 || e.What != inventory.Used && e.What != inventory.Tested {
		return nil
	}
	said, err := pack.Classify(e.Result.String(), e.Cause.String())
	if err != nil {
		return err
	}
	families := x.of[lot.Item.ID]
	if families == nil {
		families = map[string]*pack.Record{}
		x.of[lot.Item.ID] = families
	}
	family := familyOf(box, e, flights)
	switch {
	case family == lostFamily && said.Type == pack.Success:
		return nil // nobody knows what it lit: that speaks for none
	case family == lostFamily:
		family = everyFamily // and what failed speaks against all
	}
	if families[family] == nil {
		families[family] = &pack.Record{}
	}
	for range int(e.Quantity.Or(0) / pieceSteps) {
		families[family].Add(said.Type)
	}
	return nil
}

// pieceSteps is one piece, in the steps of a lot's quantity.
const pieceSteps = 1_000_000_000

// familyOf is what the igniter was to light.
func familyOf(box *inventory.Box, e *inventory.Event, flights map[ID]*inventory.Flight) string {
	if motors, ok := inventory.Follow[*inventory.Lot](box, e.With); ok {
		if m, ok := inventory.Follow[*inventory.Motor](box, motors.Item); ok {
			return m.Propellant
		}
	}
	f := flights[e.Flight]
	if f == nil || e.Point == "" {
		return everyFamily
	}
	rocket, ok := inventory.Follow[*inventory.Rocket](box, f.Rocket)
	if !ok {
		return lostFamily
	}
	point, _ := PointName(e.Point)
	return familyAt(box, rocket, f, point)
}

// familyAt is what the igniter at a point of a flight is to light.
func familyAt(box *inventory.Box, r *inventory.Rocket, f *inventory.Flight, point string) string {
	for i := range r.Stages {
		s := &r.Stages[i]
		for j := range s.Recovery {
			if within(point, nameOr(s.Name, i)+"/"+nameOr(s.Recovery[j].Name, j)) {
				return pack.Charge
			}
		}
		for j := range s.Mounts {
			name := nameOr(s.Name, i) + "/" + nameOr(s.Mounts[j].Name, j)
			if !within(point, name) {
				continue
			}
			m, ok := inventory.Follow[*inventory.Motor](box, s.Mounts[j].Motor)
			if handle := f.With[name+".motor"]; handle != "" {
				found, err := inventory.Find[*inventory.Motor](box, inventory.KindMotor, handle)
				m, ok = found, err == nil
			}
			if ok {
				return m.Propellant
			}
		}
	}
	return lostFamily
}

// within tells whether `stage/mount/n` is a point of `stage/mount`.
func within(point, name string) bool { return strings.HasPrefix(point, name+"/") }

func flightsByID(box *inventory.Box) map[ID]*inventory.Flight {
	all := map[ID]*inventory.Flight{}
	for _, d := range inventory.List[*inventory.Day](box) {
		for i := range d.Flights {
			all[d.Flights[i].ID] = &d.Flights[i]
		}
	}
	return all
}

// Of is what is known of an igniter type on a family: what the ledger holds, and
// what was expected before.
func (x *Experience) Of(igniter ID, family string) (pack.Record, pack.Prior) {
	var r pack.Record
	families := []string{everyFamily}
	if family != everyFamily {
		families = append(families, family)
	}
	for _, name := range families {
		if known := x.of[igniter][name]; known != nil {
			r.Fired += known.Fired
			r.Misfired += known.Misfired
		}
	}
	if prior, ok := x.priors[family]; ok {
		return r, prior
	}
	return r, pack.PriorOf(family)
}

// Families lists the families on which an igniter type has been fired, that of
// tests on the bench left out unless there is no other.
func (x *Experience) Families(igniter ID) []string {
	var list []string
	for _, family := range slices.Sorted(maps.Keys(x.of[igniter])) {
		if family != everyFamily {
			list = append(list, family)
		}
	}
	if len(list) == 0 && x.of[igniter][everyFamily] != nil {
		list = []string{everyFamily}
	}
	return list
}
