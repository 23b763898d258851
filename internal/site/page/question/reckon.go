package question

import (
	"encoding/json"
	"fmt"
	"html/template"
	"math"

	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// reckonView is what packs made like a version's would do with other numbers: a table to read off, and for the page's
// script the points to reckon with.
type reckonView struct {
	frame.Caption
	Version                frame.Link
	Until                  string // what ends the run, and at what voltage
	Made                   string // what is known of the packs
	Capacities             []string
	Rows                   []reckonRow
	Capacity, Load, Warmth string // what the fields begin with
	Data                   template.JS
	Method                 string
	Counted                string // by what rule the running time is counted
	One                    bool   // the load has one time by any measure
}

type reckonRow struct {
	Load  string
	Cells []reckonCell
	Own   bool // the load of the computed answer
}

// reckonCell is a time, or why there is none.
type reckonCell struct {
	Time numeral.Numeral
	Why  string
}

// The loads and the capacities of the table, as parts of the version's own.
var (
	ReckonLoads      = []float64{0.5, 1, 2, 4}
	ReckonCapacities = []float64{0.5, 1, 2}
)

// reckon is nil where other numbers were not computed.
func reckon(rd *reading.Reader, s *frame.Sheet, q *journal.Question) (*reckonView, error) {
	if !forecast.Reckons(rd, q) {
		return nil, nil
	}
	version := q.Predicted.Version
	a := rd.Answers(version)
	cell, _ := a.RunTime(q.Predicted.Name)
	load, r := a.Table.Loads[cell.Load], a.Grid
	warmth := load.Ambient
	v := &reckonView{Version: frame.Link{Words: version.Vehicle.Name.Text + ", version " + reading.VersionNumber(version), Href: s.To(address.Version(version))},
		Until: fmt.Sprintf("until %s at %s", runEnds(r.EndsBy), numeral.OnPage(quantity.Brief(r.Volts))), Method: rd.FormulaLink(s, "run-time-grid")}
	v.Made = "typical of their chemistry"
	if a.Basis.Calibrated {
		v.Made = "as its own runs have shown them"
	}
	watts := float64(load.Steady())
	v.Counted = numeral.Sentence(numeral.OnPage(forecast.CountedWords(rd, s, version, load)))
	v.One = load.OneMeasure()
	v.Load, v.Capacity, v.Warmth = quantity.Figures(watts, 4), quantity.Figures(float64(r.Capacity), 4), quantity.Figures(float64(warmth), 3)
	v.Caption = s.Table("your-numbers", fmt.Sprintf("Running time by load and capacity, at %s: rows are loads, columns are packs of so many ampere-hours.", numeral.OnPage(quantity.Brief(warmth))))
	for _, part := range ReckonCapacities {
		v.Capacities = append(v.Capacities, quantity.Figures(part*float64(r.Capacity), 3))
	}
	for _, part := range ReckonLoads {
		text := quantity.Figures(part*watts, 2)
		if part == 1 {
			text = v.Load
		}
		row := reckonRow{Load: text, Own: part == 1}
		for _, more := range ReckonCapacities {
			row.Cells = append(row.Cells, reckoned(rd, r, load, text, quantity.Figures(more*float64(r.Capacity), 3), warmth))
		}
		v.Rows = append(v.Rows, row)
	}
	data, err := json.Marshal(reckonData(r, load))
	if err != nil {
		return nil, err
	}
	v.Data, s.Reckons, s.Marks = template.JS(data), true, true // the encoder escapes <, > and &
	return v, nil
}

// reckoned is one cell, for the load and the capacity as they are printed.
func reckoned(rd *reading.Reader, r *predict.RunTimeGrid, like predict.Load, load, capacity string, warmth quantity.Celsius) reckonCell {
	var watts, ampereHours float64
	if _, err := fmt.Sscan(load+" "+capacity, &watts, &ampereHours); err != nil {
		return reckonCell{Why: "not computed"}
	}
	got := r.RunTime(like, quantity.Watts(watts), quantity.AmpereHours(ampereHours), warmth)
	if why := forecast.ReasonOf(got, func(c predict.RunTime) *predict.EndPoint { end := c.End(); return &end }); why != "" {
		return reckonCell{Why: numeral.OnPage(why)}
	}
	return reckonCell{Time: forecast.RunTime(got.End().Running, "")}
}

// runEnds says what ends a run as the end of a sentence.
func runEnds(by string) string {
	if by == predict.EndsAtFloor {
		return by + " is read off"
	}
	return by + " opens"
}

// reckonPoints are what the script reckons with; themes/workshop/reckon.js is their only reader.
type reckonPoints struct {
	Capacity float64      `json:"capacity"`          // Ah, of the version's own packs
	Running  float64      `json:"running"`           // running time for each second under load
	Loose    float64      `json:"loose"`             // standard uncertainty of that, as a part
	Clock    float64      `json:"clock"`             // time on the clock for each second under load
	Trip     float64      `json:"trip,omitempty"`    // A, at which the packs' own protection opens
	Tripped  string       `json:"tripped,omitempty"` // what is said then
	Volts    float64      `json:"volts"`             // at which a run ends
	Rows     []reckonLine `json:"rows"`              // by temperature, rising
	Says     reckonSays   `json:"says"`
}

type reckonLine struct {
	Ambient float64       `json:"ambient"` // °C
	Given   [][]*float64  `json:"given"`   // by load, rising: W/Ah, Wh/Ah, its standard uncertainty, the part of the capacity that is taken out
	Refused []reckonNever `json:"refused"` // by load, rising
}

type reckonNever struct {
	Load  *float64   `json:"load"` // W/Ah
	Words string     `json:"words"`
	Times []*float64 `json:"times,omitempty"` // s under load: from, to, likely
	Limit *float64   `json:"limit,omitempty"` // W/Ah
}

type reckonSays struct {
	Nothing    string `json:"nothing"`
	OutOfRange string `json:"outOfRange"`
}

// WhyNot is why there is no answer, as a sentence of the page.
func WhyNot(why string) string { return numeral.Sentence(numeral.OnPage(why)) }

func reckonData(r *predict.RunTimeGrid, like predict.Load) reckonPoints {
	known := func(v float64) *float64 {
		if math.IsNaN(v) {
			return nil
		}
		v = math.Round(v*1e9) / 1e9 // enough that both round alike, and no more than processors agree on
		return &v
	}
	running, loose, clock := like.Shares()
	out := reckonPoints{Capacity: float64(r.Capacity), Running: *known(running), Loose: *known(loose), Clock: *known(clock), Trip: float64(r.Trip), Tripped: numeral.OnPage(r.Tripped), Volts: *known(float64(r.Volts)), Says: reckonSays{WhyNot(predict.GridInputMissing), WhyNot(r.OutOfRange())}}
	for _, row := range r.Rows {
		line := reckonLine{Ambient: float64(row.Ambient), Given: [][]*float64{}, Refused: []reckonNever{}}
		for _, g := range row.Points {
			line.Given = append(line.Given, []*float64{known(g.Load), known(g.Energy), known(g.U), known(g.Charge)})
		}
		for _, f := range row.Refusals {
			never := reckonNever{Load: known(f.Load), Words: numeral.OnPage(f.Words), Limit: known(f.Limit)}
			if likely := known(float64(f.Likely)); likely != nil {
				never.Times = []*float64{known(float64(f.From)), known(float64(f.To)), likely}
			}
			line.Refused = append(line.Refused, never)
		}
		out.Rows = append(out.Rows, line)
	}
	return out
}
