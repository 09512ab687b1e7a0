package boltstore

import (
	"bytes"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// MergeOptions say how a merge goes about it.
type MergeOptions struct {
	// Decide says of a record that both boxes changed whether the other box's
	// version is to be taken; the changes it is shown go from ours to theirs.
	// Where it is nil, the later version is taken, and of a changed and a removed
	// one the changed. What is decided holds against
	// both versions, also in the other box once that merges this one.
	Decide func(MergeConflict) (takeOther bool, err error)
	// DryRun reports what would be done and does nothing.
	DryRun bool
	// KeepAt is the path of the box where a copy of it, as it was, is to be kept
	// beside it under a number.
	KeepAt string
}

// MergeVersion is one of two versions of a record.
type MergeVersion struct {
	Revision uuid.UUID
	Changed  time.Time
	Removed  bool
}

func versionOf(s storedRecord) MergeVersion {
	return MergeVersion{s.Revision, time.Unix(0, s.Changed).UTC(), s.Removed}
}

// begin keeps a copy of the box, before anything is written.
func (m *merging) begin() (err error) {
	if m.opt.DryRun {
		m.t.discard = true
		return nil
	}
	if m.opt.KeepAt != "" {
		m.report.Kept, err = copyAside(m.t.tx, m.opt.KeepAt)
	}
	return err
}

// settle decides which of two versions is taken, the later unless somebody says
// otherwise, and lists the conflict, unless both say the same.
func (m *merging) settle(kind inventory.Kind, id uuid.UUID, ours, theirs storedRecord, later bool) (storedRecord, storedRecord, bool, error) {
	if ours.Removed == theirs.Removed && bytes.Equal(ours.Fields, theirs.Fields) {
		theirs, ours = joinedHistory(theirs, ours, later)
		return ours, theirs, later, nil
	}
	c, err := m.conflict(kind, id, ours, theirs)
	if err != nil {
		return ours, theirs, false, err
	}
	take := later
	if m.opt.Decide != nil {
		if take, err = m.opt.Decide(c); err != nil {
			return ours, theirs, false, err
		}
	}
	loser := theirs
	if take {
		loser = ours
	}
	theirs, ours = joinedHistory(theirs, ours, take)
	if m.opt.Decide != nil {
		winner := &ours
		if take {
			winner = &theirs
		}
		decided(winner, loser)
	}
	c.TookOther = take
	if !take {
		turn(c.Changes)
	}
	m.report.Conflicts = append(m.report.Conflicts, c)
	return ours, theirs, take, nil
}

// conflict is two versions that stand against each other, the changes from ours
// to theirs.
func (m *merging) conflict(kind inventory.Kind, id uuid.UUID, ours, theirs storedRecord) (MergeConflict, error) {
	c := MergeConflict{Kind: kind, ID: id, Ours: versionOf(ours), Theirs: versionOf(theirs), TookOther: true}
	our, err := readable(&m.t.View, kind, id, ours)
	if err != nil {
		return c, err
	}
	their, err := readable(m.other, kind, id, theirs)
	if err != nil {
		return c, err
	}
	c.Changes = inventory.Differences(our, their)
	for _, rec := range []inventory.Record{their, our} {
		if rec != nil {
			c.Handle = rec.Base().Handle
		}
	}
	return c, nil
}

// turn makes changes go the other way.
func turn(changes []inventory.FieldChange) {
	for i := range changes {
		changes[i].Old, changes[i].New = changes[i].New, changes[i].Old
	}
}

// decided gives a version that somebody chose a revision of its own, which
// follows both and is the same wherever the same is chosen: a box in which the
// other was chosen is a conflict again, and one that never chose takes this one.
func decided(winner *storedRecord, loser storedRecord) {
	winner.Ancestors = append([]uuid.UUID{winner.Revision}, winner.Ancestors...)
	winner.Ancestors = winner.Ancestors[:min(len(winner.Ancestors), keptAncestors)]
	winner.Revision = uuid.NewSHA1(winner.Revision, loser.Revision[:])
	winner.Changed = max(winner.Changed, loser.Changed)
}
