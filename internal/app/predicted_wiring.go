package app

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

// printWired writes what arrives at each load and what is lost on the way there
// and back, at each operating point that carries current.
func printWired(b *strings.Builder, w *wiring.Analysis) {
	if w == nil {
		return
	}
	b.WriteString("\n  What the wiring loses\n")
	if len(w.Faults) > 0 {
		fmt.Fprintf(b, "%s\n", wrap("Not computed: the wiring is written wrong; `voltwright inspect` says where.", "    "))
		return
	}
	rows := [][]string{{"", "packs give", "at", "arrives", "lost", ""}}
	for _, sol := range w.Solutions {
		given := 0.0
		for _, p := range sol.Packs {
			given += float64(p.Current)
		}
		if math.Abs(given) < 1e-6 {
			continue
		}
		name, amps := sol.Point.Name, threeFigures(quantity.Amperes(given))
		for _, l := range sol.Loads {
			rows = append(rows, []string{name, amps, w.Circuit.Parts[l.Part].Name, threeFigures(quantity.Volts(math.Abs(float64(l.Volts)))), threeFigures(l.Drop), fmt.Sprintf("%.2g %%", 100*float64(l.Share))})
			name, amps = "", ""
		}
	}
	if len(rows) > 1 {
		writeRows(b, rows)
	}
	for _, u := range w.Unsolved {
		fmt.Fprintf(b, "%s\n", wrap(u.Point+": "+u.Reason, "    "))
	}
}

// threeFigures is a value without uncertainty, in three figures.
func threeFigures[K quantity.Kind](v K) string {
	x := float64(v)
	if x != 0 && !math.IsNaN(x) {
		scale := math.Pow(10, 2-math.Floor(math.Log10(math.Abs(x))))
		x = math.Round(x*scale) / scale
	}
	return quantity.Brief(K(x))
}

// wiringJSON is an operating point of the wiring as JSON.
type wiringJSON struct {
	Point string     `json:"point"`
	Kind  string     `json:"kind"`
	Packs []packJSON `json:"packs"`
	Loads []loadJSON `json:"loads"`
}

type packJSON struct {
	Name    string   `json:"name"`
	Current *float64 `json:"current"`
	Volts   *float64 `json:"voltage"`
}

type loadJSON struct {
	Name    string   `json:"name"`
	Volts   *float64 `json:"voltage"`
	Current *float64 `json:"current"`
	Drop    *float64 `json:"drop"`
	Share   *float64 `json:"dropShare"`
}

// wiringRecord is what a wiring does at each operating point; nil where there is none.
func wiringRecord(w *wiring.Analysis) []wiringJSON {
	if w == nil {
		return nil
	}
	var out []wiringJSON
	for _, sol := range w.Solutions {
		p := wiringJSON{Point: sol.Point.Name, Kind: fmt.Sprint(sol.Point.Kind), Packs: []packJSON{}, Loads: []loadJSON{}}
		for _, x := range sol.Packs {
			p.Packs = append(p.Packs, packJSON{nameOf(w.Circuit, x.Part), six(x.Current), six(x.Volts)})
		}
		for _, x := range sol.Loads {
			p.Loads = append(p.Loads, loadJSON{nameOf(w.Circuit, x.Part), six(x.Volts), six(x.Current), six(x.Drop), six(x.Share)})
		}
		out = append(out, p)
	}
	return out
}

func nameOf(c *circuit.Circuit, part int) string { return c.Parts[part].Name }

// six is a number in six significant digits, more than any of them has; null
// where it is not known.
func six[K quantity.Kind](v K) *float64 {
	x := float64(v)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	if x != 0 {
		scale := math.Pow(10, 5-math.Floor(math.Log10(math.Abs(x))))
		x = math.Round(x*scale) / scale
	}
	return &x
}
