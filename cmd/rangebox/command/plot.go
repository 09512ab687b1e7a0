package command

import (
	"fmt"
	"sort"
	"strings"

	"rangebox/cmd/rangebox/report/plot"
	"rangebox/compat"
	"rangebox/compat/ascent"
)

// plotSamples is how many points a line of a plot has.
const plotSamples = 400

// plotOf turns a flight into what is drawn: as planned, and the stack coasting on
// whole where no upper motor lights.
func plotOf(rocket string, r compat.RocketReport) plot.Flight {
	out := plot.Flight{Title: rocket, Below: "Left out: " + leftOut(r) + "."}
	if r.Nominal == nil {
		return out
	}
	out.Series = append(out.Series, series("as planned", r.Nominal))
	if r.Unlit != nil && len(r.Stages) > 1 {
		out.Series = append(out.Series, series("no upper motor lights, in one piece", r.Unlit))
	}
	out.Events = plotEvents(r.Nominal)
	return out
}

func leftOut(r compat.RocketReport) string {
	words := make([]string, len(r.LeavesOut))
	for i, o := range r.LeavesOut {
		words[i] = o.String()
	}
	return strings.Join(words, "; ")
}

// series samples a flight to a little past its top.
func series(name string, f *ascent.Flight) plot.Series {
	s := plot.Series{Name: name}
	end := float64(f.Apogee.Time) * 1.1
	for i := range plotSamples + 1 {
		t := end * float64(i) / plotSamples
		if state, ok := f.At(ascent.Seconds(t)); ok {
			s.Samples = append(s.Samples, plot.Sample{Time: t, Height: float64(state.Height), Speed: float64(state.Speed)})
		}
	}
	return s
}

func plotEvents(f *ascent.Flight) []plot.Event {
	events := []plot.Event{{Time: 0, What: "lift-off"}}
	add := func(e ascent.Event, what string) {
		if e.OK && e.Time > 0 {
			events = append(events, plot.Event{Time: float64(e.Time), What: what})
		}
	}
	add(f.RailExit, "off the rail")
	for i, s := range f.Stages {
		if i > 0 {
			add(s.Ignition, fmt.Sprintf("thrust of stage %d", i+1))
		}
		add(s.Burnout, fmt.Sprintf("burnout of stage %d", i+1))
	}
	add(f.Apogee, "apogee")
	sort.SliceStable(events, func(i, j int) bool { return events[i].Time < events[j].Time })
	return events
}
