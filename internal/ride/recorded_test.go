package ride

import (
	"math"
	"slices"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/drive"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// The records of this file are a net under the checks against something from outside, which tell what is right: they say
// that whole answers are what they were, in every field. VOLTWRIGHT_UPDATE=1 writes them anew: read the difference.

// heldAnswers compares answers with the record of a name.
func heldAnswers(t *testing.T, name string, cases []recorded.Case) {
	t.Helper()
	recorded.Hold(t, "testdata/recorded/"+name+".txt", cases, "battery.Chemistry", "battery.Estimate", "battery.Cell", "ride.Run")
}

func answers(name string, b Bank, runs []Run, o Options) []recorded.Case {
	a := Answer(b, runs, o)
	return []recorded.Case{{Name: name, Value: a}, {Name: name + ", handed on", Value: a.Record()}}
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
		p.Resistance = quantity.Measured[quantity.Ohms]{Value: 0.06, U: 0.006}
		p.Capacity.U = 0.3
	})}}, nil, Options{Asked: []Load{asked("current", battery.Drawing(6), 1), asked("trips", battery.Drawing(41), 1)}})...)
	all = append(all, answers("agm to the floor, in the cold", Bank{Packs: []Pack{packOf(t, "lead-acid-agm", 12, 17, nil)}, Charger: battery.Charger{Current: 2, Volts: 28.8}}, nil,
		Options{Own: true, Hold: true, Ambient: celsius(2), Asked: []Load{asked("across", battery.Across(12), 0.5)}})...)
	all = append(all, answers("nothing asked", bank(t, nil), nil, Options{})...)
	heldAnswers(t, "plain", all)
}

// What a cutout does: it chatters, never opens, or nobody says when it closes.
func TestRecordOfCutouts(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	all = append(all, answers("a cutout that chatters", bank(t, func(b *Bank) { b.Cutout.ResetThreshold = 0.4 }), nil, Options{Own: true, Asked: []Load{asked("x", battery.Drawing(14), 1)}})...)
	all = append(all, answers("a cutout that never opens", bank(t, func(b *Bank) { b.Cutout.Opens = 3 }), nil, Options{Own: true, Asked: []Load{asked("x", battery.Drawing(5), 1)}})...)
	all = append(all, answers("a cutout whose reset nobody states", bank(t, func(b *Bank) { b.Cutout.ResetThreshold = quantity.Volts(math.NaN()) }), nil, Options{Own: true, Asked: []Load{asked("x", battery.Drawing(8), 1)}})...)
	heldAnswers(t, "cutouts", all)
}

// Several packs: twins, unlike in capacity, unlike in chemistry.
func TestRecordOfSeveralPacks(t *testing.T) {
	t.Parallel()
	one := packOf(t, "nmc", 5, 5, func(p *Pack) {
		p.Resistance = quantity.Measured[quantity.Ohms]{Value: 0.08, U: 0.004}
		p.Protection = &battery.Cutout{Opens: 14, ResetThreshold: 1, Trip: 30}
		p.Full = quantity.Exact(quantity.Volts(20.5))
	})
	other := one
	other.Name, other.Capacity = "larger", quantity.Exact(quantity.AmpereHours(8))
	unlike := packOf(t, "lfp", 5, 9, nil)
	o := Options{Asked: []Load{asked("power", battery.Delivering(90), 1)}}
	var all []recorded.Case
	all = append(all, answers("twins", Bank{Packs: []Pack{one, one}, Cutout: &battery.Cutout{Opens: 15.5, ResetThreshold: 0.5}}, nil, o)...)
	o.Own = true
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
	masses := NothingMoved()
	masses.Vehicle, masses.Payload, masses.Idle = kilograms(80), kilograms(150), quantity.Exact(quantity.Amperes(1))
	slow := plainLFP(4).run(t, "slow", func(r *Run) {
		r.Moved = masses
		r.Timing = &Timing{Part: math.NaN(), U: 20, Rule: "stops longer than 15 s are taken out", Halts: []Halt{{From: 460, To: 500, Out: true}, {From: 1120, To: 1170, Out: true}, {From: 1800, To: 1810}}}
	})
	quick := plainLFP(11).run(t, "quick", func(r *Run) {
		r.Moved = masses
		r.Moved.Payload = kilograms(60)
		r.Timing = &Timing{Part: 0.9, U: 30, Rule: "stops are taken out by what was timed"}
	})
	charge := Run{ID: "cart/1/charge", Slug: "charge", Name: "A charge", Kind: "charge", Charging: 3, Capacity: quantity.Missing[quantity.AmpereHours](), Out: quantity.Missing[quantity.AmpereHours](), In: quantity.Exact(quantity.AmpereHours(14)), Power: quantity.Missing[quantity.Watts](),
		Ambient: quantity.Missing[quantity.Celsius](), Moved: NothingMoved()}
	heldAnswers(t, "taught", answers("two runs and a charge", b, []Run{slow, charge, quick}, Options{Own: true, Masses: &masses}))
}

