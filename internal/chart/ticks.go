package chart

import (
	"math"
	"strconv"
	"strings"
)

// scale maps the values of one axis and knows its ticks.
type scale struct {
	min, max float64
	ticks    []float64
	labels   []string
	step     float64
	unit     string // as lettered in the axis head: "V", "min", "h:min"
}

// at is the place of a value between 0 and 1. The quotient is rounded by itself, so that all processors agree.
func (s scale) at(v float64) float64 { return (v - s.min) / (s.max - s.min) }

// numberScale makes the scale of numbers from lo to hi with about `want` ticks, 1, 2 or 5 times a power of ten apart.
// If the ends are free they are moved out to a tick, and to 0 where 0 is near. Values that pass 0 by a trace, such as the
// noise of a current at rest, do not cost a whole tick: the axis ends where they do.
func numberScale(lo, hi float64, free bool, want int) scale {
	if free {
		if lo == hi {
			d := max(math.Abs(lo)/10, 0.5)
			lo, hi = lo-d, hi+d
		}
		if lo > 0 && lo < 0.3*hi {
			lo = 0
		}
		if hi < 0 && hi > 0.3*lo {
			hi = 0
		}
	}
	mantissa, power := roundStep(hi-lo, want)
	s := scale{min: lo, max: hi, step: multiple(1, mantissa, power)}
	from, to := int(math.Ceil(lo/s.step-1e-9)), int(math.Floor(hi/s.step+1e-9))
	if free {
		from, to = int(math.Floor(lo/s.step+1e-9)), int(math.Ceil(hi/s.step-1e-9))
		s.min, s.max = multiple(from, mantissa, power), multiple(to, mantissa, power)
		const trace = 0.02 // of the whole axis
		if lo < 0 && -lo < trace*hi {
			s.min, from = lo, 0
		}
		if hi > 0 && hi < trace*-lo {
			s.max, to = hi, 0
		}
	}
	for k := from; k <= to; k++ {
		v := multiple(k, mantissa, power)
		s.ticks = append(s.ticks, v)
		s.labels = append(s.labels, decimal(v, max(0, -power)))
	}
	return s
}

// roundStep gives the smallest 1, 2 or 5 times a power of ten of which at most `want` fit into span.
func roundStep(span float64, want int) (mantissa, power int) {
	power = int(math.Floor(math.Log10(span/float64(want)))) - 1
	for ; ; power++ {
		for _, mantissa := range []int{1, 2, 5} {
			if span <= float64(want)*multiple(1, mantissa, power)*(1+1e-9) {
				return mantissa, power
			}
		}
	}
}

// multiple is k · mantissa · 10^power, correctly rounded where the power is small.
func multiple(k, mantissa, power int) float64 {
	if power < 0 {
		return float64(k*mantissa) / math.Pow10(-power)
	}
	return float64(k*mantissa) * math.Pow10(power)
}

// clockSteps are the distances of ticks in seconds from one second up. Below one second, and above two days, they are
// round numbers.
var clockSteps = []float64{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400, 172800}

// clockScale makes the scale of a time in seconds from lo to hi with at most `want` ticks at round times.
func clockScale(lo, hi float64, want int) scale {
	if lo == hi {
		hi = lo + 1
	}
	span := hi - lo
	step, decimals := 0.0, 0
	if span < float64(want) {
		mantissa, power := roundStep(span, want)
		step, decimals = multiple(1, mantissa, power), max(0, -power)
	} else {
		for _, c := range clockSteps {
			if step = c; span <= c*float64(want) {
				break
			}
		}
		for span > step*float64(want) {
			step *= 2
		}
	}
	s := scale{min: lo, max: hi, step: step, unit: clockUnit(max(math.Abs(lo), math.Abs(hi)), step)}
	for k := math.Ceil(lo/step - 1e-9); k <= math.Floor(hi/step+1e-9); k++ {
		v := k*step + 0 // no negative zero
		s.ticks = append(s.ticks, v)
		s.labels = append(s.labels, clock(v, s.unit, decimals))
	}
	return s
}

// clockUnit is the form in which times up to far seconds, step apart, are lettered.
func clockUnit(far, step float64) string {
	whole := func(unit float64) bool { return step >= unit && math.Mod(step, unit) == 0 }
	switch {
	case far <= 180:
		return "s"
	case far <= 7200 && whole(60):
		return "min"
	case far <= 7200:
		return "min:s"
	case whole(3600):
		return "h"
	case whole(60):
		return "h:min"
	}
	return "h:min:s"
}

