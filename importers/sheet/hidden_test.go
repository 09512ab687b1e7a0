package sheet

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/inventory"
)

// hiddenBook is a workbook of motors whose second sheet has the state.
func hiddenBook(t *testing.T, state, first string) string {
	t.Helper()
	book := rawBook(t, rawSheet{"Motors", first}, rawSheet{"Old" + `" state="` + state, rawHeader + textRow("b-4", "24")})
	return book
}

// TestHiddenSheets are passed over, and told of; rows that a filter hides are taken.
func TestHiddenSheets(t *testing.T) {
	rows := rawHeader + `<row r="2" hidden="1"><c t="inlineStr"><is><t>a-8</t></is></c></row>`
	for state, want := range map[string][]string{"hidden": {"a-8"}, "veryHidden": {"a-8"}, "visible": {"a-8", "b-4"}} {
		got := readBack(t, []byte(hiddenBook(t, state, rows)), Options{})
		var handles []string
		for _, item := range got.Batch.Items {
			handles = append(handles, item.Record.Base().Handle)
		}
		if diff := cmp.Diff(want, handles); diff != "" {
			t.Errorf("%s: %s", state, diff)
		}
		if len(want) == 1 && (got.Sheets[1].Name != "Old (hidden)" || got.Sheets[1].Kind != inventory.Kind("")) {
			t.Errorf("%s: it is not told: %+v", state, got.Sheets)
		}
	}
	issues := issuesOf(t, hiddenBook(t, "hidden", ""), Options{})
	if len(issues) != 1 || !strings.Contains(issues[0].Error(), "no sheet that is shown holds anything, and hidden ones are not read") {
		t.Errorf("got %v", issues)
	}
}
