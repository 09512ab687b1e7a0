package boltstore

import (
	"sort"
	"strings"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// AlikeReport is a lot that an import made and that looks like one of the box
// which the file does not hold: a cell was corrected in a sheet, say, and the same
// pieces are counted twice now.
type AlikeReport struct {
	Item    int // of the batch
	Like    uuid.UUID
	Differs string          // the field in which they do
	Stock   inventory.Stock // of the one like it
}

// alike finds the new lots that look like another. It comes before the lots are
// put, or they would be found alike to one another.
func (im *importing) alike() error {
	inFile := map[uuid.UUID]bool{}
	fresh := map[uuid.UUID][]int{} // by item of the box, the items of the batch
	for i, item := range im.batch.Items {
		lot, ok := item.Record.(*inventory.Lot)
		if !ok {
			continue
		}
		inFile[lot.ID] = true
		if im.nameless[i] && !im.known[i] {
			fresh[lot.Item.ID] = append(fresh[lot.Item.ID], i)
		}
	}
	for item, lots := range fresh {
		if _, known := im.t.KindOf(item); !known {
			continue
		}
		if err := im.alikeOf(item, im.looks(lots), inFile); err != nil {
			return err
		}
	}
	list := im.report.Alike
	sort.SliceStable(list, func(i, j int) bool { return list[i].Item < list[j].Item })
	return nil
}

// looks gives the first of the lots for each look that one of them has.
func (im *importing) looks(lots []int) map[string]int {
	looks := map[string]int{}
	for _, i := range lots {
		lot := im.batch.Items[i].Record.(*inventory.Lot)
		for _, look := range looksOf(lot, lot.Place) {
			if _, twice := looks[look]; !twice {
				looks[look] = i
			}
		}
	}
	return looks
}

// alikeOf holds the new lots of an item against those that the box has of it.
func (im *importing) alikeOf(item uuid.UUID, looks map[string]int, inFile map[uuid.UUID]bool) error {
	told := map[int]bool{} // one is enough to look again
	return im.t.members(bucketStock, item, func(rest, payload []byte) error {
		id, stock, err := im.t.balance(item, rest, payload)
		if err != nil || inFile[id] || stock.OnHand <= 0 {
			return err
		}
		lot, err := im.t.lot(id)
		if err != nil {
			return err
		}
		for n, look := range looksOf(lot, stock.Place) {
			if i, like := looks[look]; like && !told[i] && im.samePieces(i, lotLooks[n], stock) {
				told[i] = true
				im.report.Alike = append(im.report.Alike, AlikeReport{Item: i, Like: id, Differs: lotLooks[n], Stock: stock})
			}
		}
		return nil
	})
}

// samePieces tells whether a lot that differs in one field may be of the same pieces:
// what is bought anew differs in code or dates too, but hardly is as many as are left.
func (im *importing) samePieces(i int, differs string, stock inventory.Stock) bool {
	inFile, said := im.batch.Items[i].Record.(*inventory.Lot).Quantity.Get()
	return differs == "place" || said && inFile == stock.OnHand
}

// lotLooks are the fields that make two lots of an item one: in two that look alike
// one of them differs.
var lotLooks = [...]string{"place", "code", "expires", "acquired"}

// looksOf is how a lot looks without each of them.
func looksOf(lot *inventory.Lot, place string) (looks [len(lotLooks)]string) {
	all := [len(lotLooks)]string{place, lot.Code, lot.Expires.String(), lot.Acquired.String()}
	for n := range all {
		others := all
		others[n] = "\x01" // stands for any
		looks[n] = strings.Join(others[:], "\x00")
	}
	return looks
}
