package photos

import (
	"cmp"
	"slices"
	"strconv"

	"voltwright/internal/site/frame"
)

// The measures of the strips of numbers over and under a photo, in pixels, and along the photo in hundredths of its width: the narrowest
// photo is 281 pixels wide on a telephone of 320.
const (
	balloonRow = 40   // height of a row of numbers
	inRow      = 7    // numbers in a row at most; beyond, there are two
	firstAt    = 6.0  // of the first and
	lastAt     = 94.0 // of the last that a strip may have
)

// spot is a mark on the photo.
type spot struct {
	x, y              float64
	mark, words, href string
	at                float64 // along the strip
}

// strips parts marks to the nearer edge, and gives each a place in its strip such that no two leaders cross.
func strips(all []spot) (above []frame.Balloon, aboveHeight int, below []frame.Balloon, belowHeight int) {
	var up, down []spot
	for _, s := range all {
		if s.y <= 50 {
			up = append(up, s)
		} else {
			down = append(down, s)
		}
	}
	above, aboveHeight = strip(up, 0)
	below, belowHeight = strip(down, 100)
	return above, aboveHeight, below, belowHeight
}

// strip places the marks of one edge, which is at the height y of the photo.
func strip(list []spot, edge float64) ([]frame.Balloon, int) {
	if len(list) == 0 {
		return nil, 0
	}
	slices.SortStableFunc(list, func(a, b spot) int { return cmp.Compare(a.x, b.x) })
	rows := 1
	if len(list) > inRow {
		rows = 2
	}
	spread(list)
	uncross(list, edge)
	out := make([]frame.Balloon, len(list))
	for i, s := range list {
		row := i % rows
		y := row*balloonRow + balloonRow/2
		if rows == 2 && edge == 100 { // the first of two is the nearer one on both sides
			y = (1-row)*balloonRow + balloonRow/2
		}
		out[i] = frame.Balloon{Mark: s.mark, Words: s.words, Href: s.href, At: percent(s.at), RowY: y, X: percent(s.x), Y: percent(s.y)}
	}
	return out, rows * balloonRow
}

// spread gives the numbers places along the strip, each as near to its mark as the others allow.
func spread(list []spot) {
	least := 12.5
	if n := len(list); n > 1 {
		least = min(least, (lastAt-firstAt)/float64(n-1))
	}
	for i := range list {
		list[i].at = max(list[i].x, firstAt)
		if i > 0 {
			list[i].at = max(list[i].at, list[i-1].at+least)
		}
	}
	most := lastAt
	for i := len(list) - 1; i >= 0; i-- {
		list[i].at = min(list[i].at, most)
		most = list[i].at - least
	}
}

// uncross lets two numbers change places as long as their leaders cross. Each change makes the leaders shorter together, so that it ends.
func uncross(list []spot, edge float64) {
	for range len(list) * len(list) {
		changed := false
		for i := range list {
			for j := i + 1; j < len(list); j++ {
				if cross(list[i], list[j], edge) {
					list[i].at, list[j].at = list[j].at, list[i].at
					list[i], list[j] = list[j], list[i]
					changed = true
				}
			}
		}
		if !changed {
			return
		}
	}
}

// cross tells whether the leaders of two marks cross, from the edge of the photo to the mark.
func cross(a, b spot, edge float64) bool {
	side := func(ax, ay, bx, by, px, py float64) float64 { return (bx-ax)*(py-ay) - (by-ay)*(px-ax) }
	return side(a.at, edge, a.x, a.y, b.at, edge)*side(a.at, edge, a.x, a.y, b.x, b.y) < 0 &&
		side(b.at, edge, b.x, b.y, a.at, edge)*side(b.at, edge, b.x, b.y, a.x, a.y) < 0
}

func percent(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) + "%" }
