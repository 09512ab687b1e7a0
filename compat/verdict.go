package compat

// Verdict is the answer of a rule. Its zero value is Unknown.
type Verdict uint8

// The verdicts; Worse gives their order of severity.
const (
	Unknown Verdict = iota
	Go
	Caution
	NoGo
)

var verdictWords = [...]string{Unknown: "unknown", Go: "go", Caution: "caution", NoGo: "no-go"}

// severity is the order go, caution, unknown, no-go.
var severity = [...]uint8{Unknown: 2, Go: 0, Caution: 1, NoGo: 3}

// String is the verdict's word.
func (v Verdict) String() string { return verdictWords[v] }

// Letter is the first letter, for charts.
func (v Verdict) Letter() byte { return verdictWords[v][0] }

// Severity orders verdicts: 0 for go to 3 for no-go.
func (v Verdict) Severity() int { return int(severity[v]) }

// Worse is the more severe of two verdicts.
func Worse(a, b Verdict) Verdict {
	if severity[b] > severity[a] {
		return b
	}
	return a
}
