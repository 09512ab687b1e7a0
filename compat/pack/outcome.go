package pack

import "fmt"

// Mark is what one outcome says of something: nothing, well or ill.
type Mark int8

// The marks.
const (
	Failure Mark = iota - 1
	NotCounted
	Success
)

// Outcome is what one entry of the ledger says of the igniter type (on its
// family), of the pair of igniter and motor, and of the line that fired it.
type Outcome struct {
	Type, Pair, Line Mark
}

// Classify says what an entry counts for, by its result and cause as the ledger
// writes them.
//
// Only "the head did not fire" counts against the type; "fired, motor did not
// light" counts for the type and against the pair; every other cause, and none
// or unknown, counts against the line and leaves the type alone, which was not
// put to the test. A hang-fire is a failure with the same causes. A burst motor
// had been lit: that counts as fired, whatever the cause. What did not fly is
// not counted. Without a motor (a bench test, a charge) the caller leaves the
// pair's mark aside.
func Classify(result, cause string) (Outcome, error) {
	if !knownCauses[cause] {
		return Outcome{}, fmt.Errorf("classify outcome: %w: cause %q", ErrInput, cause)
	}
	switch result {
	case "not-flown":
		return Outcome{}, nil
	case "burst":
		return Outcome{Success, Success, Success}, nil
	case "fired":
		if cause == "motor" {
			return unlit, nil
		}
		return Outcome{Success, Success, Success}, nil
	case "misfire", "hang-fire":
		return failed(cause), nil
	}
	return Outcome{}, fmt.Errorf("classify outcome: %w: result %q", ErrInput, result)
}

var knownCauses = map[string]bool{"": true, "head": true, "motor": true, "contact": true, "battery": true,
	"fell-out": true, "short": true, "unknown": true}

// unlit: the head fired and the motor did not light.
var unlit = Outcome{Type: Success, Pair: Failure, Line: Success}

func failed(cause string) Outcome {
	switch cause {
	case "head":
		return Outcome{Type: Failure}
	case "motor":
		return unlit
	}
	return Outcome{Line: Failure}
}

// Record adds up outcomes of one igniter type on one family, of one pair or of
// one line.
type Record struct {
	Fired, Misfired int
}

// Add counts a mark.
func (r *Record) Add(m Mark) {
	switch m {
	case Success:
		r.Fired++
	case Failure:
		r.Misfired++
	}
}
