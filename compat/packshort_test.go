package compat_test

import (
	"strings"
	"testing"

	"rangebox/compat"
)

// TestWhyShort: what is said of a shortage, and what else there is.
func TestWhyShort(t *testing.T) {
	const wick, rush = `"item": "wick", "quantity": 8`, `"item": "rush", "quantity": 1`
	single := strings.Replace(twoHeads, `, {"id": "019d0000-0000-7000-8000-0000000000f2", "rocket": "owl"}`, "", 1)
	event := func(more string) string {
		return `"events": [{"id": "019e0000-0000-7000-8000-0000000000aa", "at": "2027-01-01T00:00:00Z", "lot": "019a0000-0000-7000-8000-0000000000a1", ` + more + `}], "lots": [`
	}
	for name, row := range map[string]struct {
		text string
		kind string
		why  compat.ShortReason
		of   compat.Unusable
	}{
		"too little": {strings.Replace(single, `"item": "wadding", "quantity": 6`, `"item": "wadding", "quantity": 1`, 1), "supply", compat.ShortTooFew, compat.Unusable{}},
		"too few":    {strings.NewReplacer(wick, `"item": "wick", "quantity": 2`, rush, `"item": "rush", "quantity": 0`).Replace(single), "igniter", compat.ShortTooFew, compat.Unusable{}},
		"not of one type": {strings.NewReplacer(wick, `"item": "wick", "quantity": 1`, rush, `"item": "rush", "quantity": 2`,
			`"by": "charge"`, `"by": "tumble"`, `"name": "main", "motor"`, `"name": "main", "count": 3, "motor"`).Replace(single), "igniter", compat.ShortOfOneKind, compat.Unusable{}},
		"taken":   {strings.Replace(twoHeads, `"item": "tern", "quantity": 5`, `"item": "tern", "quantity": 1`, 1), "motor", compat.ShortTaken, compat.Unusable{}},
		"expired": {strings.Replace(single, `"item": "tern", "quantity": 5, "expires": "2029`, `"item": "tern", "quantity": 5, "expires": "2026`, 1), "motor", compat.ShortOfStock, compat.Unusable{Expired: 5e9}},
		"held":    {strings.Replace(single, `"lots": [`, event(`"what": "held"`), 1), "motor", compat.ShortOfStock, compat.Unusable{Held: 5e9}},
		"promised": {strings.Replace(single, `"lots": [`, event(`"what": "promised", "quantity": 5, "point": "a/b/1"`), 1), "motor", compat.ShortOfStock,
			compat.Unusable{Promised: 5e9}},
	} {
		t.Run(name, func(t *testing.T) {
			plan, err := compat.PackDay(questionOn(t, boxOf(t, row.text)), compat.Defaults())
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range plan.Short {
				if string(s.Kind) != row.kind || s.Flight < 0 {
					continue
				}
				if s.Why != row.why || s.Unusable != row.of {
					t.Errorf("short of %s: why %d, %+v; want %d, %+v", s.Item, s.Why, s.Unusable, row.why, row.of)
				}
				return
			}
			t.Errorf("not short of any %s: %+v", row.kind, plan.Short)
		})
	}
}
