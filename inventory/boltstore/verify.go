package boltstore

import (
	"errors"
	"fmt"

	"github.com/google/uuid"
	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
)

// VerifyReport is what Verify found.
type VerifyReport struct {
	// Revision shows number and time of the last change: damage to the newer of
	// bbolt's two meta pages silently returns the state before it.
	Revision Revision
	Format   int
	// Records counts the records of each kind, removed ones left out.
	Records map[inventory.Kind]int
	Entries int
	// Problems lists everything that is off.
	Problems []string
	// Doubts lists what is implausible and only warned of, and the lots whose
	// entries together took out more than there was.
	Doubts []string
}

// Err is nil for a box without problems, else it wraps ErrDamaged.
func (r *VerifyReport) Err() error {
	switch n := len(r.Problems); n {
	case 0:
		return nil
	case 1:
		return fmt.Errorf("%w: %s", inventory.ErrDamaged, r.Problems[0])
	default:
		return fmt.Errorf("%w: %s (and %d more)", inventory.ErrDamaged, r.Problems[0], n-1)
	}
}

// Verify recomputes everything that is derived - balances, indexes, counts -
// and checks every page, every envelope and every reference. It lists what is
// off and changes nothing. An error means that the file could not be gone
// through at all.
//
// It does not use bbolt's own tx.Check, which can end the process from a
// goroutine of its own on a damaged file; it reads the pages itself instead,
// before anything else follows a pointer in them.
func Verify(path string, opt Options) (VerifyReport, error) {
	v := &verification{derived: newDerived(), opt: opt}
	o, err := open(path, opt, true)
	if err != nil {
		return v.report, err
	}
	if err := o.verifyPages(path, v); err != nil {
		o.abandon()
		return v.report, err
	}
	if len(v.report.Problems) > 0 { // following these pages is no use
		o.close()
		return v.report, nil
	}
	err = o.read(path, false, v.run)
	if errors.Is(err, errOlder) {
		err = fmt.Errorf("%w: %s has an older format; any writing command brings it up to date", inventory.ErrInvalid, path)
	}
	return v.report, err
}

// verifyPages walks the pages of the file.
func (o *opened) verifyPages(path string, v *verification) (err error) {
	defer guard(path, &err)
	defer faultsPanic()()
	return o.db.View(func(tx *bolt.Tx) error {
		if err := o.checkSize(tx); err != nil {
			return err
		}
		v.report.Problems = append(v.report.Problems, checkPages(o.file)...)
		return nil
	})
}

// verification is a call of Verify.
type verification struct {
	v       *View
	opt     Options
	report  VerifyReport
	derived derived
	lots    []*inventory.Lot
	entries map[uuid.UUID][]*inventory.Event // by lot
	what    map[uuid.UUID]inventory.What     // by entry
	voids   map[uuid.UUID]uuid.UUID          // target to void
	kinds   map[uuid.UUID]inventory.Kind
	refs    []pointing
}

// pointing is a reference that was met.
type pointing struct {
	from string
	ref  inventory.Reference
}

func (x *verification) problem(format string, args ...any) {
	x.report.Problems = append(x.report.Problems, fmt.Sprintf(format, args...))
}

// run goes through a whole box.
func (x *verification) run(v *View) error {
	x.v = v
	x.entries = map[uuid.UUID][]*inventory.Event{}
	x.what = map[uuid.UUID]inventory.What{}
	x.voids = map[uuid.UUID]uuid.UUID{}
	x.kinds = map[uuid.UUID]inventory.Kind{}
	x.report.Revision = v.Revision()
	x.report.Format = formatVersion
	x.report.Records = map[inventory.Kind]int{}
	x.bucketNames()
	for _, kind := range recordKinds {
		x.records(kind)
	}
	x.events()
	x.checkRefs()
	x.balances()
	x.compare()
	return nil
}

// bucketNames finds buckets that do not belong there.
func (x *verification) bucketNames() {
	known := map[string]bool{}
	for _, name := range allBuckets {
		known[name] = true
	}
	_ = x.v.tx.ForEach(func(name []byte, _ *bolt.Bucket) error {
		if !known[string(name)] {
			x.problem("there is a bucket %q that does not belong there", name)
		}
		return nil
	})
}

// each goes through a bucket, listing what is damaged and going on.
func (x *verification) each(bucket string, visit func(key, payload []byte) error) {
	b, err := x.v.bucket(bucket)
	if err != nil {
		x.problem("%v", err)
		return
	}
	var n uint64
	c := b.Cursor()
	for key, value := c.First(); key != nil; key, value = c.Next() {
		n++
		x.opt.progress(1)
		payload, err := unseal(bucket, key, value)
		if err == nil {
			err = visit(key, payload)
		}
		if err != nil {
			x.problem("%v", err)
		}
	}
	if want := x.v.state.Counts[bucket]; n != want {
		x.problem("bucket %q has %d values where %d were written", bucket, n, want)
	}
}

