package command

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

func newStock(g *global) *cobra.Command {
	c := &cobra.Command{Use: "stock", Short: "what is in the box: lots, their ledger, what is due or short"}
	c.AddCommand(newStockIn(g), newStockOut(g), newStockCount(g), newStockMove(g), newStockHold(g, inventory.Held), newStockHold(g, inventory.Released),
		newStockUndo(g), newStockList(g), newStockLog(g), newStockDue(g), newStockNeed(g), newStockStorage(g), newStockLabels(g))
	return c
}

// booking is what a command of the ledger books: within one transaction it reads
// what it needs and says what is to be booked.
type booking func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error)

// book runs a booking and says what it booked; it answers only once that is durable.
func book(g *global, plan booking) error {
	if err := g.noLists(); err != nil {
		return err
	}
	at, err := g.moment()
	if err != nil {
		return err
	}
	var out answer.Booked
	err = boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		events, err := plan(tx, at)
		if err != nil {
			return err
		}
		if err := together(events); err != nil {
			return err
		}
		if err := tx.Book(events...); err != nil {
			return err
		}
		out, err = booked(&tx.View, events)
		return err
	})
	if err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Booked(g.env.Out, g.look(), out)
}

// together marks the entries of one command, so that they are taken back as one.
func together(events []*inventory.Event) error {
	if len(events) < 2 {
		return nil
	}
	id, err := uuid.NewV7()
	if err != nil {
		return fmt.Errorf("making an id: %w", err)
	}
	for _, e := range events {
		e.Together = id
	}
	return nil
}

// booked tells the entries and where their lots stand now.
func booked(v *boltstore.View, events []*inventory.Event) (answer.Booked, error) {
	out := answer.Booked{Entries: []answer.Entry{}, Lots: []answer.BookedLot{}}
	seen := map[uuid.UUID]bool{}
	for _, e := range events {
		out.Entries = append(out.Entries, answer.EntryOf(e))
		if seen[e.Lot.ID] || e.Lot.ID == uuid.Nil {
			continue
		}
		seen[e.Lot.ID] = true
		rec, err := v.Get(e.Lot.ID)
		if err != nil {
			return out, err
		}
		stock, err := v.Stock(e.Lot.ID)
		if err != nil {
			return out, err
		}
		out.Lots = append(out.Lots, answer.BookedLotOf(rec.(*inventory.Lot), stock))
	}
	return out, nil
}

// entry makes a new entry of the ledger.
func newEntry(at time.Time, what inventory.What, lot *inventory.Lot) (*inventory.Event, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("making an id: %w", err)
	}
	return &inventory.Event{Header: inventory.Header{ID: id}, At: at, What: what, Lot: inventory.Ref{ID: lot.ID}}, nil
}

type stockInOptions struct {
	expires, place, code, lot, made, cost, pack string
	noExpiry                                    bool
}

func newStockIn(g *global) *cobra.Command {
	o := &stockInOptions{}
	c := &cobra.Command{
		Use:   "in ITEM QUANTITY",
		Short: "something came into the box: a new lot, or more of a lot",
		Args:  args("ITEM", "QUANTITY"),
		RunE: func(_ *cobra.Command, given []string) error {
			lot, err := o.newLot()
			if err != nil {
				return err
			}
			if err := readable(given[1], 1); err != nil {
				return err
			}
			return book(g, func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error) {
				return stockIn(tx, at, given[0], given[1], o, lot)
			})
		},
	}
	f := c.Flags()
	f.StringVar(&o.expires, "expires", "", "last `DATE` it may be used (2029-05 means its last day)")
	f.BoolVar(&o.noExpiry, "no-expiry", false, "it keeps for ever")
	f.StringVar(&o.place, "place", "", "`PLACE` where it lies")
	f.StringVar(&o.code, "code", "", "the maker's lot `CODE`")
	f.StringVar(&o.made, "made", "", "`DATE` it was made")
	f.StringVar(&o.cost, "cost", "", "what one `COST`")
	f.StringVar(&o.pack, "pack", "", "how many come in a pack (`NUMBER`)")
	f.StringVar(&o.lot, "lot", "", "more of this `LOT`")
	return c
}

