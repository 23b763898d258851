package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

var scaleDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-scale-changes", Level: finding.Warning, Title: "A column that jumps by a power of ten and goes on",
	What: "Looks at four rows of a voltage, a current, a speed or a power in turn: where the first two are within a tenth of each other, the last two as well, and between them the value changes by a factor of a thousand or a million within a tenth, it is said. A factor of ten or a hundred is said of a current that makes it and makes it back while the voltage moves by less than a thousandth. The jump of a current that the voltage answers by a hundredth or more is a load that was switched.",
	Why:  "A meter that changes its range, or rows that were written in another unit, shift the decimal mark of a stretch; its charge then counts for nothing, or for a thousand times what flowed.", Source: ownRule,
	Example: "  log: {file: bench.csv, columns: {current: \"I [mA]\"}}",
}

// scaled are the columns that are looked at.
var scaledChannels = []Channel{Voltage, Current, Speed, Power}

// How a jump is told; our own choice.
const (
	scaleAlike   = 0.1   // part within which two rows are alike, and a factor is one
	scaleStays   = 1e-3  // part of the voltage that is no answer
	scaleAnswers = 0.01  // part of it that is one
	scaleApart   = 600.0 // s between the rows of a jump
	scaleLeast   = 8.0   // factor below which no jump is one by ten
)

// scaleWitness keeps four rows of each column.
type scaleWitness struct {
	columns [channelCount]scaleColumn
}

type scaleColumn struct {
	rows   [4]scaleRow
	count  int
	jumps  int // by a thousand and more
	there  map[int]int
	first  said
	factor int // power of ten of the first jump
}

type scaleRow struct {
	t, x, v float64
	line    int
	offset  int64
}

func (w *scaleWitness) row(s *Sample) {
	for _, c := range scaledChannels {
		w.columns[c].add(c, s)
	}
}

func (k *scaleColumn) add(c Channel, s *Sample) {
	x := s.Values[c]
	if math.IsNaN(x) {
		return
	}
	if s.Restart {
		k.count = 0
	}
	copy(k.rows[:], k.rows[1:])
	k.rows[3] = scaleRow{s.Time, x, s.Values[Voltage], s.Line, s.Offset}
	if k.count++; k.count >= 4 {
		k.judge(c)
	}
}

// rows takes rows as row takes one: only where a value is several times the one before can there be a jump.
func (w *scaleWitness) block(r *rows) {
	for _, c := range scaledChannels {
		k, x := &w.columns[c], r.of(c)
		for at := range x {
			if at >= 4 && !r.special && r.filled[c] == len(x) {
				k.skip(c, r)
				break
			}
			k.add(c, r.sample(r.from+at))
		}
	}
}

// skip looks at the rows from the fifth on, of which none lacks its value.
func (k *scaleColumn) skip(c Channel, r *rows) {
	x := r.of(c)
	all := r.boundsIn(c, r.from, r.to)
	if !(all.least > 0 && all.most < scaleLeast*all.least) {
		k.look(c, r)
	}
	k.fill(c, r, len(x)-1)
	k.count += len(x) - 4
}

// look judges where a value is several times the one before.
func (k *scaleColumn) look(c Channel, r *rows) {
	x := r.of(c)
	for at := 4; at < len(x); at++ {
		if a, b := math.Abs(x[at-2]), math.Abs(x[at-1]); b > scaleLeast*a || a > scaleLeast*b {
			k.fill(c, r, at)
			k.judge(c)
		}
	}
}

// fill takes the four rows up to one.
func (k *scaleColumn) fill(c Channel, r *rows, at int) {
	for n := range k.rows {
		at := r.from + at - 3 + n
		k.rows[n] = scaleRow{r.time[at], r.values[c][at], r.block.at(Voltage, at), r.line[at], r.offset[at]}
	}
}

func (k *scaleColumn) judge(c Channel) {
	a, b := &k.rows[1], &k.rows[2]
	alike := func(x, y float64) bool {
		return sameWay(x, y) && math.Abs(x-y) <= scaleAlike*min(math.Abs(x), math.Abs(y))
	}
	if !sameWay(a.x, b.x) || b.t-a.t > scaleApart || !alike(k.rows[0].x, a.x) || !alike(b.x, k.rows[3].x) {
		return
	}
	ratio := b.x / a.x
	power := int(math.Round(math.Log10(ratio)))
	if power == 0 || !near2(ratio, math.Pow10(power)) {
		return
	}
	moved := math.Abs(b.v-a.v) / math.Abs(a.v) // NaN without a voltage
	thousands := power%3 == 0
	if c == Current && (moved >= scaleAnswers || !thousands && !(moved <= scaleStays)) || c != Current && !thousands {
		return
	}
	if k.factor == 0 {
		k.first, k.factor = said{line: b.line, offset: b.offset}, power
	}
	if thousands {
		k.jumps++
		return
	}
	if k.there == nil {
		k.there = map[int]int{}
	}
	k.there[power]++
}

func (w *scaleWitness) say(*hearing) []said {
	var list []said
	for _, c := range scaledChannels {
		k := &w.columns[c]
		for power := 1; power <= 2; power++ {
			k.jumps += 2 * min(k.there[power], k.there[-power])
		}
		if k.jumps == 0 {
			continue
		}
		list = append(list, said{finding.Warning, fmt.Sprintf("the %s changes from one row to the next by a factor of %s and stays there, first here; %s in all",
			c, tenth(k.factor), plural(k.jumps, "such jump")), "if the instrument changed its range, write the rows in one unit; if the load was switched, nothing is wrong", k.first.line, k.first.offset})
	}
	return list
}

// tenth is a power of ten in words.
func tenth(power int) string {
	if power < 0 {
		return "1/" + short(math.Pow10(-power))
	}
	return short(math.Pow10(power))
}
