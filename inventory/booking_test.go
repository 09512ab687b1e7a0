package inventory

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory/quantity"
)

// named is an id that a test can call by a short name; ids sort as names do.
func named(name string) uuid.UUID {
	var id uuid.UUID
	copy(id[:], name)
	return id
}

// entry reads an entry of the ledger from words: the minute, the id, what, and
// any of a quantity, FLIGHT/POINT, >PLACE and !ID, the entry that is voided.
func entry(t testing.TB, text string) *Event {
	t.Helper()
	words := strings.Fields(text)
	minute, err := strconv.Atoi(words[0])
	if err != nil {
		t.Fatal(err)
	}
	e := &Event{Header: Header{ID: named(words[1])}, At: time.Date(2027, 4, 17, 10, minute, 0, 0, time.UTC), What: What(position(whatWords, words[2]))}
	for _, word := range words[3:] {
		flight, point, promised := strings.Cut(word, "/")
		switch {
		case word[0] == '>':
			e.To = word[1:]
		case word[0] == '!':
			e.Voids = named(word[1:])
		case promised:
			e.Flight, e.Point = named(flight), point
		default:
			e.Quantity = quantity.Some(pieceCount(t, word))
		}
	}
	if e.What == 0 {
		t.Fatalf("%q has no word of the ledger", text)
	}
	return e
}