// clock letters a time in seconds in one of the forms of clockUnit; decimals are those of the seconds.
func clock(seconds float64, unit string, decimals int) string {
	sign := ""
	if seconds < 0 {
		sign, seconds = "−", -seconds
	}
	switch unit {
	case "s":
		return sign + strconv.FormatFloat(seconds, 'f', decimals, 64)
	case "min":
		return sign + strconv.FormatFloat(math.Round(seconds/60), 'f', 0, 64)
	case "h":
		return sign + strconv.FormatFloat(math.Round(seconds/3600), 'f', 0, 64)
	}
	scaled := math.Round(seconds * math.Pow10(decimals)) // in units of the last decimal
	perMinute := 60 * math.Pow10(decimals)
	minutes := math.Floor(scaled / perMinute)
	rest := strconv.FormatFloat((scaled-minutes*perMinute)/math.Pow10(decimals), 'f', decimals, 64)
	if len(rest) < 2 || rest[1] == '.' {
		rest = "0" + rest
	}
	if unit == "min:s" {
		return sign + strconv.FormatFloat(minutes, 'f', 0, 64) + ":" + rest
	}
	hours := math.Floor(minutes / 60)
	text := sign + strconv.FormatFloat(hours, 'f', 0, 64) + ":" + twoDigits(minutes-60*hours)
	if unit == "h:min:s" {
		text += ":" + rest
	}
	return text
}

func twoDigits(v float64) string {
	text := strconv.FormatFloat(v, 'f', 0, 64)
	if len(text) < 2 {
		return "0" + text
	}
	return text
}

// decimal letters a number with fixed decimals and a true minus sign.
func decimal(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.HasPrefix(text, "-") {
		if strings.Trim(text, "-0.") == "" {
			return text[1:]
		}
		return "−" + text[1:]
	}
	return text
}

// scaleX is the x axis, with at most want ticks.
func (p Plot) scaleX(want int) scale {
	lo, hi := p.X.Min, p.X.Max
	if !p.X.fixed() {
		r := newReach()
		for _, s := range p.Series {
			r.take(s.X[0], s.X[len(s.X)-1])
		}
		for _, m := range p.Marks {
			r.take(m.X)
		}
		lo, hi = r.lo, r.hi
		if lo == hi {
			lo, hi = lo-0.5, hi+0.5
		}
	}
	switch p.X.Format {
	case Clock:
		return clockScale(lo, hi, want)
	case Day:
		return dayScale(lo, hi, want)
	}
	s := numberScale(lo, hi, false, want)
	s.unit = p.X.Unit
	return s
}

// scaleY is the vertical axis of a panel, with about want ticks.
func (p Plot) scaleY(k Panel, want int) scale {
	a := p.axis(k)
	lo, hi := a.Min, a.Max
	if !a.fixed() {
		r := newReach()
		for _, s := range p.Series {
			if s.Panel != k {
				continue
			}
			for i, v := range s.Y {
				if !p.X.fixed() || s.X[i] >= p.X.Min && s.X[i] <= p.X.Max {
					r.take(v)
				}
			}
		}
		for _, m := range p.Marks {
			if m.Panel == k {
				r.take(m.Y)
			}
		}
		for _, l := range p.Lines {
			if l.Panel == k {
				r.take(l.Value)
			}
		}
		if lo, hi = r.lo, r.hi; lo > hi {
			lo, hi = 0, 1
		}
	}
	if a.Format == Clock {
		return clockScale(lo, hi, want)
	}
	s := numberScale(lo, hi, !a.fixed(), want)
	for _, l := range p.Lines {
		if l.Panel != k || a.fixed() {
			continue
		}
		if l.Value == s.min { // a level on the frame is not seen
			s = numberScale(s.min-s.step/2, s.max, true, want+1)
		}
		if l.Value == s.max {
			s = numberScale(s.min, s.max+s.step/2, true, want+1)
		}
	}
	s.unit = a.Unit
	return s
}

// reach is the lowest and the highest of the values it took.
type reach struct{ lo, hi float64 }

func newReach() reach { return reach{math.Inf(1), math.Inf(-1)} }

func (r *reach) take(values ...float64) {
	for _, v := range values {
		r.lo, r.hi = min(r.lo, v), max(r.hi, v)
	}
}
