package circuit

import (
	"fmt"
	"regexp"
	"strings"

	"voltwright/internal/quantity"
)

// rating is a current at the end of what an end goes on: "6.3 mm 12 A".
var rating = regexp.MustCompile(`(?:^| )([0-9.]+) ?A$`)

// Rating is the current that an end's own data sheet allows, as it is written
// behind what the end goes on; 0 where none is.
func (e End) Rating() quantity.Amperes {
	m := rating.FindStringSubmatch(e.For)
	if m == nil {
		return 0
	}
	q, err := quantity.ParseAs(m[1]+" A", quantity.Current)
	if err != nil {
		return 0
	}
	return quantity.Amperes(q.Value)
}

// usualTab is the width of the tab that is taken where a spade states none.
const usualTab = 6.3 // mm

// TerminalLimit is the current that an end carries for good on a lead of a size:
// its own rating, else the figure of the table for its width and the greatest size
// that is not above the lead's; for a width without a row the next narrower holds.
// No table limits a ring, a ferrule or a soldered end, and the answer is false.
func TerminalLimit(e End, s Size) (a quantity.Amperes, words string, q Quoted, ok bool) {
	name := strings.TrimSpace(string(e.Kind) + " " + e.For)
	if own := e.Rating(); own > 0 {
		return own, "the " + name, Quoted{"as stated for the " + string(e.Kind), Stated}, true
	}
	width := usualTab
	if m, err := quantity.ParseAs(e.For, quantity.Length); err == nil {
		width = 1000 * m.Value
	}
	var best *terminalRow
	rows := tables().terminals
	for i := range rows {
		r := &rows[i]
		if r.kind != e.Kind || r.width > width*(1+1e-9) || r.area > float64(s.Area)*(1+1e-9) {
			continue
		}
		if best == nil || r.width > best.width || r.width == best.width && r.area > best.area {
			best = r
		}
	}
	if best == nil {
		return 0, "", Quoted{}, false
	}
	words, q = "the "+name, best.quoted
	switch {
	case e.For == "":
		words += fmt.Sprintf(", taken as %.3g mm wide,", best.width)
		q = q.also(Quoted{"that it is of the usual width", OwnChoice})
	case best.width < width*(1-1e-9):
		words += fmt.Sprintf(", for which no figure was read: that of %.3g mm is taken,", best.width)
		q = q.also(Quoted{"the next narrower for a width without a figure", OwnChoice})
	}
	return quantity.Amperes(best.amperes), words, q, true
}

// carries is what a lead may carry for good as it is made up: the least of its
// conductor and its two ends, and which end that is; "" where it is the conductor.
func (j *judge) carries(lead int) (a Ampacity, end string, err error) {
	if a, err = j.ampacity(lead); err != nil {
		return a, "", err
	}
	l := &j.c.Leads[lead]
	for _, e := range [2]End{l.EndA, l.EndB} {
		if limit, words, q, ok := TerminalLimit(e, l.Size); ok && limit < a.Amperes {
			a.Amperes, a.Quoted, end = limit, q, words
		}
	}
	return a, end, nil
}
