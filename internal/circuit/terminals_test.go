package circuit_test

import (
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// TE catalogue 82004, p. 8, after UL 310 for a rise of 30 K (connectors.csv of the
// reference): 6.3 mm at 22 to 10 AWG 3, 4, 7, 10, 15, 20 and 24 A; 2.8 mm at 22 to
// 16 AWG 2, 3, 4 and 5 A.
func TestTerminalLimit(t *testing.T) {
	for _, tt := range []struct {
		on     string
		kind   circuit.EndKind
		size   circuit.Size
		want   quantity.Amperes
		status circuit.Status
	}{
		{"6.3 mm", circuit.Spade, circuit.Gauge(14), 15, circuit.Confirmed},
		{"6.3 mm", circuit.Spade, circuit.Gauge(22), 3, circuit.Confirmed},
		{"6.3 mm", circuit.Spade, circuit.Metric(2.5), 15, circuit.Confirmed},
		{"6.3 mm", circuit.Spade, circuit.Metric(1.5), 10, circuit.Confirmed},
		{"6.3 mm", circuit.Spade, circuit.Metric(6), 24, circuit.Confirmed},
		{"2.8 mm", circuit.Spade, circuit.Gauge(16), 5, circuit.Confirmed},
		{"2.8 mm", circuit.Spade, circuit.Metric(2.5), 5, circuit.Confirmed},
		{"4.8 mm", circuit.Spade, circuit.Metric(2.5), 5, circuit.OwnChoice},    // no figure was read: the next narrower
		{"4.8 mm 12 A", circuit.Spade, circuit.Metric(2.5), 12, circuit.Stated}, // the maker has its sheet
		{"", circuit.Spade, circuit.Metric(2.5), 15, circuit.OwnChoice},
		{"M6 20 A", circuit.Ring, circuit.Metric(2.5), 20, circuit.Stated},
	} {
		a, words, q, ok := circuit.TerminalLimit(circuit.End{Kind: tt.kind, For: tt.on}, tt.size)
		if !ok || a != tt.want || q.Status != tt.status || words == "" {
			t.Errorf("%s %s on %s: %v A, %s, %q; want %v A, %s", tt.kind, tt.on, tt.size, float64(a), q.Status, words, float64(tt.want), tt.status)
		}
	}
	// Every row of both widths, with the next thinner gauge just below it.
	for on, rows := range map[string]map[int]quantity.Amperes{"6.3 mm": {10: 24, 12: 20, 14: 15, 16: 10, 18: 7, 20: 4, 22: 3}, "2.8 mm": {16: 5, 18: 4, 20: 3, 22: 2}} {
		for gauge, want := range rows {
			for _, size := range []circuit.Size{circuit.Gauge(gauge), circuit.Metric(quantity.GaugeArea(gauge) * 1.02)} {
				a, words, q, ok := circuit.TerminalLimit(circuit.End{Kind: circuit.Spade, For: on}, size)
				if !ok || a != want || words != "the spade "+on || q.Status != circuit.Confirmed || !strings.HasPrefix(q.Source, "TE catalogue 82004") {
					t.Errorf("%s on %s: %v A, %q, %+v", on, size, float64(a), words, q)
				}
			}
			if next, is := rows[gauge+2]; is {
				if a, _, _, _ := circuit.TerminalLimit(circuit.End{Kind: circuit.Spade, For: on}, circuit.Metric(quantity.GaugeArea(gauge)*0.99)); a != next {
					t.Errorf("%s just thinner than %d AWG: %v A, want %v", on, gauge, float64(a), float64(next))
				}
			}
		}
	}
	// What is taken in place of what was not stated or not read is said.
	for on, want := range map[string]string{"": "the spade, taken as 6.3 mm wide,", "4.8 mm": "the spade 4.8 mm, for which no figure was read: that of 2.8 mm is taken,", "9.5 mm": "the spade 9.5 mm, for which no figure was read: that of 6.3 mm is taken,"} {
		_, words, q, ok := circuit.TerminalLimit(circuit.End{Kind: circuit.Spade, For: on}, circuit.Gauge(12))
		if !ok || words != want || q.Status != circuit.OwnChoice || !strings.Contains(q.Source, "that it is of the usual width") && !strings.Contains(q.Source, "the next narrower for a width without a figure") {
			t.Errorf("%q: %q, %+v", on, words, q)
		}
	}
	// Nothing was read that limits a ring or a ferrule, and nothing for so thin a lead.
	for _, e := range []circuit.End{{Kind: circuit.Ring, For: "M6"}, {Kind: circuit.Ferrule}} {
		if a, _, _, ok := circuit.TerminalLimit(e, circuit.Metric(2.5)); ok {
			t.Errorf("%+v: %v A", e, float64(a))
		}
	}
	if a, _, _, ok := circuit.TerminalLimit(circuit.End{Kind: circuit.Spade, For: "6.3 mm"}, circuit.Gauge(24)); ok {
		t.Errorf("24 AWG: %v A", float64(a))
	}
}
