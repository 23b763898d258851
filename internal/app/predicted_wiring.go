package app

import (
	"fmt"
	"math"
	"strings"

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
