package runlog

import "math"

// way is the running way along positions. It keeps the last position and gives out metres alone: where somebody rode is
// nobody's business and leaves the reader in no form.
type way struct {
	seen      bool
	lat, long float64
	metres    float64
}

// earthRadius is the mean radius in m. Source: IUGG mean radius R1 = 6 371 008.8 m (from memory).
const earthRadius = 6371008.8

// add takes the next position in degrees and gives the way so far, NaN for a position that is none.
func (w *way) add(lat, long float64) float64 {
	if !(math.Abs(lat) <= 90 && math.Abs(long) <= 180) || lat == 0 && long == 0 {
		return math.NaN()
	}
	if w.seen {
		w.metres += greatCircle(w.lat, w.long, lat, long)
	}
	w.seen, w.lat, w.long = true, lat, long
	return w.metres
}

// greatCircle is the distance in m between two positions in degrees, by the haversine, which keeps its digits where they
// are near each other (R. W. Sinnott, "Virtues of the Haversine", Sky & Telescope 68, 1984, from memory).
func greatCircle(lat1, long1, lat2, long2 float64) float64 {
	const degree = math.Pi / 180
	a := math.Sin((lat2 - lat1) / 2 * degree)
	b := math.Sin((long2 - long1) / 2 * degree)
	h := a*a + math.Cos(lat1*degree)*math.Cos(lat2*degree)*b*b
	return 2 * earthRadius * math.Asin(math.Sqrt(min(1, h)))
}
