package diagram

import (
	"math"
	"slices"
)

// apart is how many rows the first lead of an item keeps from the last one of
// the item over it.
func (o *layout) apart(upper, lower int) int {
	rows := 0
	if f := o.items[upper].fig; f != nil {
		rows = f.rows - 1
	}
	if f := o.items[lower].fig; f != nil {
		return rows + f.above()
	}
	return rows + 1
}

// pull is one lead that wants an item to stand where it runs straight.
type pull struct {
	other        int
	mine, theirs pin
	weight       int
}

// off is how far an item would have to move down for a lead to run straight.
func (o *layout) off(id int, p pull) int {
	return o.items[p.other].y + o.rowOf(p.theirs) - o.items[id].y - o.rowOf(p.mine)
}

// settle gives every item its row: leads are to run straight, the columns keep
// their order. Each column in turn takes the rows that are nearest to what its
// neighbours want (the sum of the distances is the least: isotonic regression
// in the L1 norm by pooling adjacent violators), then single groups are moved
// as long as that straightens leads.
func (o *layout) settle() {
	fair := o.pulls(heavyPull)
	ports := o.portRows()
	var best, bestPorts []int
	least := math.Inf(1)
	for _, heavy := range []int{heavyPull, 6, 20} { // a good start for the power path may be one that minds nothing else
		o.setPortRows(ports)
		o.start()
		pulls := o.pulls(heavy)
		o.relax(pulls)
		o.straighten(pulls)
		o.straighten(fair)
		if cost := o.bends(fair); cost < least-1e-9 {
			best, bestPorts, least = o.rows(), o.portRows(), cost
		}
	}
	o.setRows(best)
	o.setPortRows(bestPorts)
}

// heavyPull is how much more a thick lead pulls than a thin one.
const heavyPull = 2

// pulls lists what every item is joined to.
func (o *layout) pulls(heavy int) [][]pull {
	pulls := make([][]pull, len(o.items))
	for _, runs := range o.channels {
		for _, r := range runs {
			if r.a.edge == r.b.edge {
				continue
			}
			w := 1
			if r.a.port < 0 {
				w++
			}
			if r.b.port < 0 {
				w++
			}
			if o.net.c.Leads[r.lead].Size.Area >= heavyArea {
				w += heavy
			}
			pulls[r.a.item] = append(pulls[r.a.item], pull{r.b.item, r.a, r.b, w})
			pulls[r.b.item] = append(pulls[r.b.item], pull{r.a.item, r.b, r.a, w})
		}
	}
	return pulls
}

// start packs every column from the top.
func (o *layout) start() {
	for _, column := range o.columns {
		for i, id := range column {
			o.items[id].y = 0
			if i > 0 {
				o.items[id].y = o.items[column[i-1]].y + o.apart(column[i-1], id)
			}
		}
	}
}

// relax lets the columns take their places in turn.
func (o *layout) relax(pulls [][]pull) {
	column := make([]int, len(o.items))
	for g, ids := range o.columns {
		for _, id := range ids {
			column[id] = g
		}
	}
	best, least := o.rows(), o.bends(pulls)
	for round := range 12 {
		for k := range o.columns {
			g := k
			if round%2 == 1 {
				g = len(o.columns) - 1 - k
			}
			o.pool(g, func(p pull) bool {
				switch {
				case round >= 4:
					return true
				case round%2 == 0:
					return column[p.other] < g
				}
				return column[p.other] > g
			}, pulls)
		}
		if cost := o.bends(pulls); cost < least-1e-9 {
			best, least = o.rows(), cost
		}
	}
	o.setRows(best)
}

// portRows are the rows of all ports, which slide changes.
func (o *layout) portRows() []int {
	var rows []int
	for _, it := range o.items {
		if it.fig != nil {
			for _, ports := range it.fig.ports {
				for _, p := range ports {
					rows = append(rows, p.row)
				}
			}
		}
	}
	return rows
}

func (o *layout) setPortRows(rows []int) {
	k := 0
	for _, it := range o.items {
		if it.fig != nil {
			for _, ports := range it.fig.ports {
				for i := range ports {
					ports[i].row = rows[k]
					k++
				}
			}
		}
	}
}

func (o *layout) rows() []int {
	ys := make([]int, len(o.items))
	for i, it := range o.items {
		ys[i] = it.y
	}
	return ys
}

func (o *layout) setRows(ys []int) {
	for i, it := range o.items {
		it.y = ys[i]
	}
}

// bends is what the rows cost: each bend, a little for its length, and a little
// for the height of the whole.
func (o *layout) bends(pulls [][]pull) float64 {
	cost := 0.0
	low, high := math.MaxInt, math.MinInt
	for id, it := range o.items {
		for _, p := range pulls[id] {
			if d := o.off(id, p); d != 0 {
				cost += float64(p.weight) * (1 + 0.12*math.Abs(float64(d)))
			}
		}
		low, high = min(low, it.y), max(high, it.y)
		if it.fig != nil {
			low, high = min(low, it.y-it.fig.above()), max(high, it.y+it.fig.rows-1)
		}
	}
	return cost + 0.3*float64(high-low)
}