// newLot is the lot that the flags describe, without its item.
func (o *stockInOptions) newLot() (*inventory.Lot, error) {
	lot := &inventory.Lot{}
	table := inventory.KindLot.Info().Table
	for key, value := range map[string]string{"expires": o.expires, "place": o.place, "code": o.code, "made": o.made, "unit_cost": o.cost, "pack_size": o.pack} {
		if value == "" {
			continue
		}
		if o.lot != "" {
			return nil, misused("leave the other flags away, or leave --lot away for a new lot", "more of a lot takes no %s", spaced(key))
		}
		field, _ := table.Field(key)
		if err := field.SetText(lot, value); err != nil {
			return nil, asMisuse(err)
		}
	}
	if o.noExpiry {
		if o.expires != "" {
			return nil, misused("give one of them", "a lot has a last day or keeps for ever, not both")
		}
		lot.NoExpiry = quantity.Some(true)
	}
	return lot, nil
}

func stockIn(tx *boltstore.Tx, at time.Time, item, amount string, o *stockInOptions, lot *inventory.Lot) ([]*inventory.Event, error) {
	rec, err := findItem(&tx.View, item)
	if err != nil {
		return nil, err
	}
	q, err := positive(rec, amount)
	if err != nil {
		return nil, err
	}
	if o.lot != "" {
		if lot, err = lotOf(&tx.View, o.lot, rec); err != nil {
			return nil, err
		}
	} else if err := putLot(tx, lot, rec, at); err != nil {
		return nil, err
	}
	e, err := newEntry(at, inventory.In, lot)
	if err != nil {
		return nil, err
	}
	e.Quantity = quantity.Some(q)
	return []*inventory.Event{e}, nil
}

// lotOf finds a lot that must be of an item.
func lotOf(v *boltstore.View, tail string, rec inventory.Record) (*inventory.Lot, error) {
	lot, err := findLot(v, tail)
	if err != nil {
		return nil, err
	}
	if lot.Item.ID != rec.Base().ID {
		return nil, conflict("the lot %s is of %s, not of %s", tail, lot.Item, rec.Base().Handle)
	}
	return lot, nil
}

// putLot puts a new lot of an item into the box.
func putLot(tx *boltstore.Tx, lot *inventory.Lot, item inventory.Record, at time.Time) error {
	kind, ok := inventory.LotKindOf(item.Kind())
	if !ok {
		return conflict("%s is %s, which is not kept in lots", item.Base().Handle, withArticle(item.Kind()))
	}
	id, err := uuid.NewV7()
	if err != nil {
		return fmt.Errorf("making an id: %w", err)
	}
	lot.ID, lot.Of, lot.Item = id, kind, inventory.Ref{ID: item.Base().ID, Handle: item.Base().Handle}
	if lot.Acquired.IsZero() {
		lot.Acquired = inventory.DateOf(at.Local())
	}
	_, err = tx.Put(lot)
	return err
}

// positive reads a quantity that must be above zero.
func positive(item inventory.Record, text string) (quantity.Number, error) {
	q, err := amountOf(item, text)
	if err != nil {
		return 0, err
	}
	if q <= 0 {
		return 0, fmt.Errorf("%w: a quantity of %s cannot be; give one above 0", inventory.ErrInvalid, inventory.Printable(text))
	}
	return q, nil
}

type stockOutOptions struct {
	purpose, result, cause, reason string
	what                           inventory.What
}

