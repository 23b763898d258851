package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// answers sums, apart for currents out and in, how the voltage answers quick steps of the current: every pack's voltage falls as more
// is drawn, or as less is fed.
type answers struct {
	has   bool
	t     float64
	v, i  float64
	peak  float64
	sides [2]answerSide // out, in
}

type answerSide struct {
	n      int
	vi     total
	vv, ii total
	first  said
}

// correlation is that of the voltage's step with the current's: −1 for a resistance.
func (a *answerSide) correlation() float64 {
	if size := math.Sqrt(a.vv.value() * a.ii.value()); size > 0 {
		return a.vi.value() / size
	}
	return 0
}

// What a step is, and what is said of its answers; our own choice.
const (
	answerApart = 10.0 // s
	answerStep  = 0.05 // part of the greatest current
	answerSteps = 8
	answerSure  = 0.4 // correlation
)

func (w *answers) row(s *Sample) {
	v, i := s.Values[Voltage], s.Values[Current]
	if math.IsNaN(v) || math.IsNaN(i) {
		return
	}
	if size := math.Abs(i); size > w.peak {
		if size > jumpGrown*w.peak { // what came before was beside nothing
			w.sides = [2]answerSide{}
		}
		w.peak = size
	}
	if dv, di := v-w.v, i-w.i; w.has && !s.Restart && s.Time-w.t <= answerApart && math.Abs(di) >= answerStep*w.peak && i*w.i >= 0 {
		side := &w.sides[0]
		if i+w.i < 0 {
			side = &w.sides[1]
		}
		if side.n == 0 {
			side.first = said{line: s.Line, offset: s.Offset}
		}
		side.n++
		side.vi.add(dv * di)
		side.vv.add(dv * dv)
		side.ii.add(di * di)
	}
	w.has, w.t, w.v, w.i = true, s.Time, v, i
}

// say speaks where the steps of one direction are answered as a pack does and those of the other the other way round.
func (w *answers) say() []said {
	for k := range w.sides {
		turned, sound := &w.sides[k], &w.sides[1-k]
		if turned.n < answerSteps || sound.n < answerSteps || turned.correlation() < answerSure || sound.correlation() > -answerSure {
			continue
		}
		way := []string{"out of the pack", "into the pack"}[k]
		return []said{{finding.Warning, fmt.Sprintf("where the current is read as flowing %s, the voltage answers its steps the wrong way, in %s, first here; elsewhere it answers them as a pack does: the sign of a stretch looks turned",
			way, plural(turned.n, "step")), "look at the sign of the current from there on", turned.first.line, turned.first.offset}}
	}
	return nil
}
