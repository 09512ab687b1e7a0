package compat

import (
	"cmp"
	"strconv"
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Where the numbers of the tables come from, and how far they can be trusted.
const (
	fromPractice = "docs/rules.md, Fit: common practice, no source"
	fromFiring   = "14 CFR 417 D417.19(l) (read): 150 % of all-fire at lowest voltage and worst tolerances"
	fromTesting  = "14 CFR 417 D417.21(d) (read): a tenth of no-fire"
	fromNasa     = "NASA-STD-8719.24 Annex 13.8.1.1.1 (read): 50 mA, whichever is less"
	fromBounds   = "docs/rules.md, bounds for missing figures: ours"
	fromKept     = "docs/rules.md, what every rule keeps to: ours"
	fromOurs     = "docs/rules.md, Circuit and Lot: ours"
	fromWork     = "worked by hand from the circuit of package circuit (computed)"
)

// The base that rows differ from. Its circuit is one of 1.5 ohm at 12 V: 8 A.
const (
	basePair = "motor.handle=m motor.propellant=black-powder nozzle.throat_mm=3mm nozzle.depth_mm=10mm nozzle.measured_on=new " +
		"igniter.handle=wick igniter.head_mm=2mm igniter.lead_pair_mm=1mm igniter.output=low igniter.lead_mm=300mm"
	baseCircuit = "igniter.handle=wick igniter.all_fire_a=1A igniter.no_fire_a=0.4A igniter.bridge_ohm=1 igniter.bridge_tol_pct=0 " +
		"igniter.bridge_includes_leads=true battery.handle=cells battery.open_circuit_v=12 battery.low_v=12 " +
		"battery.internal_ohm=0.2 battery.aged_internal_ohm=0.2 controller.handle=box controller.on_ohm=0.2 " +
		"line.handle=pad line.lead_m=0 line.contact_ohm=0.1"
)

// row is one case of a rule: what differs from the base, and what is then said.
type row struct {
	name string
	// set is words of the form owner.field=value; an empty value makes the field
	// unknown. Owners are motor, nozzle, igniter, other, battery, controller and
	// line; run, tube, splice, splice_awg, count, others and propellants are asked.
	set     string
	subject string // whose finding, where there are several
	verdict Verdict
	reason  reason
	silent  bool // no finding at all
	// value and limit as text with its unit; empty: not known.
	value, limit     string
	assumed, missing string // names, as shown
	skipped          string // what stands in not_checked
	from             string
}

// scene is what a row's words build.
type scene struct {
	motor          inventory.Motor
	igniter, other inventory.Igniter
	battery        inventory.Battery
	controller     inventory.Controller
	line           inventory.Line
	ask            map[string]string
}

func newScene(t testing.TB, words ...string) *scene {
	t.Helper()
	s := &scene{ask: map[string]string{}}
	for _, word := range strings.Fields(strings.Join(words, " ")) {
		key, value, ok := strings.Cut(word, "=")
		if !ok {
			t.Fatalf("%q is no word of a row", word)
		}
		s.set(t, key, value)
	}
	return s
}

func (s *scene) set(t testing.TB, key, value string) {
	t.Helper()
	owner, path, ok := strings.Cut(key, ".")
	if !ok {
		s.ask[key] = value
		return
	}
	var rec inventory.Record
	switch owner {
	case "motor":
		rec = &s.motor
	case "nozzle":
		rec, path = &s.motor, "main."+path
	case "igniter":
		rec = &s.igniter
	case "other":
		rec = &s.other
	case "battery":
		rec = &s.battery
	case "controller":
		rec = &s.controller
	case "line":
		rec = &s.line
	default:
		t.Fatalf("%q has no owner", key)
	}
	if err := inventory.SetPath(rec, path, value); err != nil {
		t.Fatal(err)
	}
}

func asked[Q quantity.Quantity](t testing.TB, s *scene, key string, u quantity.Unit[Q]) quantity.Opt[Q] {
	t.Helper()
	text := s.ask[key]
	if text == "" {
		return quantity.Opt[Q]{}
	}
	return quantity.Some(parse(t, text, u))
}

func parse[Q quantity.Quantity](t testing.TB, text string, u quantity.Unit[Q]) Q {
	t.Helper()
	q, err := u.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func (s *scene) pair(t testing.TB) *Pair {
	p := &Pair{Motor: &s.motor, Igniter: &s.igniter, Nozzle: NozzlesOf(&s.motor)[0]}
	p.Run, p.Tube = asked(t, s, "run", quantity.Millimetre), asked(t, s, "tube", quantity.Millimetre)
	p.Splice = asked(t, s, "splice", quantity.Millimetre).Or(0)
	return p
}

func (s *scene) circuit(t testing.TB) *Circuit {
	t.Helper()
	count, _ := strconv.Atoi(cmp.Or(s.ask["count"], "1"))
	others, _ := strconv.Atoi(cmp.Or(s.ask["others"], "0"))
	g := Group{Igniter: &s.igniter, Count: count, Splice: asked(t, s, "splice", quantity.Millimetre).Or(0)}
	g.SpliceGauge = asked(t, s, "splice_awg", quantity.AWG)
	c := &Circuit{Line: &s.line, Battery: &s.battery, Controller: &s.controller, Groups: []Group{g}}
	if others > 0 {
		c.Groups = append(c.Groups, Group{Igniter: &s.other, Count: others})
	}
	if s.ask["battery"] == "none" {
		c.Battery = nil
	}
	if s.ask["controller"] == "none" {
		c.Controller = nil
	}
	if p := s.ask["propellants"]; p != "" {
		c.Propellants = strings.Split(p, ",")
	}
	return c
}

// checkPairRows runs the rows of a pair rule.
func checkPairRows(t *testing.T, rule Rule, rows []row) {
	checkRows(t, rule, rows, func(t *testing.T, r row) Findings {
		var f Findings
		CheckPair(newScene(t, basePair, r.set).pair(t), Defaults(), &f)
		return f
	})
}

// checkCircuitRows runs the rows of a circuit rule.
func checkCircuitRows(t *testing.T, rule Rule, rows []row) {
	checkRows(t, rule, rows, func(t *testing.T, r row) Findings {
		var f Findings
		CheckCircuit(newScene(t, baseCircuit, r.set).circuit(t), Defaults(), &f)
		return f
	})
}

func checkRows(t *testing.T, rule Rule, rows []row, check func(*testing.T, row) Findings) {
	t.Helper()
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			if r.from == "" {
				t.Error("the row does not say where it comes from")
			}
			findings := check(t, r)
			if got := skippedOf(&findings, rule, r.subject); got != r.skipped {
				t.Errorf("not checked for want of %q, not %q", got, r.skipped)
			}
			f, found := findingOf(&findings, rule, r.subject)
			if found == r.silent {
				t.Fatalf("a finding: %v", found)
			}
			if found {
				r.compare(t, f)
			}
		})
	}
}

