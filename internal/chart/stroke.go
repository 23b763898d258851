package chart

import (
	"math"
	"strconv"
	"strings"
)

// tenth is a place on the drawing in whole tenths of a unit, as fine as it is drawn. Distances between them are whole numbers, and so
// the same on every machine.
type tenth struct{ x, y int64 }

// stroke is an unbroken line as the data of a path: where it begins, then from point to point the way there, which is shorter to write
// and compresses better than places. Points that nobody would miss are left out; see fewer.
func stroke(line []dot) string {
	points := make([]tenth, len(line))
	for i, p := range line {
		points[i] = tenth{int64(math.Round(p.x * 10)), int64(math.Round(p.y * 10))}
	}
	points = fewer(points)
	var path strings.Builder
	at := points[0]
	path.WriteString("M" + at.x1() + " " + at.y1())
	letter := "l"
	for _, p := range points[1:] {
		way := tenth{p.x - at.x, p.y - at.y}
		if at = p; way == (tenth{}) {
			continue
		}
		for k, n := range []string{way.x1(), way.y1()} {
			switch {
			case k == 0 && letter != "":
				path.WriteString(letter)
				letter = ""
			case n[0] != '-':
				path.WriteByte(' ')
			}
			path.WriteString(n)
		}
	}
	return path.String()
}

func (t tenth) x1() string { return inUnits(t.x) }
func (t tenth) y1() string { return inUnits(t.y) }

// inUnits writes tenths of a unit in units: "12", "-.3", "1.5".
func inUnits(n int64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, rest := n/10, n%10
	switch {
	case rest == 0:
		return sign + strconv.FormatInt(whole, 10)
	case whole == 0:
		return sign + "." + strconv.FormatInt(rest, 10)
	}
	return sign + strconv.FormatInt(whole, 10) + "." + strconv.FormatInt(rest, 10)
}

// missed is how far from the line, in tenths of a unit, a point that is left out may lie at most: a quarter of a unit, of which the thinnest
// line is nearly four wide. Own choice, no source.
const missed = 2.5

// fewer leaves out the points that lie no further than missed from the line without them (D. H. Douglas and T. K. Peucker, Algorithms for
// the Reduction of the Number of Points Required to Represent a Digitized Line, Cartographica 10 (2), 1973). The ends stay.
func fewer(points []tenth) []tenth {
	if len(points) < 3 {
		return points
	}
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	for open := [][2]int{{0, len(points) - 1}}; len(open) > 0; {
		from, to := open[len(open)-1][0], open[len(open)-1][1]
		open = open[:len(open)-1]
		furthest, most := 0, missed*missed
		for i := from + 1; i < to; i++ {
			if d := squared(points[i], points[from], points[to]); d > most {
				furthest, most = i, d
			}
		}
		if furthest > 0 {
			keep[furthest] = true
			open = append(open, [2]int{from, furthest}, [2]int{furthest, to})
		}
	}
	out := points[:0:0]
	for i, p := range points {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// squared is the square of the distance of p from the straight line between a and b, which ends there.
func squared(p, a, b tenth) float64 {
	along := tenth{b.x - a.x, b.y - a.y}
	off := tenth{p.x - a.x, p.y - a.y}
	length := along.x*along.x + along.y*along.y
	at := off.x*along.x + off.y*along.y
	switch {
	case length == 0 || at <= 0:
		return float64(off.x*off.x + off.y*off.y)
	case at >= length:
		return float64((p.x-b.x)*(p.x-b.x) + (p.y-b.y)*(p.y-b.y))
	}
	cross := off.x*along.y - off.y*along.x
	return float64(cross) * float64(cross) / float64(length)
}