func newStockOut(g *global) *cobra.Command {
	o := &stockOutOptions{}
	c := &cobra.Command{
		Use:   "out ITEM|LOT QUANTITY --for used|tested|given|scrapped",
		Short: "something left the box; what expires first goes first unless a lot is named",
		Args:  args("ITEM or LOT", "QUANTITY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := o.understand(); err != nil {
				return err
			}
			if err := readable(given[1], 1); err != nil {
				return err
			}
			return book(g, func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error) {
				return stockOut(tx, at, given[0], given[1], o)
			})
		},
	}
	f := c.Flags()
	f.StringVar(&o.purpose, "for", "", "`PURPOSE`: used, tested, given or scrapped")
	f.StringVar(&o.result, "result", "", "`RESULT` of what was used or tested: fired, misfire, hang-fire, burst, not-flown")
	f.StringVar(&o.cause, "cause", "", "`CAUSE` of what did not fire: head, motor, contact, battery, fell-out, short, unknown")
	f.StringVar(&o.reason, "reason", "", "`TEXT` to remember")
	return c
}

// purposes are the ways out of the box that a person books.
var purposes = map[string]inventory.What{"used": inventory.Used, "tested": inventory.Tested, "given": inventory.Given, "scrapped": inventory.Scrapped}

func (o *stockOutOptions) understand() error {
	what, ok := purposes[o.purpose]
	if !ok {
		const hint = "add --for used, --for tested, --for given or --for scrapped"
		if o.purpose != "" {
			return misused(hint, "--for %q is none of what it can be for", inventory.Printable(o.purpose))
		}
		return misused(hint, "stock out needs to know what for")
	}
	o.what = what
	fired := what == inventory.Used || what == inventory.Tested
	if (o.result != "" || o.cause != "") && !fired {
		return misused("leave --result and --cause away", "what was %s has no result", o.purpose)
	}
	if o.cause != "" && (o.result == "" || o.result == "fired") {
		return misused("add --result misfire or --result hang-fire", "a cause belongs to what did not fire")
	}
	return o.fill(&inventory.Event{})
}

// fill writes what was typed into an entry.
func (o *stockOutOptions) fill(e *inventory.Event) error {
	table := inventory.KindEvent.Info().Table
	for key, value := range map[string]string{"result": o.result, "cause": o.cause, "reason": o.reason} {
		if value == "" {
			continue
		}
		field, _ := table.Field(key)
		if err := field.SetText(e, value); err != nil {
			return asMisuse(err)
		}
	}
	return nil
}

func stockOut(tx *boltstore.Tx, at time.Time, target, amount string, o *stockOutOptions) ([]*inventory.Event, error) {
	item, named, err := itemOrLot(tx, target)
	if err != nil {
		return nil, err
	}
	q, err := positive(item, amount)
	if err != nil {
		return nil, err
	}
	portions := []inventory.Portion{{Lot: named, Quantity: q}} // a lot that was named, as it is
	if named == nil {
		box, err := tx.Load(boltstore.Want{IDs: []uuid.UUID{item.Base().ID}, LotsOfLoaded: true})
		if err != nil {
			return nil, err
		}
		portions = box.FirstOut(item.Base().ID, q, o.what, inventory.DateOf(at.Local()))
	}
	left := q
	var events []*inventory.Event
	for _, p := range portions {
		e, err := newEntry(at, o.what, p.Lot)
		if err != nil {
			return nil, err
		}
		if err := o.fill(e); err != nil {
			return nil, err
		}
		e.Quantity = quantity.Some(p.Quantity)
		events = append(events, e)
		left -= p.Quantity
	}
	if left > 0 {
		return nil, advise(conflict("only %s of %s could be %s, not %s", quantity.One.Format(int64(q-left)), target, o.what, quantity.One.Format(int64(q))),
			"look at its lots with `rangebox stock list %s`; what is promised, held or expired counts only when its lot is named", item.Base().Handle)
	}
	return events, nil
}

// itemOrLot is an item, or a lot by the tail of its id with what it is of.
func itemOrLot(tx *boltstore.Tx, target string) (item inventory.Record, named *inventory.Lot, err error) {
	item, err = findItem(&tx.View, target)
	if err == nil {
		return item, nil, nil
	}
	if errors.Is(err, inventory.ErrConflict) || strings.Contains(target, "/") || !lotForm.MatchString(target) {
		return nil, nil, err
	}
	named, item, err = lotAndItem(tx, target)
	return item, named, err
}

