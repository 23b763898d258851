package study

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// A pack whose resistance nobody stated has that of its chemistry in the wiring,
// or what its runs taught; a short is computed with the least that it may be.
func TestPackWithoutResistance(t *testing.T) {
	v := fixture(t, "1-sound")
	stated := v.Packs[0].Resistance
	if !stated.Known() {
		t.Fatal("the fixture states no resistance")
	}
	v.Packs[0].Resistance = notes.Value[quantity.Ohms]{}
	pack := func(c *circuit.Circuit) circuit.Part {
		for _, p := range c.Parts {
			if p.Kind == circuit.Pack {
				return p
			}
		}
		t.Fatal("no pack")
		return circuit.Part{}
	}
	c, _ := Circuit(v, nil)
	chemistry, err := battery.ChemistryNamed(string(v.Packs[0].Chemistry.Value))
	if err != nil {
		t.Fatal(err)
	}
	cell, err := chemistry.TypicalResistance(v.Packs[0].Capacity.Stated())
	if err != nil {
		t.Fatal(err)
	}
	typical := float64(cell.Value) * float64(v.Packs[0].Series.Value)
	p := pack(c)
	if math.Abs(float64(p.Resistance)/typical-1) > 1e-12 || !strings.Contains(p.Taken, "typical of "+chemistry.Title) || !(p.Least > 0 && p.Least < p.Resistance) {
		t.Errorf("%g Ω, least %g Ω, %q; typical is %g", float64(p.Resistance), float64(p.Least), p.Taken, typical)
	}
	results := NewResults()
	results.Predictions = map[string]*predict.Prediction{v.Path(): {Basis: predict.Basis{Calibrated: true, Values: []battery.Value{
		{Name: predict.ResistanceAfter10s, Quantity: quantity.Quantity{Dimension: quantity.Resistance, Value: 0.03, U: 0.002}}}}}}
	w := Wiring(v, results)
	if p = pack(w.Circuit); p.Resistance != 0.03 || math.Abs(float64(p.Least)-0.026) > 1e-12 || !strings.Contains(p.Taken, "learned from its runs") {
		t.Errorf("learned: %g Ω, least %g Ω, %q", float64(p.Resistance), float64(p.Least), p.Taken)
	}
	for _, verdict := range w.Verdicts {
		if strings.Contains(verdict.CannotJudge, "the resistance of "+p.Name) {
			t.Errorf("%s: %s", verdict.Rule, verdict.CannotJudge)
		}
	}
	said := false
	for _, s := range w.Solutions {
		for _, a := range s.Assumed {
			said = said || strings.Contains(a.Text, "30 mΩ are taken, learned from its runs")
		}
	}
	if !said {
		t.Error("what is taken does not stand among the assumptions")
	}
	v.Packs[0].Resistance = stated
	if c, _ = Circuit(v, nil); pack(c).Taken != "" || pack(c).Resistance != stated.Value {
		t.Errorf("a stated resistance: %+v", pack(c))
	}
}

// Packs side by side: 1/R is the sum of 1/Rₙ; of what is guessed the least is a third at least.
func TestBankResistance(t *testing.T) {
	v := fixture(t, "1-sound")
	one := v.Packs[0]
	one.Resistance = notes.Value[quantity.Ohms]{Measured: quantity.Exact(quantity.Ohms(0.03)), Set: true}
	two := one
	two.Resistance.Measured = quantity.Exact(quantity.Ohms(0.06))
	v.Packs = []journal.Pack{one, two}
	if r, taken := BankResistance(v, nil); math.Abs(float64(r.Value)-0.02) > 1e-12 || taken != "" {
		t.Errorf("stated: %s, %q", r, taken)
	}
	v.Packs[1].Resistance = notes.Value[quantity.Ohms]{Measured: quantity.Missing[quantity.Ohms]()}
	guess, _ := packOf(&v.Packs[1]).TypicalResistance()
	want := 1 / (1/0.03 + 1/float64(guess.Value))
	r, taken := BankResistance(v, nil)
	if math.Abs(float64(r.Value)/want-1) > 1e-12 || math.Abs(float64(r.U/r.Value)/float64(guess.U/guess.Value)-1) > 1e-12 || !strings.HasPrefix(taken, "typical of ") {
		t.Errorf("one guessed: %s, %q, want %g Ω", r, taken, want)
	}
	if least := LeastOf(r); math.Abs(float64(least)-want/3) > 1e-12 {
		t.Errorf("the least of a wide guess: %g Ω, want %g", float64(least), want/3)
	}
	if least := LeastOf(quantity.Of[quantity.Ohms](0.05, 0.005)); math.Abs(float64(least)-0.04) > 1e-12 {
		t.Errorf("the least of 50 mΩ ± 10 mΩ: %g Ω", float64(least))
	}
	if r, _ := BankResistance(&journal.Version{}, nil); r.Known() {
		t.Errorf("no packs: %s", r)
	}
}

// What is typical goes by what the runs showed of a capacity: a tenfold lesser one has ten times the resistance, in the
// bank, in the wiring and in the drive alike. Unlike packs have no learned resistance, as one logger sees them as one.
func TestTypicalOfTheLearnedCapacity(t *testing.T) {
	v := fixture(t, "1-sound")
	other := v.Packs[0]
	other.Name.Text, other.Capacity.Value = "another", 2*other.Capacity.Value
	v.Packs = append(v.Packs, other)
	for i := range v.Packs {
		v.Packs[i].Resistance = notes.Value[quantity.Ohms]{Measured: quantity.Missing[quantity.Ohms]()}
	}
	results := NewResults()
	wired := func() quantity.Ohms {
		for _, p := range Wiring(v, results).Circuit.Parts {
			if p.Kind == circuit.Pack {
				return p.Resistance
			}
		}
		t.Fatal("no pack")
		return 0
	}
	hauled := func() quantity.Ohms { return DriveInput(v, results).Supply.Resistance.Value }
	stated, _ := BankResistance(v, nil)
	before, drive := wired(), hauled()
	holds := quantity.Of(v.Capacity().Value/10, v.Capacity().Value/200)
	results.Predictions = map[string]*predict.Prediction{v.Path(): {Capacity: holds, Basis: predict.Basis{Calibrated: true}}}
	held, _ := BankResistance(v, results.Predictions[v.Path()])
	for what, ratio := range map[string]float64{"bank": float64(held.Value / stated.Value), "wiring": float64(wired() / before), "drive": float64(hauled() / drive)} {
		if math.Abs(ratio-10) > 0.01 {
			t.Errorf("%s: %g times the resistance", what, ratio)
		}
	}
	results.Predictions[v.Path()].Basis.Calibrated = false
	if wired() != before || hauled() != drive {
		t.Error("a capacity that no log taught is taken")
	}
}
