package runlog

import (
	"math"
	"sort"
	"sync"
)

// quantileBin is the bin of a magnitude: 0 up to quantileFloor, and from there on one for each factor of quantileGrowth.
func quantileBin(value float64) int {
	if value <= quantileFloor {
		return 0
	}
	return quantileTable().bin(value)
}

// bin is quantileBin of a magnitude above quantileFloor.
func (table *quantileEdges) bin(value float64) int {
	at := math.Float64bits(value)>>quantileCell - quantileFirst
	if at >= uint64(len(table.least)) {
		return quantileBins - 1
	}
	b := int(table.least[at])
	if value >= table.begins[b+1] {
		b++
	}
	return b
}

// quantileByLog is what a bin is defined by.
func quantileByLog(value float64) int {
	return min(1+int(math.Log(value/quantileFloor)/math.Log(quantileGrowth)), quantileBins-1)
}

// A cell of the table is all numbers that have the same exponent and the same eight bits after it: narrower than a bin, so that it
// holds the begin of one other bin at the most.
const (
	quantileCell  = 52 - 8
	quantileFirst = (1023 - 14) << 8 // 2⁻¹⁴, the power of two below quantileFloor
)

type quantileEdges struct {
	begins [quantileBins + 1]float64 // of each bin
	least  []uint16                  // by cell, the bin in which it begins
}

// quantileTable finds the begin of each bin once, by quantileByLog.
var quantileTable = sync.OnceValue(func() *quantileEdges {
	t := &quantileEdges{}
	for b := 2; b < quantileBins; b++ {
		near := math.Float64bits(quantileFloor * math.Pow(quantileGrowth, float64(b-1)))
		const about = 1 << 12 // neighbouring numbers
		off := sort.Search(2*about, func(k int) bool { return quantileByLog(math.Float64frombits(near-about+uint64(k))) >= b })
		t.begins[b] = math.Float64frombits(near - about + uint64(off))
	}
	t.begins[quantileBins] = math.Inf(1)
	b := 1
	for cell := uint64(quantileFirst); b < quantileBins-1; cell++ {
		for begin := math.Float64frombits(cell << quantileCell); b < quantileBins-1 && begin >= t.begins[b+1]; {
			b++
		}
		t.least = append(t.least, uint16(b))
	}
	return t
})
