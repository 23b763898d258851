package battery

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// thin says how thin the basis of a chemistry is, where it is.
var thin = map[string]string{
	"lto":           " One sheet was read, of one small cell; the rest curve is from memory. State your own sheet before you rely on a limit here.",
	"sodium-ion":    " One sheet and one measured cell of another make stand behind it. State your own sheet before you rely on a limit here.",
	"lead-acid-gel": " Gel is charged lower than absorbed electrolyte; what has no sheet of its own is taken from that.",
}

// chemistryDocs print every value of every chemistry with its source and status.
func chemistryDocs() []finding.Doc {
	var out []finding.Doc
	for _, c := range Chemistries() {
		out = append(out, finding.Doc{Kind: finding.FormulaDoc, Name: "cells-" + c.Name, Title: "What is typical of " + c.Title,
			What:    "The values that are taken for cells of this chemistry where the note states none and names no data sheet." + thin[c.Name],
			Why:     "Limits and run times rest on them; a value with a weak mark is a reason to state one's own.",
			Formula: c.listed(),
			Units:   "voltages in V of one cell, rates in parts of the capacity in an hour, temperatures in °C of the cell, energies in J/mol, heat in J/(K Ah), times in s, resistance in Ω Ah",
			Range:   "typical, at 25 °C unless it says otherwise; a pack's own `sheet` goes before it",
			Source:  c.sources(),
		})
	}
	return out
}

// listed are the facts by name.
func (c *Chemistry) listed() string {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(c.Facts)) {
		parts = append(parts, fmt.Sprintf("%s = %g", name, c.Facts[name].Value))
	}
	if w := c.ChargeWindows; w != nil {
		for _, p := range w.Points {
			parts = append(parts, fmt.Sprintf("charged from %g to %g °C at %g", p[0], p[1], p[2]))
		}
	}
	if f := c.Floors; f != nil {
		for _, p := range f.Points {
			parts = append(parts, fmt.Sprintf("floor below a rate of %g = %g", p[0], p[1]))
		}
	}
	return strings.Join(parts, "; ")
}

// sources are the sources with their status, each with the values that rest on it.
func (c *Chemistry) sources() string {
	names := map[string][]string{}
	all := c.quoted()
	for name, q := range all {
		names[q.String()] = append(names[q.String()], name)
	}
	var parts []string
	for q, of := range names {
		slices.Sort(of)
		parts = append(parts, strings.Join(of, ", ")+": "+q)
	}
	slices.Sort(parts)
	return strings.Join(parts, ". ")
}
