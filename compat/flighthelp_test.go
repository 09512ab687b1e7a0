package compat

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

const (
	fromFlight  = "docs/rules.md, Flight: ours"
	fromHabit   = "docs/rules.md, Flight: common practice, no source"
	fromCode    = "docs/rules.md, Flight: safety code (from memory)"
	fromClass1  = "14 CFR 101.22 (read): 125 g of propellant, 1500 g at lift-off"
	fromArming  = "High Power Rocket Safety Code (read in part)"
	fromKnowles = "Knowles, Derivation of Table for Estimated Ejection Charge Size (read)"
	fromTable   = "docs/sources.md, personnel distance (quoted)"
	fromDesign  = "the computation of this project (ours)"
)

// flightRow is one case of a flight rule: a rocket of testdata/flight/scenes.json,
// what differs, and what is then said of a subject, in a branch where one is named.
type flightRow struct {
	name, rocket string
	// set is words: PATH=VALUE of the rocket, KIND:HANDLE.FIELD=VALUE of another
	// record, limit:NAME=VALUE, settings.FIELD=VALUE, wind=, altitude=, temperature=;
	// motor:HANDLE.curve= takes the curve away, or multiplies its thrust.
	set             string
	subject, branch string
	verdict         Verdict
	reason          reason
	silent          bool
	value, limit    string
	assumed         string
	missing         string
	skipped         string
	from            string
}

// flightScene is a rocket with what differs.
type flightScene struct {
	q      RocketQuestion
	limits *Limits
}

func newFlightScene(t testing.TB, rocket, set string) *flightScene {
	t.Helper()
	file, err := os.Open(filepath.Join("testdata", "flight", "scenes.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	batch, err := archive.Read(file, "scenes.json")
	if err != nil {
		t.Fatal(err)
	}
	box, err := inventory.BoxOf(batch)
	if err != nil {
		t.Fatal(err)
	}
	s := &flightScene{limits: Defaults()}
	s.q.Box = box
	if s.q.Rocket, err = inventory.Find[*inventory.Rocket](box, inventory.KindRocket, rocket); err != nil {
		t.Fatal(err)
	}
	for _, word := range strings.Fields(set) {
		s.set(t, word)
	}
	return s
}

func (s *flightScene) set(t testing.TB, word string) {
	t.Helper()
	key, value, ok := strings.Cut(word, "=")
	if !ok {
		t.Fatalf("%q is no word of a row", word)
	}
	var err error
	switch owner, path, _ := strings.Cut(key, "."); {
	case path == "curve":
		s.scale(t, owner[len("motor:"):], value)
	case key == "drop":
		if !inventory.DropPath(s.q.Rocket, value) {
			t.Fatalf("there is no %s", value)
		}
	case key == "wind":
		s.q.Wind = quantity.Some(parse(t, value, quantity.MetrePerSecond))
	case key == "altitude":
		s.q.Altitude = quantity.Some(parse(t, value, quantity.Metre))
	case key == "temperature":
		s.q.Temperature = quantity.Some(parse(t, value, quantity.Celsius))
	case strings.HasPrefix(key, "limit:"):
		s.limits, err = LimitsFrom(&inventory.Settings{Thresholds: map[string]string{key[len("limit:"):]: value}})
	case owner == "settings":
		settings := &inventory.Settings{Header: inventory.Header{ID: inventory.SettingsID}}
		err = inventory.SetPath(settings, path, value)
		s.q.Box.Put(settings)
	case strings.Contains(owner, ":"):
		kind, handle, _ := strings.Cut(owner, ":")
		rec, found := inventory.Find[inventory.Record](s.q.Box, inventory.Kind(kind), handle)
		if found != nil {
			t.Fatal(found)
		}
		err = inventory.SetPath(rec, path, value)
		s.resolve(rec)
	default:
		err = inventory.SetPath(s.q.Rocket, key, value)
		s.resolve(s.q.Rocket)
	}
	if err != nil {
		t.Fatalf("%s: %v", word, err)
	}
}

// scale multiplies a motor's thrust, or takes its curve away.
func (s *flightScene) scale(t testing.TB, motor, factor string) {
	t.Helper()
	m, err := inventory.Find[*inventory.Motor](s.q.Box, inventory.KindMotor, motor)
	if err != nil {
		t.Fatal(err)
	}
	if factor == "" {
		m.Curve = nil
		return
	}
	by := parse(t, factor, quantity.One)
	for i := range m.Curve {
		m.Curve[i].Thrust = times(m.Curve[i].Thrust, by)
	}
}

// resolve gives references that were set by handle their id.
func (s *flightScene) resolve(rec inventory.Record) {
	for _, r := range inventory.References(rec) {
		for _, kind := range r.Kinds {
			if target, err := inventory.Find[inventory.Record](s.q.Box, kind, r.Ref.Handle); err == nil {
				r.Ref.ID = target.Base().ID
			}
		}
	}
}

func checkScene(t testing.TB, rocket, set string) RocketReport {
	t.Helper()
	s := newFlightScene(t, rocket, set)
	return CheckRocket(&s.q, s.limits)
}

// said gathers what a report says in a branch, or of the stages where none is
// named.
func said(r *RocketReport, branch string) *Findings {
	all := &Findings{}
	for i := range r.Stages {
		if branch == "" {
			all.List = append(all.List, r.Stages[i].List...)
			all.NotChecked = append(all.NotChecked, r.Stages[i].NotChecked...)
		}
	}
	for i := range r.Branches {
		if r.Branches[i].Fault.String() == branch {
			all.List = append(all.List, r.Branches[i].List...)
		}
	}
	return all
}

// points gathers what a report says at one ignition point.
func pointFindings(t testing.TB, r *RocketReport, point string) *Findings {
	t.Helper()
	for i := range r.Stages {
		for j := range r.Stages[i].Points {
			if p := &r.Stages[i].Points[j]; p.Point == point {
				return &p.Findings
			}
		}
	}
	t.Fatalf("there is no point %s", point)
	return nil
}

func checkFlightRows(t *testing.T, rule Rule, rows []flightRow) {
	t.Helper()
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			if r.from == "" {
				t.Error("the row does not say where it comes from")
			}
			report := checkScene(t, r.rocket, r.set)
			findings := said(&report, r.branch)
			if got := skippedOf(findings, rule, r.subject); got != r.skipped {
				t.Errorf("not checked for want of %q, not %q", got, r.skipped)
			}
			if r.silent {
				if f, found := findingOf(findings, rule, r.subject); found {
					t.Errorf("a finding: %s", f.Why(quantity.Metric))
				}
				return
			}
			f, found := reasonOf(findings, rule, r.subject, r.reason)
			if !found {
				for _, f := range findings.List {
					t.Log(f.Rule, f.Verdict, f.Subject, f.Why(quantity.Metric))
				}
				t.Fatal("it is not said")
			}
			same := row{verdict: r.verdict, reason: r.reason, value: r.value, limit: r.limit, assumed: r.assumed, missing: r.missing}
			if r.value == "*" { // a figure that the flight gives
				same.value, f.Value = "", Amount{}
			}
			if r.limit == "*" {
				same.limit, f.Limit = "", Amount{}
			}
			same.compare(t, f)
		})
	}
}

// reasonOf finds the finding of a rule, of several that with the reason.
func reasonOf(fs *Findings, rule Rule, subject string, why reason) (Finding, bool) {
	for _, f := range fs.List {
		if f.Rule == rule && f.Subject == subject && f.reason == why {
			return f, true
		}
	}
	return findingOf(fs, rule, subject)
}
