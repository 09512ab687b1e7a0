package compat

import (
	"fmt"
	"slices"
	"strings"

	"rangebox/inventory"
)

// place is what there is at an ignition point.
type place struct {
	charge, asks bool
}

// PointsOf lists the ignition points of a rocket, lowest stage first.
func PointsOf(r *inventory.Rocket) []string {
	var list []string
	eachPoint(r, func(point string, _ place) { list = append(list, point) })
	return list
}

func placeOf(r *inventory.Rocket, point string) (found place, ok bool) {
	eachPoint(r, func(name string, at place) {
		if name == point {
			found, ok = at, true
		}
	})
	return found, ok
}

func eachPoint(r *inventory.Rocket, visit func(point string, at place)) {
	for i := range r.Stages {
		s := &r.Stages[i]
		for j := range s.Mounts {
			m := &s.Mounts[j]
			for n := range int(m.Count.Or(1)) {
				asks := m.Ignition == nil || m.Ignition.By != inventory.LitByBurnThrough
				visit(fmt.Sprintf("%s/%s/%d", nameOr(s.Name, i), nameOr(m.Name, j), n+1), place{asks: asks})
			}
		}
		for j := range s.Recovery {
			w := &s.Recovery[j]
			if w.By != inventory.RecoverByCharge {
				continue
			}
			for n := range int(w.Count.Or(1)) {
				visit(fmt.Sprintf("%s/%s/%d", nameOr(s.Name, i), nameOr(w.Name, j), n+1), place{charge: true, asks: true})
			}
		}
	}
}

// chargeOf is the point to which the powder of a charge is promised: once, however
// many igniters lie in it.
func chargeOf(point string) string {
	return point[:strings.LastIndexByte(point, '/')] + "/1"
}

// Waiting lists the points of a flight that may still be told of: where a motor
// has not burnt, if only because the igniter did not light it, and where the
// igniter of a charge has not been fired.
func (b *DayBook) Waiting(flight int) []string {
	f := &b.q.Flights[flight]
	var list []string
	eachPoint(f.Rocket, func(point string, place place) {
		spot := Spot{f.ID, PointOf(point, f.N)}
		_, igniter := b.at(spot, inventory.LotOfIgniters)
		_, motor := b.at(spot, inventory.LotOfMotors)
		if motor || igniter && (place.charge || !b.ledger.burnt[spot]) {
			list = append(list, point)
		}
	})
	return list
}

// Untold lists those of Waiting of which nothing has been told.
func (b *DayBook) Untold(flight int) []string {
	f := &b.q.Flights[flight]
	return slices.DeleteFunc(b.Waiting(flight), func(point string) bool {
		return b.ledger.Told(Spot{f.ID, PointOf(point, f.N)})
	})
}

// Forgotten lists those of Untold that somebody should have told of: where nothing
// was told of the flight at all, where it flew, or where a charge fired or one of a
// cluster was lit. Of a flight whose only motor at the pad did not light the rest
// goes without saying.
func (b *DayBook) Forgotten(flight int) []string {
	f := &b.q.Flights[flight]
	told := slices.ContainsFunc(PointsOf(f.Rocket), func(point string) bool {
		return b.ledger.Told(Spot{f.ID, PointOf(point, f.N)})
	})
	if told && !b.ledger.Flown(f.ID, f.N) && b.onlyTried(flight) {
		return nil
	}
	return b.Untold(flight)
}

// onlyTried tells whether the rocket has one motor to be lit at the pad, and nothing
// was told of but that.
func (b *DayBook) onlyTried(flight int) bool {
	f := &b.q.Flights[flight]
	at, pad := "", 0
	for i := range f.Rocket.Stages {
		s := &f.Rocket.Stages[i]
		for j := range s.Mounts {
			m := &s.Mounts[j]
			if m.Ignition != nil && m.Ignition.By == inventory.LitAtPad {
				at = nameOr(s.Name, i) + "/" + nameOr(m.Name, j)
				pad += int(m.Count.Or(1))
			}
		}
	}
	return pad == 1 && !slices.ContainsFunc(PointsOf(f.Rocket), func(point string) bool {
		return !within(point, at) && b.ledger.Told(Spot{f.ID, PointOf(point, f.N)})
	})
}
