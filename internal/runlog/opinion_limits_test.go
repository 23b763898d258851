package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/recorded"
)

// limit is a log about one limit of a rule: what is on its two sides.
type limit struct {
	name, rule string
	text       func(x float64) string
	sides      []float64
}

// flat writes a log of a voltage, a current and more, a row a step.
func flat(head string, rows int, step float64, more func(k int) []float64) string {
	return table("time (s),voltage (V),current (A)"+head, rows, func(k int) []float64 {
		return append([]float64{float64(k) * step}, more(k)...)
	})
}

// headSays is the same of a current whose head says which way it flows.
func headSays(text string) string {
	return strings.Replace(text, "current (A)", "discharge current (A)", 1)
}

// driven is a way at two metres a second, whose distance column rises so many times as fast in the rows of a stretch.
func driven(times float64, from, to, rows int) string {
	metres := 0.0
	return flat(",speed (m/s),distance (m)", rows, 1, func(k int) []float64 {
		row := []float64{25, 5, 2, metres}
		if k >= from && k < to {
			metres += 2 * times
		} else {
			metres += 2
		}
		return row
	})
}

// spaced is a log of five amperes whose rows are a second apart, but for those that the function says.
func spaced(rows int, step func(k int) float64) string {
	at := 0.0
	return table("time (s),voltage (V),current (A)", rows, func(k int) []float64 {
		if k > 0 {
			at += step(k)
		}
		return []float64{at, 25 - at/1e5, 5}
	})
}

func scaled(rows int, from, to int, current, inside, volts float64) string {
	return flat("", rows, 1, func(k int) []float64 {
		if k >= from && k < to {
			return []float64{25 - volts, inside}
		}
		return []float64{25, current}
	})
}

