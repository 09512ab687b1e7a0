package boltstore

import (
	"slices"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// keep keeps our version, with what was settled, and is found by the handles that
// the other one has as well.
func (m *merging) keep(kind inventory.Kind, id uuid.UUID, ours, theirs storedRecord, settled bool) error {
	former, err := m.formers(kind, id, ours, theirs)
	if err != nil || !settled && slices.Equal(former, ours.Former) {
		return err
	}
	ours.Former = former
	if err := m.t.put(string(kind), id[:], ours); err != nil || ours.Removed {
		return err
	}
	rec, err := m.t.bare(kind, id, ours)
	if err != nil {
		return err
	}
	return m.t.indexHandles(rec, slot{}, ours.Former)
}

// formers are the handles by which the version that is taken is found beside its own:
// all that either version had, but for those that another record has here.
func (m *merging) formers(kind inventory.Kind, id uuid.UUID, winner, loser storedRecord) ([]string, error) {
	if !kind.Info().Handled || winner.Removed {
		return winner.Former, nil
	}
	own, err := m.handleIn(kind, id, winner)
	if err != nil {
		return nil, err
	}
	dropped, err := m.handleIn(kind, id, loser)
	if err != nil {
		return nil, err
	}
	var former []string
	for _, handle := range slices.Concat(winner.Former, loser.Former, []string{dropped}) {
		if handle == "" || handle == own || slices.Contains(former, handle) {
			continue
		}
		h, found, err := m.t.handle(kind, handle)
		if err != nil {
			return nil, err
		}
		if !found || h.ID == id {
			former = append(former, handle)
		}
	}
	return former, nil
}

// handleIn is the handle of a version, empty where it has none.
func (m *merging) handleIn(kind inventory.Kind, id uuid.UUID, s storedRecord) (string, error) {
	if s.Removed || s.Fields == nil {
		return "", nil
	}
	rec, err := m.t.bare(kind, id, s)
	if err != nil {
		return "", err
	}
	return rec.Base().Handle, nil
}
