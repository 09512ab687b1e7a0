package inventorytest

import (
	"strings"
	"time"

	"pgregory.net/rapid"

	"rangebox/inventory"
)

// Hostile are texts that tend to break files, tables and terminals.
var Hostile = []string{
	"\x00", "a\x00b", "\x1b[31mred\x1b[0m", "\x7f\u0085\u009b", "\r\n\t\v\f\b",
	"\u202egnihton\u202c", "\u2066isolated\u2069", "\u2028\u2029", "\ufeff", "\ufffd", "\uffff\U0010ffff",
	"👩‍🚀🚀🏳️‍🌈", "e\u0301\u0301\u0301", "ﷺ", "ß İ ı",
	`"quoted" \back\slashed\ \u0041 \ud800`, "</script><!--&amp;", "=1+1", "+cmd|' /C calc'!A0",
	"null", "true", "-0", "1e400", "NaN", "  spaced  ", "a|b;c,d\te",
	strings.Repeat("ä", 32<<10), strings.Repeat("\x01", 64<<10),
}

// texts are any valid UTF-8, hostile ones often; never empty, which would mean
// not known.
var texts = rapid.OneOf(
	rapid.StringN(1, 20, 200),
	rapid.SampledFrom(Hostile),
	rapid.StringMatching(`[A-Za-z][a-z ]{0,12}`),
)

// scalars draws text for SetText that a field takes.
func scalars(f *inventory.Field) *rapid.Generator[string] {
	switch f.Type {
	case inventory.TypeWord:
		return rapid.SampledFrom(f.Words)
	case inventory.TypeNumber:
		return numbers(f)
	case inventory.TypeFlag:
		return rapid.SampledFrom([]string{"true", "false"})
	case inventory.TypeDate:
		return rapid.Map(days, func(t time.Time) string { return t.Format(time.DateOnly) })
	case inventory.TypeMoment:
		return rapid.Map(days, func(t time.Time) string { return t.Format(time.RFC3339Nano) })
	case inventory.TypeID:
		return ids
	}
	switch {
	case f.Key == "handle":
		return handles
	case len(f.Words) > 0:
		return rapid.OneOf(rapid.SampledFrom(f.Words), texts)
	}
	return texts
}

// numbers draws exact decimals within the field's sign and size, the bounds and
// everyday sizes often.
func numbers(f *inventory.Field) *rapid.Generator[string] {
	most := f.Max
	if most == 0 {
		most = 1 << 60
	}
	least := int64(1)
	switch f.Sign {
	case inventory.NotNegative:
		least = 0
	case inventory.AnySign:
		least = -most
	}
	steps := rapid.OneOf(rapid.Int64Range(least, most), rapid.Int64Range(least, min(most, 50_000_000_000)), rapid.SampledFrom([]int64{least, most}))
	return rapid.Map(steps, f.Scale.Format)
}

// days are moments of the years 1 to 9999, to the nanosecond.
var days = rapid.Custom(func(t *rapid.T) time.Time {
	year := rapid.OneOf(rapid.IntRange(2000, 2040), rapid.IntRange(2, 9998)).Draw(t, "year")
	return time.Date(year, 1, rapid.IntRange(1, 365).Draw(t, "day"), 0, 0, rapid.IntRange(0, 86399).Draw(t, "second"),
		rapid.SampledFrom([]int{0, 1, 500_000_000, 999_999_999}).Draw(t, "nanosecond"), time.UTC)
})
