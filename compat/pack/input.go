package pack

import (
	"errors"
	"fmt"
)

// ErrInput is wrapped by every refusal: what was handed over cannot be.
var ErrInput = errors.New("not something that can be packed")

// Request is a day to pack for.
type Request struct {
	Lots    []Lot
	Flights []Flight // in the order in which they matter
	// Effort bounds the search over the types of clusters, in steps; 0 is
	// DefaultEffort.
	Effort int64
}

// DefaultEffort is some two seconds of work. Days without clusters need none of
// it, and those with the usual few a small part.
const DefaultEffort = 60_000_000

// Lot is pieces (or the smallest steps of a weight) of one item that lie
// together.
type Lot struct {
	ID   string // unique
	Item string // what it is a lot of: the type, for an igniter
	Free int64  // how much of it may be given out; nothing where below zero
	// Expires is the last day it may be used, counted from any fixed day; used
	// only to put lots in order. Undated lots are used after all that have a day.
	Expires int
	Undated bool
	// Uses is how many motor types of the box the item could serve: the fewer,
	// the rather it is kept. 0 for all where that says nothing.
	Uses int
	// Returns: it comes back after each flight and serves the next one, as a
	// reload's case does. Each flight is looked at alone then, so that two flights
	// with different cases to choose from may book two where one would do.
	Returns bool
}

// Flight is one flight; where a rocket flies twice that day, each is one.
type Flight struct {
	ID    string // unique
	Needs []Need
}

// Need is what a flight must have: one igniter or motor for an ignition point,
// or so much of a supply.
type Need struct {
	Name     string // unique in its flight: an ignition point, or what else names it
	Quantity int64
	// Cluster: needs of one flight with the same name here, not empty, are served
	// by lots of one item.
	Cluster string
	From    []Candidate // the lots that would do
}

// Candidate is a lot that may serve a need.
type Candidate struct {
	Lot      string
	Cautions int // how many cautions the rules have of it there; 0: go
}

// check refuses what cannot be.
func (r *Request) check() error {
	lots := map[string]bool{}
	for i := range r.Lots {
		l := &r.Lots[i]
		if l.ID == "" || lots[l.ID] {
			return fmt.Errorf("lot %q: %w: the id is empty or repeated", l.ID, ErrInput)
		}
		lots[l.ID] = true
	}
	flights := map[string]bool{}
	for i := range r.Flights {
		f := &r.Flights[i]
		if flights[f.ID] {
			return fmt.Errorf("flight %q: %w: the id is repeated", f.ID, ErrInput)
		}
		flights[f.ID] = true
		if err := f.check(lots); err != nil {
			return fmt.Errorf("flight %q: %w", f.ID, err)
		}
	}
	return nil
}

func (f *Flight) check(lots map[string]bool) error {
	names := map[string]bool{}
	for i := range f.Needs {
		n := &f.Needs[i]
		if names[n.Name] {
			return fmt.Errorf("need %q: %w: the name is repeated", n.Name, ErrInput)
		}
		names[n.Name] = true
		if n.Quantity < 0 {
			return fmt.Errorf("need %q: %w: the quantity is below zero", n.Name, ErrInput)
		}
		if err := n.check(lots); err != nil {
			return fmt.Errorf("need %q: %w", n.Name, err)
		}
	}
	return nil
}

func (n *Need) check(lots map[string]bool) error {
	seen := map[string]bool{}
	for _, c := range n.From {
		switch {
		case !lots[c.Lot]:
			return fmt.Errorf("lot %q: %w: there is no such lot", c.Lot, ErrInput)
		case seen[c.Lot]:
			return fmt.Errorf("lot %q: %w: it is named twice", c.Lot, ErrInput)
		case c.Cautions < 0 || c.Cautions > mostCautions:
			return fmt.Errorf("lot %q: %w: %d cautions", c.Lot, ErrInput, c.Cautions)
		}
		seen[c.Lot] = true
	}
	return nil
}

const mostCautions = 1000
