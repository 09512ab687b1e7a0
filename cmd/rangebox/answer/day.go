package answer

import (
	"sort"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Day is a launch day and its flights.
type Day struct {
	ID           string   `json:"id"`
	Date         string   `json:"date"`
	Site         string   `json:"site,omitempty"`
	AltitudeM    Num      `json:"altitude_m,omitempty"`
	TemperatureC Num      `json:"temperature_c,omitempty"`
	WindMS       Num      `json:"wind_m_s,omitempty"`
	Confidence   Num      `json:"confidence,omitempty"`
	Notes        string   `json:"notes,omitempty"`
	Flights      []Flight `json:"flights"`
}

// Flight is a flight of a launch day.
type Flight struct {
	ID     string            `json:"id"`
	Rocket string            `json:"rocket"`
	Count  int               `json:"count"`
	With   map[string]string `json:"with,omitempty"`
	Result string            `json:"result,omitempty"`
	Notes  string            `json:"notes,omitempty"`
}

// DayOf turns a launch day into JSON.
func DayOf(d *inventory.Day) Day {
	out := Day{
		ID: d.ID.String(), Date: d.Date.String(), Site: d.Site, Notes: d.Notes, Flights: []Flight{},
		AltitudeM: num(d.Altitude, quantity.Metre), TemperatureC: num(d.Temperature, quantity.Celsius),
		WindMS: num(d.Wind, quantity.MetrePerSecond), Confidence: num(d.Confidence, quantity.One),
	}
	for _, f := range d.Flights {
		out.Flights = append(out.Flights, Flight{f.ID.String(), f.Rocket.String(), int(f.Count.Or(1)), f.With, f.Result, f.Notes})
	}
	return out
}

// SortDays puts days in order of their date, then of their id.
func SortDays(days []Day) {
	sort.Slice(days, func(i, j int) bool {
		if days[i].Date != days[j].Date {
			return days[i].Date < days[j].Date
		}
		return days[i].ID < days[j].ID
	})
}
