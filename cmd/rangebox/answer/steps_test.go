package answer

import (
	"strings"
	"testing"

	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// Every step that the engine can name has its words, and none is left unfilled.
func TestEveryStepHasWords(t *testing.T) {
	for id := compat.StepWadding; id.String() != compat.StepFromTheSide.String(); id++ {
		text := stepText(compat.Step{ID: id, Subject: "x", Wait: quantity.Some(quantity.Time(60_000_000))}, quantity.Metric)
		if text == "" || strings.ContainsAny(text, "{}") {
			t.Errorf("step %s reads %q", id, text)
		}
	}
}

// A timer needs 20 to 30 s before it shows ready: common practice, no source. The
// recorded time and sign stand in the pad sequence, else that span does.
func TestReadyTimeIsTold(t *testing.T) {
	known := compat.Step{ID: compat.StepWaitReady, Subject: "cuckoo", Ready: quantity.Some(quantity.Time(25_000_000)), Sign: "three beeps"}
	if got := stepText(known, quantity.Metric); !strings.Contains(got, "25 s") || !strings.Contains(got, "three beeps") {
		t.Errorf("got %q", got)
	}
	if got := stepText(compat.Step{ID: compat.StepWaitReady, Subject: "cuckoo"}, quantity.Metric); !strings.Contains(got, "20 to 30 s") {
		t.Errorf("got %q", got)
	}
}