// pool places one column by what the accepted pulls want.
func (o *layout) pool(g int, accept func(pull) bool, pulls [][]pull) {
	type block struct {
		wants []int
		from  int // index in the column
	}
	ids := o.columns[g]
	off := make([]int, len(ids))
	var blocks []block
	middle := func(b block) int { return b.wants[(len(b.wants)-1)/2] }
	for i, id := range ids {
		if i > 0 {
			off[i] = off[i-1] + o.apart(ids[i-1], id)
		}
		b := block{from: i}
		for _, p := range pulls[id] {
			if accept(p) {
				for range p.weight {
					b.wants = append(b.wants, o.items[id].y+o.off(id, p)-off[i])
				}
			}
		}
		if len(b.wants) == 0 {
			b.wants = append(b.wants, o.items[id].y-off[i])
		}
		slices.Sort(b.wants)
		for len(blocks) > 0 && middle(blocks[len(blocks)-1]) > middle(b) {
			last := blocks[len(blocks)-1]
			blocks = blocks[:len(blocks)-1]
			b = block{append(slices.Clone(last.wants), b.wants...), last.from}
			slices.Sort(b.wants)
		}
		blocks = append(blocks, b)
	}
	for k, b := range blocks {
		to := len(ids)
		if k+1 < len(blocks) {
			to = blocks[k+1].from
		}
		for i := b.from; i < to; i++ {
			o.items[ids[i]].y = middle(b) + off[i]
		}
	}
}

// straighten moves an item, or all that hangs on it by straight leads, to where
// one more lead runs straight, and pushes aside what stands in the way.
func (o *layout) straighten(pulls [][]pull) {
	for round, better := 0, true; better && round < 40; round++ {
		better = o.slide(pulls)
		least := o.bends(pulls)
		for id := range o.items {
			for _, p := range pulls[id] {
				d := o.off(id, p)
				if d == 0 {
					continue
				}
				before := o.rows()
				all := o.hanging(id, p.other, before, pulls)
				for k, group := range [][]int{{id}, all, {id}, all} {
					o.push(group, d, pulls, k < 2)
					if _, _, near := o.tooNear(); near > 0 {
						o.setRows(before)
						continue
					}
					if cost := o.bends(pulls); cost < least-1e-9 {
						least, better = cost, true
						break
					}
					o.setRows(before)
				}
			}
		}
	}
}

// hanging lists what is joined to an item by leads that are straight with the
// given rows, but not through another item.
func (o *layout) hanging(id, but int, rows []int, pulls [][]pull) []int {
	group := []int{id}
	seen := map[int]bool{id: true, but: true}
	for i := 0; i < len(group); i++ {
		for _, p := range pulls[group[i]] {
			if !seen[p.other] && rows[p.other]+o.rowOf(p.theirs) == rows[group[i]]+o.rowOf(p.mine) {
				seen[p.other] = true
				group = append(group, p.other)
			}
		}
	}
	return group
}

// push moves a group by d rows, and with it what would come too near: each item
// whole, together with what hangs on it by straight leads, or alone.
func (o *layout) push(group []int, d int, pulls [][]pull, whole bool) {
	first := map[int]bool{}
	for _, id := range group {
		first[id] = true
	}
	before := o.rows()
	hanging := func(id int) []int {
		if !whole {
			return []int{id}
		}
		return o.hanging(id, -1, before, pulls)
	}
	for _, id := range group {
		o.items[id].y += d
	}
	for range 4 * len(o.items) {
		upper, lower, near := o.tooNear()
		if near == 0 {
			return
		}
		moved, by := lower, near
		if d < 0 {
			moved, by = upper, -near
		}
		if first[moved] { // it would move itself: the other one gives way
			moved, by = upper+lower-moved, -by
			if first[moved] {
				return
			}
		}
		for _, id := range hanging(moved) {
			if !first[id] {
				o.items[id].y += by
			}
		}
	}
}

// tooNear finds two neighbours in a column that are too near to each other, and
// by how many rows.
func (o *layout) tooNear() (upper, lower, rows int) {
	for _, ids := range o.columns {
		for i := 1; i < len(ids); i++ {
			if d := o.items[ids[i-1]].y + o.apart(ids[i-1], ids[i]) - o.items[ids[i]].y; d > 0 {
				return ids[i-1], ids[i], d
			}
		}
	}
	return 0, 0, 0
}

// slide moves the ways on one side of a terminal block, where there are fewer
// than on the other, up or down along the block.
func (o *layout) slide(pulls [][]pull) bool {
	better := false
	for _, it := range o.items {
		if it.fig == nil || !it.fig.slides {
			continue
		}
		for s, ports := range it.fig.ports {
			for _, by := range []int{1, -1} {
				low, high := 0, it.fig.rows-1
				for _, p := range ports {
					low, high = min(low, p.row+by), max(high, p.row+by)
				}
				if len(ports) == 0 || low < 0 || high > it.fig.rows-1 {
					continue
				}
				least := o.bends(pulls)
				move := func(by int) {
					for k := range it.fig.ports[s] {
						it.fig.ports[s][k].row += by
					}
				}
				move(by)
				if o.bends(pulls) < least-1e-9 {
					better = true
				} else {
					move(-by)
				}
			}
		}
	}
	return better
}
