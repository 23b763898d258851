package demo

import "time"

var barrowLogs = []log{
	{"barrow/1-li-ion/bench-2025-05-17.txt", barrowWheelsUp},
	{"barrow/1-li-ion/charge-2025-05-10.csv", barrowCharge},
	{"barrow/2-larger-pack/field-2026-05-09.csv", barrowCompost},
	{"barrow/2-larger-pack/rest-2026-05-09.txt", barrowRest},
}

// cobalt is one nickel manganese cobalt pack, 10 cells in series.
func cobalt(capacity, ohms, soc float64) *pack {
	return &pack{
		curve: nmc, series: 10, capacity: capacity, ohms: ohms, slowOhms: 0.7 * ohms, slowTime: 62,
		heat: 2900, cooling: 0.8, soc: soc,
	}
}

// path is the way from the compost bays up to the plots and back, 190 m for the round, 1 in 11 at its steepest.
func path(once ...halt) line {
	return line{
		length: 190,
		grades: []grade{{14, 52, 1.0 / 16}, {52, 84, 1.0 / 11}, {106, 138, -1.0 / 11}, {138, 176, -1.0 / 16}},
		halts:  []halt{{95, 74, 19}, {188, 98, 26}},
		once:   once,
	}
}

func barrow(mass float64) carriage {
	return carriage{
		mass: mass, rolling: 0.055, efficiency: 0.66, grip: 14, copper: 0.21, standing: 0.09,
		cruise: 1.15, pull: 0.35, brake: 0.5,
	}
}

func barrowWheelsUp() []byte {
	s := newOuting(41, 18, 0.05, 0.5, cobalt(7.9, 0.112, 0.9))
	s.rest(20, 0.09)
	for _, amps := range []float64{0.74, 1.18, 1.93} {
		s.hold(60, func(_, _ float64) float64 { return amps + 0.04*s.rng.NormFloat64() })
	}
	s.rest(40, 0.09)
	d := dress{
		head: []string{"seconds", "volt", "ampere"}, separator: "\t",
		meters: []meter{
			{voltage, 0.01, 2, -0.0008, 0, 0.006},
			{current, 0.01, 2, 0.006, 0, 0.01},
		},
	}
	d.clock = d.seconds(1)
	return s.write(d)
}

func barrowCharge() []byte {
	s := newOuting(42, 17, 0.5, 4, cobalt(7.9, 0.112, 0.31))
	s.rest(32, 0)
	s.charge(2.0, 41.8, 0.16, 6*3600)
	s.rest(300, 0)
	return s.write(dress{
		head: []string{"Time", "Voltage", "Current"}, units: []string{"h:mm:ss", "V", "A"}, separator: ",",
		bom: true, crlf: true, clock: hours,
		meters: []meter{
			{voltage, 0.01, 2, -0.0008, 0, 0.005},
			{charging, 0.001, 3, 0.003, 0, 0.004},
		},
	})
}

func barrowCompost() []byte {
	s := newOuting(51, 15, 0.1, 1, cobalt(19.4, 0.058, 0.98))
	s.rest(30, 0.09)
	s.drive(barrow(152), path(halt{610, 840, 1}), 190*12)
	s.rest(60, 0.09)
	began := time.Date(2026, 5, 9, 9, 31, 20, 0, time.FixedZone("", 3600))
	return s.write(dress{
		head:  []string{"when", "voltage", "current", "speed", "distance"},
		units: []string{"", "V", "A", "m/s", "m"}, separator: ",",
		clock: calendar(began, time.RFC3339),
		meters: []meter{
			{voltage, 0.01, 2, 0.0003, 0, 0.012},
			{current, 0.05, 2, 0.002, 0, 0.03},
			{metresPerSecond, 0.01, 2, 0.002, 0, 0.012},
			{distance, 0.1, 1, -0.002, 0, 0},
		},
	},
		// The logger sets its clock once it has heard the time signal.
		fault{kind: stepped, from: 41, seconds: -13},
		// One binary digit read wrong: 256 hundredths of a volt too many.
		fault{kind: wrong, from: 1466, to: 1467, column: 0, text: "43.70"},
	)
}

func barrowRest() []byte {
	p := cobalt(19.4, 0.058, 0.62)
	s := newOuting(52, 16, 0.5, 15, p)
	p.slow, p.celsius = 0.21, 19.5
	s.rest(2*3600+600, 0.004)
	d := dress{
		head: []string{"t_s", "U_V", "I_A", "T_C"}, separator: " ",
		meters: []meter{
			{voltage, 0.001, 3, 0.0003, 0, 0.0012},
			{current, 0.001, 3, 0, 0, 0.0006},
			{temperature, 0.1, 1, 0, 0.1, 0.05},
		},
	}
	d.clock = d.seconds(0)
	return s.write(d)
}
