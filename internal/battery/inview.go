package battery

import (
	"slices"
	"strings"
)

// inView are constants that were chosen with measured sets in view: a set of a type that is named here is no fair trial of a prediction that
// rests on them, and no table counts it as unseen.
type inView struct {
	Constants string   // in words
	Types     []string // of cells, as the table of reliability names them
}

// chosenInView are all of them. The widths of an interval are not among them: each row of the table of reliability is made with those that the
// other types give. That there are these widths and no others was settled with all sets in view.
var chosenInView = []inView{
	{"typical activation energies; the weights of the fit, its 5 mV among them", []string{"NMC 21700 5 Ah", "Li-ion 18650 3 Ah, high drain", "LFP 26650 2.6 Ah", "NCA 18650 2.9 Ah"}},
	{"how lead-acid cells go with current and charge", []string{"lead-acid 12 V 17 Ah"}},
	{"from where a label is taken to be false, and how unsure a learned capacity is", []string{"Li-ion 18650 2.6 Ah", "telephone pack 2 Ah"}},
	{"by how much the resistances of first seconds scatter", []string{"NMC 21700 5 Ah", "Li-ion 18650 3 Ah, high drain"}},
}

// wereInView says whether a constant was chosen with cells of a type in view.
func wereInView(kind string) bool {
	return slices.ContainsFunc(chosenInView, func(c inView) bool { return slices.Contains(c.Types, kind) })
}

// chosenInWords are the constants and their sets, for the documentation.
func chosenInWords() string {
	var all []string
	for _, c := range chosenInView {
		all = append(all, c.Constants+" ("+strings.Join(c.Types, ", ")+")")
	}
	return "chosen with measured sets in view: " + strings.Join(all, "; ")
}