func pieceCount(t testing.TB, text string) quantity.Number {
	t.Helper()
	q, err := quantity.One.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// voidedBy is what a store answers: whether some void names the entry.
func voidedBy(entries []*Event) func(uuid.UUID) bool {
	voids := map[uuid.UUID]bool{}
	for _, e := range entries {
		if e.What == Void {
			voids[e.Voids] = true
		}
	}
	return func(id uuid.UUID) bool { return voids[id] }
}

func foldOf(t testing.TB, lines ...string) Stock {
	t.Helper()
	var entries []*Event
	for _, line := range lines {
		entries = append(entries, entry(t, line))
	}
	return Fold(&Lot{Place: "box"}, entries, voidedBy(entries))
}

// foldRows is the table of the contract, a case or more for each word.
var foldRows = []struct {
	name             string
	entries          []string
	onHand, promised string
	held             bool
	place            string
	count            bool
}{
	{"nothing", nil, "0", "0", false, "box", false},
	{"in", []string{"1 a in 10"}, "10", "0", false, "box", false},
	{"in twice", []string{"1 a in 10", "2 b in 0.5"}, "10.5", "0", false, "box", false},
	{"used", []string{"1 a in 10", "2 b used 3"}, "7", "0", false, "box", false},
	{"tested", []string{"1 a in 10", "2 b tested 3"}, "7", "0", false, "box", false},
	{"given", []string{"1 a in 10", "2 b given 3"}, "7", "0", false, "box", false},
	{"scrapped", []string{"1 a in 10", "2 b scrapped 3"}, "7", "0", false, "box", false},
	{"prepared", []string{"1 a in 10", "2 b prepared 3"}, "7", "0", false, "box", false},
	{"counted is absolute", []string{"1 a in 10", "2 b used 3", "3 c counted 4"}, "4", "0", false, "box", false},
	{"counted as none", []string{"1 a in 10", "2 b counted 0"}, "0", "0", false, "box", false},
	{"what follows a count adds to it", []string{"1 a in 10", "2 b counted 4", "3 c in 2"}, "6", "0", false, "box", false},
	{"an entry that comes late, before a count", []string{"1 a in 10", "3 c counted 4", "2 b used 3"}, "4", "0", false, "box", false},
	{"an entry that comes late, after a count", []string{"1 a in 10", "4 c used 1", "3 b counted 4"}, "3", "0", false, "box", false},
	{"at one time the id decides", []string{"1 a in 10", "2 c used 1", "2 b counted 4"}, "3", "0", false, "box", false},
	{"at one time the other way", []string{"1 a in 10", "2 b used 1", "2 c counted 4"}, "4", "0", false, "box", false},

	{"moved", []string{"1 a in 10", "2 b moved >shelf"}, "10", "0", false, "shelf", false},
	{"moved again, late entry", []string{"3 b moved >shelf", "2 a moved >car"}, "0", "0", false, "shelf", false},
	{"part of it moved", []string{"1 a in 10", "2 b moved 4 >shelf"}, "6", "0", false, "box", false},

	{"promised", []string{"1 a in 10", "2 b promised 3 f/p"}, "10", "3", false, "box", false},
	{"promised and returned", []string{"1 a in 10", "2 b promised 3 f/p", "3 c returned 2 f/p"}, "10", "1", false, "box", false},
	{"promised and used there", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 2 f/p"}, "8", "1", false, "box", false},
	{"more used than promised", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 5 f/p"}, "5", "0", false, "box", false},
	{"used for another point", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 2 f/q"}, "8", "3", false, "box", false},
	{"used for another flight", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 2 g/p"}, "8", "3", false, "box", false},
	{"used for nobody", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 2"}, "8", "3", false, "box", false},
	{"tested, given and scrapped free a promise too", []string{"1 a in 10", "2 b promised 3 f/p", "3 c tested 1 f/p", "4 d given 1 f/p", "5 e scrapped 1 f/p"}, "7", "0", false, "box", false},
	{"prepared frees no promise", []string{"1 a in 10", "2 b promised 3 f/p", "3 c prepared 1 f/p"}, "9", "3", false, "box", false},
	{"a count leaves promises", []string{"1 a in 10", "2 b promised 3 f/p", "3 c counted 2"}, "2", "3", false, "box", false},
	{"used before it was promised", []string{"1 a in 10", "3 b promised 3 f/p", "2 c used 2 f/p"}, "8", "3", false, "box", false},

	{"held", []string{"1 a in 10", "2 b held"}, "10", "0", true, "box", false},
	{"held and released", []string{"1 a in 10", "2 b held", "3 c released"}, "10", "0", false, "box", false},
	{"released, then held", []string{"3 b held", "2 c released"}, "0", "0", true, "box", false},

	{"void", []string{"1 a in 10", "2 b used 3", "3 c void !b"}, "10", "0", false, "box", false},
	{"void before its target comes", []string{"1 c void !b", "2 a in 10", "3 b used 3"}, "10", "0", false, "box", false},
	{"void of nothing yet", []string{"1 a in 10", "2 c void !z"}, "10", "0", false, "box", false},
	{"void of a void does nothing", []string{"1 a in 10", "2 b used 3", "3 c void !b", "4 d void !c"}, "10", "0", false, "box", false},
	{"void twice is void once", []string{"1 a in 10", "2 b used 3", "3 c void !b", "4 d void !b"}, "10", "0", false, "box", false},
	{"void of a count", []string{"1 a in 10", "2 b counted 2", "3 c void !b"}, "10", "0", false, "box", false},
	{"void of a promise that was used", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 3 f/p", "4 d void !b"}, "7", "0", false, "box", false},
	{"void of the use of a promise", []string{"1 a in 10", "2 b promised 3 f/p", "3 c used 3 f/p", "4 d void !c"}, "10", "3", false, "box", false},
	{"void of a move", []string{"1 b moved >shelf", "2 c void !b"}, "0", "0", false, "box", false},
	{"void of a hold", []string{"1 b held", "2 c void !b"}, "0", "0", false, "box", false},

	{"two boxes took more than there was", []string{"1 a in 2", "2 b used 2", "3 c used 1"}, "-1", "0", false, "box", true},
	{"more returned than promised", []string{"1 a in 2", "2 b returned 1 f/p"}, "2", "-1", false, "box", true},
	{"a count settles it", []string{"1 a in 2", "2 b used 3", "3 c counted 0"}, "0", "0", false, "box", false},
}

// TestFold: the contract's table, "What an entry does", row by row.
func TestFold(t *testing.T) {
	for _, row := range foldRows {
		t.Run(row.name, func(t *testing.T) {
			got := foldOf(t, row.entries...)
			want := Stock{pieceCount(t, row.onHand), pieceCount(t, row.promised), row.held, row.place}
			if got != want {
				t.Errorf("%+v, not %+v", got, want)
			}
			if got.NeedsCount() != row.count {
				t.Errorf("asks to be counted: %v", got.NeedsCount())
			}
		})
	}
}

// TestFoldKnowsEveryWord: no word of the ledger is passed over in silence.
func TestFoldKnowsEveryWord(t *testing.T) {
	for i, word := range whatWords {
		before := []string{"1 a in 9", "2 b promised 5 f/p", "2 h held"}
		if What(i+1) == Held {
			before = before[:2]
		}
		line := "3 c " + word + " 2 f/p"
		switch What(i + 1) {
		case Void:
			line += " !a"
		case Moved:
			line = "3 c moved >shelf"
		}
		if foldOf(t, before...) == foldOf(t, append(before, line)...) {
			t.Errorf("%q changes nothing", word)
		}
	}
}

// drawLedger draws entries of one lot, in time order, with voids among them.
func drawLedger(t *rapid.T) []*Event {
	var entries []*Event
	for i := range rapid.IntRange(0, 30).Draw(t, "entries") {
		e := &Event{Header: Header{ID: named(fmt.Sprintf("%02d", i))}, What: What(rapid.IntRange(1, len(whatWords)).Draw(t, "what"))}
		e.At = time.Date(2027, 4, 17, 10, rapid.IntRange(0, 9).Draw(t, "minute"), 0, 0, time.UTC)
		e.Quantity = quantity.Some(quantity.Number(rapid.Int64Range(1, 9).Draw(t, "quantity")))
		e.Flight, e.Point = named(rapid.SampledFrom([]string{"", "f", "g"}).Draw(t, "flight")), rapid.SampledFrom([]string{"", "p", "q"}).Draw(t, "point")
		switch e.What {
		case Void:
			e.Voids = named(fmt.Sprintf("%02d", rapid.IntRange(0, 31).Draw(t, "voids")))
		case Moved:
			e.To = rapid.SampledFrom([]string{"shelf", "car"}).Draw(t, "to")
			if rapid.Bool().Draw(t, "whole") {
				e.Quantity = quantity.Opt[quantity.Number]{}
			}
		}
		entries = append(entries, e)
	}
	return entries
}

// TestFoldDoesNotKnowOrder: however the entries arrive, so that merging is the
// same whichever way round.
func TestFoldDoesNotKnowOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := drawLedger(t)
		want := Fold(&Lot{Place: "box"}, entries, voidedBy(entries))
		given := append([]*Event(nil), entries...)
		mixed := rapid.Permutation(given).Draw(t, "arrival")
		before := append([]*Event(nil), mixed...)
		if got := Fold(&Lot{Place: "box"}, mixed, voidedBy(mixed)); got != want {
			t.Fatalf("%+v, not %+v", got, want)
		}
		for i := range mixed {
			if mixed[i] != before[i] {
				t.Fatal("the entries given were put in another order")
			}
		}
	})
}

// TestFoldConserves: without a count, what is on hand is what came in less what
// went out; with one, what it says and what came and went after it. Promises are
// what was promised less what was returned and what their flights took.
func TestFoldConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := drawLedger(t)
		voided := voidedBy(entries)
		var onHand quantity.Number
		var lastCount *Event
		for _, e := range entries {
			if e.What == Counted && !voided(e.ID) && (lastCount == nil || Earlier(lastCount, e)) {
				lastCount = e
			}
		}
		if lastCount != nil {
			onHand = lastCount.Quantity.Or(0)
		}
		for _, e := range entries {
			if voided(e.ID) || lastCount != nil && !Earlier(lastCount, e) {
				continue
			}
			switch e.What {
			case In:
				onHand += e.Quantity.Or(0)
			case Used, Tested, Given, Scrapped, Prepared, Moved:
				onHand -= e.Quantity.Or(0)
			}
		}
		got := Fold(&Lot{}, entries, voided)
		if got.OnHand != onHand {
			t.Fatalf("%d on hand, not %d", got.OnHand, onHand)
		}
		if free := got.Free(); free < 0 || free > max(0, got.OnHand) {
			t.Fatalf("%d are free of %+v", free, got)
		}
		if promised := plainPromises(entries, voided); got.Promised != promised {
			t.Fatalf("%d promised, not %d", got.Promised, promised)
		}
	})
}

// plainPromises reckons promises flight by flight and point by point.
func plainPromises(entries []*Event, voided func(uuid.UUID) bool) quantity.Number {
	var sum quantity.Number
	for _, flight := range []string{"", "f", "g"} {
		for _, point := range []string{"", "p", "q"} {
			var open quantity.Number
			for minute := range 10 {
				for _, e := range entries { // drawn in the order of their ids
					if e.At.Minute() != minute || voided(e.ID) || e.Flight != named(flight) || e.Point != point {
						continue
					}
					switch q := e.Quantity.Or(0); e.What {
					case Promised:
						open += q
					case Returned:
						open -= q
					case Used, Tested, Given, Scrapped:
						open -= min(q, max(0, open))
					}
				}
			}
			sum += open
		}
	}
	return sum
}

func TestUsable(t *testing.T) {
	on := Date{2027, 4, 17}
	rows := []struct {
		name    string
		stock   Stock
		expires Date
		want    quantity.Number
		state   LotState
	}{
		{"all of it", Stock{OnHand: 5}, Date{}, 5, LotOK},
		{"less what is promised", Stock{OnHand: 5, Promised: 2}, Date{}, 3, LotOK},
		{"all promised", Stock{OnHand: 5, Promised: 5}, Date{}, 0, LotOK},
		{"more promised than there is", Stock{OnHand: 5, Promised: 7}, Date{}, 0, LotOK},
		{"fewer than none promised", Stock{OnHand: 5, Promised: -2}, Date{}, 5, LotOK},
		{"below none", Stock{OnHand: -1}, Date{}, 0, LotOK},
		{"on hold", Stock{OnHand: 5, Held: true}, Date{}, 0, LotHeld},
		{"on hold and expired", Stock{OnHand: 5, Held: true}, Date{2020, 1, 1}, 0, LotHeld},
		{"the day after its last", Stock{OnHand: 5}, Date{2027, 4, 16}, 0, LotExpired},
		{"on its last day", Stock{OnHand: 5}, Date{2027, 4, 17}, 5, LotSoon},
		{"60 days left", Stock{OnHand: 5}, Date{2027, 6, 16}, 5, LotSoon},
		{"61 days left", Stock{OnHand: 5}, Date{2027, 6, 17}, 5, LotOK},
	}
	for _, row := range rows {
		lot := &Lot{Expires: row.expires}
		if got := row.stock.Usable(lot, on); got != row.want {
			t.Errorf("%s: %d usable, not %d", row.name, got, row.want)
		}
		if got := lot.State(row.stock, on); got != row.state {
			t.Errorf("%s: %s, not %s", row.name, got, row.state)
		}
	}
}

// TestCheckEvent: an entry that says too little, or what it cannot say.
func TestCheckEvent(t *testing.T) {
	lot := Ref{ID: named("lot")}
	at := time.Date(2027, 4, 17, 10, 0, 0, 0, time.UTC)
	some := quantity.Some(quantity.Number(1))
	rows := []struct {
		name  string
		event Event
		want  string // empty: taken
	}{
		{"used", Event{What: Used, At: at, Lot: lot, Quantity: some}, ""},
		{"counted as none", Event{What: Counted, At: at, Lot: lot, Quantity: quantity.Some(quantity.Number(0))}, ""},
		{"moved whole", Event{What: Moved, At: at, Lot: lot, To: "shelf"}, ""},
		{"held", Event{What: Held, At: at, Lot: lot}, ""},
		{"void", Event{What: Void, At: at, Voids: named("x")}, ""},
		{"nothing", Event{At: at, Lot: lot}, "what"},
		{"no time", Event{What: Used, Lot: lot, Quantity: some}, "at"},
		{"no lot", Event{What: Used, At: at, Quantity: some}, "lot"},
		{"void of nothing", Event{What: Void, At: at}, "voids"},
		{"voids something and is no void", Event{What: Used, At: at, Lot: lot, Quantity: some, Voids: named("x")}, "only a void"},
		{"used none", Event{What: Used, At: at, Lot: lot, Quantity: quantity.Some(quantity.Number(0))}, "above 0"},
	}
	for _, word := range []What{In, Used, Tested, Given, Scrapped, Counted, Promised, Returned, Prepared} {
		rows = append(rows, struct {
			name  string
			event Event
			want  string
		}{word.String() + " without quantity", Event{What: word, At: at, Lot: lot}, "needs a quantity"})
	}
	for _, row := range rows {
		errs := Check(&row.event)
		if (len(errs) == 0) != (row.want == "") || len(errs) > 0 && !strings.Contains(errs[0].Error(), row.want) {
			t.Errorf("%s: %v", row.name, errs)
		}
	}
}