// records goes through the records of a kind.
func (x *verification) records(kind inventory.Kind) {
	x.each(string(kind), func(key, payload []byte) error {
		var s storedRecord
		if err := decode(string(kind), key, payload, &s); err != nil {
			return err
		}
		id := groupOf(key)
		if s.Removed {
			card := x.derived.card(id)
			card.Kind, card.Removed = kind, true
			return nil
		}
		rec, err := x.v.bare(kind, id, s)
		if err != nil {
			return err
		}
		x.record(rec, s.Former)
		return nil
	})
}

// record notes what the indexes have to say of a record.
func (x *verification) record(rec inventory.Record, former []string) {
	head, kind := rec.Base(), rec.Kind()
	name := string(kind) + " " + head.Handle
	if head.Handle == "" {
		name = string(kind) + " " + head.ID.String()
	}
	x.report.Records[kind]++
	x.kinds[head.ID] = kind
	for _, err := range inventory.Check(rec) {
		x.problem("%s: %v", name, err)
	}
	for _, doubt := range inventory.Doubts(rec) {
		x.report.Doubts = append(x.report.Doubts, name+": "+doubt)
	}
	card := x.derived.card(head.ID)
	card.Kind, card.Handle = kind, head.Handle
	if kind.Info().Handled {
		x.derived.put(bucketHandles, handleKey(kind, head.Handle), storedHandle{ID: head.ID, About: about(rec)})
	}
	for _, handle := range former {
		x.derived.put(bucketHandles, handleKey(kind, handle), storedHandle{ID: head.ID, Former: true})
	}
	x.references(name, rec)
	if lot, ok := rec.(*inventory.Lot); ok {
		x.lots = append(x.lots, lot)
	}
}

// references notes what a record refers to.
func (x *verification) references(name string, rec inventory.Record) {
	for _, r := range inventory.References(rec) {
		x.refs = append(x.refs, pointing{name, r})
	}
	for target := range targets(rec) {
		id := rec.Base().ID
		x.derived.join(bucketRefs, target, joined(target, id[:]), storedSource{rec.Kind()})
	}
}

// events goes through the ledger.
func (x *verification) events() {
	x.each(bucketEvents, func(key, payload []byte) error {
		e, err := x.v.event(key, payload)
		if err != nil {
			return err
		}
		x.event(key, e)
		return nil
	})
}

// event notes what the indexes have to say of an entry.
func (x *verification) event(key []byte, e *inventory.Event) {
	name := "entry " + e.ID.String()
	x.report.Entries++
	if _, twice := x.what[e.ID]; twice {
		x.problem("%s is in the ledger twice", name)
	}
	x.what[e.ID] = e.What
	for _, err := range inventory.Check(e) {
		x.problem("%s: %v", name, err)
	}
	for _, r := range inventory.References(e) {
		x.refs = append(x.refs, pointing{name, r})
	}
	x.derived.put(bucketEventIDs, e.ID[:], storedSeq{seqOf(key)})
	if lot := e.Lot.ID; lot != uuid.Nil {
		x.entries[lot] = append(x.entries[lot], e)
		x.derived.join(bucketLotEvents, lot, joined(lot, key), storedNothing{})
	}
	if with := e.With.ID; with != uuid.Nil {
		x.derived.join(bucketRefs, with, joined(with, e.ID[:]), storedSource{inventory.KindEvent})
	}
	if e.What == inventory.Void {
		x.void(e)
	}
}

// void notes which void takes an entry back: the lower id of several.
func (x *verification) void(e *inventory.Event) {
	if had, ok := x.voids[e.Voids]; ok && lower(had, e.ID) {
		return
	}
	x.voids[e.Voids] = e.ID
	x.derived.put(bucketVoids, e.Voids[:], storedVoid{e.ID})
}

// checkRefs checks that everything that is referred to is there.
func (x *verification) checkRefs() {
	for _, p := range x.refs {
		kind, ok := x.kinds[p.ref.Ref.ID]
		if !ok {
			x.problem("%s: %s points to %s, which is not there", p.from, p.ref.Path, p.ref.Ref.ID)
			continue
		}
		if !contains(p.ref.Kinds, kind) {
			x.problem("%s: %s points to a %s", p.from, p.ref.Path, kind)
		}
	}
}

// balances folds every lot.
func (x *verification) balances() {
	voided := func(id uuid.UUID) bool { _, ok := x.voids[id]; return ok }
	for _, lot := range x.lots {
		stock := inventory.Fold(lot, x.entries[lot.ID], voided)
		key := stockKey(lot)
		x.derived.join(bucketStock, lot.Item.ID, key, storedStockOf(stock))
		x.derived.put(bucketLotStock, lot.ID[:], storedKey{key})
		if stock.NeedsCount() || stock.Promised > stock.OnHand {
			x.report.Doubts = append(x.report.Doubts, fmt.Sprintf("lot %s has %s on hand and %s promised; count it",
				lot.ID, amount(stock.OnHand), amount(stock.Promised)))
		}
	}
}