// What is asked of the runs otherwise: another payload, another vehicle, another share, counted as a run.
func TestRecordOfOtherQuestions(t *testing.T) {
	t.Parallel()
	b := bank(t, nil)
	masses := NothingMoved()
	masses.Vehicle, masses.Payload = kilograms(130), kilograms(350)
	payload := kilograms(40)
	downhill := carried(func(r *Run) {
		for k := 10; k < len(r.Rows.Current); k += 20 {
			r.Rows.Current[k] = -2
		}
		r.Moved.Idle = quantity.Exact(quantity.Amperes(1))
		r.Timing = &Timing{Part: math.NaN(), U: 5, Rule: "stops longer than a minute are taken out", Halts: []Halt{{From: 0, To: 20, Out: true}, {From: 300, To: 330, Out: true}, {From: 7150, To: 7200, Out: true}}}
	})
	var all []recorded.Case
	all = append(all, answers("another vehicle", b, []Run{downhill}, Options{Own: true, Masses: &masses})...)
	all = append(all, answers("another payload and share", b, []Run{downhill}, Options{Own: true, Payload: &payload, Duty: 0.3})...)
	all = append(all, answers("counted like", b, []Run{carried(nil)}, Options{Own: true, Asked: []Load{asked("x", battery.Delivering(120), 1)}, Like: "hauled"})...)
	all = append(all, answers("counted like none", b, nil, Options{Own: true, Asked: []Load{asked("x", battery.Delivering(120), 1)}, Like: "none"})...)
	heldAnswers(t, "questions", all)
}

// Labels that the runs do not bear out, runs that contradict each other, and a resistance that is insisted on.
func TestRecordOfFalseLabels(t *testing.T) {
	t.Parallel()
	b := bank(t, func(b *Bank) { b.Packs[0].Capacity = quantity.Exact(quantity.AmpereHours(22)) })
	heldAnswers(t, "labels", answers("22 Ah on the label", b, []Run{plainLFP(7).run(t, "down", nil)}, Options{Own: true}))
}

func TestRecordOfContradictingRuns(t *testing.T) {
	t.Parallel()
	b := Bank{Packs: []Pack{packOf(t, "nmc", 7, 9.6, func(p *Pack) {
		p.Resistance, p.Insisted = quantity.Exact(quantity.Ohms(0.2)), true
	})}, Cutout: &battery.Cutout{Opens: 22.4, ResetThreshold: quantity.Volts(math.NaN())}}
	faded := plainNMC(5)
	faded.holds = 6.5
	heldAnswers(t, "contradict", answers("9.1 Ah, then 6.5 Ah", b, []Run{plainNMC(5).run(t, "first", nil), faded.run(t, "later", nil)}, Options{Own: true, Hold: true, Ambient: celsius(10)}))
}