func newStockCount(g *global) *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   "count LOT QUANTITY",
		Short: "you counted a lot: that is how much there is",
		Args:  args("LOT", "QUANTITY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := readable(given[1], 0); err != nil {
				return err
			}
			return book(g, func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error) {
				lot, item, err := lotAndItem(tx, given[0])
				if err != nil {
					return nil, err
				}
				q, err := amountOf(item, given[1])
				if err != nil {
					return nil, err
				}
				e, err := newEntry(at, inventory.Counted, lot)
				if err != nil {
					return nil, err
				}
				e.Quantity, e.Reason = quantity.Some(q), reason
				return []*inventory.Event{e}, nil
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "`TEXT` to remember")
	return c
}

func lotAndItem(tx *boltstore.Tx, tail string) (*inventory.Lot, inventory.Record, error) {
	lot, err := findLot(&tx.View, tail)
	if err != nil {
		return nil, nil, err
	}
	item, err := itemOf(&tx.View, lot)
	return lot, item, err
}

func newStockMove(g *global) *cobra.Command {
	var amount string
	c := &cobra.Command{
		Use:   "move LOT PLACE",
		Short: "a lot lies elsewhere now; with --quantity a part of it, as a lot of its own",
		Args:  args("LOT", "PLACE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if strings.TrimSpace(given[1]) == "" {
				return misused("name the place", "a place needs a name")
			}
			if amount != "" {
				if err := readable(amount, 1); err != nil {
					return err
				}
			}
			return book(g, func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error) {
				return stockMove(tx, at, given[0], given[1], amount)
			})
		},
	}
	c.Flags().StringVar(&amount, "quantity", "", "only `NUMBER` of it")
	return c
}

func stockMove(tx *boltstore.Tx, at time.Time, tail, place, amount string) ([]*inventory.Event, error) {
	lot, item, err := lotAndItem(tx, tail)
	if err != nil {
		return nil, err
	}
	move, err := newEntry(at, inventory.Moved, lot)
	if err != nil {
		return nil, err
	}
	move.To = place
	if amount == "" {
		return []*inventory.Event{move}, nil
	}
	q, err := positive(item, amount)
	if err != nil {
		return nil, err
	}
	stock, err := tx.Stock(lot.ID)
	if err != nil {
		return nil, err
	}
	if q == stock.OnHand {
		return []*inventory.Event{move}, nil
	}
	move.Quantity = quantity.Some(q)
	part := *lot
	part.Header, part.Place, part.From = inventory.Header{}, place, inventory.Ref{ID: lot.ID}
	if err := putLot(tx, &part, item, at); err != nil {
		return nil, err
	}
	in, err := newEntry(at, inventory.In, &part)
	if err != nil {
		return nil, err
	}
	in.Quantity, in.Reason = quantity.Some(q), "moved from another lot"
	return []*inventory.Event{move, in}, nil
}

