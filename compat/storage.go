package compat

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// WholeStore is how a storage limit names all places together.
const WholeStore = "total"

// StoredAt is the propellant and the powder at one place. What has no propellant
// mass recorded is listed, and not counted.
type StoredAt struct {
	Place              string
	Propellant, Powder quantity.Mass
	// Limit is the user's own, not known where none is set: no legal limit is built
	// in.
	Limit   quantity.Opt[quantity.Mass]
	Unknown []LotShare
	// Uncounted are supplies kept by weight that no rocket's charge names as powder:
	// it may be powder all the same.
	Uncounted []LotShare
}

// Total is propellant and powder together, which the limit is held against.
func (s *StoredAt) Total() quantity.Mass { return s.Propellant + s.Powder }

// Over is by how much the limit is passed, 0 where it is not or where there is none.
func (s *StoredAt) Over() quantity.Mass {
	limit, ok := s.Limit.Get()
	if !ok {
		return 0
	}
	return max(0, s.Total()-limit)
}

// Storage adds up what is on hand, expired or not, place by place, and all of it.
// Powder is what a rocket's charge names as such. A place that has a limit is told
// though nothing lies there: its name may be mistyped. A limit that cannot be read
// wraps inventory.ErrInvalid.
func Storage(box *inventory.Box) (places []StoredAt, total StoredAt, err error) {
	limits, err := storageLimits(box.Settings())
	if err != nil {
		return nil, total, err
	}
	at := map[string]*StoredAt{}
	powders := powdersOf(box)
	for _, lot := range inventory.List[*inventory.Lot](box) {
		stock := box.Stock(lot)
		supply, _ := inventory.Follow[*inventory.Supply](box, lot.Item)
		weighed := supply != nil && supply.Unit == inventory.InGrams
		if stock.OnHand <= 0 || lot.Of != inventory.LotOfMotors && !weighed {
			continue
		}
		place := placeName(stock.Place)
		if at[place] == nil || stock.Place < at[place].Place {
			s := cmp.Or(at[place], &StoredAt{})
			s.Place = stock.Place // of several ways to write it the first
			at[place] = s
		}
		if weighed && !powders[supply.ID] {
			at[place].Uncounted = append(at[place].Uncounted, LotShare{lot, stock.OnHand})
			continue
		}
		at[place].add(box, lot, stock.OnHand)
	}
	addLimited(at, limits)
	total.Place = WholeStore
	for _, place := range slices.Sorted(maps.Keys(at)) {
		s := at[place]
		s.Limit = limits[placeName(place)]
		places = append(places, *s)
		total.Propellant += s.Propellant
		total.Powder += s.Powder
		total.Unknown = append(total.Unknown, s.Unknown...)
		total.Uncounted = append(total.Uncounted, s.Uncounted...)
	}
	total.Limit = limits[WholeStore]
	return places, total, nil
}

func (s *StoredAt) add(box *inventory.Box, lot *inventory.Lot, n quantity.Number) {
	motor, ok := inventory.Follow[*inventory.Motor](box, lot.Item)
	if !ok {
		s.Powder += quantity.Mass(n) // a gram is 1e9 steps of either
		return
	}
	measured, own := inventory.MeasuredLot(box, lot, motor)
	if !own {
		measured = inventory.Measured(box, motor)
	}
	mass, known := measured.PropellantMass.Get()
	if !known {
		s.Unknown = append(s.Unknown, LotShare{lot, n})
		return
	}
	s.Propellant += quantity.Mass(scaled(int64(mass), int64(n), pieceSteps, false))
}

// addLimited adds the places that have a limit and nothing in them.
func addLimited(at map[string]*StoredAt, limits map[string]quantity.Opt[quantity.Mass]) {
	there := map[string]bool{WholeStore: true}
	for place := range at {
		there[placeName(place)] = true
	}
	for name := range limits {
		if !there[name] {
			at[name] = &StoredAt{Place: name}
		}
	}
}

// powdersOf are the supplies, counted in grams, that charges are made of.
func powdersOf(box *inventory.Box) map[ID]bool {
	powders := map[ID]bool{}
	for _, r := range inventory.List[*inventory.Rocket](box) {
		for i := range r.Stages {
			for j := range r.Stages[i].Recovery {
				s, ok := inventory.Follow[*inventory.Supply](box, r.Stages[i].Recovery[j].Powder)
				if ok && s.Unit == inventory.InGrams {
					powders[s.ID] = true
				}
			}
		}
	}
	return powders
}

func storageLimits(s *inventory.Settings) (map[string]quantity.Opt[quantity.Mass], error) {
	limits := map[string]quantity.Opt[quantity.Mass]{}
	for _, place := range slices.Sorted(maps.Keys(s.StorageLimits)) {
		mass, err := quantity.Gram.Parse(s.StorageLimits[place])
		if err != nil {
			return nil, fmt.Errorf("%w: the storage limit of %q: %w", inventory.ErrInvalid, inventory.Printable(place), err)
		}
		limits[placeName(place)] = quantity.Some(mass)
	}
	return limits, nil
}

// placeName is a place as limits are held against it: a setting that is typed
// cannot hold a blank, so that steel-cabinet stands for the steel cabinet.
func placeName(place string) string {
	return strings.ToLower(strings.ReplaceAll(place, "-", " "))
}