func TestRecordOfLeadAcid(t *testing.T) {
	t.Parallel()
	b := Bank{Packs: []Pack{packOf(t, "lead-acid-agm", 12, 17, nil)}, Cutout: &battery.Cutout{Opens: 21, ResetThreshold: 2, Delay: 5}, Charger: battery.Charger{Current: 2}}
	half := plainAGM(3)
	half.longest = 9000
	half.holds = 16
	heldAnswers(t, "leadacid", answers("a run to half", b, []Run{half.run(t, "half", func(r *Run) { r.Capacity = quantity.Exact(quantity.AmpereHours(17)) })}, Options{Own: true}))
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

// How a version drives, with what is stated and what is not.
func TestRecordOfDrives(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	add := func(name string, change func(*Haul)) {
		h := garden(t)
		if change != nil {
			change(&h)
		}
		d := Drive(h)
		all = append(all, recorded.Case{Name: name, Value: d})
		if slices.Contains([]string{"everything stated", "on a floor", "too steep for it", "nothing known"}, name) {
			all = append(all, recorded.Case{Name: name + ", figures", Value: d.Figures()}, recorded.Case{Name: name + ", handed on", Value: d.Record()})
		}
	}
	add("as it is", nil)
	add("everything stated", func(h *Haul) {
		h.Copper, h.Insulation, h.Rated = quantity.Measured[quantity.Kilograms]{Value: 0.4, U: 0.04}, "F", quantity.Exact(quantity.Amperes(12))
		h.PackLeads, h.MotorLeads, h.LeadsLeft = quantity.Measured[quantity.Ohms]{Value: 0.01, U: 0.002}, quantity.Exact(quantity.Ohms(0.004)), 2
		h.Limit, h.DragArea, h.Wanted = quantity.Exact(quantity.Amperes(40)), quantity.Exact(quantity.Number(0.6)), quantity.Exact(quantity.MetresPerSecond(1.4))
		h.Reaction, h.GearEfficiency = quantity.Exact(quantity.Seconds(1)), quantity.Measured[quantity.Fraction]{Value: 0.85, U: 0.02}
		h.Vehicle.U, h.Payload.U = 2, 5
		cruise := drive.OneIn(200)
		h.Cruise = &cruise
		h.Wagons = []drive.Wagon{{Mass: 90}, {Mass: 40, Rolling: 0.02}}
		h.Runs = []HauledRun{
			{ID: "a", Name: "A", Payload: kilograms(120), Ground: "steel-rail", Setting: quantity.Exact(quantity.Fraction(0.6)), Volts: quantity.Measured[quantity.Volts]{Value: 25.6, U: 0.1},
				Top: quantity.Measured[quantity.MetresPerSecond]{Value: 1.2, U: 0.05}, Mean: quantity.Measured[quantity.MetresPerSecond]{Value: 0.9, U: 0.02}, PerDistance: quantity.Measured[quantity.WattHoursPerKilometre]{Value: 22, U: 1}},
			{ID: "b", Name: "B", Payload: kilograms(0), Ground: "grass", Setting: quantity.Missing[quantity.Fraction](), Volts: quantity.Missing[quantity.Volts](),
				Top: quantity.Missing[quantity.MetresPerSecond](), Mean: quantity.Exact(quantity.MetresPerSecond(2)), PerDistance: quantity.Exact(quantity.WattHoursPerKilometre(2))},
			{ID: "c", Name: "C", WheelsUp: true, Payload: kilograms(0)},
		}
	})
	add("a child and a switch", func(h *Haul) {
		h.Control, h.ChildAge, h.Inattentive, h.Payload = BySwitch, 9, true, quantity.Missing[quantity.Kilograms]()
		h.Motors, h.Ground = 1, "grass"
		h.Deceleration, h.BrakeForce = quantity.Missing[quantity.MetresPerSecondSquare](), quantity.Measured[quantity.Newtons]{Value: 150, U: 15}
		h.PackLeads, h.LeadsLeft = quantity.Exact(quantity.Ohms(0.006)), 1
	})
	add("by resistor, in the wheel", func(h *Haul) {
		h.Control, h.Ratio, h.Ground, h.Hill = ByResistor, quantity.Exact(quantity.Number(1)), "asphalt", nil
		h.Copper, h.NoLeads = quantity.Exact(quantity.Kilograms(0.3)), "a lead ends nowhere"
		h.Bank.Cutout, h.Bank.Packs[0].Resistance = nil, quantity.Missing[quantity.Ohms]()
	})
	add("too steep for it", func(h *Haul) {
		g := drive.Grade(0.9)
		h.Hill, h.Wanted = &g, quantity.Exact(quantity.MetresPerSecond(9))
		h.Bank.Packs[0].Full = quantity.Exact(quantity.Volts(27))
	})
	add("a plate by its rated point, and no control stated", func(h *Haul) {
		h.Plate.Resistance, h.Plate.StallCurrent = quantity.Missing[quantity.Ohms](), quantity.Exact(quantity.Amperes(96))
		h.Control, h.Setting, h.Efficiency = "", quantity.Missing[quantity.Fraction](), quantity.Missing[quantity.Fraction]()
		h.Ground = "asphalt"
	})
	add("power, speed and current on the plate", func(h *Haul) {
		h.Plate.Resistance = quantity.Missing[quantity.Ohms]()
		h.Plate.Power, h.Plate.Speed, h.Plate.Current = quantity.Exact(quantity.Watts(250)), quantity.Exact(quantity.RevolutionsPerMinute(2380)), quantity.Exact(quantity.Amperes(13.7))
	})
	add("on a floor", func(h *Haul) { h.Ground = "floor" })
	add("nothing known", func(h *Haul) { *h = NothingHauled() })
	heldAnswers(t, "drives", all)
}

// recordedCircuits have each sort of part, with and without a cutout, and one has faults where it is spoilt.
var recordedCircuits = []string{"01-barrow-switch", "06-two-packs", "11-lamps-and-horn", "14-charging", "19-limited"}

// Worked circuits, computed and handed on.
func TestRecordOfWirings(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	for _, name := range recordedCircuits {
		x, err := circuittest.Named(name)
		if err != nil {
			t.Fatal(err)
		}
		w := Wire(&x.Circuit, x.Points)
		all = append(all, recorded.Case{Name: x.Name, Value: w.Record()})
		if name != "01-barrow-switch" {
			continue
		}
		spoilt := append([]circuit.OperatingPoint{{Name: "of a part that is none", Parts: map[string]circuit.State{"none": {}}}}, x.Points...)
		all = append(all, recorded.Case{Name: x.Name + ", one point spoilt", Value: Wire(&x.Circuit, spoilt).Record()})
		faulty := x.Circuit
		faulty.Leads = append([]circuit.Lead{{From: circuit.Terminal{Part: "nowhere", Name: "x"}, To: faulty.Leads[0].To}}, faulty.Leads...)
		all = append(all, recorded.Case{Name: x.Name + ", a lead to nowhere", Value: Wire(&faulty, x.Points).Record()})
	}
	// One of which little is stated: no resistance, no length, a lead with a stripe, at another table.
	x, err := circuittest.Named("03-barrow-controller")
	if err != nil {
		t.Fatal(err)
	}
	bare := x.Circuit
	bare.Parts, bare.Leads, bare.Table = slices.Clone(bare.Parts), slices.Clone(bare.Leads), circuit.ElectricalCode
	for i := range bare.Parts {
		bare.Parts[i].Resistance, bare.Parts[i].Efficiency, bare.Parts[i].Volts = 0, 0, 0
	}
	bare.Leads[0].Length, bare.Leads[1].Stripe, bare.Leads[2].Size = 0, "white", circuit.Size{}
	all = append(all, recorded.Case{Name: "little stated", Value: Wire(&bare, x.Points).Record()})
	heldAnswers(t, "wirings", all)
}
