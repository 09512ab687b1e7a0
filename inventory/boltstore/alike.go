package boltstore

import (
	"sort"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// AlikeReport is a lot that an import made and that looks like one of the box
// which the file does not hold: a place was corrected in a sheet, say, and the
// same pieces are counted twice now.
type AlikeReport struct {
	Item  int // of the batch
	Like  uuid.UUID
	Stock inventory.Stock // of the one like it
}

// alike finds the new lots that look like another. It comes before the lots are
// put, or they would be found alike to one another.
func (im *importing) alike() error {
	fresh := map[uuid.UUID]map[string]int{} // by item of the box, what a lot holds: the item of the batch
	inFile := map[uuid.UUID]bool{}
	for i, item := range im.batch.Items {
		lot, ok := item.Record.(*inventory.Lot)
		if !ok {
			continue
		}
		inFile[lot.ID] = true
		if !im.nameless[i] || im.known[i] {
			continue
		}
		if fresh[lot.Item.ID] == nil {
			fresh[lot.Item.ID] = map[string]int{}
		}
		if _, twice := fresh[lot.Item.ID][lookOf(lot)]; !twice {
			fresh[lot.Item.ID][lookOf(lot)] = i
		}
	}
	for item, looks := range fresh {
		if _, known := im.t.KindOf(item); !known {
			continue
		}
		if err := im.alikeOf(item, looks, inFile); err != nil {
			return err
		}
	}
	list := im.report.Alike
	sort.SliceStable(list, func(i, j int) bool { return list[i].Item < list[j].Item })
	return nil
}

// alikeOf holds the new lots of an item against those that the box has of it.
func (im *importing) alikeOf(item uuid.UUID, looks map[string]int, inFile map[uuid.UUID]bool) error {
	return im.t.members(bucketStock, item, func(rest, payload []byte) error {
		id, stock, err := im.t.balance(item, rest, payload)
		if err != nil || inFile[id] || stock.OnHand <= 0 {
			return err
		}
		lot, err := im.t.lot(id)
		if err != nil {
			return err
		}
		if i, like := looks[lookOf(lot)]; like {
			im.report.Alike = append(im.report.Alike, AlikeReport{Item: i, Like: id, Stock: stock})
			delete(looks, lookOf(lot)) // one is enough to look again
		}
		return nil
	})
}

// lookOf is what makes two lots of an item look alike: all that makes the id of a
// lot without one, its place left out.
func lookOf(lot *inventory.Lot) string {
	return lot.Acquired.String() + "\x00" + lot.Expires.String() + "\x00" + lot.Code
}
