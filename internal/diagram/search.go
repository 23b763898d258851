package diagram

import (
	"cmp"
	"slices"
)

// chance is a small generator of numbers that look random and are the same
// every time (a linear congruential generator with the constants of Knuth's
// MMIX, from memory).
type chance uint64

func (c *chance) below(n int) int {
	*c = *c*6364136223846793005 + 1442695040888963407
	return int((uint64(*c) >> 33) % uint64(n))
}

// How often the search sets out from another order, and how often it shakes the
// best one that it has found.
// On a circuit so tangled that most pairs have been compared, it shakes no more.
const (
	starts = 12
	shakes = 60
	most   = 4_000_000
)

// order finds orders of the columns, and places for the leads within their
// terminals, with few crossings: sweeps by the mean place of what an item is
// joined to, then every change of one place; from several starts, and from the
// best again after some changes at random. The first start is the order in which
// the parts are written, and another counts only if it is better.
func (o *layout) order() *layout {
	luck := chance(1)
	best, least := o.clone(), -1
	work := 0
	try := func(c *layout, sweeps int) {
		s := newSearch(c)
		for round := range sweeps {
			s.sweep(round%2 == 0)
		}
		if cost := s.descend(); least < 0 || cost < least {
			best, least = c, cost
		}
		work += s.work
	}
	for k := 0; k < starts && work < most; k++ {
		c := o.clone()
		if k > 0 {
			for _, column := range c.columns {
				luck.shuffle(column)
			}
		}
		try(c, 6)
	}
	for k := 0; k < shakes && least >= 100 && work < most; k++ { // below 100 there is no crossing
		c := best.clone()
		for range 1 + luck.below(3) {
			luck.shuffle(c.columns[luck.below(len(c.columns))])
		}
		try(c, luck.below(3))
	}
	return best
}

func (c *chance) shuffle(ids []int) {
	for i := len(ids) - 1; i > 0; i-- {
		j := c.below(i + 1)
		ids[i], ids[j] = ids[j], ids[i]
	}
}

type search struct {
	*layout
	place []int // of each item in its column
	spans []span
	work  int // pairs of runs that were compared
}

func newSearch(o *layout) *search {
	s := &search{layout: o, place: make([]int, len(o.items))}
	for g := range o.columns {
		s.number(g)
	}
	return s
}

func (s *search) number(g int) {
	for i, id := range s.columns[g] {
		s.place[id] = i
	}
}

// sweep sorts each column by the mean place of what its items are joined to in
// the channel before it, forwards or backwards.
func (s *search) sweep(forwards bool) {
	for k := range s.columns {
		g := k
		if !forwards {
			g = len(s.columns) - 1 - k
		}
		channel := g
		near := east // the edge of the channel that this column is at
		if !forwards {
			channel, near = g+1, west
		}
		sum, count := map[int]float64{}, map[int]float64{}
		for _, r := range s.channels[channel] {
			a, b := r.a, r.b
			if a.edge == near {
				a, b = b, a
			}
			if b.edge != near || a.edge == near {
				continue
			}
			f := float64(s.place[a.item]) + float64(s.rowOf(a))*0.1
			sum[b.item] += f - float64(s.rowOf(b))*0.1
			count[b.item]++
		}
		key := func(id int) float64 {
			if count[id] > 0 {
				return sum[id] / count[id]
			}
			return float64(s.place[id])
		}
		slices.SortStableFunc(s.columns[g], func(a, b int) int { return cmp.Compare(key(a), key(b)) })
		s.number(g)
	}
}

// around is the cost of what a change in one column can alter.
func (s *search) around(g int) int {
	return 100*(s.crossings(g)+s.crossings(g+1)) + s.disorder(g)
}

// disorder counts the pairs of parts in a column that are not in the order in
// which they are written.
func (s *search) disorder(g int) int {
	n := 0
	for i, id := range s.columns[g] {
		f := s.items[id].fig
		if f == nil {
			continue
		}
		for _, up := range s.columns[g][:i] {
			if e := s.items[up].fig; e != nil && e.part > f.part {
				n++
			}
		}
		for _, ports := range f.ports {
			n += s.disorderAt(ports)
		}
	}
	return n
}

// disorderAt counts the pairs of leads at a terminal, or ways of a block, that
// have changed places.
func (s *search) disorderAt(ports []port) int {
	n := 0
	for i := range ports {
		for j := range i {
			if ports[i].set == ports[j].set && ports[i].row < ports[j].row {
				n++
			}
		}
	}
	return n
}

// descend changes one place after another as long as that lowers the cost.
func (s *search) descend() int {
	for better := true; better; {
		better = false
		for g := range s.columns {
			if s.moveItems(g) || s.movePorts(g) {
				better = true
			}
		}
	}
	total := 0
	for g := range s.channels {
		total += 100 * s.crossings(g)
	}
	for g := range s.columns {
		total += s.disorder(g)
	}
	return total
}

func (s *search) moveItems(g int) bool {
	column := s.columns[g]
	moved := false
	for i := 0; i < len(column); i++ {
		least, to := s.around(g), i
		before := slices.Clone(column)
		for j := range column {
			if j == i {
				continue
			}
			shift(column, before, i, j)
			s.number(g)
			if cost := s.around(g); cost < least {
				least, to = cost, j
			}
		}
		shift(column, before, i, to)
		s.number(g)
		moved = moved || to != i
	}
	return moved
}

// shift fills column with before, its entry i moved to place j.
func shift(column, before []int, i, j int) {
	copy(column, before)
	id := column[i]
	copy(column[i:], column[i+1:])
	copy(column[j+1:], column[j:len(column)-1])
	column[j] = id
}

func (s *search) movePorts(g int) bool {
	moved := false
	for _, id := range s.columns[g] {
		f := s.items[id].fig
		if f == nil {
			continue
		}
		for sd := range f.ports {
			ports := f.ports[sd]
			channel := g + sd // the west side is at the channel before the column
			cost := func() int { return 100*s.crossings(channel) + s.disorderAt(ports) }
			for i := range ports {
				for j := range i {
					if ports[i].set != ports[j].set {
						continue
					}
					before := cost()
					ports[i].row, ports[j].row = ports[j].row, ports[i].row
					if cost() >= before {
						ports[i].row, ports[j].row = ports[j].row, ports[i].row
					} else {
						moved = true
					}
				}
			}
		}
	}
	return moved
}
