package report

import "rangebox/cmd/rangebox/answer"

// Readings writes readings.
func Readings(rows []answer.Reading) List {
	list := List{
		Empty: "There is no reading yet; note one with `rangebox reading add`.",
		Columns: []Column{{Name: "id", Label: "reading"}, {Name: "at", Label: "at"}, {Name: "of", Label: "of"}, {Name: "what", Label: "what"},
			{Name: "value", Label: "value", Right: true}, {Name: "notes", Label: "notes"}},
	}
	for _, r := range rows {
		list.Rows = append(list.Rows, []string{tail(r.ID), localTime(r.At)[:10], r.Of, r.What, r.Value, r.Notes})
	}
	return list
}