var limits = []limit{
	{"speed and distance apart by a factor", "log-distance-disagrees", func(x float64) string { return driven(1/x, 0, 100, 100) }, []float64{0.66, 0.67, 0.895, 0.905, 1, 1.095, 1.105, 1.49, 1.51}},
	{"over a stretch of 20 m alone", "log-distance-disagrees", func(x float64) string { return driven(x, 100, 110, 400) }, []float64{0.68, 0.72, 1.40, 1.45}},
	{"over so many metres", "log-distance-disagrees", func(x float64) string { return driven(0.5, 0, 100, int(x/2)+1) }, []float64{9, 12}},
	{"positions apart from the speed by a factor", "log-position-disagrees", func(x float64) string {
		return flat(",latitude,longitude,speed (m/s)", 100, 1, func(k int) []float64 {
			return []float64{25, 5, 50, 10 + float64(k)*2/111195/math.Cos(50*math.Pi/180), 2 * x}
		})
	}, []float64{0.66, 0.67, 0.74, 0.76, 1, 1.24, 1.26, 1.49, 1.51}},
	{"positions over so many metres", "log-position-disagrees", func(x float64) string {
		return flat(",latitude,longitude,speed (m/s)", 100, 1, func(k int) []float64 { return []float64{25, 5, 50 + float64(k)*x/99/111195, 10, 1} })
	}, []float64{49, 51}},
	{"an interval so many times as long as its neighbours", "log-long-interval", func(x float64) string {
		return spaced(400, func(k int) float64 {
			if k == 100 {
				return x
			}
			return 1
		})
	}, []float64{1.75, 2.6, 4.9, 5.1, 19, 40}},
	{"an interval of 6 s between ones that are unlike by a factor", "log-long-interval", func(x float64) string {
		return spaced(100, func(k int) float64 {
			switch k {
			case 50:
				return 6
			case 51:
				return 1 / x
			}
			return 1
		})
	}, []float64{1.9, 2.1}},
	{"so many intervals of two seconds among a thousand", "log-long-interval", func(x float64) string {
		return spaced(1000, func(k int) float64 {
			if k%40 == 20 && k/40 < int(x) {
				return 2
			}
			return 1
		})
	}, []float64{4, 6, 15, 16}},
	{"a current that falls to a part of it", "log-scale-changes", func(x float64) string { return scaled(60, 20, 40, 5, 5*x, 0) }, []float64{0.00089, 0.00091, 0.001, 0.00109, 0.00111, 0.009, 0.01, 0.1, 0.12, 1e-6}},
	{"a current that falls to a thousandth while the voltage moves", "log-scale-changes", func(x float64) string { return scaled(60, 20, 40, 5, 0.005, x*25) }, []float64{0.0098, 0.0102}},
	{"a current that falls to a tenth while the voltage moves", "log-scale-changes", func(x float64) string { return scaled(60, 20, 40, 5, 0.5, x*25) }, []float64{0.0009, 0.0011}},
	{"a current that falls to a thousandth for so many rows", "log-scale-changes", func(x float64) string { return scaled(60, 20, 20+int(x), 5, 0.005, 0) }, []float64{1, 2}},
	{"a flow of so many hours", "log-pace", func(x float64) string {
		return flat("", 800, x*3600/799, func(k int) []float64 { return []float64{25 - float64(k)/1000, 0.05} })
	}, []float64{199, 201}},
	{"a flow of 20 s over which the voltage falls by a part", "log-pace", func(x float64) string {
		return flat("", 41, 0.5, func(k int) []float64 { return []float64{25 * (1 - x*float64(k)/40), 5} })
	}, []float64{0.14, 0.16}},
	{"a flow of so many seconds over which the voltage falls by a fifth", "log-pace", func(x float64) string {
		return flat("", 41, x/40, func(k int) []float64 { return []float64{25 * (1 - 0.2*float64(k)/40), 5} })
	}, []float64{29, 31}},
	{"the same under a current that falls by a part", "log-pace", func(x float64) string {
		return flat("", 41, 0.5, func(k int) []float64 { return []float64{25 * (1 - 0.2*float64(k)/40), 5 * (1 - x*float64(k)/40)} })
	}, []float64{0.19, 0.21}},
	{"thirty rows within so many microseconds", "log-pace", func(x float64) string {
		return table("time (µs),voltage (V),current (A)", 30, func(k int) []float64 { return []float64{x * float64(k) / 29, 25, 5} })
	}, []float64{29, 31}},
	{"so many rows of thirty-one at the first one's time", "log-pace", func(x float64) string {
		return table("time (s),voltage (V),current (A)", 31, func(k int) []float64 { return []float64{math.Max(0, float64(k)+1-x), 25 - float64(k)/100, 5} })
	}, []float64{21, 22}},
	{"a day alone, so many rows to each", "log-pace", func(x float64) string {
		var b strings.Builder
		b.WriteString("date,voltage (V),current (A)\n")
		for k := range 60 {
			fmt.Fprintf(&b, "2026-03-%02d,%.2f,%.1f\n", 1+k/int(x), 26-float64(k)/100, 5.0)
		}
		return b.String()
	}, []float64{2, 30}},
	{"a voltage that rises by a part in a discharge", "log-sign-disagrees", func(x float64) string {
		return headSays(flat("", 101, 1, func(k int) []float64 { return []float64{25 * (1 + x*float64(k)/100), 5} }))
	}, []float64{0.0195, 0.0205}},
	{"a voltage that rises by 3 % in a discharge of so many seconds", "log-sign-disagrees", func(x float64) string {
		return headSays(flat("", 101, x/100, func(k int) []float64 { return []float64{25 * (1 + 0.03*float64(k)/100), 5} }))
	}, []float64{59, 61}},
	{"the same under a current that falls by a part", "log-sign-disagrees", func(x float64) string {
		return headSays(flat("", 101, 1, func(k int) []float64 { return []float64{25 * (1 + 0.03*float64(k)/100), 5 * (1 - x*float64(k)/100)} }))
	}, []float64{0.19, 0.21}},
	{"rows that share in a voltage of nothing", "log-columns-exchanged", func(x float64) string {
		return flat("", 100, 1, func(k int) []float64 {
			if k >= 50 && k < 50+int(x) {
				return []float64{0.2, 5}
			}
			return []float64{25, 5}
		})
	}, []float64{2, 3}},
	{"a voltage within a part of itself while the current moves by a third", "log-columns-exchanged", func(x float64) string {
		return flat("", 100, 1, func(k int) []float64 { return []float64{25 * (1 + x*float64(k%7)/6), 5 + float64(k)/40} })
	}, []float64{0.0019, 0.0021}},
	{"a current that moves by a part while the voltage stays", "log-columns-exchanged", func(x float64) string {
		return flat("", 100, 1, func(k int) []float64 { return []float64{25 + float64(k%3)/1000, 5 * (1 - x*float64(k)/99)} })
	}, []float64{0.19, 0.21}},
	{"so many of a hundred cells of a current empty", "log-holes", func(x float64) string {
		var b strings.Builder
		b.WriteString("time (s),voltage (V),current (A)\n")
		for k := range 100 {
			if k%2 == 0 && k/2 < int(x) {
				fmt.Fprintf(&b, "%d,25,\n", k)
			} else {
				fmt.Fprintf(&b, "%d,25,5\n", k)
			}
		}
		return b.String()
	}, []float64{0, 1, 2, 50}},
	{"so many rows against the state, of 220", "log-state-disagrees", func(x float64) string {
		var b strings.Builder
		b.WriteString("time (s),voltage (V),current (A),state\n")
		for k := range 20 { // so that the current has a sign of its own
			fmt.Fprintf(&b, "%d,%.3f,-5,charge\n", k, 24+float64(k)/100)
		}
		for k := range 200 {
			state := "discharge"
			if k%2 == 0 && k/2 < int(x) {
				state = "charge"
			}
			fmt.Fprintf(&b, "%d,%.3f,5,%s\n", 20+k, 25-float64(k)/100, state)
		}
		return b.String()
	}, []float64{1, 2, 3}},
	{"a counter that is so many times the current over the time", "log-counter-disagrees", func(x float64) string {
		return flat(",charge used (Ah)", 361, 10, func(k int) []float64 {
			return []float64{25 - float64(k)/100, 5 + math.Sin(float64(k)/9), x * (5*float64(k) + 9*(1-math.Cos(float64(k)/9))) / 360}
		})
	}, []float64{0.66, 0.67, 0.9, 0.996, 1, 1.004, 1.006, 1.1, 1.49, 1.51, 60}},
	{"a power that is so many times volts times amperes", "log-power-disagrees", func(x float64) string {
		return flat(",power (W)", 100, 1, func(k int) []float64 {
			return []float64{25 - float64(k)/100, 5, x * 5 * (25 - float64(k)/100)}
		})
	}, []float64{0.66, 0.67, 0.89, 0.92, 1.08, 1.12, 1.49, 1.51}},
	{"a power that is twice as great in so many of a hundred rows", "log-power-disagrees", func(x float64) string {
		return flat(",power (W)", 100, 1, func(k int) []float64 {
			p := 5 * (25 - float64(k)/100)
			if k >= 40 && k < 40+int(x) {
				p *= 2
			}
			return []float64{25 - float64(k)/100, 5, p}
		})
	}, []float64{0, 1, 5, 6, 50, 51}},
	{"a temperature that jumps by so many kelvins in 10 s", "log-jumps", func(x float64) string {
		return flat(",temperature (°C)", 60, 10, func(k int) []float64 {
			if k < 30 {
				return []float64{25 - float64(k)/100, 5, 20}
			}
			return []float64{25 - float64(k)/100, 5, 20 + x}
		})
	}, []float64{2.9, 3.1}},
	{"the same where the rows are a minute apart", "log-jumps", func(x float64) string {
		return flat(",temperature (°C)", 60, 60, func(k int) []float64 {
			if k < 30 {
				return []float64{25 - float64(k)/100, 5, 20}
			}
			return []float64{25 - float64(k)/100, 5, 20 + x}
		})
	}, []float64{9.9, 10.1}},
	{"a voltage that jumps by a part while the current stays", "log-jumps", func(x float64) string {
		return flat("", 60, 1, func(k int) []float64 {
			if k < 30 {
				return []float64{25, 5}
			}
			return []float64{25 * (1 - x), 5}
		})
	}, []float64{0.049, 0.051, 0.2, 0.24}},
	{"a current that changes its sign and keeps its size within a part", "log-jumps", func(x float64) string {
		return flat("", 60, 1, func(k int) []float64 {
			if k < 30 {
				return []float64{25, 5 + float64(k%5)/10}
			}
			return []float64{25.5, -5.4 * (1 - x)}
		})
	}, []float64{0.04, 0.06}},
	{"a current that steps while the voltage moves by a part", "log-jumps", func(x float64) string {
		return flat("", 60, 1, func(k int) []float64 {
			if k < 30 {
				return []float64{25, 5}
			}
			return []float64{25 * (1 - x), 1.01}
		})
	}, []float64{0.0009, 0.0011}},
	{"values with two digits more, so many", "log-digits-change", func(x float64) string {
		return flat("", 120, 1, func(k int) []float64 {
			if k >= 80 && k < 80+int(x) {
				return []float64{25 - float64(k)/10, 5.123}
			}
			return []float64{25 - float64(k)/10, 5.1}
		})
	}, []float64{2, 3}},
	{"values with two digits less at the end, so many", "log-digits-change", func(x float64) string {
		return flat("", 120, 1, func(k int) []float64 {
			if k >= 120-int(x) {
				return []float64{25.123 - float64(k)/10, 5 + float64(k%2)}
			}
			return []float64{25.123 - float64(k)/10, 5.12 + float64(k%3)/100}
		})
	}, []float64{49, 50}},
	{"a current that never passes so many milliamperes", "log-implausible", func(x float64) string {
		return flat("", 100, 10, func(k int) []float64 { return []float64{25 - float64(k)/100, x / 1000} })
	}, []float64{49, 51}},
	{"the same while the voltage moves by a part", "log-implausible", func(x float64) string {
		return flat("", 100, 10, func(k int) []float64 { return []float64{25 * (1 - x*float64(k)/99), 0.04} })
	}, []float64{0.029, 0.031}},
	{"a voltage that never passes so many volts", "log-implausible", func(x float64) string {
		return flat("", 100, 10, func(k int) []float64 { return []float64{x - float64(k)/10000, 5} })
	}, []float64{0.49, 0.51}},
	{"so many values of a hundred beyond what is possible", "log-implausible", func(x float64) string {
		return flat(",temperature (°C)", 100, 10, func(k int) []float64 {
			if k%2 == 0 && k/2 < int(x) {
				return []float64{25 - float64(k)/100, 5, 251}
			}
			return []float64{25 - float64(k)/100, 5, 20}
		})
	}, []float64{1, 49, 50}},
	{"so many watt-hours a kilometre", "log-implausible", func(x float64) string {
		return flat(",distance (m)", 101, 36, func(k int) []float64 { return []float64{25, 4, float64(k) * 1000 / x} })
	}, []float64{0.06, 0.07, 0.09, 0.11, 490, 510, 740, 760}},
}

// What is said just inside each limit and just outside, word for word.
func TestLimitsOfOpinions(t *testing.T) {
	var b strings.Builder
	for _, l := range limits {
		fmt.Fprintf(&b, "%s: %s\n", l.rule, l.name)
		for _, x := range l.sides {
			said := spoken(t, l.rule, l.text(x))
			if said == "" {
				said = "-"
			}
			fmt.Fprintf(&b, "\t%g\t%s\n", x, strings.ReplaceAll(said, "\n", "\n\t\t"))
		}
	}
	recorded.Text(t, "testdata/limits.golden", b.String())
}
