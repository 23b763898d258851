package site

import (
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
)

// reckonView is what packs made like a version's would do with other numbers: a table to read off, and for the page's
// script the points to reckon with.
type reckonView struct {
	caption
	Version                link
	Until                  string // what ends the run, and at what voltage
	Made                   string // what is known of the packs
	Capacities             []string
	Rows                   []reckonRow
	Capacity, Load, Warmth string // what the fields begin with
	Data                   template.JS
	Method                 string
}

type reckonRow struct {
	Load  string
	Cells []reckonCell
	Own   bool // the load of the computed answer
}

// reckonCell is a time, or why there is none.
type reckonCell struct {
	Time numeral
	Why  string
}

// The loads and the capacities of the table, as parts of the version's own.
var (
	reckonLoads      = []float64{0.5, 1, 2, 4}
	reckonCapacities = []float64{0.5, 1, 2}
)

// reckons tells whether other numbers were computed for a question: it is about a running time that is computed.
func (b *builder) reckons(q *journal.Question) bool {
	version := q.Predicted.Version
	if version == nil || !strings.HasPrefix(q.Predicted.Name, "run-time/") {
		return false
	}
	a := b.answers(version)
	if a == nil || a.Reckoner == nil {
		return false
	}
	cell, ok := a.Cell(q.Predicted.Name)
	return ok && cell.Err == "" && cell.End().Err == "" && a.Table.Loads[cell.Load].Power.Known()
}

// reckon is nil where other numbers were not computed.
func (b *builder) reckon(s *sheet, q *journal.Question) (*reckonView, error) {
	if !b.reckons(q) {
		return nil, nil
	}
	version := q.Predicted.Version
	a := b.answers(version)
	cell, _ := a.Cell(q.Predicted.Name)
	load, r := a.Table.Loads[cell.Load], a.Reckoner
	warmth := min(max(load.Ambient, r.Ambients[0]), r.Ambients[len(r.Ambients)-1])
	v := &reckonView{Version: link{Words: version.Vehicle.Name.Text + ", version " + versionNumber(version), Href: s.to(versionPage(version))},
		Until: fmt.Sprintf("until %s at %s", runEnds(r.EndsBy), onPage(quantity.Brief(r.Volts))), Method: b.formulaLink(s, "reckoner")}
	v.Made = "typical of their chemistry"
	if a.Basis.Calibrated {
		v.Made = "as its own runs have shown them"
	}
	watts := float64(load.Power.Value)
	v.Load, v.Capacity, v.Warmth = quantity.Figures(watts, 4), quantity.Figures(float64(r.Capacity), 4), quantity.Figures(float64(warmth), 3)
	v.caption = s.table("your-numbers", fmt.Sprintf("Running time by load and capacity, at %s: rows are loads, columns are packs of so many ampere-hours.", onPage(quantity.Brief(warmth))))
	for _, part := range reckonCapacities {
		v.Capacities = append(v.Capacities, quantity.Figures(part*float64(r.Capacity), 3))
	}
	for _, part := range reckonLoads {
		text := quantity.Figures(part*watts, 2)
		if part == 1 {
			text = v.Load
		}
		row := reckonRow{Load: text, Own: part == 1}
		for _, more := range reckonCapacities {
			row.Cells = append(row.Cells, b.reckoned(r, text, quantity.Figures(more*float64(r.Capacity), 3), warmth))
		}
		v.Rows = append(v.Rows, row)
	}
	data, err := json.Marshal(reckonData(r))
	if err != nil {
		return nil, err
	}
	v.Data, s.Reckons, s.Marks = template.JS(data), true, true // the encoder escapes <, > and &
	return v, nil
}

// reckoned is one cell, for the load and the capacity as they are printed.
func (b *builder) reckoned(r *ride.Reckoner, load, capacity string, warmth quantity.Celsius) reckonCell {
	var watts, ampereHours float64
	if _, err := fmt.Sscan(load+" "+capacity, &watts, &ampereHours); err != nil {
		return reckonCell{Why: "not computed"}
	}
	got, err := r.Reckon(quantity.Watts(watts), quantity.AmpereHours(ampereHours), warmth)
	switch {
	case err == nil:
		return reckonCell{Time: runTime(got.Time, "")}
	case err.Error() == ride.ReckonTooMuch:
		return reckonCell{Why: "not carried"}
	}
	return reckonCell{Why: "not computed"}
}

// runEnds says what ends a run as the end of a sentence.
func runEnds(by string) string {
	if by == ride.EndsAtFloor {
		return by + " is read off"
	}
	return by + " opens"
}

// reckonPoints are what the script reckons with; themes/workshop/reckon.js is their only reader.
type reckonPoints struct {
	Loads    []float64    `json:"loads"`    // W/Ah
	Ambients []float64    `json:"ambients"` // °C
	Energy   [][]*float64 `json:"energy"`   // Wh/Ah, by ambient and load; null where there is none
	U        [][]*float64 `json:"u"`        // its standard uncertainty
	Charge   [][]*float64 `json:"charge"`   // the part of the capacity that is taken out
	Says     reckonSays   `json:"says"`
}

type reckonSays struct {
	Nothing    string `json:"nothing"`
	TooLittle  string `json:"tooLittle"`
	TooMuch    string `json:"tooMuch"`
	OutOfRange string `json:"outOfRange"`
}

// whyNot is why there is no answer, as a sentence of the page.
func whyNot(why string) string { return sentence(onPage(why)) }

func reckonData(r *ride.Reckoner) reckonPoints {
	known := func(v float64) *float64 {
		if math.IsNaN(v) {
			return nil
		}
		v = math.Round(v*1e9) / 1e9 // enough that both round alike, and no more than processors agree on
		return &v
	}
	out := reckonPoints{Says: reckonSays{whyNot(ride.ReckonNothing), whyNot(ride.ReckonTooLittle), whyNot(ride.ReckonTooMuch), whyNot(r.OutOfRange())}}
	for _, p := range r.Loads {
		out.Loads = append(out.Loads, *known(p))
	}
	for j, row := range r.Gives {
		out.Ambients = append(out.Ambients, float64(r.Ambients[j]))
		var energy, u, charge []*float64
		for _, g := range row {
			energy, u, charge = append(energy, known(g.Energy)), append(u, known(g.U)), append(charge, known(g.Charge))
		}
		out.Energy, out.U, out.Charge = append(out.Energy, energy), append(out.U, u), append(out.Charge, charge)
	}
	return out
}
