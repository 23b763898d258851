package safety

import (
	"math"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

func amperes(v float64) quantity.Quantity {
	return quantity.Exact(quantity.Amperes(v)).Quantity()
}

// fails is a number that fails its limit under a rule, at the first of two parts and a lead.
func fails(r *wiringRule, number, limit float64) *failing {
	return &failing{
		Verdict: &circuit.Verdict{Subject: circuit.Subject{Part: 0, Lead: -1, End: -1}, Number: amperes(number), Limit: amperes(limit)},
		s:       &subject{version: &journal.Version{Note: &notes.Note{}}}, r: r,
		c: &circuit.Circuit{
			Parts: []circuit.Part{{Name: "stop", Kind: circuit.EmergencyStop}, {Name: "horn", Kind: circuit.Horn}, {Name: "lamp", Kind: circuit.Lamp}},
			Leads: []circuit.Lead{{From: circuit.Terminal{Part: "stop", Name: "out"}, To: circuit.Terminal{Part: "horn", Name: "1"}}},
		},
	}
}

func TestFewReasons(t *testing.T) {
	for _, tt := range []struct {
		reasons []string
		want    string
	}{
		{[]string{"a"}, "a"}, {[]string{"a", "b"}, "a; b"}, {[]string{"a", "b", "c"}, "a; b; and 1 more"}, {[]string{"a", "b", "c", "d"}, "a; b; and 2 more"},
	} {
		if got := few(tt.reasons); got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
	if places(1) != "one more place" || places(2) != "2 more places" {
		t.Error(places(1), places(2))
	}
	if listed(nil) != "" || listed([]string{"a"}) != "a" || listed([]string{"a", "b"}) != "a and b" || listed([]string{"a", "b", "c"}) != "a, b and c" {
		t.Error(listed([]string{"a", "b", "c"}))
	}
}

// The graver word comes from so many times the limit on, not before.
func TestBeyond(t *testing.T) {
	most, least := &wiringRule{what: "current"}, &wiringRule{what: "rating", least: true}
	unknown := math.NaN()
	for _, tt := range []struct {
		f      *failing
		excess float64
		want   finding.Signal
	}{
		{fails(most, 12.4, 10), 1.24, finding.Caution}, {fails(most, 12.5, 10), 1.25, finding.SignalWarning}, {fails(most, 12.6, 10), 1.26, finding.SignalWarning},
		{fails(least, 10, 12.4), 1.24, finding.Caution}, {fails(least, 10, 12.5), 1.25, finding.SignalWarning},
		{fails(most, unknown, 10), math.Inf(1), finding.SignalWarning}, {fails(least, 10, unknown), math.Inf(1), finding.SignalWarning},
	} {
		if got := tt.f.excess(); math.Abs(got-tt.excess) > 1e-12 && got != tt.excess {
			t.Errorf("%v against %v: %v times, want %v", tt.f.Number.Value, tt.f.Limit.Value, got, tt.excess)
		}
		if got := beyond(1.25, finding.Caution, finding.SignalWarning)(tt.f); got != tt.want {
			t.Errorf("%v against %v: %s, want %s", tt.f.Number.Value, tt.f.Limit.Value, got, tt.want)
		}
	}
}

// Of several that fail, the gravest speaks, of those the farthest beyond its limit, of those the first.
func TestTheWorstOfSeveral(t *testing.T) {
	r := wiringRule{what: "current", signal: beyond(1.25, finding.Caution, finding.SignalWarning), remedy: first("r"), text: func(f *failing) string { return brief(f.Number) }}
	grow := func(numbers ...float64) (fs []*failing) {
		for i, n := range numbers {
			f := fails(&r, n, 10)
			f.Detail = string(rune('a' + i))
			fs = append(fs, f)
		}
		return fs
	}
	for _, tt := range []struct {
		numbers []float64
		text    string
		signal  finding.Signal
	}{
		{[]float64{11}, "11 A", finding.Caution},
		{[]float64{11, 12}, "12 A; and so it is at one more place", finding.Caution},
		{[]float64{12, 11, 11.5}, "12 A; and so it is at 2 more places", finding.Caution},
		{[]float64{11, 14, 13}, "14 A; and so it is at 2 more places", finding.SignalWarning},
	} {
		v := r.said(&subject{}, grow(tt.numbers...))
		if v.text != tt.text || v.signal != tt.signal || v.gauge.Written+"" != tt.text[:len(v.gauge.Written)] || len(v.related) != len(tt.numbers)-1 {
			t.Errorf("%v: %q %s %v", tt.numbers, v.text, v.signal, v.related)
		}
	}
	// The graver word before the greater excess.
	r.signal = func(f *failing) finding.Signal {
		if f.Number.Value < 12 {
			return finding.SignalWarning
		}
		return finding.Caution
	}
	for _, numbers := range [][]float64{{11, 15}, {15, 11}} {
		if v := r.said(&subject{}, grow(numbers...)); v.signal != finding.SignalWarning || v.text != "11 A; and so it is at one more place" {
			t.Errorf("%v: %q %s", numbers, v.text, v.signal)
		}
	}
	// Of two alike, the first.
	r.text = func(f *failing) string { return f.Detail }
	if v := r.said(&subject{}, grow(15, 15)); v.text != "a; and so it is at one more place" {
		t.Errorf("of two alike: %q", v.text)
	}
	for want, s := range []finding.Signal{finding.PropertyNotice, finding.Caution, finding.SignalWarning, finding.Danger} {
		if levelOf(s) != want {
			t.Errorf("%s is at %d", s, levelOf(s))
		}
	}
}

func TestQuantitiesInFewDigits(t *testing.T) {
	for _, tt := range []struct {
		value        float64
		brief, rough string
	}{
		{0, "0 A", "0 A"}, {525.25, "525.3 A", "530 A"}, {-12.3456, "-12.35 A", "-12 A"}, {0.0123456, "12.35 mA", "12 mA"}, {10000, "10000 A", "10000 A"}, {math.Inf(1), "no value", "no value"}, {math.Inf(-1), "no value", "no value"}, {1.2549, "1.255 A", "1.3 A"},
	} {
		if got := brief(amperes(tt.value)); got != tt.brief {
			t.Errorf("%v in brief: %q, want %q", tt.value, got, tt.brief)
		}
		if got := rough(amperes(tt.value)); got != tt.rough {
			t.Errorf("%v roughly: %q, want %q", tt.value, got, tt.rough)
		}
	}
}

// A gauge stands only where the number is what fails.
func TestGaugeOfAWiringRule(t *testing.T) {
	most, least := &wiringRule{what: "current"}, &wiringRule{what: "rating", least: true}
	for _, tt := range []struct {
		name string
		f    *failing
		want string
	}{
		{"beyond", fails(most, 11, 10), "11 A, at most 10 A"}, {"short of", fails(least, 9, 10), "9 A, at least 10 A"},
		{"at the limit", fails(most, 10, 10), "why"}, {"enough", fails(least, 11, 10), "why"},
		{"no number", fails(most, math.NaN(), 10), "why"}, {"no limit", fails(most, 10, math.NaN()), "why"},
		{"a rule of no number", fails(&wiringRule{}, 11, 10), "why"},
	} {
		tt.f.Detail = "why"
		if got := tt.f.numbers(); got != tt.want || (tt.f.gauge() == nil) != (tt.want == "why") {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
	if got := fails(&wiringRule{}, 11, 10).numbers(); got != "it does not hold" {
		t.Errorf("nothing more is known: %q", got)
	}
	quoted := fails(most, 11, 10)
	if got := quoted.gauge().Source; got != "" {
		t.Errorf("a source of nothing: %q", got)
	}
	quoted.Source, quoted.Status = "a table", "confirmed"
	if got := quoted.gauge().Source; got != "a table (confirmed)" {
		t.Errorf("%q", got)
	}
}

func TestNamesOfWhatFails(t *testing.T) {
	f := fails(&wiringRule{}, 1, 1)
	if f.name() != "`stop`" || f.plainName() != "stop" || f.kind() != circuit.EmergencyStop || f.part() == nil {
		t.Errorf("%s %s %s", f.name(), f.plainName(), f.kind())
	}
	for end, want := range map[int]string{-1: "stop:out to horn:1", 0: "stop:out", 1: "horn:1"} {
		f.Subject = circuit.Subject{Part: -1, Lead: 0, End: end}
		if f.plainName() != want || f.name() != "the lead from `stop:out` to `horn:1`" || f.kind() != "" || f.part() != nil {
			t.Errorf("end %d: %s, %s", end, f.name(), f.plainName())
		}
	}
	f.Parts = []int{1, 2}
	if f.others("") != "`horn` and `lamp`" || f.others(circuit.Horn) != "`lamp`" {
		t.Errorf("%s, without the horn %s", f.others(""), f.others(circuit.Horn))
	}
	if f.atPoint() != "" {
		t.Errorf("at no point: %q", f.atPoint())
	}
	if f.Point = "cruise"; f.atPoint() != " at cruise" {
		t.Errorf("%q", f.atPoint())
	}
	if got := partsOf(f.c, circuit.Lamp); len(got) != 1 || got[0] != 2 {
		t.Errorf("the lamp is part %v", got)
	}
}

// A state of the circuit in words; one that the maker named is called by its name.
func TestWhenAStateHolds(t *testing.T) {
	for point, want := range map[string]string{"hill": "on the hill", "stall": "with the motors held", "charging": "while it is charged", "cruise": "at cruise", "horn sounding": "at horn sounding"} {
		if got := when(point); got != want {
			t.Errorf("%s: %q, want %q", point, got, want)
		}
	}
}