func (r row) compare(t *testing.T, f Finding) {
	t.Helper()
	if f.Verdict != r.verdict || f.reason != r.reason {
		t.Errorf("%s (%s), not %s (%s)", f.Verdict, f.Why(quantity.Metric), r.verdict, reasons[r.reason].why)
	}
	if got := f.Assumed.String(); got != r.assumed {
		t.Errorf("assumed %q, not %q", got, r.assumed)
	}
	if got := f.Missing.String(); got != r.missing {
		t.Errorf("missing %q, not %q", got, r.missing)
	}
	sameAmount(t, "value", f.Value, r.value)
	sameAmount(t, "limit", f.Limit, r.limit)
}

func sameAmount(t *testing.T, what string, got Amount, want string) {
	t.Helper()
	switch {
	case !got.Known() || want == "":
		if got.Known() || want != "" {
			t.Errorf("%s %q, not %q", what, got.text(quantity.Metric), want)
		}
	case got.Scale == quantity.Heat.Scale:
		if got.text(quantity.Metric) != want {
			t.Errorf("%s %q, not %q", what, got.text(quantity.Metric), want)
		}
	default:
		steps, err := got.Scale.Parse(want)
		if err != nil || steps != got.Steps {
			t.Errorf("%s %s %s, not %s (%v)", what, got.Scale.Format(got.Steps), got.Scale.Name, want, err)
		}
	}
}

func findingOf(fs *Findings, rule Rule, subject string) (Finding, bool) {
	for _, f := range fs.List {
		if f.Rule == rule && (subject == "" || f.Subject == subject) {
			return f, true
		}
	}
	return Finding{}, false
}

func skippedOf(fs *Findings, rule Rule, subject string) string {
	var names []string
	for _, n := range fs.NotChecked {
		if n.Rule == rule && (subject == "" || n.Subject == subject) {
			names = append(names, n.Missing.String())
		}
	}
	return strings.Join(names, ", ")
}
