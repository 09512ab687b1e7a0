package compat

import (
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// lotRow is one case of a lot rule, on 2027-04-17.
type lotRow struct {
	name                         string
	expires                      string
	forever                      bool
	body, certifiedBy, certified string
	noMotor                      bool
	verdict                      Verdict
	reason                       reason
	silent                       bool
	missing                      string
}

var shelfRows = []lotRow{
	{name: "days left", expires: "2027-04-18", verdict: Go, reason: shelfGood},
	{name: "on its last day", expires: "2027-04-17", verdict: Go, reason: shelfGood},
	{name: "the day after", expires: "2027-04-16", verdict: NoGo, reason: shelfPast},
	{name: "a month means its last day", expires: "2027-04", verdict: Go, reason: shelfGood},
	{name: "the month before", expires: "2027-03", verdict: NoGo, reason: shelfPast},
	{name: "no date", verdict: Caution, reason: shelfUndated},
	{name: "keeps for ever", forever: true, verdict: Go, reason: shelfForever},
}

var certificationRows = []lotRow{
	{name: "no body set", certifiedBy: "north", certified: "2020-01-01", silent: true},
	{name: "no motor", body: "north", noMotor: true, silent: true},
	{name: "days left", body: "north", certifiedBy: "north", certified: "2027-04-18", verdict: Go, reason: certifiedGood},
	{name: "on its last day", body: "north", certifiedBy: "north", certified: "2027-04-17", verdict: Go, reason: certifiedGood},
	{name: "the day after", body: "north", certifiedBy: "north", certified: "2027-04-16", verdict: NoGo, reason: certifiedPast},
	{name: "by another body", body: "north", certifiedBy: "south", certified: "2030-01-01", verdict: Unknown, reason: certifiedOther, missing: "certified_until"},
	{name: "no date", body: "north", certifiedBy: "north", verdict: Unknown, reason: cannotJudge, missing: "certified_until"},
	{name: "by nobody", body: "north", certified: "2030-01-01", verdict: Unknown, reason: cannotJudge, missing: "certified_until"},
}

func (r lotRow) findings(t *testing.T) Findings {
	t.Helper()
	lot := &inventory.Lot{Item: inventory.Ref{Handle: "m"}, Expires: dateOf(t, r.expires)}
	if r.forever {
		lot.NoExpiry = quantity.Some(true)
	}
	use := &LotUse{Lot: lot, On: inventory.Date{Year: 2027, Month: 4, Day: 17}, Body: r.body}
	if !r.noMotor {
		use.Motor = &inventory.Motor{Header: inventory.Header{Handle: "m"}, CertifiedBy: r.certifiedBy, CertifiedUntil: dateOf(t, r.certified)}
	}
	var f Findings
	CheckLot(use, Defaults(), &f)
	return f
}

func dateOf(t *testing.T, text string) inventory.Date {
	t.Helper()
	if text == "" {
		return inventory.Date{}
	}
	d, err := inventory.ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestLotRules: docs/rules.md, Lot (ours).
func TestLotRules(t *testing.T) {
	for rule, rows := range map[Rule][]lotRow{ShelfLife: shelfRows, Certification: certificationRows} {
		for _, r := range rows {
			t.Run(rule.String()+"/"+r.name, func(t *testing.T) {
				findings := r.findings(t)
				f, found := findingOf(&findings, rule, "")
				if found == r.silent {
					t.Fatalf("a finding: %v", found)
				}
				if found && (f.Verdict != r.verdict || f.reason != r.reason || f.Missing.String() != r.missing) {
					t.Errorf("%s (%s), missing %q", f.Verdict, f.Why(quantity.Metric), f.Missing)
				}
			})
		}
	}
}
