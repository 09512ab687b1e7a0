package command

import (
	"testing"

	"rangebox/inventory"
)

// TestClearUnknownSetting: a threshold that an older rangebox knew and this one
// does not can be taken away, though others like it are there.
func TestClearUnknownSetting(t *testing.T) {
	s := &inventory.Settings{Thresholds: map[string]string{"gone": "1", "gone-too": "2"}}
	if err := changeSetting(s, "gone", ""); err != nil || len(s.Thresholds) != 1 {
		t.Errorf("%v, %v", err, s.Thresholds)
	}
	if err := changeSetting(s, "gone-too", "3"); err == nil {
		t.Error("it can be set")
	}
}
