package runlog

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"
	"math"

	"voltwright/internal/finding"
)

// Zone is a circle within which no position is published.
type Zone struct {
	Lat, Long float64 // of its centre, in degrees
	Radius    float64 // m
}

// Point is a position in degrees.
type Point struct{ Lat, Long float64 }

// Visit is where a log began, ended and stood, and what settles the zones there: the hash of the log, whose bytes nobody knows
// who has not got it.
type Visit struct {
	Points []Point
	Seed   [32]byte
}

// Our own choice, so that nothing within 200 m of a start, an end or a long stop is published: a zone's centre lies up to
// zoneOff from the place that made it, whatever lies within zoneShare of that place shares it, and a stop counts as one that
// lies within stayWithin of where it was first seen.
const (
	zoneClear  = 200.0 // m
	zoneOff    = 100.0 // m
	zoneShare  = 70.0  // m
	stayWithin = 30.0  // m
	zoneRadius = zoneClear + zoneOff + zoneShare + stayWithin

	longStay = 120.0 // s
)

// Zones are the zones about the places of all logs, the oldest first. A place has one zone, whose centre the first log there
// settles, and keeps it: were there one for each log, their mean would be the place.
func Zones(visits []Visit) []Zone {
	var places []Point
	var out []Zone
	for _, v := range visits {
		for k, p := range v.Points {
			known := false
			for _, q := range places {
				known = known || greatCircle(p.Lat, p.Long, q.Lat, q.Long) <= zoneShare
			}
			if known {
				continue
			}
			places = append(places, p)
			centre := p.moved(v.Seed, k)
			out = append(out, Zone{centre.Lat, centre.Long, zoneRadius})
		}
	}
	return out
}

// moved is a point up to zoneOff away, any point of that circle as likely as any other to who does not know the seed.
func (p Point) moved(seed [32]byte, k int) Point {
	draw := hmac.New(sha256.New, seed[:])
	fmt.Fprintf(draw, "zone %d", k)
	sum := draw.Sum(nil)
	part := func(b []byte) float64 { return float64(binary.BigEndian.Uint64(b)>>11) / (1 << 53) }
	far, way := zoneOff*math.Sqrt(part(sum)), 2*math.Pi*part(sum[8:])
	const degree = math.Pi / 180
	lat := p.Lat + far*math.Cos(way)/earthRadius/degree
	return Point{lat, p.Long + far*math.Sin(way)/(earthRadius*max(0.01, math.Cos(p.Lat*degree)))/degree}
}

// Stays are the positions at which a log begins and ends, also where it pauses or loses its positions for long, and those at
// which it stays for long.
func Stays(r io.Reader, o Options) ([]Point, error) {
	s, err := NewScanner(finding.NewStream("log"), r, o)
	if err != nil {
		return nil, err
	}
	w := &stayWatch{}
	s.watch = w.add
	for {
		if _, ok := s.Next(); !ok {
			break
		}
	}
	if w.seen {
		w.points = append(w.points, w.last)
	}
	return w.points, s.Err()
}

// stayWatch follows the positions. The anchor is where the vehicle was when it last came somewhere else.
type stayWatch struct {
	points      []Point
	seen        bool
	anchor      Point
	since, when float64
	last        Point
}

func (w *stayWatch) add(t, lat, long float64) {
	if !isPlace(lat, long) {
		return
	}
	p := Point{lat, long}
	near := w.seen && greatCircle(p.Lat, p.Long, w.anchor.Lat, w.anchor.Long) <= stayWithin
	switch {
	case !w.seen:
		w.points = append(w.points, p)
		w.anchor, w.since = p, t
	case !near:
		if t-w.when >= longStay || t < w.when {
			w.points = append(w.points, w.last, p)
		}
		w.anchor, w.since = p, t
	case t-w.since >= longStay && w.points[len(w.points)-1] != w.anchor: // a stay, which is noted once
		w.points = append(w.points, w.anchor)
	}
	w.seen, w.last, w.when = true, p, t
}

// hidden says whether a position lies in one of the zones.
func hidden(zones []Zone, lat, long float64) bool {
	for _, z := range zones {
		if greatCircle(z.Lat, z.Long, lat, long) <= z.Radius {
			return true
		}
	}
	return false
}

// isPlace says whether two numbers are a position in degrees, and not what a receiver writes that has none.
func isPlace(lat, long float64) bool {
	return math.Abs(lat) <= 90 && math.Abs(long) <= 180 && !(lat == 0 && long == 0)
}
