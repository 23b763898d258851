package diagram

import (
	"testing"

	"voltwright/internal/circuit/circuittest"
)

// leastCrossings are the crossings of each drawing, found by hand or by the
// exhaustive search below. A drawing that has more has an avoidable one.
var leastCrossings = map[string]int{
	"06-two-packs":           1, // the + of the lower pack and the − of the upper one have to change sides
	"08-reversing":           1, // what a reversing contactor is for
	"09-two-motors":          1, // as two packs
	"11-lamps-and-horn":      1,
	"14-charging":            1, // the socket's + has to pass the return
	"15-diode-or":            1,
	"18-unequal-packs":       1,
	"22-converter":           1, // the converter's return has to pass the controller's supply
	"20-whole-shunter":       6, // the packs, the charger socket, the contactor, the motors, and the lamps and the horn
	"26-reversing-and-brake": 1, // the brake resistor hangs on the other side of the reversing switch's return
	"27-balance-and-charger": 4, // the charger's return, and the balance lead between it and the cells
}

// unavoidable counts the crossings that the orders of a layout make.
func unavoidable(o *layout) int {
	s := newSearch(o)
	n := 0
	for g := range s.channels {
		n += s.crossings(g)
	}
	return n
}

func TestNoAvoidableCrossing(t *testing.T) {
	for _, x := range drawn(t) {
		d := Power(&x.Circuit, nil, Options{})
		most, known := leastCrossings[x.Name]
		if !known && x.Name[:3] != "own" {
			most = 0
		}
		if (known || x.Name[:3] != "own") && d.Crossings > most {
			t.Errorf("%s: %d crossings, %d are enough", x.Name, d.Crossings, most)
		}
		// What is drawn has no crossing that the orders do not call for.
		o := newLayout(analyse(&x.Circuit)).order()
		if n := unavoidable(o); d.Crossings != n {
			t.Errorf("%s: %d crossings drawn, %d by the orders", x.Name, d.Crossings, n)
		}
	}
}

// TestSearchFindsTheLeast compares the search with every order of every column
// and every place of every lead at its terminal, for circuits where these are not
// too many.
func TestSearchFindsTheLeast(t *testing.T) {
	const most = 400000
	tried := 0
	for _, x := range drawn(t) {
		o := newLayout(analyse(&x.Circuit))
		lists := permutable(o)
		count := 1
		for _, l := range lists {
			for k := 2; k <= l.len; k++ {
				count *= k
				if count > most {
					break
				}
			}
			if count > most {
				break
			}
		}
		if count > most {
			continue
		}
		tried++
		least := -1
		s := newSearch(o)
		every(lists, func() {
			for g := range s.columns {
				s.number(g)
			}
			n := 0
			for g := range s.channels {
				n += s.crossings(g)
			}
			if least < 0 || n < least {
				least = n
			}
		})
		if n := unavoidable(newLayout(analyse(&x.Circuit)).order()); n != least {
			t.Errorf("%s: the search finds %d crossings, the best of %d orders has %d", x.Name, n, count, least)
		}
	}
	if tried < 15 {
		t.Errorf("only %d circuits are small enough to try every order", tried)
	}
}

// permuted is a list of things that may change places.
type permuted struct {
	len  int
	swap func(i, j int)
}

func permutable(o *layout) []permuted {
	var lists []permuted
	for _, column := range o.columns {
		lists = append(lists, permuted{len(column), func(i, j int) { column[i], column[j] = column[j], column[i] }})
	}
	for _, it := range o.items {
		if it.fig == nil {
			continue
		}
		for s := range it.fig.ports {
			sets := map[int][]int{}
			for k, p := range it.fig.ports[s] {
				sets[p.set] = append(sets[p.set], k)
			}
			for _, set := range sets {
				ports := it.fig.ports[s]
				lists = append(lists, permuted{len(set), func(i, j int) {
					ports[set[i]].row, ports[set[j]].row = ports[set[j]].row, ports[set[i]].row
				}})
			}
		}
	}
	return lists
}

// every visits every combination of permutations, by Heap's method.
func every(lists []permuted, visit func()) {
	if len(lists) == 0 {
		visit()
		return
	}
	l, rest := lists[0], lists[1:]
	var heap func(k int)
	heap = func(k int) {
		if k <= 1 {
			every(rest, visit)
			return
		}
		for i := range k {
			heap(k - 1)
			if i < k-1 {
				if k%2 == 0 {
					l.swap(i, k-1)
				} else {
					l.swap(0, k-1)
				}
			}
		}
	}
	heap(l.len)
}

func TestSameBytes(t *testing.T) {
	x, err := circuittest.Named("20-whole-shunter")
	if err != nil {
		t.Fatal(err)
	}
	first := Power(&x.Circuit, solved(x), Options{Paper: A4})
	for range 4 {
		again, err := circuittest.Named("20-whole-shunter")
		if err != nil {
			t.Fatal(err)
		}
		if d := Power(&again.Circuit, solved(again), Options{Paper: A4}); string(d.SVG) != string(first.SVG) {
			t.Fatal("the same circuit gave other bytes")
		}
	}
}