func newStockHold(g *global, what inventory.What) *cobra.Command {
	use, short := "hold LOT", "a lot is not to be used for now"
	if what == inventory.Released {
		use, short = "release LOT", "a lot on hold may be used again"
	}
	var reason string
	c := &cobra.Command{
		Use: use, Short: short, Args: args("LOT"),
		RunE: func(_ *cobra.Command, given []string) error {
			return book(g, func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error) {
				lot, err := findLot(&tx.View, given[0])
				if err != nil {
					return nil, err
				}
				stock, err := tx.Stock(lot.ID)
				if err != nil {
					return nil, err
				}
				if stock.Held == (what == inventory.Held) {
					return nil, conflict("the lot %s is %s already", given[0], what)
				}
				e, err := newEntry(at, what, lot)
				if err != nil {
					return nil, err
				}
				e.Reason = reason
				return []*inventory.Event{e}, nil
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "`TEXT` to remember")
	return c
}

func newStockUndo(g *global) *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   "undo [ENTRY]",
		Short: "take back an entry of the ledger: the latest, or the one named",
		Args: func(c *cobra.Command, given []string) error {
			if len(given) > 1 {
				return misused("see `rangebox stock undo --help`", "stock undo does not take %q", inventory.Printable(given[1]))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, given []string) error {
			return book(g, func(tx *boltstore.Tx, at time.Time) ([]*inventory.Event, error) {
				return undo(tx, at, given, reason)
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "`TEXT` to remember")
	return c
}

// undo voids an entry and those that were booked together with it.
func undo(tx *boltstore.Tx, at time.Time, given []string, reason string) ([]*inventory.Event, error) {
	targets, err := entriesToUndo(tx, given)
	if err != nil {
		return nil, err
	}
	if err := refuseBookedSince(tx, targets); err != nil {
		return nil, err
	}
	var voids []*inventory.Event
	for _, target := range targets {
		e, err := newEntry(at, inventory.Void, &inventory.Lot{Header: inventory.Header{ID: target.Lot.ID}})
		if err != nil {
			return nil, err
		}
		e.Voids, e.Reason = target.ID, reason
		voids = append(voids, e)
	}
	return voids, nil
}

// refuseBookedSince refuses to take back what later entries of a launch day stand on.
func refuseBookedSince(tx *boltstore.Tx, targets []*inventory.Event) error {
	var standing []*inventory.Event
	read := map[uuid.UUID]bool{}
	for _, target := range targets {
		if target.Flight == uuid.Nil || read[target.Lot.ID] {
			continue
		}
		read[target.Lot.ID] = true
		entries, err := tx.Entries(target.Lot.ID)
		if err != nil {
			return err
		}
		standing = append(standing, slices.DeleteFunc(entries, func(e *inventory.Event) bool { return e.What == inventory.Void || tx.Voided(e.ID) })...)
	}
	if later := compat.Since(standing, targets); later != nil {
		return advise(conflict("the entry %s was booked for the same flight since", later.ID), "take that back first: `rangebox stock undo %s`", later.ID)
	}
	return nil
}

// errFound ends a walk through the ledger.
var errFound = errors.New("found")

// entriesToUndo are the entry named by the tail of its id, or the latest that can
// still be taken back, with those booked together with it.
func entriesToUndo(tx *boltstore.Tx, given []string) ([]*inventory.Event, error) {
	var found []*inventory.Event
	err := tx.EventsBack(0, func(e *inventory.Event) error {
		switch {
		case len(given) == 1:
			if strings.HasSuffix(e.ID.String(), given[0]) {
				found = append(found, e)
			}
			return nil
		case e.What == inventory.Void || tx.Voided(e.ID):
			return nil
		}
		found = append(found, e)
		return errFound
	})
	switch {
	case err != nil && !errors.Is(err, errFound):
		return nil, err
	case len(found) == 0 && len(given) == 1:
		return nil, advise(notFound("there is no entry %q", inventory.Printable(given[0])), "look at the entries with `rangebox stock log`")
	case len(found) == 0:
		return nil, advise(notFound("there is no entry to take back"), "look at the entries with `rangebox stock log`")
	case len(found) > 1:
		return nil, advise(conflict("%d entries end in %q", len(found), given[0]), "give more of the id")
	case found[0].Together == uuid.Nil:
		return found, nil
	}
	return bookedWith(tx, found[0])
}

// bookedWith are the entries that one command booked, the given one among them.
func bookedWith(tx *boltstore.Tx, one *inventory.Event) ([]*inventory.Event, error) {
	var all []*inventory.Event
	err := tx.EventsBack(0, func(e *inventory.Event) error {
		if e.Together == one.Together && !tx.Voided(e.ID) {
			all = append(all, e)
		}
		if len(all) > 0 && e.Together != one.Together {
			return errFound
		}
		return nil
	})
	if err != nil && !errors.Is(err, errFound) {
		return nil, err
	}
	return all, nil
}
