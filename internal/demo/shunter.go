package demo

import (
	"math"
	"time"
)

var shunterLogs = []log{
	{"shunter/1-lead-acid/bench-2024-05-18.csv", shunterLampBank},
	{"shunter/1-lead-acid/field-2024-06-15.csv", shunterGala},
	{"shunter/1-lead-acid/charge-2024-06-15.tsv", shunterNightCharge},
	{"shunter/2-lifepo4/bench-2025-03-08.csv", shunterWheelsUp},
	{"shunter/2-lifepo4/field-2025-04-27.csv", shunterThinMargin},
	{"shunter/3-second-pack/bench-2026-02-21.csv", shunterRunDown},
	{"shunter/3-second-pack/field-2026-04-12.csv", shunterOpenDay},
	{"shunter/3-second-pack/charge-2026-04-12.csv", shunterCharge},
}

// agm is the shunter's first battery: two 12 V blocks in series. Of the 36 Ah on the label, about 29 can be had in
// three to four hours.
func agm(soc float64) *pack {
	return &pack{
		curve: leadAcid, series: 12, capacity: 29, ohms: 0.031, slowOhms: 0.034, slowTime: 95,
		heat: 19000, cooling: 1.9, soc: soc,
		accept: func(soc float64) float64 { return 0.07 + 0.6*math.Exp((soc-0.8)/0.068) },
	}
}

// iron is one lithium iron phosphate pack, 8 cells in series. Label and measured capacity are close here.
func iron(capacity, ohms, soc float64) *pack {
	return &pack{
		curve: lfp, series: 8, capacity: capacity, ohms: ohms, slowOhms: 1.1 * ohms, slowTime: 64,
		heat: 5600, cooling: 1.1, soc: soc,
	}
}

// loop is the club's line: 268 m round, a climb of 1 in 80 behind the greenhouses, two halts.
func loop(once ...halt) line {
	return line{
		length: 268,
		grades: []grade{{58, 122, 1.0 / 80}, {176, 240, -1.0 / 80}},
		halts:  []halt{{40, 34, 9}, {205, 62, 16}},
		once:   once,
	}
}

// train is the shunter with its load in kilograms.
func train(mass float64) carriage {
	return carriage{
		mass: mass, rolling: 0.0145, efficiency: 0.63, grip: 9.5, copper: 0.16, standing: 0.22,
		cruise: 1.55, pull: 0.28, brake: 0.34,
	}
}

func shunterLampBank() []byte {
	s := newOuting(11, 16.5, 0.5, 12, agm(1))
	s.rest(120, 0)
	for s.volts > 22.2 {
		s.hold(12, func(_, volts float64) float64 { return volts / 2.86 })
	}
	s.rest(1500, 0)
	d := dress{
		head: []string{"time_s", "voltage_V", "current_A", "case_C"}, separator: ",",
		meters: []meter{
			{voltage, 0.01, 2, 0.0011, 0, 0.006},
			{current, 0.01, 2, -0.004, 0.01, 0.012},
			{temperature, 0.1, 1, 0, 0.3, 0.05},
		},
	}
	d.clock = d.seconds(0)
	return s.write(d, fault{kind: lost, from: 402, to: 423})
}

func shunterGala() []byte {
	s := newOuting(12, 19, 0.1, 1, agm(0.41))
	s.rest(40, 0.22)
	s.drive(train(428), loop(halt{905, 205, 1}), 2950)
	s.rest(95, 0.22)
	d := dress{
		head: []string{"t", "U", "I", "v", "s"}, units: []string{"s", "V", "A", "km/h", "m"},
		separator: ";", comma: true,
		meters: []meter{
			{voltage, 0.01, 2, 0.0011, 0, 0.012},
			{current, 0.1, 1, 0.003, 0, 0.09},
			{kilometresPerHour, 0.1, 1, 0.002, 0, 0.05},
			{distance, 0.1, 1, 0.0015, 0, 0},
		},
	}
	d.clock = d.seconds(0)
	return s.write(d, fault{kind: repeated, from: 1204, to: 1205})
}

func shunterNightCharge() []byte {
	p := agm(0.27)
	s := newOuting(13, 14.5, 1, 8, p)
	p.celsius = 17.8
	s.rest(64, 0)
	s.charge(6.2, 28.7, 0.52, 8*3600-64)
	for s.now() < 8*3600 {
		s.advance(math.Max(-0.52, s.bank.into(27.3)))
	}
	began := time.Date(2024, 6, 15, 20, 42, 10, 0, time.UTC)
	return s.write(dress{
		preamble: []string{
			"# bench recorder, channel 1 pack, channel 2 shunt 50 A, channel 3 probe on block A",
			"# charging is positive",
			"# the shed clock keeps summer time; this recorder keeps UTC",
		},
		head: []string{"timestamp", "voltage/V", "current/A", "temperature/degC"}, separator: "\t",
		clock: calendar(began, "2006-01-02T15:04:05Z"),
		meters: []meter{
			{voltage, 0.001, 3, -0.0006, 0.002, 0.0015},
			{charging, 0.005, 3, 0.002, 0.003, 0.006},
			{temperature, 0.1, 1, 0, -0.2, 0.06},
		},
	}, fault{kind: blank, from: 2110, to: 2123, column: 2})
}

