package predict

import (
	"math"
	"math/rand/v2"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// reckonedBanks are packs of three chemistries, of typical values; one states its resistance.
func reckonedBanks(t testing.TB) map[string]Bank {
	t.Helper()
	return map[string]Bank{
		"lfp": bank(t, nil),
		"nmc": bank(t, func(b *Bank) {
			b.Packs[0].Chemistry, b.Cutout.Opens = chemistry(t, "nmc"), 22.4
			b.Packs[0].Resistance = quantity.Exact(quantity.Ohms(0.05))
		}),
		"lead-acid-agm": bank(t, func(b *Bank) {
			b.Packs[0].Chemistry, b.Packs[0].Series, b.Cutout.Opens = chemistry(t, "lead-acid-agm"), 12, 21
		}),
	}
}

// said are all digits that are printed of an answer, or the reason that there is none.
func said(c RunTime) string {
	if c.Err != "" {
		return c.Err
	}
	end := c.End()
	if end.Err != "" {
		return end.Err
	}
	out := end.LeftWords() + " " + end.Charge.String() + " " + end.Energy.String()
	for _, m := range end.Measures() {
		out += " " + TimeWords(m.Time)
	}
	return out
}

// unpointed is the grid of a bank without a run, and without the points for the script, which take their time.
func unpointed(t testing.TB, b Bank) *RunTimeGrid {
	t.Helper()
	k, _, _, err := calibrate(b, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	own := b.Capacity().Value
	return &RunTimeGrid{Capacity: own, bank: b, known: map[quantity.AmpereHours]*known{own: k}}
}

// With other numbers, and the same asked of packs that state that capacity: one answer to the last printed digit, or one
// reason, at any load from nothing to a short and any temperature.
func TestOtherNumbersAreTheSameAnswer(t *testing.T)         { otherNumbers(t, "lfp", 2) }
func TestOtherNumbersAreTheSameAnswerNMC(t *testing.T)      { otherNumbers(t, "nmc", 1) }
func TestOtherNumbersAreTheSameAnswerLeadAcid(t *testing.T) { otherNumbers(t, "lead-acid-agm", 3) }

func otherNumbers(t *testing.T, name string, sorts int) {
	times, reasons := 0, map[string]bool{}
	b := reckonedBanks(t)[name]
	r := unpointed(t, b)
	own := float64(b.Capacity().Value)
	random := rand.New(rand.NewPCG(7, 11))
	for n := range 40 {
		capacity := quantity.AmpereHours(own * math.Pow(8, random.Float64()-0.5))
		load := quantity.Watts(float64(capacity) * 25 * math.Pow(10, 4.5*random.Float64()-3.5))
		ambient := quantity.Celsius(-20 + 70*random.Float64())
		asked := NewLoad("asked", "as asked", AskedLoad, battery.Delivering(load), "", 1)
		got := r.RunTime(asked, load, capacity, ambient)
		stated := b
		stated.Packs = []Pack{b.Packs[0]}
		stated.Packs[0].Capacity = quantity.Exact(capacity)
		stated.Packs[0].Resistance = quantity.Scale(b.Packs[0].Resistance, own/float64(capacity))
		k, _, _, err := calibrate(stated, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		asked.Ambient = ambient
		want := k.table([]Load{asked}, true, nil).Cells[0][0]
		if n < 8 { // the whole answer is asked for less often, since it holds much else
			want = Compute(stated, nil, Options{Asked: []Load{asked}, OwnPacksOnly: true, HoldAmbient: true, Ambient: quantity.Exact(ambient)}).Table.Cells[0][0]
		}
		if said(got) != said(want) {
			t.Errorf("%s, %v of %v at %v: %s\nand asked for: %s", name, load, capacity, ambient, said(got), said(want))
		}
		if want.Err == "" && want.End().Err == "" {
			times++
		} else {
			reasons[(want.Err + want.End().Err)[:6]] = true
		}
	}
	t.Logf("%d times, %d sorts of reasons", times, len(reasons))
	if times < 15 || len(reasons) < sorts {
		t.Errorf("only %d of the questions have a time, and %d sorts of reasons are given", times, len(reasons))
	}
}

// The half and the double of the table are what other numbers say of such packs, unless a protection opens by current.
func TestColumnsAreOtherNumbers(t *testing.T) {
	for name, b := range reckonedBanks(t) {
		a := Compute(b, nil, Options{Asked: []Load{NewLoad("x", "x", AskedLoad, battery.Delivering(150), "", 1), NewLoad("y", "y", AskedLoad, battery.Delivering(900), "", 1)}})
		r := unpointed(t, b)
		for i, l := range a.Table.Loads {
			power := quantity.Watts([]float64{150, 900}[i])
			for j, c := range a.Table.Columns {
				if got, want := r.RunTime(l, power, c.Capacity, l.Ambient), a.Table.Cells[i][j]; got.Err != want.Err || math.Abs(float64(got.End().Running.Value/want.End().Running.Value)-1) > 1e-6 {
					t.Errorf("%s, %v of %v: %s, and in the table %s", name, power, c.Capacity, said(got), said(want))
				}
			}
		}
	}
}

// More of the same cells under as much more load run as long: the law that the points of a grid go by.
func TestPacksUnderLoadScale(t *testing.T) {
	b := bank(t, nil)
	k, _, _, err := calibrate(b, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	cutout, _ := b.Ending()
	time := func(parts int, watts quantity.Watts) float64 {
		l := NewLoad("", "", AskedLoad, battery.Delivering(watts), "", 1)
		return float64(k.cell(l, parts, cutout).End().Running.Value)
	}
	once, twice, half := time(halves, 120), time(2*halves, 240), time(halves/2, 60)
	if math.Abs(twice/once-1) > 1e-6 || math.Abs(half/once-1) > 1e-6 {
		t.Errorf("%g s, twice of both %g s, half of both %g s", once, twice, half)
	}
}

// Every temperature has points on both sides of where the answers end, within a part in forty of the load.
func TestPointsOfAReckoner(t *testing.T) {
	for name, b := range reckonedBanks(t) {
		r := Compute(b, nil, Options{Grid: true}).Grid
		for _, row := range r.Rows {
			if row.Ambient <= -10 && len(row.Points) == 0 { // so far below what was measured no time is one number, and each load has its bounds
				bounded := 0
				for _, f := range row.Refusals {
					if f.From > 0 && f.To > f.Likely && f.Likely > f.From {
						bounded++
					}
				}
				if bounded < 4 {
					t.Errorf("%s at %v: neither times nor bounds, but %d", name, row.Ambient, bounded)
				}
				continue
			}
			if len(row.Points) < 5 || len(row.Refusals) < 4 {
				t.Errorf("%s at %v: %d points with a time and %d without", name, row.Ambient, len(row.Points), len(row.Refusals))
				continue
			}
			last, next := row.Points[len(row.Points)-1].Load, math.Inf(1)
			for i, f := range row.Refusals {
				if f.Load > last {
					next = min(next, f.Load)
				}
				if f.Words == "" || i > 0 && f.Load <= row.Refusals[i-1].Load {
					t.Errorf("%s at %v: %+v", name, row.Ambient, f)
				}
			}
			if next/last > 1.026 {
				t.Errorf("%s at %v: answers end at %g W/Ah, reasons begin at %g W/Ah", name, row.Ambient, last, next)
			}
		}
	}
	if Compute(bank(t, nil), nil, Options{}).Grid != nil {
		t.Error("a grid that nobody asked for")
	}
}

// Nothing asked, nothing answered.
func TestReckonNothing(t *testing.T) {
	r := unpointed(t, bank(t, nil))
	for _, tt := range [][3]float64{{0, 20, 15}, {100, 0, 15}, {-3, 20, 15}, {math.NaN(), 20, 15}, {math.Inf(1), 20, 15}, {100, 20, math.NaN()}} {
		if got := r.RunTime(Load{}, quantity.Watts(tt[0]), quantity.AmpereHours(tt[1]), quantity.Celsius(tt[2])); got.Err != finding.Sentence(GridInputMissing) {
			t.Errorf("%v: %+v", tt, got)
		}
	}
}

// What the load was that others are made like says nothing of a load that is asked for in its place.
func TestOtherNumbersForgetTheirLoad(t *testing.T) {
	var answers []quantity.Measured[quantity.Seconds]
	for _, was := range []quantity.Watts{5, 800} {
		like := Load{Name: "like", Duty: 0.5, Rest: 3, Power: quantity.Exact(was), Current: quantity.Exact(quantity.Amperes(was / 20))}
		got := unpointed(t, bank(t, nil)).RunTime(like, 60, 12, 20)
		if got.Err != "" {
			t.Fatal(got.Err)
		}
		answers = append(answers, got.End().Running)
	}
	if answers[0] != answers[1] || !answers[0].Known() {
		t.Errorf("%v", answers)
	}
}
