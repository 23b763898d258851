package diagram

import "slices"

// piece is what runs up or down in a channel: a lead from the row a to the row b,
// and from its ends to the left or to the right. Rows count double here, so that
// a lead that has to step aside finds a row between the rows.
type piece struct {
	run        int // index in the channel
	a, b       int
	toA, toB   side // where its horizontal ends go: west to the left edge
	stepA      bool // its a is a step aside, not the edge
	stepB      bool
	track      int
	straightly bool // it needs no track
}

// clash is the cost of two horizontals on top of each other.
const clash = 1000

// meet counts the crossings of two pieces if p runs left of q.
func meet(p, q *piece) int {
	if p.run == q.run { // the two of a lead that steps aside: the one from the left edge first
		if q.stepB {
			return 1
		}
		return 0
	}
	n := 0
	count := func(y int, long *piece) {
		low, high := min(long.a, long.b), max(long.a, long.b)
		switch {
		case y == long.a || y == long.b:
			n += clash
		case low < y && y < high:
			n++
		}
	}
	for k, y := range []int{q.a, q.b} { // q's ends that go left pass p
		if []side{q.toA, q.toB}[k] == west {
			count(y, p)
		}
	}
	for k, y := range []int{p.a, p.b} {
		if []side{p.toA, p.toB}[k] == east {
			count(y, q)
		}
	}
	return n
}

func (p *piece) overlaps(q *piece) bool {
	return max(min(p.a, p.b), min(q.a, q.b)) <= min(max(p.a, p.b), max(q.a, q.b))
}

// bound tells whether it matters on which side of each other two pieces run.
func bound(p, q *piece) bool { return p.overlaps(q) || meet(p, q) != meet(q, p) }

// route gives the pieces of a channel their tracks.
func (o *layout) route(g int) []*piece {
	var pieces []*piece
	for i, r := range o.channels[g] {
		p := &piece{run: i, a: 2 * (o.items[r.a.item].y + o.rowOf(r.a)), b: 2 * (o.items[r.b.item].y + o.rowOf(r.b)), toA: r.a.edge, toB: r.b.edge}
		if p.a == p.b && p.toA != p.toB {
			p.straightly = true
		}
		pieces = append(pieces, p)
	}
	var order []*piece
	for _, p := range pieces {
		if !p.straightly {
			order = insert(order, p)
		}
	}
	order = improve(order)
	used := map[int]bool{}
	for range 4 * len(pieces) {
		i, j, found := clashing(order)
		if !found {
			break
		}
		if order[i].stepped() && order[j].stepped() { // the one that ends at the left edge clashes with none on the very left
			if order[i].stepB {
				j = i
			}
			p := order[j]
			order = slices.Insert(slices.Delete(order, j, j+1), 0, p)
			continue
		}
		if order[i].stepped() || order[i].toA == order[i].toB {
			i = j
		}
		// Step aside: the piece becomes two, with a row of its own between them.
		p := order[i]
		y := stepRow(p, used)
		used[y] = true
		second := &piece{run: p.run, a: y, b: p.b, toA: west, toB: p.toB, stepA: true}
		first := &piece{run: p.run, a: p.a, b: y, toA: p.toA, toB: east, stepB: true}
		if p.toA == east {
			second, first = &piece{run: p.run, a: y, b: p.a, toA: west, toB: p.toA, stepA: true}, &piece{run: p.run, a: p.b, b: y, toA: p.toB, toB: east, stepB: true}
		}
		order = slices.Delete(order, i, i+1)
		order = insert(insert(order, first), second)
		order = improve(order)
		pieces = append(pieces, first, second)
		pieces = slices.DeleteFunc(pieces, func(q *piece) bool { return q == p })
	}
	for i, p := range order {
		for _, q := range order[:i] {
			if bound(p, q) {
				p.track = max(p.track, q.track+1)
			}
		}
	}
	return pieces
}

// stepRow is a free row between rows, as near to the middle of a piece as can be.
func stepRow(p *piece, used map[int]bool) int {
	mid := (p.a+p.b)/2 | 1
	for d := 0; ; d += 2 {
		if !used[mid+d] {
			return mid + d
		}
		if !used[mid-d] {
			return mid - d
		}
	}
}

// worth is the cost of an order from left to right.
func worth(order []*piece) int {
	n := 0
	for i := range order {
		for j := range i {
			n += meet(order[j], order[i])
		}
	}
	return n
}

// insert puts a piece where it costs least.
func insert(order []*piece, p *piece) []*piece {
	best, least := 0, -1
	for at := 0; at <= len(order); at++ {
		cost := 0
		for k, q := range order {
			if k < at {
				cost += meet(q, p)
			} else {
				cost += meet(p, q)
			}
		}
		if least < 0 || cost < least {
			best, least = at, cost
		}
	}
	return slices.Insert(slices.Clone(order), best, p)
}

// improve takes out one piece after another and puts it where it costs less.
func improve(order []*piece) []*piece {
	for range 10 {
		before := worth(order)
		for i := range order {
			p := order[i]
			order = insert(slices.Delete(slices.Clone(order), i, i+1), p)
		}
		if worth(order) >= before {
			break
		}
	}
	return order
}

// stepped tells whether a piece is one of the two of a lead that steps aside.
func (p *piece) stepped() bool { return p.stepA || p.stepB }

// clashing finds two pieces that lie on each other.
func clashing(order []*piece) (i, j int, found bool) {
	for i := range order {
		for j := range i {
			if meet(order[j], order[i]) >= clash {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}