func shunterWheelsUp() []byte {
	s := newOuting(21, 9, 0.02, 0.1, iron(20.6, 0.017, 0.97))
	// The motors turn free: a short rush while the armatures gather speed, then the idle current of the setting.
	spin := func(rush, idle float64) func(t, volts float64) float64 {
		return func(t, _ float64) float64 { return idle + rush*math.Exp(-t/0.55) }
	}
	s.rest(4, 0.18)
	s.hold(9, spin(11.5, 2.1))
	s.hold(9, spin(7.2, 2.9))
	s.hold(8, spin(9.4, 4.2))
	s.rest(6.1, 0.18)
	return s.write(dress{
		head: []string{"t_ms", "U_pack_V", "I_pack_A"}, separator: ",", clock: milliseconds,
		meters: []meter{
			{voltage, 0.005, 3, 0.0007, 0, 0.006},
			{current, 0.02, 2, 0.002, 0, 0.05},
		},
	})
}

func shunterThinMargin() []byte {
	s := newOuting(22, 13, 0.1, 2, iron(20.6, 0.017, 0.995))
	s.cutout = &cutout{opens: 24.0, delay: 2}
	s.rest(60, 0.22)
	s.drive(train(561), loop(halt{1490, 260, 1}, halt{5230, 540, 1}), 20000)
	s.rest(1100, 0)
	return s.write(dress{
		head: []string{"elapsed", "volts", "amps", "metres"}, separator: ",", clock: hours,
		meters: []meter{
			{voltage, 0.01, 2, 0.0004, 0, 0.008},
			{current, 0.05, 2, 0.002, 0, 0.04},
			{distance, 0.1, 1, -0.001, 0, 0},
		},
	},
		fault{kind: wrong, from: 1733, to: 1734, column: 0, text: "--.--"},
		fault{kind: lost, from: 2950, to: 2971},
	)
}

func shunterRunDown() []byte {
	s := newOuting(31, 11, 0.5, 5, iron(20.1, 0.0175, 1), iron(20.7, 0.0150, 1))
	s.cutout = &cutout{opens: 24.6, delay: 3}
	s.rest(90, 0.012)
	for !s.dead() {
		s.hold(60, func(_, volts float64) float64 { return volts / 1.78 })
	}
	s.rest(1800, 0)
	began := time.Date(2026, 2, 21, 10, 5, 0, 0, time.UTC)
	return s.write(dress{
		head:  []string{"time", "pack voltage", "pack current", "case temperature"},
		units: []string{"", "V", "A", "°C"}, separator: ",",
		clock: calendar(began, "2006-01-02T15:04:05Z"),
		meters: []meter{
			{voltage, 0.005, 3, 0.0005, 0, 0.003},
			{current, 0.02, 2, -0.0015, 0, 0.02},
			{temperature, 0.1, 1, 0, 0.1, 0.05},
		},
	}, fault{kind: wrong, from: 911, to: 912, column: 2, text: "OPEN"})
}

func shunterOpenDay() []byte {
	s := newOuting(32, 12.5, 0.1, 2, iron(20.1, 0.0175, 0.995), iron(20.7, 0.0150, 0.995))
	s.rest(50, 0.22)
	s.drive(train(446), loop(halt{2410, 395, 1}, halt{6020, 1260, 1}), 8308)
	s.rest(120, 0.22)
	d := dress{
		preamble:  []string{"# trip 14, wheel 125,0 mm, log interval 2 s"},
		head:      []string{"Time", "Battery (V)", "Current (A)", "Speed (km/h)", "Trip (m)", "Battery temp (°C)"},
		separator: ";", comma: true, bom: true, crlf: true, clock: hours,
		meters: []meter{
			{voltage, 0.01, 2, 0.0005, 0, 0.009},
			{current, 0.05, 2, -0.0015, 0, 0.04},
			{kilometresPerHour, 0.1, 1, 0.002, 0, 0.05},
			{distance, 1, 0, 0.0015, 0, 0},
			{temperature, 0.5, 1, 0, 0.1, 0.1},
		},
	}
	return s.write(d,
		fault{kind: repeated, from: 860, to: 861},
		fault{kind: wrong, from: 2204, to: 2205, column: 1, text: "OL"},
	)
}

func shunterCharge() []byte {
	a, b := iron(20.1, 0.0175, 0.36), iron(20.7, 0.0150, 0.36)
	s := newOuting(33, 12, 0.5, 6, a, b)
	a.celsius, b.celsius = 15, 15
	s.rest(60, 0.012)
	s.charge(9.8, 28.7, 1, 5*3600)
	s.rest(900, 0.012)
	return s.write(dress{
		preamble: []string{"// charger log, minutes since start, current into the packs is positive"},
		head:     []string{"minutes", "voltage (V)", "current (A)", "temperature (C)"}, separator: ", ",
		clock: minutes(2),
		meters: []meter{
			{voltage, 0.01, 2, 0.0005, 0, 0.004},
			{charging, 0.02, 2, -0.0015, 0, 0.02},
			{temperature, 0.1, 1, 0, 0.1, 0.05},
		},
	})
}
