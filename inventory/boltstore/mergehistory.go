package boltstore

import (
	"bytes"
	"slices"

	"github.com/google/uuid"
)

// whichTo tells whether the other box's version of a record is to be taken, and
// whether both boxes changed it.
func whichTo(ours, theirs storedRecord) (take, both bool) {
	switch {
	case ours.Revision == theirs.Revision:
		// one and the same version, though their histories may have met others
		return false, false
	case slices.Contains(theirs.Ancestors, ours.Revision) && slices.Contains(ours.Ancestors, theirs.Revision):
		return eitherWay(ours, theirs), false
	case slices.Contains(theirs.Ancestors, ours.Revision):
		return true, false
	case slices.Contains(ours.Ancestors, theirs.Revision):
		return false, false
	case ours.Removed != theirs.Removed:
		return ours.Removed, true // what was changed can be removed again, not the other way round
	}
	return isLater(theirs, ours), true
}

// eitherWay tells which of two versions to take that each follow the other: a removal
// that had to wait (see outlive); else third boxes met them in such an order that
// each was settled over the other, and then the later holds everywhere.
func eitherWay(ours, theirs storedRecord) (take bool) {
	if ours.Removed != theirs.Removed {
		return theirs.Removed
	}
	return isLater(theirs, ours)
}

// isLater tells which version is the later one, the same in every box.
func isLater(s, than storedRecord) bool {
	if s.Changed != than.Changed {
		return s.Changed > than.Changed
	}
	return bytes.Compare(s.Revision[:], than.Revision[:]) > 0
}

// joinedHistory notes the version that is dropped, and what that followed, among
// the ancestors of the one that is taken, so that the next merge, with a third
// box as well, knows that it has been settled.
func joinedHistory(theirs, ours storedRecord, take bool) (storedRecord, storedRecord) {
	winner, loser := &ours, theirs
	if take {
		winner, loser = &theirs, ours
	}
	winner.Ancestors = bothAncestors(loser.Revision, winner.Ancestors, loser.Ancestors)
	return theirs, ours
}

// withHistory adds to the ancestors of a version that is taken those of ours that
// it follows, which may have met others.
func withHistory(theirs, ours storedRecord) []uuid.UUID {
	joined := slices.Clone(theirs.Ancestors)
	for _, id := range ours.Ancestors {
		if len(joined) < keptAncestors && id != theirs.Revision && !slices.Contains(joined, id) {
			joined = append(joined, id)
		}
	}
	return joined
}

// bothAncestors joins two histories, the latest of each first.
func bothAncestors(first uuid.UUID, a, b []uuid.UUID) []uuid.UUID {
	joined := []uuid.UUID{first}
	add := func(list []uuid.UUID, i int) {
		if i < len(list) && len(joined) < keptAncestors && !slices.Contains(joined, list[i]) {
			joined = append(joined, list[i])
		}
	}
	for i := range max(len(a), len(b)) {
		add(b, i)
		add(a, i)
	}
	return joined
}
