package predict

import (
	"math"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// The records of this file are a net under the checks against something from outside, which tell what is right: they say
// that whole answers are what they were, in every field. VOLTWRIGHT_UPDATE=1 writes them anew: read the difference.

// heldAnswers compares answers with the record of a name.
func heldAnswers(t *testing.T, name string, cases []recorded.Case) {
	t.Helper()
	recorded.Hold(t, "testdata/recorded/"+name+".txt", cases, "battery.Chemistry", "battery.Estimate", "battery.Cell", "predict.Run")
}

func answers(name string, b Bank, runs []Run, o Options) []recorded.Case {
	a := Compute(b, runs, o)
	return []recorded.Case{{Name: name, Value: a}}
}

func celsius(t float64) quantity.Measured[quantity.Celsius] {
	return quantity.Exact(quantity.Celsius(t))
}

// Packs without a run: a cutout, their own protection, and neither; steady loads of every sort.
func TestRecordOfPlainPacks(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	all = append(all, answers("lfp with a cutout", bank(t, nil), nil, Options{Asked: []Load{asked("power", battery.Delivering(150), 1), asked("less", battery.Delivering(60), 0.4)}})...)
	all = append(all, answers("nmc with its own protection", Bank{Packs: []Pack{packOf(t, "nmc", 7, 10, func(p *Pack) {
		p.Protection = &battery.Cutout{Opens: 19.5, ResetThreshold: 2, Trip: 40, Delay: 2}
		p.Resistance = quantity.Of[quantity.Ohms](0.06, 0.006)
		p.Capacity.U = 0.3
	})}}, nil, Options{Asked: []Load{asked("current", battery.Drawing(6), 1), asked("trips", battery.Drawing(41), 1)}})...)
	all = append(all, answers("agm to the floor, in the cold", Bank{Packs: []Pack{packOf(t, "lead-acid-agm", 12, 17, nil)}, Charger: battery.Charger{Current: 2, Volts: 28.8}}, nil,
		Options{OwnPacksOnly: true, HoldAmbient: true, Ambient: celsius(2), Asked: []Load{asked("across", battery.Across(12), 0.5)}})...)
	all = append(all, answers("nothing asked", bank(t, nil), nil, Options{})...)
	heldAnswers(t, "plain", all)
}

// What a cutout does: it chatters, never opens, or nobody says when it closes.
func TestRecordOfCutouts(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	all = append(all, answers("a cutout that chatters", bank(t, func(b *Bank) { b.Cutout.ResetThreshold = 0.4 }), nil, Options{OwnPacksOnly: true, Asked: []Load{asked("x", battery.Drawing(14), 1)}})...)
	all = append(all, answers("a cutout that never opens", bank(t, func(b *Bank) { b.Cutout.Opens = 3 }), nil, Options{OwnPacksOnly: true, Asked: []Load{asked("x", battery.Drawing(5), 1)}})...)
	all = append(all, answers("a cutout whose reset nobody states", bank(t, func(b *Bank) { b.Cutout.ResetThreshold = quantity.Volts(math.NaN()) }), nil, Options{OwnPacksOnly: true, Asked: []Load{asked("x", battery.Drawing(8), 1)}})...)
	heldAnswers(t, "cutouts", all)
}

// Several packs: twins, unlike in capacity, unlike in chemistry.
func TestRecordOfSeveralPacks(t *testing.T) {
	t.Parallel()
	one := packOf(t, "nmc", 5, 5, func(p *Pack) {
		p.Resistance = quantity.Of[quantity.Ohms](0.08, 0.004)
		p.Protection = &battery.Cutout{Opens: 14, ResetThreshold: 1, Trip: 30}
		p.Full = quantity.Exact(quantity.Volts(20.5))
	})
	other := one
	other.Name, other.Capacity = "larger", quantity.Exact(quantity.AmpereHours(8))
	unlike := packOf(t, "lfp", 5, 9, nil)
	o := Options{Asked: []Load{asked("power", battery.Delivering(90), 1)}}
	var all []recorded.Case
	all = append(all, answers("twins", Bank{Packs: []Pack{one, one}, Cutout: &battery.Cutout{Opens: 15.5, ResetThreshold: 0.5}}, nil, o)...)
	o.OwnPacksOnly = true
	all = append(all, answers("unlike in capacity", Bank{Packs: []Pack{one, other}}, nil, o)...)
	all = append(all, answers("unlike in chemistry", Bank{Packs: []Pack{one, unlike}}, nil, o)...)
	heldAnswers(t, "several", all)
}

// Packs that two runs have taught, and what else those runs give: loads, payloads, charges, cycles.
func TestRecordOfTaughtPacks(t *testing.T) {
	t.Parallel()
	b := bank(t, func(b *Bank) {
		b.Charger = battery.Charger{Current: 4}
		b.Packs[0].Capacity.U = 0.5
	})
	masses := NoMovedMasses()
	masses.Vehicle, masses.Payload, masses.NoLoadCurrent = kilograms(80), kilograms(150), quantity.Exact(quantity.Amperes(1))
	slow := plainLFP(4).run(t, "slow", func(r *Run) {
		r.Masses = masses
		r.Timing = &Timing{Part: math.NaN(), U: 20, Rule: "stops longer than 15 s are taken out", Stops: []Stop{{From: 460, To: 500, TakenOut: true}, {From: 1120, To: 1170, TakenOut: true}, {From: 1800, To: 1810}}}
	})
	quick := plainLFP(11).run(t, "quick", func(r *Run) {
		r.Masses = masses
		r.Masses.Payload = kilograms(60)
		r.Timing = &Timing{Part: 0.9, U: 30, Rule: "stops are taken out by what was timed"}
	})
	charge := Run{ID: "cart/1/charge", Slug: "charge", Name: "A charge", Kind: "charge", Charging: 3, Capacity: quantity.Missing[quantity.AmpereHours](), DischargedCharge: quantity.Missing[quantity.AmpereHours](), ChargedCharge: quantity.Exact(quantity.AmpereHours(14)), Power: quantity.Missing[quantity.Watts](),
		Ambient: quantity.Missing[quantity.Celsius](), Masses: NoMovedMasses()}
	heldAnswers(t, "taught", answers("two runs and a charge", b, []Run{slow, charge, quick}, Options{OwnPacksOnly: true, Masses: &masses}))
}

// What is asked of the runs otherwise: another payload, another vehicle, another share, counted as a run.
func TestRecordOfOtherQuestions(t *testing.T) {
	t.Parallel()
	b := bank(t, nil)
	masses := NoMovedMasses()
	masses.Vehicle, masses.Payload = kilograms(130), kilograms(350)
	payload := kilograms(40)
	downhill := carried(func(r *Run) {
		for k := 10; k < len(r.Rows.Current); k += 20 {
			r.Rows.Current[k] = -2
		}
		r.Masses.NoLoadCurrent = quantity.Exact(quantity.Amperes(1))
		r.Timing = &Timing{Part: math.NaN(), U: 5, Rule: "stops longer than a minute are taken out", Stops: []Stop{{From: 0, To: 20, TakenOut: true}, {From: 300, To: 330, TakenOut: true}, {From: 7150, To: 7200, TakenOut: true}}}
	})
	var all []recorded.Case
	all = append(all, answers("another vehicle", b, []Run{downhill}, Options{OwnPacksOnly: true, Masses: &masses})...)
	all = append(all, answers("another payload and share", b, []Run{downhill}, Options{OwnPacksOnly: true, Payload: &payload, Duty: 0.3})...)
	all = append(all, answers("counted like", b, []Run{carried(nil)}, Options{OwnPacksOnly: true, Asked: []Load{asked("x", battery.Delivering(120), 1)}, CountedLike: "hauled"})...)
	all = append(all, answers("counted like none", b, nil, Options{OwnPacksOnly: true, Asked: []Load{asked("x", battery.Delivering(120), 1)}, CountedLike: "none"})...)
	heldAnswers(t, "questions", all)
}

// Labels that the runs do not bear out, runs that contradict each other, and a resistance that is insisted on.
func TestRecordOfFalseLabels(t *testing.T) {
	t.Parallel()
	b := bank(t, func(b *Bank) { b.Packs[0].Capacity = quantity.Exact(quantity.AmpereHours(22)) })
	heldAnswers(t, "labels", answers("22 Ah on the label", b, []Run{plainLFP(7).run(t, "down", nil)}, Options{OwnPacksOnly: true}))
}

func TestRecordOfContradictingRuns(t *testing.T) {
	t.Parallel()
	b := Bank{Packs: []Pack{packOf(t, "nmc", 7, 9.6, func(p *Pack) {
		p.Resistance, p.Insisted = quantity.Exact(quantity.Ohms(0.2)), true
	})}, Cutout: &battery.Cutout{Opens: 22.4, ResetThreshold: quantity.Volts(math.NaN())}}
	faded := plainNMC(5)
	faded.holds = 6.5
	heldAnswers(t, "contradict", answers("9.1 Ah, then 6.5 Ah", b, []Run{plainNMC(5).run(t, "first", nil), faded.run(t, "later", nil)}, Options{OwnPacksOnly: true, HoldAmbient: true, Ambient: celsius(10)}))
}

func TestRecordOfLeadAcid(t *testing.T) {
	t.Parallel()
	b := Bank{Packs: []Pack{packOf(t, "lead-acid-agm", 12, 17, nil)}, Cutout: &battery.Cutout{Opens: 21, ResetThreshold: 2, Delay: 5}, Charger: battery.Charger{Current: 2}}
	half := plainAGM(3)
	half.longest = 9000
	half.holds = 16
	heldAnswers(t, "leadacid", answers("a run to half", b, []Run{half.run(t, "half", func(r *Run) { r.Capacity = quantity.Exact(quantity.AmpereHours(17)) })}, Options{OwnPacksOnly: true}))
}

// The points of one temperature for the page's script.
func TestRecordOfPoints(t *testing.T) {
	heldPoints(t, "points", bank(t, func(b *Bank) { b.Packs[0].Chemistry, b.Cutout.Opens = chemistry(t, "nmc"), 22.4 }), 15)
}

func TestRecordOfPointsInFrost(t *testing.T) {
	heldPoints(t, "frost", Bank{Packs: []Pack{packOf(t, "lead-acid-agm", 6, 12, nil)}}, -10)
}

func heldPoints(t *testing.T, name string, b Bank, ambient quantity.Celsius) {
	t.Helper()
	t.Parallel()
	k, _, _, err := calibrate(b, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	heldAnswers(t, name, []recorded.Case{{Name: name, Value: k.points(ambient)}})
}
